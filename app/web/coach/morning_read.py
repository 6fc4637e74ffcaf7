"""What clients entered, marked as read."""

from __future__ import annotations

from datetime import UTC, datetime

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.reasons import Refused
from app.usecases.morning.reading import mark_entries_read
from app.web.deps import CoachDesk
from app.web.render import see_other

router = APIRouter()


@router.post("/morning/read")
def mark(desk: CoachDesk) -> Response:
    """Everything up to what was shown is read; what came meanwhile is not."""
    mark_entries_read(desk.db, actor=desk.person, until_at=_instant(desk.form.get("until", "")), now=desk.now)
    return see_other(desk, "/morning", flash="Read. What comes in from now on stands here next time.")


def _instant(text: str) -> datetime:
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        raise Refused("The page was not understood; open the morning again.") from None
    return found if found.tzinfo else found.replace(tzinfo=UTC)
