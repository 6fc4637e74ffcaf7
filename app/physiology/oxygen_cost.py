"""What moving costs in oxygen: walking, running, leg cycling and stepping."""

from __future__ import annotations

from enum import StrEnum

from app.physiology.values import Estimate, Missing, check_range

SLOWEST_WALK, FASTEST_SURE_WALK = 50.0, 100.0
SLOWEST_RUN, SLOWEST_SURE_RUN, FASTEST_RUN = 80.0, 134.0, 400.0
#: Walking past this is left to the running equation.
FASTEST_WALK = 134.0
STEEPEST = 0.40

REST = 3.5
WALK_LEVEL, WALK_CLIMB = 0.1, 1.8
RUN_LEVEL, RUN_CLIMB = 0.2, 0.9
CYCLE_REST_AND_UNLOADED, CYCLE_PER_W_PER_KG = 7.0, 10.8
STEP_LEVEL, STEP_CLIMB = 0.2, 1.33 * 1.8

ASK_GAIT = (
    "Between 100 and 134 m/min neither the walking nor the running equation is reliable: ask which gait it was."
)
_STEADY = "steady state only; reads high near the maximum and when handrails are held"
_IF_WALKING = "over 100 m/min: holds only if it was truly a walk"
_IF_RUNNING = "under 134 m/min: holds only if it was truly a run"


class Gait(StrEnum):
    """How somebody moves on foot."""

    WALK = "walk"
    RUN = "run"


def vo2_walking_bushman_2020(speed_m_per_min: float, grade_fraction: float = 0.0) -> Estimate:
    """Oxygen uptake of walking on the flat or uphill.

    speed_m_per_min: walking speed, m/min, 50 to 134; marked over 100.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    Returns: oxygen uptake with rest in it, mL/kg/min.
    Raises: OutOfRange outside these limits, downhill included.
    Limits: adults in a steady state, not holding on; reads high near the maximum.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_walk.
    """
    check_range("Walking speed", speed_m_per_min, SLOWEST_WALK, FASTEST_WALK, "m/min")
    _check_grade(grade_fraction)
    value = REST + WALK_LEVEL * speed_m_per_min + WALK_CLIMB * speed_m_per_min * grade_fraction
    return _vo2(value, *walk_notes(speed_m_per_min))


def vo2_running_bushman_2020(speed_m_per_min: float, grade_fraction: float = 0.0) -> Estimate:
    """Oxygen uptake of running on the flat or uphill.

    speed_m_per_min: running speed, m/min, 80 to 400; marked up to 134.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    Returns: oxygen uptake with rest in it, mL/kg/min.
    Raises: OutOfRange outside these limits, downhill included.
    Limits: adults in a steady state, not holding on; reads high near the maximum.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_run.
    """
    check_range("Running speed", speed_m_per_min, SLOWEST_RUN, FASTEST_RUN, "m/min")
    _check_grade(grade_fraction)
    value = REST + RUN_LEVEL * speed_m_per_min + RUN_CLIMB * speed_m_per_min * grade_fraction
    return _vo2(value, *run_notes(speed_m_per_min))


def vo2_on_foot(speed_m_per_min: float, grade_fraction: float = 0.0, gait: Gait | None = None) -> Estimate | Missing:
    """Oxygen uptake on foot when the gait may not be known: in the gap between walking and running it asks.

    speed_m_per_min: speed, m/min, 50 to 400.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    gait: walk or run, no unit, or left out when not known.
    Returns: oxygen uptake with rest in it, mL/kg/min; a question where the gait decides.
    Raises: OutOfRange outside these limits.
    Limits: between 100 and 134 m/min neither equation is reliable, so the gait must be told.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/physiology/test_oxygen_cost.py.
    """
    check_range("Speed", speed_m_per_min, SLOWEST_WALK, FASTEST_RUN, "m/min")
    _check_grade(grade_fraction)
    if gait is None and FASTEST_SURE_WALK < speed_m_per_min < SLOWEST_SURE_RUN:
        return Missing(ASK_GAIT)
    is_walk = speed_m_per_min <= FASTEST_SURE_WALK if gait is None else gait is Gait.WALK
    if is_walk:
        return vo2_walking_bushman_2020(speed_m_per_min, grade_fraction)
    return vo2_running_bushman_2020(speed_m_per_min, grade_fraction)


def vo2_leg_cycling_bushman_2020(power_w: float, body_mass_kg: float) -> Estimate:
    """Oxygen uptake of leg cycling.

    power_w: power, W, 50 to 200.
    body_mass_kg: body mass, kg, 30 to 250.
    Returns: oxygen uptake with rest in it, mL/kg/min.
    Raises: OutOfRange outside these limits.
    Limits: adults in a steady state on an ergometer; about 15 % too high at the maximum.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_cycle.
    """
    check_range("Power", power_w, 50.0, 200.0, "W")
    check_range("Body mass", body_mass_kg, 30.0, 250.0, "kg")
    return _vo2(CYCLE_REST_AND_UNLOADED + CYCLE_PER_W_PER_KG * power_w / body_mass_kg)


def vo2_stepping_bushman_2020(step_rate_per_min: float, step_height_m: float) -> Estimate:
    """Oxygen uptake of stepping up and down.

    step_rate_per_min: steps up, per minute, 12 to 30.
    step_height_m: height of the step, m, 0.04 to 0.40.
    Returns: oxygen uptake with rest in it, mL/kg/min.
    Raises: OutOfRange outside these limits.
    Limits: adults in a steady state; the usable range is from memory, unchecked.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_step.
    """
    check_range("Step rate", step_rate_per_min, 12.0, 30.0, "per minute")
    check_range("Step height", step_height_m, 0.04, 0.40, "m")
    value = REST + STEP_LEVEL * step_rate_per_min + STEP_CLIMB * step_height_m * step_rate_per_min
    return _vo2(value, "usable range from memory, unchecked")


def walk_notes(speed_m_per_min: float) -> tuple[str, ...]:
    """What must be said of a walking speed."""
    return (_IF_WALKING,) if speed_m_per_min > FASTEST_SURE_WALK else ()


def run_notes(speed_m_per_min: float) -> tuple[str, ...]:
    """What must be said of a running speed."""
    return (_IF_RUNNING,) if speed_m_per_min <= SLOWEST_SURE_RUN else ()


def _check_grade(grade_fraction: float) -> None:
    check_range("Grade", grade_fraction, 0.0, STEEPEST, "as a fraction")


def _vo2(value: float, *notes: str) -> Estimate:
    return Estimate(value, "mL/kg/min", None, "error not found", "bushman2020", (_STEADY, *notes))
