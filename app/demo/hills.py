"""The invented practice's hills, and what its riders weigh and ride."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.hills import Rider, Surface
from app.demo.diary import Diary
from app.usecases import hills

QUARRY = "Quarry hill, from the gate"
_HILLS: tuple[Mapping[str, Any], ...] = (
    {
        "name": QUARRY,
        "length_m": 1250.0,
        "slope_fraction": 0.062,
        "surface": Surface.ORDINARY,
        "note": "Begin at the iron gate, turn in the quarry yard. Lorries on weekday mornings until eight.",
        "for_riding": True,
        "for_running": True,
        "for_walking": True,
    },
    {
        "name": "Mill lane",
        "length_m": 640.0,
        "slope_fraction": 0.041,
        "surface": Surface.SMOOTH,
        "is_exposed": True,
        "is_lit": True,
        "note": "From the weir to the last lamp.",
        "for_riding": True,
        "for_running": True,
        "for_walking": True,
    },
    {
        "name": "Chapel path",
        "length_m": 420.0,
        "slope_fraction": 0.11,
        "surface": Surface.ROUGH,
        "has_room_to_turn": False,
        "note": "Roots after rain. Handrail on the upper half.",
        "for_walking": True,
        "for_running": True,
    },
    {
        "name": "Long meadow",
        "length_m": 2300.0,
        "slope_fraction": 0.025,
        "surface": Surface.GRAVEL,
        "is_exposed": True,
        "note": "For long easy rounds; too gentle for a bicycle.",
        "for_riding": True,
        "for_running": True,
    },
    {
        "name": "Dam road",
        "length_m": 1700.0,
        "slope_fraction": 0.07,
        "surface": Surface.ORDINARY,
        "note": "Road works at the second bend.",
        "for_riding": True,
    },
)
_RETIRED = "Dam road"
_USUAL: Mapping[str, Any] = {
    "has_room_to_turn": True,
    "is_exposed": False,
    "is_lit": False,
    "for_riding": False,
    "for_running": False,
    "for_walking": False,
}
#: Body mass and bicycle in kg, teeth in front and behind, way of the wheel in m; None where nobody measured.
_RIDERS: Mapping[str, tuple[float, float | None, int | None, int | None, float | None]] = {
    "matthis": (74.0, 9.5, 34, 34, 2.11),
    "anton": (88.5, 15.0, 38, 32, 2.18),
    "ottilie": (71.0, None, None, None, None),
}


def write_hills(db: Session, *, head: Actor, at: datetime) -> None:
    """Put the practice's hills on the list, one of them out of use."""
    for given in _HILLS:
        hill_id, _problem = hills.add_hill(db, actor=head, values={**_USUAL, **given}, now=at)
        if hill_id is not None and given["name"] == _RETIRED:
            hills.retire_hill(db, actor=head, hill_id=hill_id, now=at + timedelta(days=30))


def write_rider(diary: Diary) -> None:
    """Say what a client weighs and rides, for those who were asked."""
    said = _RIDERS.get(diary.part.key)
    if said is None:
        return
    mass_kg, bike_kg, front, rear, wheel_m = said
    weighed_on = _some_weeks_ago(diary.today)
    rider = Rider(diary.client.id, mass_kg, weighed_on, bike_kg, front, rear, wheel_m)
    hills.keep_rider(diary.db, actor=diary.coach, rider=rider, now=diary.at(weighed_on, 17))


def _some_weeks_ago(today: date) -> date:
    return today - timedelta(weeks=3)
