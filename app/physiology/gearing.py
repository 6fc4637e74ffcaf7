"""What a gear makes of a speed: cadence, and the steepest slope that can be ridden seated."""

from __future__ import annotations

from collections.abc import Callable

from app.physiology.provenance import Provenance
from app.physiology.slope import HIGHEST_POWER_W, HIGHEST_SPEED_M_PER_S, STEEPEST, Rider, cycling_power_martin_1998
from app.physiology.values import Estimate, Missing, OutOfRange, check_range

#: Common practice, no published source: slower or with slower legs a rider sways, stands up or gets off.
SLOWEST_SEATED_KM_PER_H = 8.0
LOWEST_SEATED_CADENCE = 60.0
KM_PER_H_PER_M_PER_S = 3.6
USUAL_WHEEL_M = 2.1
_ROUNDS_OF_HALVING = 60
_CUSTOM = "at least 8 km/h and 60 turns a minute to stay seated: common practice, no published source"


def cadence_in_gear(
    *, speed_m_per_s: float, front_teeth: int, rear_teeth: int, wheel_circumference_m: float = USUAL_WHEEL_M
) -> float:
    """Turns of the pedals a minute at a speed: 60 speed / (circumference x front teeth / rear teeth).

    speed_m_per_s: speed along the road, m/s, 0 to 30.
    front_teeth: teeth in front, count, 18 to 60.
    rear_teeth: teeth behind, count, 9 to 60.
    wheel_circumference_m: way of the wheel in one turn, m, 1 to 2.5.
    Returns: cadence, per minute.
    Raises: OutOfRange outside these limits.
    Limits: pedalling without a break, no slip.
    Error: none; geometry.
    Source: definition; house choice.
    Checked in tests/physiology/test_gearing.py, by hand.
    """
    check_range("The speed", speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    return 60 * speed_m_per_s / _way_of_a_turn(front_teeth, rear_teeth, wheel_circumference_m)


def steepest_seated_slope(
    *,
    power_w: float,
    total_mass_kg: float,
    headwind_m_per_s: float = 0.0,
    drag_area_m2: float = 0.32,
    rolling_coefficient: float = 0.005,
    front_teeth: int | None = None,
    rear_teeth: int | None = None,
    wheel_circumference_m: float = USUAL_WHEEL_M,
) -> Estimate | Missing:
    """The steepest slope on which a power still gives 8 km/h, and 60 turns a minute in the lowest gear.

    power_w: power at the pedals, W, 1 to 2500.
    total_mass_kg: rider, bicycle and all that is carried, kg, 30 to 250.
    headwind_m_per_s: wind against the rider up the hill, m/s, -20 to 20.
    drag_area_m2: drag area, m2, 0.1 to 1.
    rolling_coefficient: rolling coefficient, no unit, 0.001 to 0.05.
    front_teeth: teeth of the smallest ring in front, count, 18 to 60; left out, cadence is not looked at.
    rear_teeth: teeth of the largest ring behind, count, 9 to 60.
    wheel_circumference_m: way of the wheel in one turn, m, 1 to 2.5.
    Returns: slope, no unit, rise over run, at most 0.45; Missing when even the flat is ridden more slowly.
    Raises: OutOfRange outside these limits, or for one of the two rings without the other.
    Limits: steady riding; drag and rolling of a client are guesses.
    Error: power from climb times misses by -10 to +9 %, and a steep slope by about as much.
    Source: [martin1998] for the power; 8 km/h and 60 a minute are common practice, no published source.
    Checked in tests/physiology/test_gearing.py, by root finding.
    """
    check_range("The power", power_w, 1, HIGHEST_POWER_W, "W")
    rider = Rider(total_mass_kg, drag_area_m2=drag_area_m2, rolling_coefficient=rolling_coefficient)
    speed = slowest_seated_speed(front_teeth, rear_teeth, wheel_circumference_m)

    def is_enough(slope: float) -> bool:
        needed = cycling_power_martin_1998(
            rider=rider, speed_m_per_s=speed, slope=slope, headwind_m_per_s=headwind_m_per_s
        )
        return needed.total_w <= power_w

    if not is_enough(0.0):
        return Missing(f"this power does not give {KM_PER_H_PER_M_PER_S * speed:.1f} km/h even on the flat")
    slope = STEEPEST if is_enough(STEEPEST) else _last_that_holds(is_enough)
    return Estimate(
        slope, "rise over run", None, "about -10 to +9 % in power", Provenance.COMMON_PRACTICE, (_CUSTOM,)
    )


def slowest_seated_speed(front_teeth: int | None, rear_teeth: int | None, wheel_circumference_m: float) -> float:
    """The speed in m/s below which a rider does not stay seated, from speed itself and from the lowest gear."""
    slowest = SLOWEST_SEATED_KM_PER_H / KM_PER_H_PER_M_PER_S
    if front_teeth is None and rear_teeth is None:
        return slowest
    if front_teeth is None or rear_teeth is None:
        raise OutOfRange("The lowest gear needs the teeth in front and behind.")
    way_m = _way_of_a_turn(front_teeth, rear_teeth, wheel_circumference_m)
    return max(slowest, LOWEST_SEATED_CADENCE / 60 * way_m)


def _last_that_holds(holds: Callable[[float], bool]) -> float:
    low, high = 0.0, STEEPEST
    for _ in range(_ROUNDS_OF_HALVING):
        middle = (low + high) / 2
        low, high = (middle, high) if holds(middle) else (low, middle)
    return low


def _way_of_a_turn(front_teeth: int, rear_teeth: int, wheel_circumference_m: float) -> float:
    check_range("Teeth in front", front_teeth, 18, 60)
    check_range("Teeth behind", rear_teeth, 9, 60)
    check_range("The wheel", wheel_circumference_m, 1, 2.5, "m")
    return wheel_circumference_m * front_teeth / rear_teeth
