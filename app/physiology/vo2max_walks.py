"""VO2max from walks: one mile, six minutes, four minutes on a treadmill."""

from __future__ import annotations

from app.physiology.units import KG_PER_LB, M_PER_MIN_PER_MPH
from app.physiology.values import Estimate, Sex, check_range
from app.physiology.vo2max import (
    HEAVIEST_KG,
    L_PER_MIN,
    LIGHTEST_KG,
    ML_PER_KG_MIN,
    SHORTEST_CM,
    TALLEST_CM,
    VO2max,
    check_bmi,
    check_mass,
    check_resting,
    check_sex,
    check_working,
    male,
    notes_of,
    positive,
)

_SECONDS_A_MINUTE = 60.0
_ONE_MILE = "one-mile walk"
_SIX_MINUTES = "six-minute walk"
_TRACK_ONLY = "On flat ground only; not valid on a treadmill."


def one_mile_walk_kline_1987(
    *, duration_s: float, heart_rate_bpm: float, mass_kg: float, age_years: float, sex: Sex
) -> VO2max:
    """VO2max from one mile walked as fast as possible, the form per kilogram.

    duration_s: time for 1609 m, s, 480 to 1800.
    heart_rate_bpm: over the last quarter mile, beats a minute, 60 to 220.
    mass_kg: body mass, kg, 30 to 250.
    age_years: age, years, 30 to 69.
    sex: F or M.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 343 adults of 30 to 69; flat ground, not a treadmill; heart rate not steered by medicines.
    Error: SEE 5.0 mL/kg/min; the form in L/min differs by up to 2 mL/kg/min. Retest error not found.
    Source: [kline1987] Kline et al. 1987; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic walk_mile.
    """
    _check_mile(duration_s, heart_rate_bpm, mass_kg, age_years, sex)
    minutes, mass_lb = duration_s / _SECONDS_A_MINUTE, mass_kg / KG_PER_LB
    value = 132.853 - 0.0769 * mass_lb - 0.3877 * age_years + 6.315 * male(sex)
    value -= 3.2649 * minutes + 0.1565 * heart_rate_bpm
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        5.0,
        "standard error of estimate 5.0 mL/kg/min",
        "kline1987",
        _ONE_MILE,
        "walk",
        mass_kg,
        (_TRACK_ONLY,),
    )


def one_mile_walk_absolute_kline_1987(
    *, duration_s: float, heart_rate_bpm: float, mass_kg: float, age_years: float, sex: Sex
) -> VO2max:
    """VO2max from one mile walked as fast as possible, the form for the whole body.

    duration_s: time for 1609 m, s, 480 to 1800.
    heart_rate_bpm: over the last quarter mile, beats a minute, 60 to 220.
    mass_kg: body mass, kg, 30 to 250.
    age_years: age, years, 30 to 69.
    sex: F or M.
    Returns: VO2max, L/min.
    Raises: OutOfRange outside these.
    Limits: 343 adults of 30 to 69; flat ground, not a treadmill; heart rate not steered by medicines.
    Error: SEE 0.325 L/min, in the cross-validation 0.355. Retest error not found.
    Source: [kline1987b] Kline et al. 1987; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic walk_mile.
    """
    _check_mile(duration_s, heart_rate_bpm, mass_kg, age_years, sex)
    minutes, mass_lb = duration_s / _SECONDS_A_MINUTE, mass_kg / KG_PER_LB
    value = 6.9652 + 0.0091 * mass_lb - 0.0257 * age_years + 0.5955 * male(sex)
    value -= 0.2240 * minutes + 0.0115 * heart_rate_bpm
    return VO2max(
        positive(value),
        L_PER_MIN,
        0.325,
        "standard error of estimate 0.325 L/min, 0.355 in other people",
        "kline1987b",
        f"{_ONE_MILE} (L/min form)",
        "walk",
        mass_kg,
        (_TRACK_ONLY,),
    )


def _check_mile(duration_s: float, heart_rate_bpm: float, mass_kg: float, age_years: float, sex: Sex) -> None:
    check_range("The time for one mile", duration_s, 480, 1800, "s")
    check_working(heart_rate_bpm)
    check_mass(mass_kg)
    check_range("Age", age_years, 30, 69, "years for the one-mile walk")
    check_sex(sex)


def treadmill_walk_ebbeling_1991(
    *, speed_m_per_min: float, heart_rate_bpm: float, age_years: float, sex: Sex, mass_kg: float | None = None
) -> VO2max:
    """VO2max from four minutes of walking on a treadmill at 5 % grade.

    speed_m_per_min: belt speed, m/min, 50 to 125.
    heart_rate_bpm: at the end of the fourth minute, beats a minute, 60 to 220.
    age_years: age, years, 20 to 59.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of 20 to 59; grade 5 %, rail not held; heart rate not steered by medicines.
    Error: SEE 4.85 mL/kg/min.
    Source: [ebbeling1991] Ebbeling et al. 1991; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic treadmill_walk.
    """
    check_range("Speed", speed_m_per_min, 50, 125, "m/min")
    check_working(heart_rate_bpm)
    check_range("Age", age_years, 20, 59, "years for the treadmill walk")
    check_sex(sex)
    check_mass(mass_kg)
    speed_mph = speed_m_per_min / M_PER_MIN_PER_MPH
    value = 15.1 + 21.8 * speed_mph - 0.327 * heart_rate_bpm - 0.263 * speed_mph * age_years
    value += 0.00504 * heart_rate_bpm * age_years + 5.98 * male(sex)
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        4.85,
        "standard error of estimate 4.85 mL/kg/min",
        "ebbeling1991",
        "four-minute walk at 5 %",
        "treadmill",
        mass_kg,
    )


def six_minute_walk_sagat_2023(
    *, distance_m: float, bmi_kg_per_m2: float, age_years: float, sex: Sex, mass_kg: float | None = None
) -> VO2max:
    """VO2max of an older adult from the distance walked in six minutes.

    distance_m: distance in 6 min, m, 200 to 1000.
    bmi_kg_per_m2: body mass index, kg/m2, 14 to 60.
    age_years: age, years, 60 to 80.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 233 adults of 60 to 80; a corridor and a treadmill are different tests.
    Error: SEE 3.99 mL/kg/min, and up to 3 more since the coefficients are printed with two decimals.
    Source: [sagat2023] Sagat et al. 2023; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic six_min_walk.
    """
    check_range("Distance", distance_m, 200, 1000, "m in six minutes")
    check_bmi(bmi_kg_per_m2)
    check_range("Age", age_years, 60, 80, "years for this six-minute walk equation")
    check_sex(sex)
    check_mass(mass_kg)
    code = 1.0 if sex == "M" else 2.0
    value = 59.44 - 3.83 * code - 0.56 * age_years - 0.48 * bmi_kg_per_m2 + 0.04 * distance_m
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        3.99,
        "standard error of estimate 3.99 mL/kg/min, and up to 3 from rounded coefficients",
        "sagat2023",
        _SIX_MINUTES,
        "walk",
        mass_kg,
        ("The coefficients are printed with two decimals: up to 3 mL/kg/min of rounding.",),
    )


def six_minute_walk_burr_2011(
    *, distance_m: float, mass_kg: float, resting_heart_rate_bpm: float, age_years: float, sex: Sex
) -> VO2max:
    """VO2max of a working-age adult from the distance walked in six minutes.

    distance_m: distance in 6 min, m, 200 to 1000.
    mass_kg: body mass, kg, 30 to 250.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    age_years: age, years, 18 to 80; above 65 the value is marked.
    sex: F or M.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 44 adults of working age.
    Error: not found.
    Source: [burr2011] Burr et al. 2011; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic six_min_walk.
    """
    check_range("Distance", distance_m, 200, 1000, "m in six minutes")
    check_mass(mass_kg)
    check_resting(resting_heart_rate_bpm)
    check_range("Age", age_years, 18, 80, "years")
    check_sex(sex)
    value = 70.161 + 0.023 * distance_m - 0.276 * mass_kg - 6.79 * (1 - male(sex))
    value -= 0.193 * resting_heart_rate_bpm + 0.191 * age_years
    older = "Made on adults of working age; this age is beyond." if age_years >= 65 else None
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        None,
        "error not found",
        "burr2011",
        f"{_SIX_MINUTES} (working age)",
        "walk",
        mass_kg,
        notes_of("Made on 44 adults of working age.", older),
    )


def six_minute_walk_group_ross_2010(*, mean_distance_m: float) -> Estimate:
    """Mean VO2peak of a group from its mean six-minute walk; never for one person.

    mean_distance_m: mean distance of the group in 6 min, m, 200 to 800.
    Returns: mean VO2peak, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: means of groups with heart or lung disease; not for one client.
    Error: SEE 3.8 mL/kg/min (27 %) for one person.
    Source: [ross2010] Ross et al. 2010; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic six_min_walk.
    """
    check_range("Mean distance", mean_distance_m, 200, 800, "m in six minutes")
    return Estimate(
        4.948 + 0.023 * mean_distance_m,
        ML_PER_KG_MIN,
        3.8,
        "error for one person 3.8 mL/kg/min (27 %)",
        "ross2010",
        ("For means of groups only; not for one client.",),
    )


def six_minute_walk_distance_enright_1998(
    *, height_cm: float, mass_kg: float, age_years: float, sex: Sex
) -> Estimate:
    """The distance a healthy adult is expected to walk in six minutes.

    height_cm: height, cm, 120 to 230.
    mass_kg: body mass, kg, 30 to 250.
    age_years: age, years, 40 to 80.
    sex: F or M.
    Returns: expected distance, m.
    Raises: OutOfRange outside these.
    Limits: healthy adults of 40 to 80.
    Error: not found.
    Source: [enright1998] Enright & Sherrill 1998; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic six_min_walk.
    """
    check_range("Height", height_cm, SHORTEST_CM, TALLEST_CM, "cm")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    check_range("Age", age_years, 40, 80, "years")
    check_sex(sex)
    if sex == "M":
        value = 7.57 * height_cm - 5.02 * age_years - 1.76 * mass_kg - 309
    else:
        value = 2.11 * height_cm - 2.29 * mass_kg - 5.78 * age_years + 667
    return Estimate(positive(value), "m", None, "error not found", "enright1998")
