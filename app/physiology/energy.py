"""Energy out of oxygen."""

from __future__ import annotations

from app.physiology.oxygen_cost import Gait, vo2_running_bushman_2020, vo2_walking_bushman_2020
from app.physiology.provenance import Provenance
from app.physiology.values import Estimate, check_range

KCAL_PER_LITRE = 5.0
_MINUTES_PER_HOUR = 60.0
_ML_PER_LITRE = 1000.0


def energy_rate_from_vo2(
    vo2_ml_per_kg_min: float, body_mass_kg: float, kcal_per_litre: float = KCAL_PER_LITRE
) -> Estimate:
    """Energy a minute for an oxygen uptake.

    vo2_ml_per_kg_min: oxygen uptake, mL/kg/min, 0 to 100.
    body_mass_kg: body mass, kg, 30 to 250.
    kcal_per_litre: energy of a litre of oxygen, kcal/L, 4.6 to 5.1.
    Returns: energy a minute with rest in it, kcal/min.
    Raises: OutOfRange outside these limits.
    Limits: steady work; the energy of a litre depends on the fuel burnt.
    Error: not found; the usual 5 is 3 % over the 4.86 that fits one measured sample.
    Source: [bushman2020] the convention of 5 kcal per litre; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic energy.
    """
    check_range("Oxygen uptake", vo2_ml_per_kg_min, 0.0, 100.0, "mL/kg/min")
    check_range("Energy of a litre", kcal_per_litre, 4.6, 5.1, "kcal/L")
    _check_mass(body_mass_kg)
    value = vo2_ml_per_kg_min * body_mass_kg / _ML_PER_LITRE * kcal_per_litre
    return Estimate(value, "kcal/min", None, "error not found", "bushman2020", ("with rest in it",))


def energy_rate_from_met(met: float, body_mass_kg: float) -> Estimate:
    """Energy a minute by the rule that rest costs 1 kcal a kilogram and hour.

    met: cost, MET, 0 to 30.
    body_mass_kg: body mass, kg, 30 to 250.
    Returns: energy a minute with rest in it, kcal/min.
    Raises: OutOfRange outside these limits.
    Limits: a convention; measured rest is often lower, above all in heavy adults.
    Error: not found.
    Source: common practice, no published source: 1 MET as 1 kcal/kg/h; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic energy.
    """
    check_range("Cost", met, 0.0, 30.0, "MET")
    _check_mass(body_mass_kg)
    value = met * body_mass_kg / _MINUTES_PER_HOUR
    notes = ("1 MET as 1 kcal/kg/h by convention",)
    return Estimate(value, "kcal/min", None, "error not found", Provenance.COMMON_PRACTICE, notes)


def energy_of_distance(
    gait: Gait,
    distance_m: float,
    speed_m_per_min: float,
    body_mass_kg: float,
    *,
    grade_fraction: float = 0.0,
    kcal_per_litre: float = KCAL_PER_LITRE,
) -> Estimate:
    """Energy for a distance walked or run at an even speed.

    gait: walk or run, no unit, must be told.
    distance_m: distance, m, 100 to 100000.
    speed_m_per_min: speed, m/min, 50 to 134 walking and 80 to 400 running.
    body_mass_kg: body mass, kg, 30 to 250.
    grade_fraction: rise per distance, fraction, 0 to 0.40.
    kcal_per_litre: energy of a litre of oxygen, kcal/L, 4.6 to 5.1.
    Returns: energy with rest in it, kcal.
    Raises: OutOfRange outside these limits.
    Limits: steady work by adults who do not hold on.
    Error: not found; with 4.86 kcal per litre it meets two printed means to half a kcal.
    Source: [hall2004] Hall et al. 2004, the printed means; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic energy.
    """
    check_range("Distance", distance_m, 100.0, 100_000.0, "m")
    equation = vo2_walking_bushman_2020 if gait is Gait.WALK else vo2_running_bushman_2020
    vo2 = equation(speed_m_per_min, grade_fraction)
    rate = energy_rate_from_vo2(vo2.value, body_mass_kg, kcal_per_litre)
    value = rate.value * distance_m / speed_m_per_min
    return Estimate(value, "kcal", None, "error not found", "hall2004", (*vo2.notes, *rate.notes))


def _check_mass(body_mass_kg: float) -> None:
    check_range("Body mass", body_mass_kg, 30.0, 250.0, "kg")
