"""Heat today: how hot it is at the practice's place, and the hard sessions it reaches."""

from __future__ import annotations

from itertools import pairwise

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.heat import (
    CAUTION,
    HEAT_PROVENANCE,
    HEAT_SOURCE,
    HOT_AND_HUMID_C,
    HOT_C,
    HUMID_PERCENT,
    LOWER_BY_C,
    OLDER_FROM_YEARS,
    TOO_HOT_AND_HUMID_C,
    TOO_HOT_C,
    WBGT_ROWS,
    note_words,
)
from app.coaching.reasons import Refused
from app.coaching.weeks import local_day
from app.usecases import heat as use
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

TEMPERATURE_C = (-30.0, 55.0)
HUMIDITY_PERCENT = (0.0, 100.0)
WBGT_C = (-10.0, 45.0)


@router.get("/heat")
def show(desk: CoachDesk) -> Response:
    """How hot today is, and what it asks of today's hard sessions."""
    return _page(desk, Fields())


@router.post("/heat")
def note(desk: CoachDesk) -> Response:
    """Say how hot today is; the phones say it beside hard sessions at once."""
    fields = Fields(desk.form)
    given = use.HeatGiven(
        fields.number("temperature_c", lowest=TEMPERATURE_C[0], highest=TEMPERATURE_C[1], required=False, unit="°C"),
        fields.number(
            "humidity_percent", lowest=HUMIDITY_PERCENT[0], highest=HUMIDITY_PERCENT[1], required=False, unit="%"
        ),
        fields.number("wbgt_c", lowest=WBGT_C[0], highest=WBGT_C[1], required=False, unit="°C"),
    )
    if fields.errors:
        return _page(desk, fields)
    day = local_day(desk.now, desk.practice.zone)
    try:
        use.note_heat(desk.db, actor=desk.person, day=day, given=given, now=desk.now)
    except Refused as refusal:
        fields.refuse("temperature_c", str(refusal))
        return _page(desk, fields)
    return see_other(desk, "/heat", flash="Kept for today. Phones show it beside hard sessions where it is hot.")


def _page(desk: Desk, fields: Fields) -> Response:
    day = local_day(desk.now, desk.practice.zone)
    found = use.heat_page(desk.db, actor=desk.person, day=day, rules=desk.rules, now=desk.now)
    reached = [line for line in found.lines if line.asks is not None]
    return render(
        desk,
        "heat/page.html",
        status=422 if fields.errors else 200,
        fields=fields,
        day=day,
        said=note_words(found.note) if found.note else None,
        noted_by=found.noted_by or "somebody",
        reached=reached,
        others=[line for line in found.lines if line.asks is None],
        caution=CAUTION,
        rows=_rows(),
        source=f"{HEAT_PROVENANCE.value.capitalize()}. {HEAT_SOURCE}",
        rule=(
            f"Air from {HOT_C:g} °C, or from {HOT_AND_HUMID_C:g} °C with {HUMID_PERCENT:g} % humidity or more; "
            f"nothing hard outdoors from {TOO_HOT_C:g} °C, or from {TOO_HOT_AND_HUMID_C:g} °C when humid. All of it "
            f"{LOWER_BY_C:g} °C lower from {OLDER_FROM_YEARS} on, on water or pressure tablets or a beta-blocker, or "
            "ill in the last two weeks. By wet-bulb globe they move one row down."
        ),
    )


def _rows() -> list[tuple[str, str, str]]:
    """The table's rows in words, the first and the last without one end."""
    uppers = [row.up_to_c for row in WBGT_ROWS]
    spans = [f"up to {uppers[0]:g}"]
    spans += [f"over {low:g}, up to {high:g}" for low, high in pairwise(uppers[:-1])]
    spans.append(f"over {uppers[-2]:g}")
    return [(span, row.not_adapted, row.adapted) for span, row in zip(spans, WBGT_ROWS, strict=True)]
