"""Today's sessions by the clock: steps with the time each begins, run by a small script on the phone itself.

What a client may not do has no clock: paused work is named without its steps, and where only the easy way is left,
the easy version runs in its place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fastapi import APIRouter
from starlette.responses import JSONResponse, Response

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.easy_version import INSTEAD_OF, eased
from app.coaching.hold_rules import may_train_within
from app.coaching.paused_together import paused_together
from app.coaching.people import Mode
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.return_steps import COLD_AT_MOST
from app.coaching.screening import ConsentKind
from app.coaching.session_renderings import Cue, clock_words, cue_words, cues, round_aims, say_with_aim
from app.coaching.steps import from_json, work_rounds
from app.coaching.words import duration_words
from app.usecases import today
from app.usecases.today import TodaySession, TodayView
from app.web.deps import PhoneDesk, own_client_id
from app.web.phone.seen import note_holds_seen
from app.web.phone.today import easy_first_because, readiness_of
from app.web.render import render
from app.web.session_view import SessionView, effort_name, session_view

router = APIRouter()

#: Ends the key of a clock that runs the easy version.
_EASY = "-easy"
DONE_WORDS = "You have entered this one, so nothing of it runs again."


@dataclass(frozen=True, slots=True)
class CueLine:
    """One step of a clock."""

    starts_s: int
    lasts_s: int
    starts: str
    lasts: str
    #: "Round 2 of 4, hard".
    what: str
    say: str


@dataclass(frozen=True, slots=True)
class Timed:
    """One session of today by the clock, or why it has none."""

    key: str
    title: str
    mode: Mode
    is_hard: bool
    #: Why something else than the plan runs, or nothing does; empty when it runs as planned.
    because: tuple[str, ...]
    instead: str | None
    view: SessionView | None
    lines: tuple[CueLine, ...]
    whole: str
    #: An entry answers it already: nothing runs a second time.
    is_done: bool = False
    #: What today's note asks of it, where the session itself runs.
    readiness: str | None = None
    #: The word beside its title, where something runs.
    effort: str = ""


@router.get("/me/timer")
def show_timer(desk: PhoneDesk) -> Response:
    """Today by the clock."""
    client_id = own_client_id(desk)
    view = today.load(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    note_holds_seen(desk, view.open_holds)
    stopped = view.stopped.all_because
    return render(
        desk,
        "phone/timer.html",
        view=view,
        timed=() if stopped else [_timed(one, view) for one in view.sessions],
        stopped=list(dict.fromkeys(stopped)),
        together=paused_together(view.stopped),
        stop_text=CONSENT_TEXTS[ConsentKind.STOP_SIGNS],
        cold_at_most=COLD_AT_MOST,
    )


@router.get("/me/timer/now")
def tell_what_may_run(desk: PhoneDesk) -> JSONResponse:
    """Which clocks may run at this moment: an open page asks before it starts one, and while it runs."""
    view = today.load(desk.db, actor=desk.person, client_id=own_client_id(desk), rules=desk.rules, now=desk.now)
    timed = () if view.stopped.all_because else tuple(_timed(one, view) for one in view.sessions)
    running = [one.key for one in timed if one.lines and not one.because]
    easy = [one.key for one in timed if one.lines and one.because]
    # Where the session itself may run, so may its easy version.
    return JSONResponse({"may_run": [*running, *(f"{key}{_EASY}" for key in running), *easy]})


def _timed(one: TodaySession, view: TodayView) -> Timed:
    session, easy_first = one.session, easy_first_because(one)
    if one.log_id is not None:
        return replace(_resting(session, (DONE_WORDS,), None), is_done=True)
    if not one.may.is_paused and not easy_first:
        # A figure was made for a cooler day: in the heat effort alone steers.
        running = _running(session, (), session.title, aims=() if view.heat else round_aims(session))
        return replace(running, readiness=readiness_of(one), effort=effort_name(session))
    because = (one.may.sentence,) if one.may.is_paused else easy_first
    easy = eased(session)
    if may_train_within(view.stopped, easy).is_paused or not is_hard_or_middle(session):
        return _resting(session, because, one.may.instead)
    running = _running(easy, because, easy.title.partition(INSTEAD_OF)[0])
    return replace(running, effort=effort_name(easy))


def _running(session: PlannedSession, because: tuple[str, ...], title: str, *, aims: tuple[str, ...] = ()) -> Timed:
    nodes = from_json(session.steps_json)
    told, rounds = cues(nodes), work_rounds(nodes)
    return Timed(
        key=f"{session.version_id}{_EASY if because else ''}",
        title=title,
        mode=session.mode,
        is_hard=is_hard_or_middle(session),
        because=because,
        instead=session.title if because else None,
        view=session_view(session),
        lines=tuple(_line(cue, rounds, aims) for cue in told),
        whole=clock_words(told[-1].ends_s) if told else "",
    )


def _resting(session: PlannedSession, because: tuple[str, ...], instead: str | None) -> Timed:
    return Timed(
        key=str(session.version_id),
        title=session.title,
        mode=session.mode,
        is_hard=is_hard_or_middle(session),
        because=because,
        instead=instead,
        view=None,
        lines=(),
        whole="",
    )


def _line(cue: Cue, rounds: int, aims: Sequence[str]) -> CueLine:
    what = cue_words(cue, rounds)
    return CueLine(
        starts_s=cue.starts_s,
        lasts_s=cue.duration_s,
        starts=clock_words(cue.starts_s),
        lasts=duration_words(cue.duration_s),
        what=f"{what[0].upper()}{what[1:]}",
        say=say_with_aim(cue, aims),
    )
