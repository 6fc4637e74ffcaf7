"""Cycling on a slope: power for a speed, term by term, and the speed that a power gives."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.physiology.values import Missing, OutOfRange, check_range

GRAVITY_M_PER_S2 = 9.81
#: Standard error of the model against a power meter ([martin1998]).
MODEL_ERROR_W = 2.7
#: Estimating power from climb times missed by -10 to +9 % in 95 of 100 climbs, without wind by -6 to +7 %.
HIGHEST_SPEED_M_PER_S = 30.0
HIGHEST_POWER_W = 2500.0
STEEPEST = 0.45
_BEARINGS_W_PER_M_S = 0.091
_BEARINGS_W_PER_M2_S2 = 0.0087
_ROUNDS_OF_HALVING = 200


@dataclass(frozen=True, slots=True)
class Rider:
    """Rider and bicycle together. Air drag and rolling of an upright rider are common practice, not measured.

    The rest are the constants of [martin1998], from memory: wheels' drag, inertia and radius, drive efficiency.
    """

    mass_kg: float
    drag_area_m2: float = 0.32
    rolling_coefficient: float = 0.005
    air_density_kg_per_m3: float = 1.2
    wheel_drag_area_m2: float = 0.0044
    wheel_inertia_kg_m2: float = 0.14
    wheel_radius_m: float = 0.311
    drive_efficiency: float = 0.976

    def __post_init__(self) -> None:
        """Refuse a rider who cannot be."""
        check_range("Rider and bicycle", self.mass_kg, 30, 250, "kg")
        check_range("The drag area", self.drag_area_m2, 0.1, 1, "m2")
        check_range("The rolling coefficient", self.rolling_coefficient, 0.001, 0.05)
        check_range("Air density", self.air_density_kg_per_m3, 0.5, 1.6, "kg/m3")
        check_range("The wheels' drag area", self.wheel_drag_area_m2, 0, 0.05, "m2")
        check_range("The wheels' inertia", self.wheel_inertia_kg_m2, 0, 1, "kg m2")
        check_range("The wheel's radius", self.wheel_radius_m, 0.15, 0.45, "m")
        check_range("The drive's efficiency", self.drive_efficiency, 0.5, 1)


@dataclass(frozen=True, slots=True)
class CyclingPower:
    """What the power goes into, each before the loss in the drive, and the whole at the pedals."""

    air_w: float
    rolling_w: float
    bearings_w: float
    gravity_w: float
    kinetic_w: float
    total_w: float


def cycling_power_martin_1998(
    *,
    rider: Rider,
    speed_m_per_s: float,
    slope: float = 0.0,
    headwind_m_per_s: float = 0.0,
    start_speed_m_per_s: float | None = None,
    end_speed_m_per_s: float | None = None,
    duration_s: float | None = None,
) -> CyclingPower:
    """Power of cycling, term by term: air, rolling, bearings, climbing and speeding up, over the drive's efficiency.

    rider: rider and bicycle; mass in kg, drag area in m2, the rest as named.
    speed_m_per_s: mean speed over the ground, m/s, 0 to 30.
    slope: rise over run, no unit, -0.45 to 0.45.
    headwind_m_per_s: wind against the rider along the road, m/s, -20 to 20.
    start_speed_m_per_s: speed at the beginning, m/s, 0 to 30; with the two below, for speeding up.
    end_speed_m_per_s: speed at the end, m/s, 0 to 30.
    duration_s: time between the two, s, 1 to 86400.
    Returns: each term and the whole, W; negative when the hill does more than the work.
    Raises: OutOfRange outside these limits, or for one of the three last without the others.
    Limits: steady road riding, no drafting; drag and rolling of a client are guesses (0.32-0.40 m2, 0.004-0.006).
    Error: 2.7 W against a power meter with measured drag, R2 0.97; from climb times -10 to +9 %.
    Source: [martin1998]; terms and constants from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic cycling model, published worked trial.
    """
    check_range("The speed", speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("The slope", slope, -STEEPEST, STEEPEST)
    check_range("The wind", headwind_m_per_s, -20, 20, "m/s")
    v, angle = speed_m_per_s, math.atan(slope)
    air_speed = v + headwind_m_per_s
    drag = 0.5 * rider.air_density_kg_per_m3 * (rider.drag_area_m2 + rider.wheel_drag_area_m2)
    weight_n = rider.mass_kg * GRAVITY_M_PER_S2
    # A following wind faster than the rider pushes: the drag keeps the sign of the air's speed.
    air = drag * air_speed * abs(air_speed) * v
    rolling = rider.rolling_coefficient * weight_n * math.cos(angle) * v
    bearings = v * (_BEARINGS_W_PER_M_S + _BEARINGS_W_PER_M2_S2 * v)
    gravity = weight_n * math.sin(angle) * v
    kinetic = _kinetic_w(rider, start_speed_m_per_s, end_speed_m_per_s, duration_s)
    total = (air + rolling + bearings + gravity + kinetic) / rider.drive_efficiency
    return CyclingPower(air, rolling, bearings, gravity, kinetic, total)


def cycling_speed_martin_1998(
    *, rider: Rider, power_w: float, slope: float = 0.0, headwind_m_per_s: float = 0.0
) -> float | Missing:
    """The steady speed that a power gives on a slope, from the power model turned round.

    rider: rider and bicycle; mass in kg, drag area in m2, the rest as named.
    power_w: power at the pedals, W, 1 to 2500.
    slope: rise over run, no unit, -0.45 to 0.45.
    headwind_m_per_s: wind against the rider along the road, m/s, -20 to 20.
    Returns: speed, m/s; Missing when it would pass 30 m/s.
    Raises: OutOfRange outside these limits.
    Limits: steady road riding, no drafting; drag and rolling of a client are guesses.
    Error: power from climb times misses by -10 to +9 %; speed by less on the flat.
    Source: [martin1998]; terms and constants from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic climbing speed.
    """
    check_range("The power", power_w, 1, HIGHEST_POWER_W, "W")

    def is_enough(speed: float) -> bool:
        needed = cycling_power_martin_1998(
            rider=rider, speed_m_per_s=speed, slope=slope, headwind_m_per_s=headwind_m_per_s
        )
        return needed.total_w <= power_w

    if is_enough(HIGHEST_SPEED_M_PER_S):
        return Missing("the speed would pass 30 m/s")
    low, high = 0.0, HIGHEST_SPEED_M_PER_S
    for _ in range(_ROUNDS_OF_HALVING):
        middle = (low + high) / 2
        low, high = (middle, high) if is_enough(middle) else (low, middle)
    return low


def headwind_m_per_s(*, wind_m_per_s: float, degrees_from_travel: float) -> float:
    """The part of a wind that blows against the rider.

    wind_m_per_s: wind, m/s, 0 to 40.
    degrees_from_travel: angle between where the wind comes from and where the rider goes, degrees, 0 to 180.
    Returns: headwind, m/s; negative from behind.
    Raises: OutOfRange outside these limits.
    Limits: side force is ignored.
    Error: none; geometry.
    Source: definition, of [martin1998].
    Checked in tests/reference/load_intervals_readiness.csv, topic cycling model term: air.
    """
    check_range("The wind", wind_m_per_s, 0, 40, "m/s")
    check_range("The angle", degrees_from_travel, 0, 180, "degrees")
    return wind_m_per_s * math.cos(math.radians(degrees_from_travel))


def climb_rate_m_per_h(*, slope: float, speed_m_per_s: float) -> float:
    """Vertical metres in an hour at a speed along a slope.

    slope: rise over run, no unit, 0 to 0.45.
    speed_m_per_s: speed along the road, m/s, 0 to 30.
    Returns: climb rate, m/h.
    Raises: OutOfRange outside these limits.
    Limits: a steady slope.
    Error: none; geometry.
    Source: definition, beside [martin1998].
    Checked in tests/reference/load_intervals_readiness.csv, topic climb rate.
    """
    check_range("The slope", slope, 0, STEEPEST)
    check_range("The speed", speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    return 3600 * speed_m_per_s * math.sin(math.atan(slope))


def _kinetic_w(rider: Rider, start: float | None, end: float | None, duration_s: float | None) -> float:
    if start is None and end is None and duration_s is None:
        return 0.0
    if start is None or end is None or duration_s is None:
        raise OutOfRange("Speeding up needs the speed at both ends and the time between.")
    check_range("The speed at the beginning", start, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("The speed at the end", end, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("The time", duration_s, 1, 86_400, "s")
    rolling_mass = rider.mass_kg + rider.wheel_inertia_kg_m2 / rider.wheel_radius_m**2
    return 0.5 * rolling_mass * (end**2 - start**2) / duration_s
