"""The practice's hills: the list and its print, adding one, changing it, taking it out of use and back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.hills import (
    GENTLEST_FRACTION,
    LONGEST_HILL_M,
    LONGEST_NAME,
    LONGEST_NOTE,
    SHORTEST_HILL_M,
    STEEPEST_FRACTION,
    SURFACE_WORDS,
    Hill,
    Surface,
)
from app.coaching.reasons import StaleEdit
from app.usecases import hills as use
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

SURFACE_OPTIONS = [(one.value, words) for one, words in SURFACE_WORDS.items()]
USES = [("for_riding", "riding"), ("for_running", "running"), ("for_walking", "walking")]
_MOST_REVISIONS = 10**9
#: Grade and height of one hill agree when they lie no further apart than this (house choice).
AGREES_FRACTION = 0.10


@router.get("/hills")
def hills_page(desk: CoachDesk) -> Response:
    """Every hill, and the form that adds one."""
    return _list(desk, Fields(initial={"surface": Surface.ORDINARY, "has_room_to_turn": True}), status=200)


@router.post("/hills")
def add_form(desk: CoachDesk) -> Response:
    """Add a hill."""
    use.require_planner(desk.person)
    fields = Fields(desk.form)
    values = _read(fields)
    if values is None:
        return _list(desk, fields, status=422)
    hill_id, problem = use.add_hill(desk.db, actor=desk.person, values=values, now=desk.now)
    if hill_id is None:
        fields.refuse("name", problem)
        return _list(desk, fields, status=422)
    return see_other(desk, "/hills", flash=f"{values['name']} is on the list.")


@router.get("/practice/hills/print")
def print_page(desk: CoachDesk) -> Response:
    """The list on paper."""
    return render(desk, "hills/print.html", hills=[_line(one) for one in use.every_hill(desk.db).in_use])


@router.get("/hills/{hill_id}")
def hill_page(desk: CoachDesk, hill_id: int) -> Response:
    """One hill."""
    page = use.open_hill(desk.db, actor=desk.person, hill_id=hill_id, now=desk.now)
    return _one(desk, page, Fields(initial=_initial(page.hill)), revision=page.hill.revision, status=200)


@router.post("/hills/{hill_id}")
def change_form(desk: CoachDesk, hill_id: int) -> Response:
    """Change what is said of it."""
    use.require_planner(desk.person)
    page = use.open_hill(desk.db, actor=desk.person, hill_id=hill_id, now=desk.now)
    fields = Fields(desk.form)
    values = _read(fields)
    revision = fields.whole("revision", lowest=1, highest=_MOST_REVISIONS)
    if values is None or revision is None:
        return _one(desk, page, fields, revision=revision or page.hill.revision, status=422)
    try:
        problem = use.change_hill(
            desk.db, actor=desk.person, hill_id=hill_id, revision=revision, values=values, now=desk.now
        )
    except StaleEdit as stale:
        fields.refuse("name", f"{stale} It stands above as it is now; send again to keep yours.")
        return _one(desk, page, fields, revision=page.hill.revision, status=409)
    if problem:
        fields.refuse("name", problem)
        return _one(desk, page, fields, revision=revision, status=422)
    return see_other(desk, "/hills", flash=f"Kept: {values['name']}.")


@router.post("/hills/{hill_id}/retire")
def retire_form(desk: CoachDesk, hill_id: int) -> Response:
    """Take it out of use; phones say so where it is planned."""
    name = use.retire_hill(desk.db, actor=desk.person, hill_id=hill_id, now=desk.now)
    return see_other(desk, f"/hills/{hill_id}", flash=f"{name} is out of use. Plans that name it say so.")


@router.post("/hills/{hill_id}/restore")
def restore_form(desk: CoachDesk, hill_id: int) -> Response:
    """Take it back into use."""
    name = use.restore_hill(desk.db, actor=desk.person, hill_id=hill_id, now=desk.now)
    return see_other(desk, f"/hills/{hill_id}", flash=f"{name} is in use again.")


def _read(fields: Fields) -> dict[str, Any] | None:
    """What was typed of a hill; the grade may be given as the height climbed instead."""
    values: dict[str, Any] = {
        "name": fields.text("name", most=LONGEST_NAME),
        "length_m": fields.number("length_m", lowest=SHORTEST_HILL_M, highest=LONGEST_HILL_M, unit="m"),
    }
    values["slope_fraction"] = _slope(fields, values["length_m"])
    values["surface"] = fields.choice("surface", Surface)
    values |= {name: fields.yes(name) for name in ("has_room_to_turn", "is_exposed", "is_lit")}
    values |= {name: fields.yes(name) for name, _words in USES}
    values["note"] = fields.text("note", most=LONGEST_NOTE, required=False, many_lines=True)
    if not any(values[name] for name, _words in USES):
        fields.refuse(USES[0][0], "Tick at least one: riding, running or walking.")
    return None if fields.errors else values


def _slope(fields: Fields, length_m: float | None) -> float | None:
    low, high = 100 * GENTLEST_FRACTION, 100 * STEEPEST_FRACTION
    percent = fields.number("slope_percent", lowest=low, highest=high, required=False, unit="%")
    climb_m = fields.number("climb_m", lowest=0.1, highest=LONGEST_HILL_M, required=False, unit="m")
    if percent is not None:
        if climb_m is not None and length_m is not None:
            _refuse_apart(fields, length_m, percent, climb_m)
        return percent / 100
    if climb_m is None:
        if fields.error("slope_percent") is None and fields.error("climb_m") is None:
            fields.refuse("slope_percent", "Give the grade, or the height climbed.")
        return None
    if length_m is None:
        return None
    fraction = climb_m / length_m
    if not GENTLEST_FRACTION <= fraction <= STEEPEST_FRACTION:
        fields.refuse("climb_m", f"That makes {100 * fraction:.1f} %; a hill here has {low:g} to {high:g} %.")
        return None
    return fraction


def _refuse_apart(fields: Fields, length_m: float, percent: float, climb_m: float) -> None:
    """Refuse a height that does not agree with length and grade, so that neither is dropped in silence."""
    said_m = length_m * percent / 100
    if abs(climb_m - said_m) > AGREES_FRACTION * said_m:
        fields.refuse(
            "climb_m",
            f"{length_m:g} m at {percent:g} % climb about {said_m:.0f} m, not {climb_m:g}. Mend one of the three, or "
            "leave the grade or the height empty.",
        )


def _initial(hill: Hill) -> dict[str, object]:
    names = ("name", "surface", "has_room_to_turn", "is_exposed", "is_lit", "note")
    figures = {
        "length_m": f"{hill.length_m:g}",
        "slope_percent": f"{100 * hill.slope_fraction:.2f}".rstrip("0").rstrip("."),
    }
    return {name: getattr(hill, name) for name in names} | {name: getattr(hill, name) for name, _ in USES} | figures


def _line(hill: Hill) -> Mapping[str, object]:
    """One row of the list, in words."""
    return {
        "id": hill.id,
        "name": hill.name,
        "length_m": f"{hill.length_m:.0f}",
        "grade": f"{100 * hill.slope_fraction:.1f}",
        "surface": SURFACE_WORDS[hill.surface],
        "uses": ", ".join(words for name, words in USES if getattr(hill, name)),
        "turn": "yes" if hill.has_room_to_turn else "no",
        "wind": "open" if hill.is_exposed else "sheltered",
        "light": "lamps" if hill.is_lit else "daylight only",
        "note": hill.note,
    }


def _list(desk: Desk, fields: Fields, *, status: int) -> Response:
    found = use.every_hill(desk.db)
    return render(
        desk,
        "hills/page.html",
        status=status,
        fields=fields,
        in_use=[_line(one) for one in found.in_use],
        retired=[_line(one) for one in found.retired],
        may_plan=use.may_plan(desk.person),
        **_OPTIONS,
    )


def _one(desk: Desk, page: use.HillPage, fields: Fields, *, revision: int, status: int) -> Response:
    return render(
        desk,
        "hills/hill.html",
        status=status,
        fields=fields,
        hill=page.hill,
        line=_line(page.hill),
        added_by=page.added_by,
        coming=page.coming,
        revision=revision,
        may_plan=use.may_plan(desk.person),
        **_OPTIONS,
    )


_OPTIONS: dict[str, Any] = {
    "surfaces": SURFACE_OPTIONS,
    "uses": USES,
    "longest_name": LONGEST_NAME,
    "longest_note": LONGEST_NOTE,
}
