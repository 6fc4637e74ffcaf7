"""The practice's hills, and what a client rides on them and weighs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from app.coaching.people import Mode
from app.physiology.hill import Surface as Surface  # noqa: PLC0414 - hills and formulae share it; mypy wants it said

SHORTEST_HILL_M, LONGEST_HILL_M = 50.0, 20_000.0
GENTLEST_FRACTION, STEEPEST_FRACTION = 0.005, 0.4
LONGEST_NAME, LONGEST_NOTE = 80, 1000
BODY_MASS_KG, BIKE_MASS_KG = (25.0, 220.0), (5.0, 30.0)
FRONT_TEETH, REAR_TEETH = (18, 60), (9, 60)
WHEEL_M = (1.0, 2.5)

SURFACE_WORDS = {
    Surface.SMOOTH: "smooth road",
    Surface.ORDINARY: "ordinary road",
    Surface.ROUGH: "rough road",
    Surface.GRAVEL: "gravel or track",
}
UPHILL_ON = "uphill on "
#: Ways of moving that rounds on a hill are done by.
ON_HILLS = (Mode.RIDE, Mode.RUN, Mode.WALK)
#: House choice, where nobody said what the bicycle weighs: an everyday one with a bottle and a lock.
BIKE_MASS_ASSUMED_KG = 14.0
#: Common practice, no published source.
_RIDING = (
    "Only in daylight, on a dry road, where there is room to turn. Stay seated. The recovery: turn where the round "
    "ended and roll back to where it began at 30 km/h at most; pedal easily there until the next."
)
_UNLIT = "Only in daylight: there are no lamps."
_LIT = "In daylight or under the lamps."
_DOWN = (
    "The recovery: turn where the round ended and go down calmly. When it is over, begin the next round where you "
    "are; at the foot, if you are there before."
)
_AFTER = "Never stand still after the last round: go on easily until your breath is calm."
_WEATHER = "Ice, smoke or thunder: indoors, or the easy version. In heat go early, or indoors, or easy."


@dataclass(frozen=True, slots=True)
class Hill:
    """One hill the practice uses, measured by somebody who was there."""

    id: int
    name: str
    length_m: float
    #: Rise over run, averaged over the length.
    slope_fraction: float
    surface: Surface
    has_room_to_turn: bool
    is_exposed: bool
    is_lit: bool
    for_riding: bool
    for_running: bool
    for_walking: bool
    #: Where to begin and turn, what to look out for; clients read it.
    note: str | None
    created_at: datetime
    person_id: int
    retired_at: datetime | None
    #: Counts up with every change; a stale edit is refused.
    revision: int

    def is_for(self, mode: Mode) -> bool:
        """Whether the practice uses it for riding, running or walking; no other mode goes uphill outdoors."""
        return {Mode.RIDE: self.for_riding, Mode.RUN: self.for_running, Mode.WALK: self.for_walking}.get(mode, False)

    @property
    def place(self) -> str:
        """Where a session on it is, in a plan's words."""
        return f"{UPHILL_ON}{self.name}"

    @property
    def measure(self) -> str:
        """Length, grade and surface in a few words."""
        percent = f"{100 * self.slope_fraction:.1f}".removesuffix(".0")
        return f"{self.length_m:.0f} m at {percent} %, {SURFACE_WORDS[self.surface]}"


@dataclass(frozen=True, slots=True)
class Rider:
    """What a client weighs and rides, as far as it is known; None where nobody said."""

    client_id: int
    body_mass_kg: float | None
    body_mass_on: date | None
    bike_mass_kg: float | None
    front_teeth: int | None
    rear_teeth: int | None
    wheel_circumference_m: float | None


def told_of_hill(hill: Hill, mode: Mode) -> tuple[str, ...]:
    """What a client reads beside rounds on a hill: the hill, the coach's note, and how it is done safely."""
    if hill.retired_at is not None:
        return (f"{hill.name} is out of use for now. Ask your coach before you go; until then indoors, or easy.",)
    said = [f"{hill.name}: {hill.measure}.", *([hill.note] if hill.note else [])]
    return (*said, _RIDING if mode is Mode.RIDE else _on_foot(hill), _AFTER, _WEATHER)


def _on_foot(hill: Hill) -> str:
    return f"{_LIT if hill.is_lit else _UNLIT} {_DOWN}"


def unknown_rider(client_id: int) -> Rider:
    """A client of whom nothing is known yet."""
    return Rider(client_id, None, None, None, None, None, None)
