"""What is kept about me: a client asks for a copy, a correction or erasure, and sees how it stands."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.data_requests import LONGEST_WORDS, DataRequestKind
from app.coaching.people import Origin
from app.coaching.reasons import Refused
from app.usecases import data_requests as use
from app.web.data_request_form import KIND_OPTIONS, request_view
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

HERE = "/me/my-data"


@router.get("/me/my-data")
def show(desk: PhoneDesk) -> Response:
    """What may be asked, and what was."""
    return _page(desk, Fields())


@router.post("/me/my-data")
def ask(desk: PhoneDesk) -> Response:
    """Keep a request as of today."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", DataRequestKind)
    text = fields.text("text", most=LONGEST_WORDS, required=False, many_lines=True)
    if kind is not None and not fields.errors:
        client_id = own_client_id(desk)
        found = use.requests_of(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
        try:
            use.record(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                kind=kind,
                asked_on=found.today,
                text=text,
                origin=Origin.CLIENT,
                now=desk.now,
            )
        except Refused as problem:
            fields.refuse("kind", str(problem))
    if fields.errors:
        return _page(desk, fields, status=422)
    return see_other(desk, HERE, flash="Your coach has it. The answer comes within one month.")


@router.post("/me/my-data/{request_id}/back")
def take_back(desk: PhoneDesk, request_id: int) -> Response:
    """It was a mistake."""
    use.take_back(desk.db, actor=desk.person, client_id=own_client_id(desk), request_id=request_id, now=desk.now)
    return see_other(desk, HERE, flash="Taken back.")


def _page(desk: Desk, fields: Fields, *, status: int = 200) -> Response:
    found = use.requests_of(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)
    return render(
        desk,
        "phone/my_data.html",
        part="phone/_my_data_form.html",
        status=status,
        requests=[request_view(one) for one in found.requests],
        kinds=KIND_OPTIONS,
        longest=LONGEST_WORDS,
        fields=fields,
    )
