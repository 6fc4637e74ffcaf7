"""A week that was told to the coach, by telephone or on paper."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.check_ins import said_in
from app.coaching.reasons import Refused
from app.usecases import check_ins
from app.web.check_in_form import choices, read_told
from app.web.coach.entry import read_origin
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()


@router.get("/clients/{client_id}/entry/check-in")
def show(client_id: int, desk: CoachDesk) -> Response:
    """The questions about the week."""
    return _page(desk, client_id, Fields())


@router.post("/clients/{client_id}/entry/check-in")
def tell(client_id: int, desk: CoachDesk) -> Response:
    """Keep what the client told."""
    fields = Fields(desk.form)
    origin, told = read_origin(fields), read_told(fields)
    if told is None or origin is None:
        return _page(desk, client_id, fields, status=422)
    try:
        _id, holds = check_ins.keep(
            desk.db, actor=desk.person, client_id=client_id, told=told, origin=origin, now=desk.now
        )
    except Refused as refusal:
        fields.refuse("felt", str(refusal))
        return _page(desk, client_id, fields, status=422)
    paused = " Training is paused at once." if holds else ""
    return see_other(desk, f"/clients/{client_id}/conversation", flash=f"The week is kept.{paused}")


def _page(desk: Desk, client_id: int, fields: Fields, status: int = 200) -> Response:
    found = check_ins.page(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return render(
        desk,
        "entry/check_in.html",
        part="phone/_check_in_form.html",
        status=status,
        client=found.client,
        week_on=found.week_on,
        week_ends_on=found.week_on + timedelta(days=6) if found.week_on else None,
        told=said_in(found.told) if found.told else (),
        fields=fields,
        action=f"/clients/{client_id}/entry/check-in",
        is_by_coach=True,
        choices=choices(),
    )
