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


def unknown_rider(client_id: int) -> Rider:
    """A client of whom nothing is known yet."""
    return Rider(client_id, None, None, None, None, None, None)
