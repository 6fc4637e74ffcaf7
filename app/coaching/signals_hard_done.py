"""The signal about hard work that was done, planned or not, though the phase has none."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.hard_work import HardDay
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS, current_phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.words import counted, short_day

#: Hard work done stays news for so long (house choice).
NEWS_DAYS = 7
NEAR_DAYS = 2


def hard_out_of_phase(scene: Scene) -> Signal | None:
    """A race, a test or other hard work done in the last week by somebody whose phase then had none.

    It is a matter of safety, decided today, without leave for vigorous work, with hard work planned ahead, or with
    any session within two days after it; else it waits for planning.
    """
    fresh = [day for day in scene.done if day.on > scene.today - timedelta(days=NEWS_DAYS)]
    astray = [day for day in fresh if not _had_its_phase(scene, day)]
    if not astray:
        return None
    newest = astray[-1]
    phase = PHASE_WORDS[scene.history.phase] if scene.history.phase else "no phase yet"
    has_leave = scene.vigorous.is_ok
    after = _planned_after(scene, newest)
    is_urgent = not has_leave or bool(after)
    leave = "" if has_leave else " Leave for hard work is missing too."
    reasons = why(
        "Nothing hard before promotion: a week with hard work is not held, and a race or a match is hard, "
        "whatever was planned.",
        ("hard because", "; ".join(newest.because)),
        ("phase", phase),
        ("screening for hard work", f"{scene.vigorous.outcome.value}, row {scene.vigorous.branch}"),
        ("such sessions in seven days", counted(len(astray), "session")),
        ("planned after it", _named(after)),
        would_change="A word with the client, and a plan that fits.",
    )
    return Signal(
        "hard_out_of_phase",
        scene.history.client.id,
        Shelf.TODAY if is_urgent else Shelf.PLANNING,
        Family.SAFETY if is_urgent else Family.REST,
        f"{_what(scene, newest)} on {short_day(newest.on)} was hard ({newest.because[0]}); the phase is: {phase}."
        f"{leave}{_follows_words(after)} Ask how it went, and what comes next.",
        reasons,
        key_of("hard_out_of_phase", [newest.record_id], _standing(has_leave, bool(after))),
        (Act.CONTACT, Act.HOLD, Act.OPEN_CLIENT) if is_urgent else (Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        newest.on,
    )


def _planned_after(scene: Scene, day: HardDay) -> tuple[PlannedSession, ...]:
    """What still stands too near: hard work whenever it is, and anything else within two days (house choice)."""
    answered = {log.planned_session_id for log in scene.history.logs}
    ahead = [s for s in scene.history.planned if s.planned_on >= scene.today and not s.is_cancelled]
    return tuple(
        s for s in ahead if s.id not in answered and (s.is_hard or s.planned_on <= day.on + timedelta(days=NEAR_DAYS))
    )


def _follows_words(after: tuple[PlannedSession, ...]) -> str:
    return f" Planned after it: {_named(after)}." if after else ""


def _named(after: tuple[PlannedSession, ...]) -> str:
    first = min(after, key=lambda one: (one.planned_on, one.id), default=None)
    return "nothing near" if first is None else f"{first.title} on {short_day(first.planned_on)}"


def _standing(has_leave: bool, is_near: bool) -> str:
    """What of the key changes when the line becomes a matter of today."""
    leave = "with leave" if has_leave else "without leave"
    return f"{leave}, work follows" if has_leave and is_near else leave


def _had_its_phase(scene: Scene, day: HardDay) -> bool:
    """Whether the phase of that day, or the present one, is for hard work."""
    then = current_phase([one for one in scene.history.decisions if one.since_on <= day.on])
    return scene.history.phase in HARD_WORK_PHASES or (then is not None and then.phase in HARD_WORK_PHASES)


def _what(scene: Scene, day: HardDay) -> str:
    """The planned session's title, or that nothing was planned: "A race, not planned,"."""
    is_planned = day.record_id in scene.facts.pairing.plan_of
    return day.title if is_planned else f"{day.title[:1].upper()}{day.title[1:]}, not planned,"


HARD_DONE_RULES = (hard_out_of_phase,)
