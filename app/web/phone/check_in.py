"""My week: six short questions, once a week."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.check_ins import FallTold, said_in
from app.coaching.people import Origin
from app.coaching.reasons import Refused
from app.usecases import check_ins
from app.web.check_in_form import choices, read_told
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()


@router.get("/me/check-in")
def show(desk: PhoneDesk) -> Response:
    """The questions about the week, or what was told of it."""
    return _page(desk, Fields())


@router.post("/me/check-in")
def tell(desk: PhoneDesk) -> Response:
    """Keep what is told; a changed medicine or a fall pauses at once."""
    fields = Fields(desk.form)
    told = read_told(fields)
    if told is None:
        return _page(desk, fields, status=422)
    try:
        _id, holds = check_ins.keep(
            desk.db,
            actor=desk.person,
            client_id=own_client_id(desk),
            told=told,
            origin=Origin.CLIENT,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("felt", str(refusal))
        return _page(desk, fields, status=422)
    if told.fall is not FallTold.NO:
        return see_other(desk, f"/me/felt-wrong/{holds[-1]}", flash="Told. Read what to do now.")
    paused = " Hard work is paused: Today says what and until when." if holds else ""
    return see_other(desk, "/me/check-in", flash=f"Told. Thank you.{paused}")


def _page(desk: Desk, fields: Fields, status: int = 200) -> Response:
    found = check_ins.page(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)
    return render(
        desk,
        "phone/check_in.html",
        part="phone/_check_in_form.html",
        status=status,
        week_on=found.week_on,
        week_ends_on=found.week_on + timedelta(days=6) if found.week_on else None,
        told=said_in(found.told) if found.told else (),
        fields=fields,
        action="/me/check-in",
        is_by_coach=False,
        choices=choices(),
    )
