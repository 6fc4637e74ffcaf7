"""The stand-in's sheet: on the screen and on paper."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.usecases.handed_over import handed_over
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()


@router.get("/handed-over")
def sheet(desk: CoachDesk) -> Response:
    """Who was handed over, until when, and what is open."""
    return _sheet(desk, "practice/handed_over.html")


@router.get("/handed-over/print")
def sheet_print(desk: CoachDesk) -> Response:
    """The same on paper."""
    return _sheet(desk, "practice/handed_over_print.html")


def _sheet(desk: CoachDesk, template: str) -> Response:
    found = handed_over(desk.db, actor=desk.person, rules=desk.rules, today=desk.today, now=desk.now)
    return render(desk, template, handed=found)
