"""The recording of a client's session on the coach's side: added, looked at, kept, taken away, saved as a table."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Origin
from app.web import recording_pages as pages
from app.web.deps import CoachDesk
from app.web.forms import Fields
from app.web.recording_pages import Place
from app.web.recording_upload import AnsweredAhead, TakenAhead

router = APIRouter()

BASE = "/clients/{client_id}/sessions/{log_id}/recording"


def _place(client_id: int, log_id: int) -> Place:
    log = f"/clients/{client_id}/sessions/{log_id}"
    return Place(log_id, f"{log}/recording", log, f"/clients/{client_id}/sessions/{log_id}/recording/places", False)


@router.get(BASE)
def show(client_id: int, log_id: int, desk: CoachDesk, waiting: str = "", table: bool = False) -> Response:
    """What is kept, and the form to add or replace it; what was understood of a file; or a table to save."""
    place = _place(client_id, log_id)
    return pages.open_page(desk, place, client_id=client_id, waiting=waiting, table=table)


@router.post(BASE)
def take(client_id: int, log_id: int, taken: TakenAhead, desk: CoachDesk) -> Response:
    """Take a file in for looking."""
    return pages.take(desk, _place(client_id, log_id), taken, client_id=client_id)


@router.post(BASE + "/away")
def take_away(client_id: int, log_id: int, desk: CoachDesk) -> Response:
    """Take it away."""
    return pages.take_away(desk, _place(client_id, log_id), client_id=client_id)


@router.post(BASE + "/back")
def bring_back(client_id: int, log_id: int, desk: CoachDesk) -> Response:
    """Let an earlier one stand again."""
    return pages.bring_back(desk, _place(client_id, log_id), client_id=client_id)


@router.post(BASE + "/places")
def choose_places(client_id: int, log_id: int, desk: CoachDesk) -> Response:
    """Write down what the client said about places."""
    place, fields = _place(client_id, log_id), Fields(desk.form)
    found = pages.page_of(desk, place, client_id=client_id)
    origin = fields.choice("origin", Origin, required=False)
    if origin is None:
        fields.refuse("origin", "Say how you know what the client wants.")
        return pages.ask_how_known(desk, place, found, fields)
    return pages.choose_places(desk, place, client_id=client_id, origin=origin)


@router.post(BASE + "/keep")
def answer_or_keep(client_id: int, log_id: int, answered: AnsweredAhead, desk: CoachDesk) -> Response:
    """Go on with what was answered, or keep it."""
    return pages.answer_or_keep(desk, _place(client_id, log_id), answered, client_id=client_id)
