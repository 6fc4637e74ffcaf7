"""The papers to chase: one line a client, the oldest wait first."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.clearance_chase import CHASE_AFTER_DAYS, Wanting
from app.coaching.signals_papers import ENDING_DAYS
from app.usecases.clearance_chase import papers_to_chase
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()

HEADS = {
    Wanting.REFUSED: "Refused",
    Wanting.NOT_ASKED: "Needed, not asked for",
    Wanting.WAITING: "Waiting for an answer",
    Wanting.RUN_OUT: "Run out",
    Wanting.ENDING: "Ending soon",
}


@router.get("/clearances")
def page(desk: CoachDesk) -> Response:
    """Whose paper is missing, waited for, refused or about to run out."""
    lines = papers_to_chase(desk.db, actor=desk.person, today=desk.today, rules=desk.rules, now=desk.now)
    groups = [(HEADS[word], [one for one in lines if one.wanting is word]) for word in Wanting]
    return render(
        desk,
        "safety/chase.html",
        groups=[(head, found) for head, found in groups if found],
        chase_after=CHASE_AFTER_DAYS,
        renew_within=ENDING_DAYS,
    )
