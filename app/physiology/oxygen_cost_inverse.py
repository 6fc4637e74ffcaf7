"""Which speed, grade, power or step rate costs a wanted oxygen uptake."""

from __future__ import annotations

from app.physiology import oxygen_cost as cost
from app.physiology.values import Estimate, OutOfRange, check_range

_MOST_VO2 = 100.0


def walking_speed_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, grade_fraction: float = 0.0) -> Estimate:
    """The walking speed that costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    Returns: walking speed, m/min.
    Raises: OutOfRange outside these limits, or when the speed is no walk (under 50 or over 134 m/min).
    Limits: adults in a steady state, not holding on; marked over 100 m/min.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    _check(vo2_ml_per_kg_min, grade_fraction)
    speed = (vo2_ml_per_kg_min - cost.REST) / (cost.WALK_LEVEL + cost.WALK_CLIMB * grade_fraction)
    check_range("The walking speed this takes", speed, cost.SLOWEST_WALK, cost.FASTEST_WALK, "m/min")
    return _answer(speed, "m/min", *cost.walk_notes(speed))


def running_speed_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, grade_fraction: float = 0.0) -> Estimate:
    """The running speed that costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    Returns: running speed, m/min.
    Raises: OutOfRange outside these limits, or when the speed is no run (under 80 or over 400 m/min).
    Limits: adults in a steady state, not holding on; marked up to 134 m/min.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    _check(vo2_ml_per_kg_min, grade_fraction)
    speed = (vo2_ml_per_kg_min - cost.REST) / (cost.RUN_LEVEL + cost.RUN_CLIMB * grade_fraction)
    check_range("The running speed this takes", speed, cost.SLOWEST_RUN, cost.FASTEST_RUN, "m/min")
    return _answer(speed, "m/min", *cost.run_notes(speed))


def walking_grade_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, speed_m_per_min: float) -> Estimate:
    """The grade at which walking at a speed costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    speed_m_per_min: walking speed, m/min, 50 to 134; marked over 100.
    Returns: rise per distance, fraction.
    Raises: OutOfRange outside these limits, or when the grade is under 0 or over 0.40.
    Limits: adults in a steady state, not holding on.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    _check(vo2_ml_per_kg_min, 0.0)
    check_range("Walking speed", speed_m_per_min, cost.SLOWEST_WALK, cost.FASTEST_WALK, "m/min")
    level = cost.REST + cost.WALK_LEVEL * speed_m_per_min
    grade = _grade(vo2_ml_per_kg_min - level, cost.WALK_CLIMB * speed_m_per_min)
    return _answer(grade, "fraction", *cost.walk_notes(speed_m_per_min))


def running_grade_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, speed_m_per_min: float) -> Estimate:
    """The grade at which running at a speed costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    speed_m_per_min: running speed, m/min, 80 to 400; marked up to 134.
    Returns: rise per distance, fraction.
    Raises: OutOfRange outside these limits, or when the grade is under 0 or over 0.40.
    Limits: adults in a steady state, not holding on.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_run.
    """
    _check(vo2_ml_per_kg_min, 0.0)
    check_range("Running speed", speed_m_per_min, cost.SLOWEST_RUN, cost.FASTEST_RUN, "m/min")
    level = cost.REST + cost.RUN_LEVEL * speed_m_per_min
    grade = _grade(vo2_ml_per_kg_min - level, cost.RUN_CLIMB * speed_m_per_min)
    return _answer(grade, "fraction", *cost.run_notes(speed_m_per_min))


def cycling_power_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, body_mass_kg: float) -> Estimate:
    """The power of leg cycling that costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    body_mass_kg: body mass, kg, 30 to 250.
    Returns: power, W.
    Raises: OutOfRange outside these limits, or when the power is under 50 or over 200 W.
    Limits: adults in a steady state on an ergometer; about 15 % too high at the maximum.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    _check(vo2_ml_per_kg_min, 0.0)
    check_range("Body mass", body_mass_kg, 30.0, 250.0, "kg")
    power = (vo2_ml_per_kg_min - cost.CYCLE_REST_AND_UNLOADED) * body_mass_kg / cost.CYCLE_PER_W_PER_KG
    check_range("The power this takes", power, 50.0, 200.0, "W")
    return _answer(power, "W")


def step_rate_for_vo2_bushman_2020(vo2_ml_per_kg_min: float, step_height_m: float) -> Estimate:
    """The step rate that costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, over 3.5 to 100.
    step_height_m: height of the step, m, 0.04 to 0.40.
    Returns: steps up, per minute.
    Raises: OutOfRange outside these limits, or when the rate is under 12 or over 30 per minute.
    Limits: adults in a steady state; the usable range is from memory, unchecked.
    Error: not found.
    Source: [bushman2020] the ACSM metabolic equations as restated by Bushman 2020; published, read.
    Checked in tests/physiology/test_oxygen_cost.py as the inverse of vo2_stepping_bushman_2020.
    """
    _check(vo2_ml_per_kg_min, 0.0)
    check_range("Step height", step_height_m, 0.04, 0.40, "m")
    rate = (vo2_ml_per_kg_min - cost.REST) / (cost.STEP_LEVEL + cost.STEP_CLIMB * step_height_m)
    check_range("The step rate this takes", rate, 12.0, 30.0, "per minute")
    return _answer(rate, "per minute", "usable range from memory, unchecked")


def _check(vo2_ml_per_kg_min: float, grade_fraction: float) -> None:
    check_range("Oxygen uptake", vo2_ml_per_kg_min, cost.REST, _MOST_VO2, "mL/kg/min")
    check_range("Grade", grade_fraction, 0.0, cost.STEEPEST, "as a fraction")


def _grade(climbing: float, per_grade: float) -> float:
    if climbing < 0.0:
        raise OutOfRange("Already the flat costs more than that at this speed; go slower.")
    grade = climbing / per_grade
    check_range("The grade this takes", grade, 0.0, cost.STEEPEST, "as a fraction")
    return grade


def _answer(value: float, unit: str, *notes: str) -> Estimate:
    return Estimate(value, unit, None, "error not found", "bushman2020", ("steady state only", *notes))
