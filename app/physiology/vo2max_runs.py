"""VO2max from runs: twelve minutes, a mile, a mile and a half, and shuttles."""

from __future__ import annotations

from app.physiology.units import M_PER_MIN_PER_KM_PER_H, M_PER_MIN_PER_MPH
from app.physiology.values import Estimate, OutOfRange, Sex, check_range
from app.physiology.vo2max import (
    ML_PER_KG_MIN,
    VO2max,
    check_mass,
    check_sex,
    male,
    notes_of,
    positive,
)

_COOPER_SHIFT_M = 504.9
#: Metres of a 12-minute run for one mL/kg/min.
COOPER_M_PER_ML_PER_KG_MIN = 44.73
_SECONDS_A_MINUTE = 60.0
_ADULT_SHUTTLE_AGE = 18.0
_RUNNERS_ONLY = "For people who already run."
_NO_AGE = "Age not given; made on adults of 18 to 29 only."
_SHUTTLE = "20-m shuttle"


def twelve_minute_run_cooper_1968(*, distance_m: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from the distance run in twelve minutes.

    distance_m: distance in 12 min, m, 1000 to 4500.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 115 air-force men; only for people who already run; a maximal test.
    Error: not found; r 0.90 in its own sample, 0.78 pooled over later ones.
    Source: [cooper1968] Cooper 1968; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic cooper.
    """
    check_range("Distance", distance_m, 1000, 4500, "m in twelve minutes")
    check_mass(mass_kg)
    return VO2max(
        (distance_m - _COOPER_SHIFT_M) / COOPER_M_PER_ML_PER_KG_MIN,
        ML_PER_KG_MIN,
        None,
        "no error was reported",
        "cooper1968",
        "twelve-minute run",
        "run",
        mass_kg,
        ("Made on air-force men.", _RUNNERS_ONLY),
    )


def twelve_minute_run_distance_cooper_1968(*, vo2max_ml_per_kg_min: float) -> Estimate:
    """The distance in twelve minutes that belongs to a VO2max.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, 12 to 89.
    Returns: distance in 12 min, m.
    Raises: OutOfRange outside these.
    Limits: 115 air-force men; only for people who already run.
    Error: not found.
    Source: [cooper1968] Cooper 1968, turned round; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic cooper.
    """
    check_range("VO2max", vo2max_ml_per_kg_min, 12, 89, ML_PER_KG_MIN)
    value = vo2max_ml_per_kg_min * COOPER_M_PER_ML_PER_KG_MIN + _COOPER_SHIFT_M
    return Estimate(value, "m", None, "no error was reported", "cooper1968", (_RUNNERS_ONLY,))


def one_mile_jog_george_1993(
    *, duration_s: float, heart_rate_bpm: float, mass_kg: float, sex: Sex, age_years: float | None = None
) -> VO2max:
    """VO2max of a young adult from one mile jogged at a steady, easy pace.

    duration_s: time for 1609 m, s, from 480 (M) or 540 (F) to 1200.
    heart_rate_bpm: at the end, beats a minute, 60 to 180.
    mass_kg: body mass, kg, 30 to 250.
    sex: F or M.
    age_years: age, years, 18 to 29; when not given the value is marked.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of 18 to 29, not faster than 8 min (men) or 9 min (women), heart rate at most 180.
    Error: SEE 3.0 mL/kg/min.
    Source: [george1993] George et al. 1993; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic george.
    """
    check_sex(sex)
    check_range("The time for one mile", duration_s, 480 if sex == "M" else 540, 1200, "s")
    check_range("Heart rate", heart_rate_bpm, 60, 180, "beats a minute")
    check_mass(mass_kg)
    note = _young(age_years)
    value = 100.5 + 8.344 * male(sex) - 0.1636 * mass_kg - 1.438 * duration_s / _SECONDS_A_MINUTE
    value -= 0.1928 * heart_rate_bpm
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        3.0,
        "standard error of estimate 3.0 mL/kg/min",
        "george1993",
        "one-mile jog",
        "run",
        mass_kg,
        notes_of(note),
    )


def treadmill_jog_george_1993(
    *, speed_m_per_min: float, heart_rate_bpm: float, mass_kg: float, sex: Sex, age_years: float | None = None
) -> VO2max:
    """VO2max of a young adult from a steady jog on a treadmill.

    speed_m_per_min: belt speed, m/min, 115 to 201.2 (4.3 to 7.5 mph).
    heart_rate_bpm: at the end, beats a minute, 60 to 180.
    mass_kg: body mass, kg, 30 to 250.
    sex: F or M.
    age_years: age, years, 18 to 29; when not given the value is marked.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of 18 to 29, flat belt, heart rate at most 180.
    Error: SEE 3.2 mL/kg/min.
    Source: [george1993b] George et al. 1993; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic george.
    """
    check_sex(sex)
    check_range("Speed", speed_m_per_min, 115, 201.2, "m/min")
    check_range("Heart rate", heart_rate_bpm, 60, 180, "beats a minute")
    check_mass(mass_kg)
    note = _young(age_years)
    value = 54.07 + 7.062 * male(sex) - 0.1938 * mass_kg + 4.47 * speed_m_per_min / M_PER_MIN_PER_MPH
    value -= 0.1453 * heart_rate_bpm
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        3.2,
        "standard error of estimate 3.2 mL/kg/min",
        "george1993b",
        "steady treadmill jog",
        "treadmill",
        mass_kg,
        notes_of(note),
    )


def one_and_half_mile_run_george_1993(
    *, duration_s: float, mass_kg: float, sex: Sex, age_years: float | None = None
) -> VO2max:
    """VO2max of a young adult from a mile and a half run as fast as possible.

    duration_s: time for 2414 m, s, 420 to 1500.
    mass_kg: body mass, kg, 30 to 250.
    sex: F or M.
    age_years: age, years, 18 to 29; when not given the value is marked.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of 18 to 29; a maximal test.
    Error: SEE 2.8 mL/kg/min, in the cross-validation 3.9.
    Source: [george1993c] George et al. 1993; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic george.
    """
    check_sex(sex)
    check_range("The time for a mile and a half", duration_s, 420, 1500, "s")
    check_mass(mass_kg)
    note = _young(age_years)
    value = 88.02 + 3.716 * male(sex) - 0.1656 * mass_kg - 2.767 * duration_s / _SECONDS_A_MINUTE
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        2.8,
        "standard error of estimate 2.8 mL/kg/min, 3.9 in other people",
        "george1993c",
        "mile-and-a-half run",
        "run",
        mass_kg,
        notes_of("Coefficients from memory, unchecked.", note),
    )


def one_and_half_mile_run_acsm_2006(*, duration_s: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from a mile and a half run as fast as possible, the handbook's line.

    duration_s: time for 2414 m, s, 420 to 1500.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: population not found; a maximal test, for people who already run.
    Error: not found.
    Source: [acsm2006] ACSM handbook; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic george.
    """
    check_range("The time for a mile and a half", duration_s, 420, 1500, "s")
    check_mass(mass_kg)
    return VO2max(
        3.5 + 483 / (duration_s / _SECONDS_A_MINUTE),
        ML_PER_KG_MIN,
        None,
        "error not found",
        "acsm2006",
        "mile-and-a-half run (handbook line)",
        "run",
        mass_kg,
        (_RUNNERS_ONLY,),
    )


def shuttle_leger_1988(*, speed_m_per_min: float, age_years: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from the 20-m shuttle run with stages of one minute.

    speed_m_per_min: speed of the last full stage, m/min, 133 to 310 (8 + 0.5 x stage, in km/h).
    age_years: age, years, 8 to 50; every adult counts as 18.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: children from 8 and 77 adults of 18 to 50; a maximal test. Later work finds it reads low in adults.
    Error: not found; r 0.90 in adults.
    Source: [leger1988] Léger et al. 1988; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic shuttle.
    """
    check_range("Speed", speed_m_per_min, 133, 310, "m/min")
    check_range("Age", age_years, 8, 50, "years for the shuttle run")
    check_mass(mass_kg)
    speed, age = speed_m_per_min / M_PER_MIN_PER_KM_PER_H, min(age_years, _ADULT_SHUTTLE_AGE)
    value = 31.025 + 3.238 * speed - 3.248 * age + 0.1536 * age * speed
    adult = "Every adult counts as 18; later work finds that it reads low in adults." if age_years >= 18 else None
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        None,
        "error not found",
        "leger1988",
        f"{_SHUTTLE}, 1-min stages",
        "run",
        mass_kg,
        notes_of(adult),
    )


def shuttle_leger_1989(*, maximal_speed_m_per_min: float, mass_kg: float | None = None) -> VO2max:
    """VO2max of an adult from the highest speed reached in the 20-m shuttle run.

    maximal_speed_m_per_min: highest aerobic speed, m/min, 133 to 310.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults, ages not noted; a maximal test.
    Error: SEE 4.4 mL/kg/min.
    Source: [leger1989] Léger & Gadoury 1989; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic shuttle.
    """
    check_range("Speed", maximal_speed_m_per_min, 133, 310, "m/min")
    check_mass(mass_kg)
    return VO2max(
        -27.4 + 6.0 * maximal_speed_m_per_min / M_PER_MIN_PER_KM_PER_H,
        ML_PER_KG_MIN,
        4.4,
        "standard error of estimate 4.4 mL/kg/min",
        "leger1989",
        f"{_SHUTTLE}, highest speed",
        "run",
        mass_kg,
    )


def shuttle_two_minute_leger_1982(*, speed_m_per_min: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from the older 20-m shuttle run with stages of two minutes.

    speed_m_per_min: speed of the last full stage, m/min, 133 to 310.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults; never interchangeable with stages of one minute (50.8 against 44.6 at 12 km/h).
    Error: SEE 5.4 mL/kg/min.
    Source: [leger1982] Léger & Lambert 1982; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic shuttle.
    """
    check_range("Speed", speed_m_per_min, 133, 310, "m/min")
    check_mass(mass_kg)
    return VO2max(
        5.857 * speed_m_per_min / M_PER_MIN_PER_KM_PER_H - 19.458,
        ML_PER_KG_MIN,
        5.4,
        "standard error of estimate 5.4 mL/kg/min",
        "leger1982",
        f"{_SHUTTLE}, 2-min stages",
        "run",
        mass_kg,
        ("Stages of two minutes and of one minute are different tests.",),
    )


def shuttle_stickland_2003(*, last_half_stage: float, sex: Sex, mass_kg: float | None = None) -> VO2max:
    """VO2max of an adult from the last half stage of the 20-m shuttle run.

    last_half_stage: stage reached, counted in halves, no unit, 1 to 21.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults, ages not noted; stages of one minute; a maximal test.
    Error: SEE 4.07 (M), 3.64 (F) mL/kg/min.
    Source: [stickland2003] Stickland et al. 2003; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic shuttle.
    """
    check_range("The last half stage", last_half_stage, 1, 21)
    check_sex(sex)
    check_mass(mass_kg)
    slope, start, error = (2.75, 28.8, 4.07) if sex == "M" else (2.85, 25.1, 3.64)
    return VO2max(
        slope * last_half_stage + start,
        ML_PER_KG_MIN,
        error,
        f"standard error of estimate {error:g} mL/kg/min",
        "stickland2003",
        f"{_SHUTTLE}, half stages",
        "run",
        mass_kg,
    )


def _young(age_years: float | None) -> str | None:
    if age_years is None:
        return _NO_AGE
    if not 18 <= age_years <= 29:
        raise OutOfRange(f"This equation was made on adults of 18 to 29; {age_years:g} is outside.")
    return None
