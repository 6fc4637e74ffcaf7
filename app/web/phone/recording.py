"""The recording of the client's own session: added, looked at, kept, taken away, saved as a table."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Origin
from app.web import recording_pages as pages
from app.web.deps import PhoneDesk, own_client_id
from app.web.recording_pages import Place
from app.web.recording_upload import AnsweredAhead, TakenAhead

router = APIRouter()

BASE = "/me/done/{log_id}/recording"


def _place(log_id: int) -> Place:
    log = f"/me/done/{log_id}"
    return Place(log_id, f"{log}/recording", log, f"{log}/recording/places", True)


@router.get(BASE)
def show(log_id: int, desk: PhoneDesk, waiting: str = "", table: bool = False) -> Response:
    """What is kept, and the form to add or replace it; what was understood of a file; or a table to save."""
    place = _place(log_id)
    client_id = own_client_id(desk)
    return pages.open_page(desk, place, client_id=client_id, waiting=waiting, table=table)


@router.post(BASE)
def take(log_id: int, taken: TakenAhead, desk: PhoneDesk) -> Response:
    """Take a file in for looking."""
    return pages.take(desk, _place(log_id), taken, client_id=own_client_id(desk))


@router.post(BASE + "/away")
def take_away(log_id: int, desk: PhoneDesk) -> Response:
    """Take it away."""
    return pages.take_away(desk, _place(log_id), client_id=own_client_id(desk))


@router.post(BASE + "/back")
def bring_back(log_id: int, desk: PhoneDesk) -> Response:
    """Let an earlier one stand again."""
    return pages.bring_back(desk, _place(log_id), client_id=own_client_id(desk))


@router.post(BASE + "/places")
def choose_places(log_id: int, desk: PhoneDesk) -> Response:
    """Say whether places are kept."""
    place = _place(log_id)
    pages.page_of(desk, place, client_id=own_client_id(desk))
    return pages.choose_places(desk, place, client_id=own_client_id(desk), origin=Origin.CLIENT)


@router.post(BASE + "/keep")
def answer_or_keep(log_id: int, answered: AnsweredAhead, desk: PhoneDesk) -> Response:
    """Go on with what was answered, or keep it."""
    return pages.answer_or_keep(desk, _place(log_id), answered, client_id=own_client_id(desk))
