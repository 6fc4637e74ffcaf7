"""What is done about today's session from its line in the morning: eased, moved, or swapped with another day's."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.move_days import MoveDay
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.reasons import Refused, StaleEdit
from app.usecases import plan_today
from app.usecases.gate import NotYours
from app.usecases.morning.lines import Standing
from app.usecases.plan_sessions import swapping
from app.usecases.plan_sessions.swapping import Swap
from app.web.coach.morning_forms import HIGHEST_ID, HOME, LONGEST_REASON, asked_line, sent_line, small_form
from app.web.coach.morning_words import EASED_ANYHOW, EASED_BECAUSE
from app.web.coach.move_views import MoveView, move_view
from app.web.coach.swap_views import swap_view
from app.web.deps import AskedId, CoachDesk, Desk
from app.web.filters import day
from app.web.forms import Fields
from app.web.render import see_other

router = APIRouter()

MOVED_BECAUSE = "Moved this morning, to come to it rested."
SWAPPED_BECAUSE = "Swapped this morning, to come to it rested."


@router.get("/morning/{client_id}/ease")
def ease(client_id: int, desk: CoachDesk) -> Response:
    """The small form that makes today's session easy."""
    line = asked_line(desk, client_id)
    if line.session is None:
        raise StaleEdit("There is no middle or hard session of today left to make easy.")
    reason = EASED_BECAUSE.get(line.signal.name if line.signal else "", EASED_ANYHOW)
    return small_form(desk, line, "ease", Fields(initial={"reason": reason, "planned_session_id": line.session.id}))


@router.post("/morning/{client_id}/ease")
def keep_ease(client_id: int, desk: CoachDesk) -> Response:
    """Publish the easy version of today's session."""
    line = sent_line(desk, client_id)
    fields = Fields(desk.form)
    session_id = fields.whole("planned_session_id", lowest=1, highest=HIGHEST_ID)
    reason = fields.text("reason", most=LONGEST_REASON)
    if session_id is None or reason is None:
        return small_form(desk, line, "ease", fields, status=422)
    plan_today.ease_today(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        planned_session_id=session_id,
        reason=reason,
        now=desk.now,
    )
    return see_other(desk, HOME, flash=f"{line.client.name} has the easy version on Today now, with the reason.")


@router.get("/morning/{client_id}/move")
def move(client_id: int, desk: CoachDesk) -> Response:
    """The small form that moves today's session."""
    line = asked_line(desk, client_id)
    if line.session is None:
        raise StaleEdit("There is no middle or hard session of today left to move.")
    days = _days(desk, client_id, line.session.id)
    # A day that holds something already is chosen, never only confirmed.
    initial = {"reason": MOVED_BECAUSE, "planned_session_id": line.session.id}
    free = {} if days[0].stands else {"to_on": days[0].on}
    return small_form(desk, line, "move", Fields(initial=initial | free), move=move_view(days))


@router.post("/morning/{client_id}/move")
def keep_move(client_id: int, desk: CoachDesk) -> Response:
    """Move today's session to another day; the client sees it at once."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    session_id = fields.whole("planned_session_id", lowest=1, highest=HIGHEST_ID)
    to_on = fields.day("to_on", earliest=line.today)
    reason = fields.text("reason", most=LONGEST_REASON)
    despite = fields.text("despite", most=LONGEST_REASON, required=False)
    if session_id is None or to_on is None or reason is None or fields.errors:
        return small_form(desk, line, "move", fields, move=_days_again(desk, client_id, session_id), status=422)
    try:
        moved = plan_today.move_session(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            planned_session_id=session_id,
            to_on=to_on,
            reason=reason,
            despite=despite or "",
            now=desk.now,
        )
    except ReasonNeeded as problem:
        sentences = " ".join(breach.sentence for breach in problem.found)
        fields.refuse("despite", f"{sentences} Say why even so, or choose another day.")
    except Refused as problem:
        fields.refuse("to_on", str(problem))
    if fields.errors:
        return small_form(desk, line, "move", fields, move=_days_again(desk, client_id, session_id), status=422)
    return see_other(desk, HOME, flash=f"{line.client.name}'s session is on {day(to_on)} now{moved.also_there}.")


@router.get("/morning/{client_id}/swap")
def swap(client_id: int, desk: CoachDesk, session: AskedId = None) -> Response:
    """The small form that exchanges today's session with one of the coming days."""
    line = asked_line(desk, client_id)
    session_id = session or (line.session.id if line.session else None)
    if session_id is None:
        raise StaleEdit("There is no session of today left to swap.")
    found = _look(desk, client_id, session_id)
    # Only what waits for a fresher day is come to rested.
    because = SWAPPED_BECAUSE if is_hard_or_middle(found.session) else ""
    return _swap_form(desk, line, found, Fields(initial={"reason": because}))


@router.post("/morning/{client_id}/swap")
def keep_swap(client_id: int, desk: CoachDesk) -> Response:
    """Exchange both; the client sees it at once."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    session_id = fields.whole("planned_session_id", lowest=1, highest=HIGHEST_ID) or 0
    found = _look(desk, client_id, session_id)
    other_id = fields.whole("other_id", lowest=1, highest=HIGHEST_ID)
    reason = fields.text("reason", most=LONGEST_REASON)
    despite = fields.text("despite", most=LONGEST_REASON, required=False)
    if other_id is None or reason is None or fields.errors:
        return _swap_form(desk, line, found, fields, status=422)
    try:
        chosen = swapping.swap(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            planned_session_id=session_id,
            other_id=other_id,
            seen=desk.form.get(f"seen{other_id}", ""),
            reason=reason,
            reason_of_other=f"Changed places with “{found.session.title}”." if reason == SWAPPED_BECAUSE else reason,
            despite=despite or "",
            rules=desk.rules,
            now=desk.now,
        )
    except ReasonNeeded as problem:
        sentences = " ".join(breach.sentence for breach in problem.found)
        fields.refuse("despite", f"{sentences} Say why even so, or choose another session.")
    except (Refused, StaleEdit) as problem:
        fields.refuse("other_id", str(problem))
    if fields.errors:
        return _swap_form(desk, line, found, fields, status=422)
    other = chosen.session
    said = f"{line.client.name} has “{other.title}” today, and “{found.session.title}” on {day(other.planned_on)}."
    return see_other(desk, HOME, flash=said)


@router.post("/swapped/undo")
def take_swap_back(desk: CoachDesk, of: AskedId = None) -> Response:
    """Put both sessions of one exchange back."""
    swapping.take_swap_back(
        desk.db, actor=desk.person, entry_id=of or 0, zone=desk.zone, rules=desk.rules, now=desk.now
    )
    return see_other(desk, HOME, flash="Both sessions are back on their days; the client sees it at once.")


def _look(desk: Desk, client_id: int, session_id: int) -> Swap:
    return swapping.look_at_swap(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        planned_session_id=session_id,
        rules=desk.rules,
        now=desk.now,
    )


def _swap_form(desk: Desk, line: Standing, found: Swap, fields: Fields, *, status: int = 200) -> Response:
    return small_form(desk, line, "swap", fields, swap=swap_view(found), status=status)


def _days(desk: Desk, client_id: int, session_id: int) -> tuple[MoveDay, ...]:
    return plan_today.suggest_days(
        desk.db, actor=desk.person, client_id=client_id, planned_session_id=session_id, now=desk.now
    )


def _days_again(desk: Desk, client_id: int, session_id: int | None) -> MoveView | None:
    """The days proposed beside a refusal; None when the session itself cannot be moved any more."""
    try:
        return move_view(_days(desk, client_id, session_id)) if session_id else None
    except (Refused, NotYours):
        return None
