"""The hill that a round needs on a bicycle: how long, how steep at most, and whether the way back fits the rest."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from app.physiology.gearing import (
    KM_PER_H_PER_M_PER_S,
    USUAL_WHEEL_M,
    cadence_in_gear,
    slowest_seated_speed,
    steepest_seated_slope,
)
from app.physiology.slope import (
    HIGHEST_POWER_W,
    HIGHEST_SPEED_M_PER_S,
    STEEPEST,
    Rider,
    climb_rate_m_per_h,
    cycling_speed_martin_1998,
)
from app.physiology.values import Missing, check_range

GENTLEST_HILL = 0.005
#: House choice: faster downhill between rounds gains nothing and costs safety.
FASTEST_BACK_KM_PER_H = 30.0
#: Power from climb times against a power meter in 95 of 100 climbs, as slope.py has it.
_POWER_MISSED_BY = (0.90, 1.09)
_ERROR_WORDS = (
    "power from climb times misses by -10 to +9 % in 95 of 100 climbs; the range carries that to the length"
)
_STEADY = "reckoned at steady speed: the first seconds of getting up to it are left out"
_TURNS = "both turns together are taken as given, not reckoned"
_GUESSES = "drag and rolling are common practice, no published source; measure the hill itself before trusting it"


class Surface(StrEnum):
    """What is ridden on. Its rolling is common practice, no published source."""

    SMOOTH = "smooth"
    ORDINARY = "ordinary"
    ROUGH = "rough"
    GRAVEL = "gravel"

    @property
    def rolling_coefficient(self) -> float:
        """From 0.004 to 0.006 on roads; gravel is a guess."""
        return {"smooth": 0.004, "ordinary": 0.005, "rough": 0.006, "gravel": 0.010}[self.value]


@dataclass(frozen=True, slots=True)
class HillForRound:
    """The stretch of hill a round covers, and what to know before going there; None where nothing was told."""

    value: float
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...]
    range: tuple[float, float]
    speed_km_per_h: float
    climb_m: float
    climb_rate_m_per_h: float
    cadence_per_min: float | None
    stays_seated: bool
    steepest_seated_slope: float | None
    back_km_per_h: float
    back_s: float
    back_fits: bool | None


def hill_for_round(
    *,
    power_w: float,
    work_s: float,
    total_mass_kg: float,
    slope: float,
    headwind_m_per_s: float = 0.0,
    surface: Surface = Surface.ORDINARY,
    drag_area_m2: float = 0.32,
    recovery_s: float | None = None,
    recovery_power_w: float = 1.0,
    turns_s: float = 20.0,
    front_teeth: int | None = None,
    rear_teeth: int | None = None,
    wheel_circumference_m: float = USUAL_WHEEL_M,
) -> HillForRound | Missing:
    """The length of hill that a round at a power needs: steady speed on the slope times the length of the round.

    power_w: power of the round, W, 1 to 2500.
    work_s: length of the round, s, 10 to 1200.
    total_mass_kg: rider, bicycle and all that is carried, kg, 30 to 250.
    slope: rise over run, no unit, 0.005 to 0.45.
    headwind_m_per_s: wind against the rider up the hill, m/s, -20 to 20; it turns round for the way back.
    surface: what is ridden on, no unit, smooth or ordinary or rough or gravel.
    drag_area_m2: drag area, m2, 0.1 to 1.
    recovery_s: recovery the way back must fit into, s, 5 to 3600.
    recovery_power_w: power on the way back, W, 1 to 2500; 1 is rolling.
    turns_s: time for turning at top and bottom together, s, 0 to 120.
    front_teeth: teeth of the smallest ring in front, count, 18 to 60; left out, cadence is not looked at.
    rear_teeth: teeth of the largest ring behind, count, 9 to 60.
    wheel_circumference_m: way of the wheel in one turn, m, 1 to 2.5.
    Returns: length of hill, m, with its range, speed, climb, cadence in the lowest gear, whether it is ridden seated,
    the steepest slope that is, and the way back at 30 km/h at most; Missing when the speed would pass 30 m/s.
    Raises: OutOfRange outside these limits.
    Limits: steady riding on an even slope, alone; drag and rolling of a client are guesses.
    Error: power from climb times misses by -10 to +9 %; the range carries that to the length.
    Source: [martin1998] for the speed; 8 km/h, 60 turns a minute, surfaces and turns are common practice, no
    published source; 30 km/h at most on the way back is a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic climbing speed.
    """
    check_range("The round", work_s, 10, 1200, "s")
    check_range("The slope of a hill", slope, GENTLEST_HILL, STEEPEST)
    check_range("The turns", turns_s, 0, 120, "s")
    if recovery_s is not None:
        check_range("The recovery", recovery_s, 5, 3600, "s")
    rolling = Surface(surface).rolling_coefficient
    rider = Rider(total_mass_kg, drag_area_m2=drag_area_m2, rolling_coefficient=rolling)
    gear = _Gear(front_teeth, rear_teeth, wheel_circumference_m)
    ride = _Ride(rider, slope, headwind_m_per_s, power_w, work_s)
    back = _Back(recovery_power_w, turns_s, recovery_s)
    return _told(ride, gear, back)


@dataclass(frozen=True, slots=True)
class _Gear:
    front_teeth: int | None
    rear_teeth: int | None
    wheel_circumference_m: float

    def cadence(self, speed_m_per_s: float) -> float | None:
        if self.front_teeth is None or self.rear_teeth is None:
            return None
        return cadence_in_gear(
            speed_m_per_s=speed_m_per_s,
            front_teeth=self.front_teeth,
            rear_teeth=self.rear_teeth,
            wheel_circumference_m=self.wheel_circumference_m,
        )

    def slowest(self) -> float:
        return slowest_seated_speed(self.front_teeth, self.rear_teeth, self.wheel_circumference_m)


@dataclass(frozen=True, slots=True)
class _Back:
    power_w: float
    turns_s: float
    recovery_s: float | None


@dataclass(frozen=True, slots=True)
class _Ride:
    rider: Rider
    slope: float
    headwind_m_per_s: float
    power_w: float
    work_s: float

    def speed_up(self, power_w: float) -> float | Missing:
        return cycling_speed_martin_1998(
            rider=self.rider, power_w=power_w, slope=self.slope, headwind_m_per_s=self.headwind_m_per_s
        )

    def range_up(self) -> tuple[float, float]:
        powers = (min(max(self.power_w * share, 1.0), HIGHEST_POWER_W) for share in _POWER_MISSED_BY)
        low, high = (_or_fastest(self.speed_up(power), HIGHEST_SPEED_M_PER_S) for power in powers)
        return low * self.work_s, high * self.work_s

    def speed_back(self, power_w: float) -> float:
        """Down the same hill with the same wind from the other side, never above what is safe."""
        speed = cycling_speed_martin_1998(
            rider=self.rider, power_w=power_w, slope=-self.slope, headwind_m_per_s=-self.headwind_m_per_s
        )
        return _or_fastest(speed, FASTEST_BACK_KM_PER_H / KM_PER_H_PER_M_PER_S)

    def steepest_seated(self, gear: _Gear) -> float | None:
        found = steepest_seated_slope(
            power_w=self.power_w,
            total_mass_kg=self.rider.mass_kg,
            headwind_m_per_s=self.headwind_m_per_s,
            drag_area_m2=self.rider.drag_area_m2,
            rolling_coefficient=self.rider.rolling_coefficient,
            front_teeth=gear.front_teeth,
            rear_teeth=gear.rear_teeth,
            wheel_circumference_m=gear.wheel_circumference_m,
        )
        return None if isinstance(found, Missing) else found.value


def _or_fastest(speed: float | Missing, fastest: float) -> float:
    return fastest if isinstance(speed, Missing) else min(speed, fastest)


def _told(ride: _Ride, gear: _Gear, back: _Back) -> HillForRound | Missing:
    speed = ride.speed_up(ride.power_w)
    if isinstance(speed, Missing):
        return speed
    length_m, back_m_per_s = speed * ride.work_s, ride.speed_back(back.power_w)
    back_s = back.turns_s + length_m / back_m_per_s
    return HillForRound(
        value=length_m,
        unit="m",
        error=None,
        error_words=_ERROR_WORDS,
        source="martin1998",
        notes=(_STEADY, _TURNS, _GUESSES),
        range=ride.range_up(),
        speed_km_per_h=speed * KM_PER_H_PER_M_PER_S,
        climb_m=length_m * math.sin(math.atan(ride.slope)),
        climb_rate_m_per_h=climb_rate_m_per_h(slope=ride.slope, speed_m_per_s=speed),
        cadence_per_min=gear.cadence(speed),
        stays_seated=speed >= gear.slowest(),
        steepest_seated_slope=ride.steepest_seated(gear),
        back_km_per_h=back_m_per_s * KM_PER_H_PER_M_PER_S,
        back_s=back_s,
        back_fits=None if back.recovery_s is None else back_s <= back.recovery_s,
    )
