"""The conversation sheet of a client, on the screen and on paper."""

from __future__ import annotations

from zoneinfo import ZoneInfo

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.conversation import told_words
from app.usecases.conversation import conversation
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()


@router.get("/clients/{client_id}/conversation")
def sheet(client_id: int, desk: CoachDesk) -> Response:
    """What to know and to ask before a talk."""
    return _sheet(desk, client_id, "conversation/page.html")


@router.get("/clients/{client_id}/conversation/print")
def sheet_print(client_id: int, desk: CoachDesk) -> Response:
    """The same on one sheet of paper, with room to write."""
    return _sheet(desk, client_id, "conversation/print.html")


def _sheet(desk: CoachDesk, client_id: int, template: str) -> Response:
    found = conversation(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    note = found.sheet.last_note
    return render(
        desk,
        template,
        client=found.client,
        sheet=found.sheet,
        note_on=note.written_at.astimezone(ZoneInfo(found.client.zone)).date() if note else None,
        weeks_told=[(told_words(one), one.text) for one in found.sheet.check_ins],
    )
