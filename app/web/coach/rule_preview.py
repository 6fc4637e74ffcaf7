"""A rule tried with another value on today's morning; nothing is changed by it."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.reasons import DomainError
from app.usecases import practice
from app.usecases.gate import NotYours
from app.usecases.morning.preview import touched
from app.web.coach.morning_words import SIGNAL_WORDS
from app.web.coach.practice_words import setting_line
from app.web.deps import HeadDesk
from app.web.forms import Fields
from app.web.render import render

router = APIRouter()


@router.get("/practice/rules/{setting}/try")
def try_rule(setting: str, desk: HeadDesk) -> Response:
    """How many clients each signal names today, and would name."""
    found = practice.setting(desk.db, name=setting)
    if found is None:
        raise NotYours("There is no such rule.")
    asked = desk.request.query_params.get("value")
    fields = Fields({"value": asked}) if asked is not None else Fields(initial={"value": f"{found.value:g}"})
    value = fields.number("value", lowest=found.card.lowest, highest=found.card.highest, unit=found.card.unit)
    rows = None
    if asked is not None and value is not None:
        try:
            rows = touched(desk.db, actor=desk.person, setting=setting, value=value, now=desk.now)
        except DomainError as refusal:
            fields.refuse("value", str(refusal))
    return render(
        desk,
        "practice/try.html",
        status=422 if asked is not None and fields.errors else 200,
        line=setting_line(found),
        card=found.card,
        fields=fields if asked is not None else Fields(initial={"value": f"{found.value:g}"}),
        rows=rows,
        signal_words=SIGNAL_WORDS,
    )
