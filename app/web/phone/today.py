"""The client's Today."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.client_voice import hold_line, holds_told
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.effort import Band
from app.coaching.hard_spacing import too_soon_words
from app.coaching.hills import told_of_hill
from app.coaching.hold_rules import EASY_ANYHOW, Answer, stops_everything
from app.coaching.holds import HoldKind
from app.coaching.paused_together import paused_together
from app.coaching.people import ClientState, Mode
from app.coaching.plan_told import aim_ahead, was_words
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness_rules import HardDay, HardDayAnswer
from app.coaching.screening import ConsentKind
from app.coaching.session_steps import WARM_UP_RULE
from app.coaching.words import minutes_words
from app.usecases import intake, today
from app.usecases.intake import Intake
from app.usecases.today import TodaySession, TodayView
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.filters import day
from app.web.phone.seen import note_holds_seen
from app.web.render import render, see_other
from app.web.session_view import EFFORT_NAMES, Line, SessionView, effort_name, session_view

router = APIRouter()

FIRST_QUESTIONS = "First some questions"
EASY_TODAY = "Easy today, or rest"
READINESS_WORDS = {
    HardDay.WARM_UP_DECIDES: "Let the warm-up decide today",
    HardDay.EASY_OR_REST: "Easy or rest today; the hard part moves",
    HardDay.NO_TRAINING: "No training today",
}


@dataclass(frozen=True, slots=True)
class SessionPart:
    """One session as the page prints it."""

    id: int
    mode: Mode
    view: SessionView
    is_paused: bool
    is_easy_only: bool
    pause_words: str
    instead: str | None
    log_id: int | None
    is_hard: bool
    change: str | None
    was: str | None
    readiness: str | None
    legs: str | None
    #: Why the easy version comes first and the hard part is folded away; empty when it stands as planned.
    easy_first: tuple[str, ...]
    #: The hill of its rounds and how it is done there; empty without.
    hill: tuple[str, ...]

    @property
    def effort(self) -> str:
        """The word beside its title; empty where it does not go as planned today and the page says what goes."""
        return "" if self.is_paused or self.is_easy_only or self.easy_first else self.view.effort

    @property
    def gives_way(self) -> bool:
        """Whether something easy stands in its place today."""
        return self.log_id is None and (self.is_easy_only or bool(self.easy_first))

    @property
    def changes_what_waits(self) -> bool:
        """Whether what the coach changed is hard work that is not for today, so that its words are no advice now."""
        return self.gives_way or (self.is_hard and self.log_id is None and self.is_paused)

    @property
    def lines(self) -> tuple[Line, ...]:
        """Its steps; on a day it waits nothing in them lets the warm-up decide."""
        return tuple(_undecided(line) for line in self.view.lines) if self.easy_first else self.view.lines

    @property
    def says_warm_up_rule(self) -> bool:
        """Whether a step says already what the warm-up decides."""
        return any(WARM_UP_RULE in line.say for line in self.view.lines)


@dataclass(frozen=True, slots=True)
class ComingLine:
    """One session of the days to come."""

    session: PlannedSession
    effort: str
    is_paused: bool
    is_hard: bool
    waits_for_legs: bool
    #: What its rounds aim at, where they may be done as they stand; empty without a target.
    aim: str


@router.get("/me/today")
def show_today(desk: PhoneDesk) -> Response:
    """What to do today; opening it notes the versions as seen."""
    client_id = own_client_id(desk)
    view = today.load(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    _note_seen(desk, client_id, view.unseen_version_ids, desk.now)
    note_holds_seen(desk, view.open_holds)
    parts = [_part(one, in_heat=view.heat is not None) for one in view.sessions]
    waiting = [one for one in parts if one.log_id is None]
    return render(
        desk,
        "phone/today.html",
        view=view,
        parts=parts,
        title=_title(view, parts),
        effort=_effort(view, parts),
        empty_words=_empty_words(view),
        asked=_asked(desk, client_id, view),
        is_client_paused=view.client.state is ClientState.PAUSED,
        holds=_holds_beside(view),
        is_ill=any(one.kind is HoldKind.ILLNESS for one in view.open_holds),
        together=paused_together(view.stopped),
        coming=[_coming(view, one) for one in view.coming],
        coming_because=_coming_because(view, parts),
        done_at=f"/me/done?session={waiting[0].id}" if len(waiting) == 1 else "/me/done",
        warm_up_rule=WARM_UP_RULE,
        easy_anyhow=EASY_ANYHOW,
        stop_text=CONSENT_TEXTS[ConsentKind.STOP_SIGNS],
    )


@router.post("/me/today/notes/{note_id}/read")
def mark_note_read(desk: PhoneDesk, note_id: int) -> Response:
    """The client has read a note."""
    client_id = own_client_id(desk)
    today.mark_note_read(desk.db, actor=desk.person, client_id=client_id, note_id=note_id, now=desk.now)
    return see_other(desk, "/me/today", flash="Marked as read. You find it again under My way.")


def _note_seen(desk: Desk, client_id: int, version_ids: tuple[int, ...], now: datetime) -> None:
    if version_ids:
        desk.request.state.journal.append(
            lambda db: today.note_versions_seen(db, client_id=client_id, version_ids=version_ids, now=now)
        )


def _title(view: TodayView, parts: list[SessionPart]) -> str:
    if view.waits_only_for_answers:
        return FIRST_QUESTIONS
    if view.stopped.all_because:
        return "Your training is paused"
    if len(parts) == 1:
        return EASY_TODAY if parts[0].gives_way else parts[0].view.title
    if parts:
        return "Today"
    if view.client.state is ClientState.PAUSED:
        return "Your coaching is paused"
    if view.questions_due and not view.has_plan:
        return FIRST_QUESTIONS
    if view.begins_with is not None and not view.is_on_leave:
        return _begins(view, view.begins_with)
    return "A rest day" if view.has_plan or view.is_on_leave else "No plan yet"


def _effort(view: TodayView, parts: list[SessionPart]) -> str:
    """The word beside the heading, where it names the one session of the day or what stands in its place."""
    if view.waits_only_for_answers or view.stopped.all_because or len(parts) != 1:
        return ""
    return EFFORT_NAMES[Band.EASY] if parts[0].gives_way else parts[0].effort


def _begins(view: TodayView, first: PlannedSession) -> str:
    return f"Your plan {'begins' if view.is_first_plan else 'goes on'} {day(first.planned_on)}"


def _empty_words(view: TodayView) -> str:
    """What a day without a session means."""
    if view.client.state is ClientState.PAUSED:
        return (
            "You and your coach agreed on a break. Nobody waits for entries. Move as you like, "
            "easy enough to chat. Nothing hard meanwhile. When you want to begin again, tell your coach."
        )
    if view.is_on_leave:
        return "You are on agreed time off. Enjoy it."
    if view.begins_with is not None:
        first = view.begins_with
        return f"{_begins(view, first)}: {first.title}, {minutes_words(first.minutes)}."
    if view.has_plan:
        return "Nothing is planned for today. Rest is part of the plan: it is when the body grows."
    if view.questions_due:
        return "Your plan will stand here once your coach has sent it."
    return "Your coach has not sent you a plan yet. It will stand here. There is nothing you have to do until then."


def _asked(desk: Desk, client_id: int, view: TodayView) -> Intake | None:
    """How far the questions are; None while none are due."""
    if not (view.waits_only_for_answers or view.questions_due):
        return None
    return intake.load(desk.db, actor=desk.person, client_id=client_id, now=desk.now)


def _holds_beside(view: TodayView) -> tuple[str, ...]:
    """Pauses that no session of today tells about, beside what stops everything too."""
    if not view.stopped.all_because and any(one.may.is_paused and one.log_id is None for one in view.sessions):
        return ()
    return tuple(hold_line(one) for one in holds_told(view.open_holds) if not stops_everything(one))


def _coming_because(view: TodayView, parts: list[SessionPart]) -> list[str]:
    """Why sessions to come would be paused, each reason once and none that stands on the page already."""
    told = {part.pause_words for part in parts if part.log_id is None} | set(_holds_beside(view))
    pauses = (view.pause_of(one) for one in view.coming)
    reasons = dict.fromkeys(one.sentence for one in pauses if one is not None)
    return [words for words in reasons if not any(words in said or _reason(words) in said for said in told)]


def _reason(words: str) -> str:
    """The reason behind "... is paused, not cancelled: "."""
    return words.partition(": ")[2]


def _coming(view: TodayView, one: PlannedSession) -> ComingLine:
    is_paused, waits = view.pause_of(one) is not None, view.waits_for_legs(one)
    aim = "" if is_paused or waits else aim_ahead(one)
    return ComingLine(one, effort_name(one), is_paused, is_hard_or_middle(one), waits, aim)


def _part(one: TodaySession, *, in_heat: bool) -> SessionPart:
    easy_first = easy_first_because(one)
    tells_figures = not (one.may.is_paused or easy_first or in_heat)
    is_changed = one.before is not None
    return SessionPart(
        id=one.session.id,
        mode=one.session.mode,
        view=session_view(one.session),
        is_paused=one.may.answer is Answer.PAUSED,
        is_easy_only=one.may.answer is Answer.EASY_ONLY,
        pause_words=one.may.sentence,
        instead=one.may.instead,
        log_id=one.log_id,
        is_hard=one.is_demanding,
        change=(one.session.reason or "No reason was written.") if is_changed else None,
        was=None if one.before is None else was_words(one.session, one.before, tells_figures=tells_figures),
        readiness=readiness_of(one),
        legs=one.legs,
        easy_first=easy_first,
        hill=told_of_hill(one.hill, one.session.mode) if one.hill and one.is_demanding else (),
    )


def _undecided(line: Line) -> Line:
    said = " ".join(line.say.replace(WARM_UP_RULE, "").split())
    return replace(line, say=said, steps=tuple(_undecided(one) for one in line.steps))


def readiness_of(one: TodaySession) -> str | None:
    """What today's note asks of a session, in the client's words; None where it stands as planned."""
    if one.readiness is None or one.readiness.answer is HardDay.AS_PLANNED:
        return None
    return readiness_words(one.readiness)


def readiness_words(found: HardDayAnswer) -> str:
    """What a note says about hard work today, with its reasons in plain words."""
    return f"{READINESS_WORDS[found.answer]}: {'; '.join(found.said)}."


def easy_first_because(one: TodaySession) -> tuple[str, ...]:
    """Why the easy version is offered first; a session that is entered or paused stands as it is."""
    if one.log_id is not None or one.may.is_paused:
        return ()
    worn = one.readiness is not None and one.readiness.answer in (HardDay.EASY_OR_REST, HardDay.NO_TRAINING)
    reasons = (readiness_of(one) if worn else None, one.legs, too_soon_words(one.too_soon) if one.too_soon else None)
    return tuple(words for words in reasons if words is not None)
