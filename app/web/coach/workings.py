"""Workings: everything the desk computes and stops by, searchable, and every formula to be tried."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.typed_values import clean_text
from app.web.coach.workings_trial import LONGEST_VALUE, trial
from app.web.deps import CoachDesk
from app.web.render import render
from app.workings import catalogue, search

router = APIRouter()

LONGEST_SEARCH = 100


@router.get("/workings")
def show(desk: CoachDesk) -> Response:
    """The catalogue, or what of it holds the words asked for; one formula may be tried in its row."""
    asked = {name: clean_text(text) for name, text in desk.request.query_params.items()}
    words = asked.get("q", "")[:LONGEST_SEARCH]
    everything = catalogue(desk.rules, desk.today)
    found = search(everything, words) if words else everything
    return render(
        desk,
        "workings/page.html",
        words=words,
        sections=found,
        count=sum(len(one.entries) for one in found),
        everything=sum(len(one.entries) for one in everything),
        longest=LONGEST_SEARCH,
        longest_value=LONGEST_VALUE,
        trial=trial(asked.get("formula", ""), asked, desk.today),
    )
