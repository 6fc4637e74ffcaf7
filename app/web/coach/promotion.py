"""From base to hard work: every condition with its figures, and the coach's decision."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Sex
from app.coaching.phase_moves import Looks, Move
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS
from app.coaching.reasons import Refused, is_reason
from app.coaching.words import counted
from app.usecases import client_particulars
from app.usecases import promoting as use
from app.usecases.gate import NotAllowed
from app.usecases.plan_sessions.astray import AstrayWay, mend_astray, seen_of
from app.web.coach.promotion_views import KIND_WORDS, promotion_view, still_sent
from app.web.deps import CoachDesk, Desk
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

#: Stands for one that would do, to see whether anything else is in the way.
_ANY_REASON = "whatever the coach would write"


@router.get("/clients/{client_id}/promotion")
def page(client_id: int, desk: CoachDesk) -> Response:
    """The conditions, the decisions there are, and the story."""
    return _page(desk, client_id)


@router.post("/clients/{client_id}/promotion")
def decide(client_id: int, desk: CoachDesk) -> Response:
    """Take a decision with its reason."""
    fields = Fields(desk.form)
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not way.may_decide:
        raise NotAllowed("Phases are decided by the client's own coach.")
    move = next((one for one in way.moves if one.key == desk.form.get("move")), None)
    reason = fields.text("reason", most=use.LONGEST_REASON, many_lines=True)
    override = fields.text("override_reason", most=use.LONGEST_REASON, required=False, many_lines=True)
    since = fields.day("since_on", latest=way.today, required=False) or way.today
    wants_end = move is not None and move.has_end_date
    until = fields.day("until_on", earliest=way.today, required=wants_end)
    if move is None:
        fields.refuse("move", "Choose one of the decisions there are now.")
    if fields.errors or move is None or reason is None:
        return _page(desk, client_id, status=422, fields=fields)
    try:
        use.decide(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            kind=move.kind,
            phase=move.phase,
            since_on=since,
            reason=reason,
            override_reason=override,
            now=desk.now,
            until_on=until if move.has_end_date else None,
        )
    except Refused as refusal:
        fields.refuse(_field_of(way, move, override), str(refusal))
        return _page(desk, client_id, status=422, fields=fields)
    becomes = f" {_of_hard_ahead(desk, way, move, fields)}" if way.hard_ahead else ""
    flash = f"{KIND_WORDS[move.kind]}: {PHASE_WORDS[move.phase]}. The evidence is kept with it.{becomes}"
    return see_other(desk, f"/clients/{client_id}/promotion", flash=flash)


@router.post("/clients/{client_id}/promotion/undo")
def undo(client_id: int, desk: CoachDesk) -> Response:
    """Take back today's promotion; it works at once."""
    use.undo_promotion(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    stays = f" {still_sent(len(way.hard_ahead))}" if way.hard_ahead else ""
    flash = f"Taken back. The phase before it is in force again.{stays}"
    return see_other(desk, f"/clients/{client_id}/promotion", flash=flash)


@router.post("/clients/{client_id}/promotion/man")
def record_man(client_id: int, desk: CoachDesk) -> Response:
    """Record that a client is a man, so that the pregnancy answer does not apply."""
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    client_particulars.change_client(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        revision=way.client.revision,
        values={"sex": Sex.MALE},
        now=desk.now,
    )
    flash = f"Recorded: {way.client.name} is a man. The pregnancy answer does not apply."
    return see_other(desk, f"/clients/{client_id}/promotion", flash=flash)


def _of_hard_ahead(desk: Desk, way: use.OnTheWay, move: Move, fields: Fields) -> str:
    """What becomes of hard sessions already sent when a decision ends hard work: made easy with it, or they stay."""
    if move.phase in HARD_WORK_PHASES:
        return ""
    if not fields.yes("ease_ahead"):
        return still_sent(len(way.hard_ahead))
    count = mend_astray(
        desk.db,
        actor=desk.person,
        client_id=way.client.id,
        way=AstrayWay.EASE,
        seen=desk.form.get("seen", ""),
        reason=f"Easy instead: your plan is in {PHASE_WORDS[move.phase]} now.",
        now=desk.now,
    )
    return f"{counted(count, 'hard session')} made easy; the client reads why."


def _field_of(way: use.OnTheWay, move: Move, override: str | None) -> str:
    """Beside which field a refusal stands: the reason to go ahead all the same, when that alone is missing."""
    if move.looks is Looks.NOTHING:
        return "move"
    if way.refusals(move, override if is_reason(override) else _ANY_REASON):
        return ""
    return "reason" if is_reason(override) else "override_reason"


def _page(desk: Desk, client_id: int, *, status: int = 200, fields: Fields | None = None) -> Response:
    way = use.on_the_way(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    view = promotion_view(way)
    typed_step = fields is not None and fields.value("move") in {one.key for one in view.steps}
    empty = Fields(initial={"since_on": way.today, "ease_ahead": "yes"})
    return render(
        desk,
        "promotion/page.html",
        status=status,
        head=way,
        view=view,
        step_fields=fields if fields is not None and typed_step else Fields(),
        blank_fields=Fields(),
        typed_move=fields.value("move") if fields is not None and typed_step else None,
        other_fields=fields if fields is not None and not typed_step else empty,
        seen=seen_of(way.hard_ahead),
        latest=way.today,
        keeping_latest=way.today + use.KEEPING_MOST,
        longest=min(LONG_TEXT, use.LONGEST_REASON),
    )
