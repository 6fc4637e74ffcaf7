"""Requests about a client's data on the coach's side: entered when they come, answered with a day."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.data_requests import LONGEST_WORDS, REQUEST_WORDS, DataRequestKind
from app.coaching.reasons import Refused
from app.usecases import data_requests as use
from app.web.coach.entry import HowKnown, read_origin
from app.web.data_request_form import KIND_OPTIONS, request_view
from app.web.deps import CoachDesk, Desk
from app.web.filters import day
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

CAME_OPTIONS = (
    (HowKnown.FROM_PAPER, "in writing"),
    (HowKnown.TOLD_BY_PHONE, "told by phone"),
    (HowKnown.WAS_THERE, "said to me in person"),
)


@router.get("/clients/{client_id}/requests")
def show(client_id: int, desk: CoachDesk) -> Response:
    """What was asked, and the form for one that came."""
    return _page(desk, client_id, Fields(initial={"origin": HowKnown.FROM_PAPER, "asked_on": desk.today}))


@router.post("/clients/{client_id}/requests")
def record(client_id: int, desk: CoachDesk) -> Response:
    """Keep one that came."""
    fields = Fields(desk.form)
    kind, origin = fields.choice("kind", DataRequestKind), read_origin(fields)
    asked_on = fields.day("asked_on")
    text = fields.text("text", most=LONGEST_WORDS, required=False, many_lines=True)
    if not fields.errors and kind and origin and asked_on:
        try:
            use.record(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                kind=kind,
                asked_on=asked_on,
                text=text,
                origin=origin,
                now=desk.now,
            )
        except Refused as problem:
            fields.refuse("asked_on", str(problem))
    if fields.errors:
        return _page(desk, client_id, fields, status=422)
    return see_other(desk, _address(client_id), flash="Kept. It stands in the morning until it is answered.")


@router.get("/clients/{client_id}/requests/{request_id}/done")
def show_done(client_id: int, request_id: int, desk: CoachDesk) -> Response:
    """The form that says it was answered."""
    return _done_page(desk, client_id, request_id, Fields(initial={"done_on": desk.today}))


@router.post("/clients/{client_id}/requests/{request_id}/done")
def done(client_id: int, request_id: int, desk: CoachDesk) -> Response:
    """Keep the day of the answer, and what it was."""
    fields = Fields(desk.form)
    done_on = fields.day("done_on")
    how = fields.text("how", most=LONGEST_WORDS, many_lines=True)
    if done_on is not None and how is not None:
        try:
            use.answer(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                request_id=request_id,
                done_on=done_on,
                how=how,
                now=desk.now,
            )
        except Refused as problem:
            fields.refuse("done_on", str(problem))
    if fields.errors or done_on is None:
        return _done_page(desk, client_id, request_id, fields, status=422)
    return see_other(desk, _address(client_id), flash=f"Answered on {day(done_on)}.")


@router.post("/clients/{client_id}/requests/{request_id}/open")
def open_again(client_id: int, request_id: int, desk: CoachDesk) -> Response:
    """It was not answered after all."""
    use.open_again(desk.db, actor=desk.person, client_id=client_id, request_id=request_id, now=desk.now)
    return see_other(desk, _address(client_id), flash="It waits again; its month goes on from the day it was asked.")


@router.post("/clients/{client_id}/requests/{request_id}/back")
def take_back(client_id: int, request_id: int, desk: CoachDesk) -> Response:
    """It was entered by mistake, or the client took it back."""
    use.take_back(desk.db, actor=desk.person, client_id=client_id, request_id=request_id, now=desk.now)
    return see_other(desk, _address(client_id), flash="Taken back; it stays on record as such.")


def _address(client_id: int) -> str:
    return f"/clients/{client_id}/requests"


def _page(desk: Desk, client_id: int, fields: Fields, *, status: int = 200) -> Response:
    found = use.requests_of(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return render(
        desk,
        "client/requests.html",
        part="client/_requests.html",
        status=status,
        client=found.client,
        requests=[request_view(one) for one in found.requests],
        may_answer=found.may_answer,
        may_answer_erasure=found.may_answer_erasure,
        today=found.today,
        kinds=KIND_OPTIONS,
        came=CAME_OPTIONS,
        longest=LONGEST_WORDS,
        fields=fields,
    )


def _done_page(desk: Desk, client_id: int, request_id: int, fields: Fields, *, status: int = 200) -> Response:
    client, request = use.open_request(
        desk.db, actor=desk.person, client_id=client_id, request_id=request_id, now=desk.now
    )
    return render(
        desk,
        "client/request_done.html",
        status=status,
        client=client,
        request=request_view(request),
        what=REQUEST_WORDS[request.kind],
        asked_on=request.asked_on,
        today=desk.today,
        longest=LONGEST_WORDS,
        fields=fields,
    )
