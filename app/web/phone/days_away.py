"""Days away, told by the client: I am ill, I travel, I missed days; the coach decides what the plan becomes."""

from __future__ import annotations

from collections.abc import Sequence

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.client_voice import hold_line, holds_told
from app.coaching.people import Origin
from app.coaching.reasons import Refused
from app.usecases.plan_sessions import days_away as use
from app.web.days_away_form import choices, illness_kept, read_telling, told_view
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.phone.seen import note_holds_seen
from app.web.render import render, see_other

router = APIRouter()


@router.get("/me/days-away")
def show(desk: PhoneDesk) -> Response:
    """The three ways, and what was told before."""
    return _page(desk, Fields())


@router.post("/me/days-away")
def tell(desk: PhoneDesk) -> Response:
    """Keep what is told; nothing of the plan changes by it, but illness pauses at once."""
    fields = Fields(desk.form)
    telling = read_telling(fields)
    if telling is None:
        return _refused(desk, fields)
    try:
        _away_id, hold_ids = use.tell(
            desk.db,
            actor=desk.person,
            client_id=own_client_id(desk),
            telling=telling,
            origin=Origin.CLIENT,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("from_on", str(refusal))
        return _refused(desk, fields)
    paused = "Training is paused now; read below what and until when. " if hold_ids else ""
    return see_other(desk, "/me/days-away", flash=f"Told. {paused}Your coach decides what the plan becomes.")


@router.post("/me/days-away/{away_id}/back")
def take_back(desk: PhoneDesk, away_id: int) -> Response:
    """It was a mistake, or it came otherwise."""
    use.take_back(desk.db, actor=desk.person, client_id=own_client_id(desk), away_id=away_id, now=desk.now)
    return see_other(desk, "/me/days-away", flash="Taken back.")


def _refused(desk: Desk, fields: Fields) -> Response:
    """The form with what was typed; an illness in it pauses at once all the same."""
    ill = illness_kept(desk, own_client_id(desk), fields)
    return _page(desk, fields, status=422, ill_kept=[hold_line(one) for one in holds_told(ill)])


def _page(desk: Desk, fields: Fields, status: int = 200, ill_kept: Sequence[str] = ()) -> Response:
    found = use.days_away(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)
    note_holds_seen(desk, found.open_holds)
    return render(
        desk,
        "phone/days_away.html",
        part="phone/_days_away_form.html",
        status=status,
        fields=fields,
        action="/me/days-away",
        is_by_coach=False,
        choices=choices(is_by_coach=False),
        ill_kept=ill_kept,
        told=[told_view(one) for one in found.told],
        holds=[hold_line(one) for one in holds_told(found.open_holds)],
    )
