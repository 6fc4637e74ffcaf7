"""Entries so far from a client's usual ones that the coach is asked once more before they are kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.done_work import done_minutes, is_hard_done
from app.coaching.effort import TALK_WORDS, Band, band_of_effort, band_of_talk
from app.coaching.people import Client
from app.coaching.phases import PHASE_WORDS, Phase, PhaseDecision, current_phase
from app.coaching.prescriptions import KIND_WORDS, PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import day_words
from app.coaching.windows import RECENT
from app.coaching.words import minutes_words

#: Longer than this is asked about, unless the client's own longest is near it (house choice).
LONG_OUTING_MIN = 6 * 60
#: The client's longest of the last 60 days is far less when it is under half of what was typed (house choice).
FAR_LESS_FRACTION = 0.5
PHASES_WITH_HARD_WORK = frozenset({Phase.INTERVAL_ONE, Phase.INTERVAL_TWO, Phase.KEEPING})
HARD_KINDS = frozenset({SessionKind.INTERVALS, SessionKind.RACE})


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing to look at twice: the field it stands in, what was typed there, and the sentence beside it."""

    field: str
    typed: str
    sentence: str

    @property
    def key(self) -> str:
        """What a tick confirms: this field with this value and no other."""
        return f"{self.field}={self.typed}"


def doubt_key(doubts: Sequence[Doubt]) -> str:
    """What one tick under several doubts confirms."""
    return ";".join(one.key for one in doubts)


def doubts_about(
    log: SessionLog,
    planned: PlannedSession | None,
    *,
    client: Client,
    earlier: Sequence[SessionLog],
    decisions: Sequence[PhaseDecision],
    rules: Rules,
) -> tuple[Doubt, ...]:
    """What the coach should look at twice before an entry is kept; none of it is forbidden.

    Source: common practice, no published source.
    """
    found = (
        _too_early(log, client),
        _hard_outside_its_phase(log, planned, decisions, rules),
        _too_long(log, earlier),
    )
    return tuple(one for one in found if one is not None)


def clients_doubts(log: SessionLog, *, earlier: Sequence[SessionLog], rules: Rules) -> tuple[Doubt, ...]:
    """What a client should look at twice before an entry is kept: the same extra again, or answers that disagree.

    Source: common practice, no published source.
    """
    found = (_said_before(log, earlier), _disagreement(log, rules))
    return tuple(one for one in found if one is not None)


def _said_before(log: SessionLog, earlier: Sequence[SessionLog]) -> Doubt | None:
    """An extra equal to one of the same day."""
    said = (log.done_on, log.kind, log.mode, log.minutes)
    is_extra = log.planned_session_id is None
    twin = any(
        one.planned_session_id is None and (one.done_on, one.kind, one.mode, one.minutes) == said
        for one in earlier
        if one.id != log.id
    )
    if not is_extra or not twin:
        return None
    minutes = "" if log.minutes is None else f", {minutes_words(log.minutes)}"
    words = f"You already wrote the same for {day_words(log.done_on)}{minutes}."
    return Doubt("minutes", "/".join(map(str, said)), f"{words} Was this another one?")


def _disagreement(log: SessionLog, rules: Rules) -> Doubt | None:
    """An easy talk answer beside a hard number or kind, or the other way round; the talk answer counts."""
    if log.talk is None:
        return None
    # The third answer lies between the bands, so it contradicts none.
    by_talk = band_of_talk(log.talk, after_transition=False)
    spoken = f"You said “{TALK_WORDS[log.talk]}”"
    ends = {Band.EASY, Band.HARD}
    if log.effort is not None and {by_talk, band_of_effort(log.effort, rules)} == ends:
        typed, beside = f"{log.effort:g}", f"effort {log.effort:g}"
    elif log.planned_session_id is None and by_talk is Band.EASY and log.kind in HARD_KINDS and not log.rounds:
        typed, beside = log.kind.value, "that it was hard"
    else:
        return None
    return Doubt("talk", f"{log.talk.value}/{typed}", f"{spoken} and {beside}. The talk answer is what counts.")


def _too_early(log: SessionLog, client: Client) -> Doubt | None:
    if log.done_on >= client.joined_on:
        return None
    return Doubt(
        "done_on",
        log.done_on.isoformat(),
        f"{client.name} joined on {day_words(client.joined_on)}; this day lies before that.",
    )


def _too_long(log: SessionLog, earlier: Sequence[SessionLog]) -> Doubt | None:
    minutes = done_minutes(log)
    since_on = log.done_on - RECENT
    known = [done_minutes(one) for one in earlier if since_on <= one.done_on <= log.done_on and one.id != log.id]
    longest = max(known, default=0.0)
    if minutes <= LONG_OUTING_MIN or longest >= minutes * FAR_LESS_FRACTION:
        return None
    usual = f"the longest of the 60 days before is {minutes_words(longest)}" if longest else "nothing else is logged"
    return Doubt("minutes", f"{minutes:g}", f"{minutes:g} minutes are {minutes_words(minutes)}; {usual}.")


def _hard_outside_its_phase(
    log: SessionLog, planned: PlannedSession | None, decisions: Sequence[PhaseDecision], rules: Rules
) -> Doubt | None:
    was_planned_hard = planned is not None and planned.is_hard and log.answer is not Answer.SOMETHING_ELSE
    hard = is_hard_done(log, planned, rules)
    says_hard = log.answer is not Answer.NOT_DONE and log.kind in HARD_KINDS
    if was_planned_hard or not (hard or says_hard):
        return None
    decided = current_phase([one for one in decisions if one.since_on <= log.done_on])
    if decided is not None and decided.phase in PHASES_WITH_HARD_WORK:
        return None
    phase = "No phase is decided for that day" if decided is None else f"The phase is {PHASE_WORDS[decided.phase]}"
    why = ", ".join(hard.because) if hard is not None else KIND_WORDS[log.kind]
    field, typed = _said_hard_in(log)
    return Doubt(field, typed, f"{phase}, where nothing hard belongs, and this counts as hard ({why}).")


def _said_hard_in(log: SessionLog) -> tuple[str, str]:
    """The field of the form that makes an entry hard."""
    if log.kind in HARD_KINDS:
        return "kind", log.kind.value
    if log.felt_all_out:
        return "felt_all_out", "yes"
    if log.rounds:
        return "round_1_done", str(len(log.rounds))
    if log.talk is not None and log.effort is None:
        return "talk", log.talk.value
    return "effort", f"{log.effort:g}" if log.effort is not None else ""
