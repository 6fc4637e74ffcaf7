"""What comes next in a client's hard sessions, and the one click that writes it into the next one."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.next_step import Dimension
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.reasons import Refused, Why
from app.coaching.target_words import short_target
from app.coaching.words import duration_words
from app.usecases.plan_sessions import next_step as use
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.usecases.plan_sessions.next_step import NextStepPage
from app.web.deps import CoachDesk, Desk
from app.web.filters import day
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()


@dataclass(frozen=True, slots=True)
class NextStepView:
    """The proposal, ready to print."""

    sentence: str
    beside: tuple[str, ...]
    #: What the click would write: "4 × 4 min, 266 W"; "" when there is nothing to write.
    writes: str
    #: The session it is for; "" without one.
    session: str
    session_id: int
    version: int
    may_take: bool
    is_there_already: bool
    #: Where the phase is decided, when that is what changes; "" otherwise.
    decision_address: str
    why: Why


@router.get("/clients/{client_id}/next-step")
def next_step_page(desk: CoachDesk, client_id: int) -> Response:
    """The proposal on a page of its own."""
    return _page(desk, client_id, Fields(initial={}), status=200)


@router.post("/plan/sessions/{planned_session_id}/next-step")
def take_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Write the proposal into the next hard session, as a draft."""
    fields = Fields(desk.form)
    version = fields.whole("version", lowest=1, highest=100_000)
    client_id = use.client_of(desk.db, actor=desk.person, planned_session_id=planned_session_id, now=desk.now)
    if version is None:
        return _page(desk, client_id, fields, status=422)
    try:
        changed = use.take_step(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            rules=desk.rules,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        fields.refuse("", str(stale))
        return _page(desk, client_id, fields, status=409)
    except Refused as refusal:
        fields.refuse("", str(refusal))
        return _page(desk, client_id, fields, status=422)
    said = f"{day(changed.planned_on)} says it now, as a draft: {changed.title}. Look over and publish it."
    return see_other(desk, f"/plan/sessions/{planned_session_id}", flash=said)


def next_step_view(desk: Desk, client_id: int, phase: Phase | None) -> NextStepView | None:
    """The proposal for a page of the plan; None in phases without hard work."""
    if phase not in HARD_WORK_PHASES:
        return None
    return _view(use.open_next_step(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now))


def _page(desk: Desk, client_id: int, fields: Fields, *, status: int) -> Response:
    page = use.open_next_step(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return render(
        desk, "plan/next_step.html", status=status, client=page.client, next_step=_view(page), fields=fields
    )


def _view(page: NextStepPage) -> NextStepView:
    session, asks = page.session, page.step.asks
    writes = ""
    if asks is not None:
        target = "" if asks.target is None else f", {short_target(asks.target, asks.work_s)}"
        work, rest = duration_words(asks.work_s), duration_words(asks.recovery_s)
        writes = f"{asks.rounds} × {work}, {rest} off{target}"
    return NextStepView(
        sentence=page.step.sentence,
        beside=page.step.beside,
        writes=writes,
        session="" if session is None else f"{session.title}, {day(session.planned_on)}",
        session_id=0 if session is None else session.id,
        version=0 if session is None else session.version,
        may_take=page.may_take,
        is_there_already=session is not None and asks is not None and not page.differs,
        decision_address=f"/clients/{page.client.id}/promotion" if page.step.dimension is Dimension.PHASE else "",
        why=page.step.why,
    )
