"""What walking and running up or down a slope costs, and the pace of equal effort."""

from __future__ import annotations

from app.physiology.values import Estimate, Missing, check_range

STEEPEST = 0.45
#: Highest power first, J/kg/m; for whole series at once. [minetti2002], from memory, unchecked.
RUNNING_CURVE = (155.4, -30.4, -43.3, 46.3, 19.5, 3.6)
_WALKING = (280.5, -58.7, -76.8, 51.9, 19.6, 2.5)
#: Measured means at slopes ([minetti2002]); the running curve lies within 6 % of them.
MEASURED_RUNNING = ((0.0, 3.40), (0.45, 18.93), (-0.20, 1.73), (-0.45, 3.92))
_CURVE_ERROR = 0.06


def running_cost_minetti_2002(*, slope: float) -> Estimate:
    """Energy cost of running on a slope, for each metre and kilogram.

    slope: rise over run, no unit, -0.45 to 0.45.
    Returns: cost, J/kg/m.
    Raises: OutOfRange outside these limits.
    Limits: ten mountain runners; a related equation missed ultra runners by 8 % uphill. Not for downhill targets.
    Error: measured means lie within 6 % of the curve.
    Source: [minetti2002]; coefficients from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic running energy cost.
    """
    cost = _polynomial(RUNNING_CURVE, slope)
    notes = ("coefficients from memory, unchecked",)
    return Estimate(cost, "J/kg/m", cost * _CURVE_ERROR, "curve against measured means", "minetti2002", notes)


def walking_cost_minetti_2002(*, slope: float) -> Estimate:
    """Energy cost of walking on a slope, for each metre and kilogram.

    slope: rise over run, no unit, -0.45 to 0.45.
    Returns: cost, J/kg/m.
    Raises: OutOfRange outside these limits.
    Limits: ten mountain runners, at the speed that costs least.
    Error: not found.
    Source: [minetti2002]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic walking energy cost.
    """
    return Estimate(_polynomial(_WALKING, slope), "J/kg/m", None, "not found", "minetti2002")


def equal_effort_pace_minetti_2002(*, flat_pace_s_per_km: float, slope: float) -> float | Missing:
    """The uphill running pace that costs as much energy a minute as a pace on the flat.

    flat_pace_s_per_km: pace on the flat, s/km, 120 to 1200.
    slope: rise over run, no unit, -0.45 to 0.45.
    Returns: pace, s/km; Missing downhill, where muscles, not energy, set the pace.
    Raises: OutOfRange outside these limits.
    Limits: ten mountain runners; energy only. Never a target downhill.
    Error: measured means lie within 6 % of the curve; ultra runners missed by 8 %.
    Source: [minetti2002]; coefficients from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic equal-effort pace.
    """
    check_range("The pace", flat_pace_s_per_km, 120, 1200, "s/km")
    uphill = running_cost_minetti_2002(slope=slope)
    if slope < 0:
        return Missing("no pace is given downhill: muscles, not energy, set it there")
    return flat_pace_s_per_km * (uphill.value / running_cost_minetti_2002(slope=0.0).value)


def _polynomial(coefficients: tuple[float, ...], slope: float) -> float:
    check_range("The slope", slope, -STEEPEST, STEEPEST)
    cost = 0.0
    for coefficient in coefficients:
        cost = cost * slope + coefficient
    return cost
