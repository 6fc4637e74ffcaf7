"""Units into each other: only definitions and the conventions of the equations that need them."""

from __future__ import annotations

from app.physiology.values import check_range

MILE_M = 1609.344
KILOMETRE_M = 1000.0
M_PER_IN = 0.0254
KG_PER_LB = 0.45359237
#: By definition of the mile.
M_PER_MIN_PER_MPH = 26.8224
M_PER_MIN_PER_KM_PER_H = KILOMETRE_M / 60
#: The convention of the oxygen equations: 1 mph = 26.8 m/min, not 26.8224.
CONVENTION_M_PER_MIN_PER_MPH = 26.8
#: The convention of the oxygen equations: 1 MET = 3.5 mL/kg/min.
ML_PER_KG_MIN_PER_MET = 3.5
#: By definition of the kilogram-force (60 over 9.80665), rounded as the equation has it.
KGM_PER_MIN_PER_W = 6.12
#: The factor the cycling equation rests on.
CONVENTION_KGM_PER_MIN_PER_W = 6.0


def vo2_from_met(met: float) -> float:
    """Oxygen uptake for a multiple of rest.

    met: cost, MET, 0 to 30.
    Returns: oxygen uptake, mL/kg/min.
    Raises: OutOfRange outside 0 to 30 MET.
    Limits: rest by convention; measured rest is often lower, above all in heavy adults.
    Error: none of its own; it is a convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    check_range("Cost", met, 0.0, 30.0, "MET")
    return met * ML_PER_KG_MIN_PER_MET


def met_from_vo2(vo2_ml_per_kg_min: float) -> float:
    """Multiple of rest for an oxygen uptake.

    vo2_ml_per_kg_min: oxygen uptake, mL/kg/min, 0 to 105.
    Returns: cost, MET.
    Raises: OutOfRange outside 0 to 105 mL/kg/min.
    Limits: rest by convention; measured rest is often lower, above all in heavy adults.
    Error: none of its own; it is a convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/physiology/test_units.py as the inverse of vo2_from_met.
    """
    check_range("Oxygen uptake", vo2_ml_per_kg_min, 0.0, 105.0, "mL/kg/min")
    return vo2_ml_per_kg_min / ML_PER_KG_MIN_PER_MET


def speed_from_mph(speed_mph: float) -> float:
    """Speed in metres a minute, by the convention of the oxygen equations.

    speed_mph: speed, mph, 0 to 20.
    Returns: speed, m/min.
    Raises: OutOfRange outside 0 to 20 mph.
    Limits: for the oxygen equations; 0.1 % under the definition.
    Error: none of its own; it is a convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_walk.
    """
    check_range("Speed", speed_mph, 0.0, 20.0, "mph")
    return speed_mph * CONVENTION_M_PER_MIN_PER_MPH


def speed_mph_from_m_per_min(speed_m_per_min: float) -> float:
    """Speed in miles an hour, by the convention of the oxygen equations.

    speed_m_per_min: speed, m/min, 0 to 536.
    Returns: speed, mph.
    Raises: OutOfRange outside 0 to 536 m/min.
    Limits: for the oxygen equations; 0.1 % over the definition.
    Error: none of its own; it is a convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    check_range("Speed", speed_m_per_min, 0.0, 536.0, "m/min")
    return speed_m_per_min / CONVENTION_M_PER_MIN_PER_MPH


def power_from_kgm_per_min(work_rate_kgm_per_min: float) -> float:
    """Power in watts for a work rate as older cycles show it.

    work_rate_kgm_per_min: work rate, kgm/min, 0 to 3600.
    Returns: power, W.
    Raises: OutOfRange outside 0 to 3600 kgm/min.
    Limits: uses the factor 6 that the cycling equation rests on; the definition is nearer to 6.12.
    Error: 2 % by that convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_cycle.
    """
    check_range("Work rate", work_rate_kgm_per_min, 0.0, 3600.0, "kgm/min")
    return work_rate_kgm_per_min / CONVENTION_KGM_PER_MIN_PER_W


def kgm_per_min_from_power(power_w: float) -> float:
    """Work rate as older cycles show it for a power in watts.

    power_w: power, W, 0 to 600.
    Returns: work rate, kgm/min.
    Raises: OutOfRange outside 0 to 600 W.
    Limits: uses the factor 6 that the cycling equation rests on; the definition is nearer to 6.12.
    Error: 2 % by that convention.
    Source: [bushman2020] the convention of the equations; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    check_range("Power", power_w, 0.0, 600.0, "W")
    return power_w * CONVENTION_KGM_PER_MIN_PER_W


def pace_per_mile_from_pace_per_km(pace_s_per_km: float) -> float:
    """Time for a mile at a pace given for a kilometre.

    pace_s_per_km: pace, s/km, 100 to 2000.
    Returns: pace, s/mile.
    Raises: OutOfRange outside 100 to 2000 s/km.
    Limits: 1 mile is 1609.344 m.
    Error: none; it is a definition.
    Source: definition of the mile; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic unit change.
    """
    check_range("Pace", pace_s_per_km, 100.0, 2000.0, "s/km")
    return pace_s_per_km * MILE_M / KILOMETRE_M
