"""VO2max without exercise, from build and habits: a starting point, never the judge of a gain."""

from __future__ import annotations

from typing import Literal

from app.physiology.units import KG_PER_LB, M_PER_IN
from app.physiology.values import OutOfRange, Sex, check_range
from app.physiology.vo2max import (
    HEAVIEST_KG,
    LIGHTEST_KG,
    MET,
    ML_PER_KG_MIN,
    NO_JUDGE,
    SHORTEST_CM,
    TALLEST_CM,
    VO2max,
    check_bmi,
    check_mass,
    check_resting,
    check_sex,
    male,
    positive,
)

_REST = "at rest"
_NORMAL = "What is usual for such a person, not what this person has."
_ACTIVITY_OPEN = "Sources differ on how the activity index is put together; the product (0 to 45) is the likelier."
_JURCA_LEVELS = (0.0, 0.32, 1.06, 1.76, 3.03)


def no_exercise_bmi_jackson_1990(
    *, age_years: float, bmi_kg_per_m2: float, activity_code: float, sex: Sex, mass_kg: float | None = None
) -> VO2max:
    """VO2max without exercise, from age, body mass index, sex and an activity code.

    age_years: age, years, 20 to 70.
    bmi_kg_per_m2: body mass index, kg/m2, 14 to 60.
    activity_code: habitual activity, no unit, 0 to 7.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 2,009 adults, a tenth of them women; the span of ages is a house choice. A starting point only.
    Error: SE 5.6 mL/kg/min.
    Source: [jackson1990] Jackson et al. 1990; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    _check_jackson(age_years, activity_code, sex, mass_kg)
    check_bmi(bmi_kg_per_m2)
    value = 56.363 + 1.921 * activity_code - 0.381 * age_years - 0.754 * bmi_kg_per_m2 + 10.987 * male(sex)
    return _jackson(value, 5.6, "body mass index", mass_kg)


def no_exercise_fat_jackson_1990(
    *, age_years: float, fat_percent: float, activity_code: float, sex: Sex, mass_kg: float | None = None
) -> VO2max:
    """VO2max without exercise, from age, body fat, sex and an activity code.

    age_years: age, years, 20 to 70.
    fat_percent: body fat, %, 3 to 60.
    activity_code: habitual activity, no unit, 0 to 7.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 2,009 adults, a tenth of them women; the span of ages is a house choice. A starting point only.
    Error: SE 5.3 mL/kg/min.
    Source: [jackson1990] Jackson et al. 1990; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    _check_jackson(age_years, activity_code, sex, mass_kg)
    check_range("Body fat", fat_percent, 3, 60, "%")
    value = 50.513 + 1.589 * activity_code - 0.289 * age_years - 0.552 * fat_percent + 5.863 * male(sex)
    return _jackson(value, 5.3, "body fat", mass_kg)


def no_exercise_bradshaw_2005(
    *,
    age_years: float,
    bmi_kg_per_m2: float,
    perceived_ability: float,
    activity_rating: float,
    sex: Sex,
    mass_kg: float | None = None,
) -> VO2max:
    """VO2max without exercise, from age, body mass index, sex and two questionnaires.

    age_years: age, years, 18 to 65.
    bmi_kg_per_m2: body mass index, kg/m2, 14 to 60.
    perceived_ability: two answers summed, no unit, 2 to 26.
    activity_rating: habitual activity, no unit, 0 to 10.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of 18 to 65; spans of the two answers from memory. A starting point only.
    Error: SEE 3.45 mL/kg/min.
    Source: [bradshaw2005] Bradshaw et al. 2005; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Age", age_years, 18, 65, "years")
    check_bmi(bmi_kg_per_m2)
    check_range("Perceived ability", perceived_ability, 2, 26)
    check_range("The activity rating", activity_rating, 0, 10)
    check_sex(sex)
    check_mass(mass_kg)
    value = 48.0730 + 6.1779 * male(sex) - 0.2463 * age_years - 0.6186 * bmi_kg_per_m2
    value += 0.7115 * perceived_ability + 0.6709 * activity_rating
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        3.45,
        "standard error of estimate 3.45 mL/kg/min",
        "bradshaw2005",
        "no exercise, perceived ability",
        _REST,
        mass_kg,
        (NO_JUDGE,),
    )


def no_exercise_bmi_nes_2011(
    *,
    age_years: float,
    height_cm: float,
    mass_kg: float,
    resting_heart_rate_bpm: float,
    activity_index: float,
    sex: Sex,
) -> VO2max:
    """VO2max without exercise, from age, height, mass, resting heart rate and activity.

    age_years: age, years, 19 to 89.
    height_cm: height, cm, 120 to 230.
    mass_kg: body mass, kg, 30 to 250.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    activity_index: habitual activity, no unit, 0 to 45.
    sex: F or M.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: healthy Norwegian adults; the span of ages is that of the cohort. A starting point only.
    Error: SEE 5.8 (M), 5.1 (F) mL/kg/min.
    Source: [nes2011] Nes et al. 2011; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Height", height_cm, SHORTEST_CM, TALLEST_CM, "cm")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    _check_nes(age_years, resting_heart_rate_bpm, activity_index, sex)
    bmi = mass_kg / (height_cm / 100) ** 2
    rest, error = resting_heart_rate_bpm, 5.8 if sex == "M" else 5.1
    if sex == "M":
        value = 92.05 - 0.327 * age_years - 0.933 * bmi - 0.167 * rest + 0.257 * activity_index
    else:
        value = 70.77 - 0.244 * age_years - 0.749 * bmi - 0.107 * rest + 0.213 * activity_index
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        error,
        f"standard error of estimate {error:g} mL/kg/min",
        "nes2011",
        "no exercise, body mass index and resting heart rate",
        _REST,
        mass_kg,
        (_ACTIVITY_OPEN, NO_JUDGE),
    )


def no_exercise_waist_nes_2011(
    *,
    age_years: float,
    waist_cm: float,
    resting_heart_rate_bpm: float,
    activity_index: float,
    sex: Sex,
    mass_kg: float | None = None,
) -> VO2max:
    """VO2max without exercise, from age, waist, resting heart rate and activity.

    age_years: age, years, 19 to 89.
    waist_cm: waist, cm, 50 to 180.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    activity_index: habitual activity, no unit, 0 to 45.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: healthy Norwegian adults; the span of ages is that of the cohort. A starting point only.
    Error: not found for this form.
    Source: [nevill2017] Nevill & Cooke 2017, quoting [nes2011]; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Waist", waist_cm, 50, 180, "cm")
    _check_nes(age_years, resting_heart_rate_bpm, activity_index, sex)
    check_mass(mass_kg)
    rest = resting_heart_rate_bpm
    if sex == "M":
        value = 100.27 - 0.296 * age_years - 0.369 * waist_cm - 0.155 * rest + 0.226 * activity_index
    else:
        value = 74.74 - 0.247 * age_years - 0.259 * waist_cm - 0.114 * rest + 0.198 * activity_index
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        None,
        "error not found for this form",
        "nevill2017",
        "no exercise, waist and resting heart rate",
        _REST,
        mass_kg,
        (_ACTIVITY_OPEN, NO_JUDGE),
    )


def no_exercise_jurca_2005(
    *,
    age_years: float,
    bmi_kg_per_m2: float,
    resting_heart_rate_bpm: float,
    activity_level: int,
    sex: Sex,
    mass_kg: float | None = None,
) -> VO2max:
    """Fitness in METs without exercise, from age, body mass index, resting heart rate and an activity level.

    age_years: age, years, 20 to 70.
    bmi_kg_per_m2: body mass index, kg/m2, 14 to 60.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    activity_level: habitual activity, no unit, 1 to 5, whole.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: fitness, MET.
    Raises: OutOfRange outside these.
    Limits: adults of 20 to 70. A starting point only.
    Error: SEE 1.45 to 1.97 MET in three cohorts; the largest is given.
    Source: [jurca2005] Jurca et al. 2005; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Age", age_years, 20, 70, "years")
    check_bmi(bmi_kg_per_m2)
    check_resting(resting_heart_rate_bpm)
    check_range("The activity level", activity_level, 1, len(_JURCA_LEVELS))
    if activity_level != int(activity_level):
        raise OutOfRange("The activity level must be a whole number from 1 to 5.")
    check_sex(sex)
    check_mass(mass_kg)
    value = 18.07 + 2.77 * male(sex) - 0.10 * age_years - 0.17 * bmi_kg_per_m2
    value += _JURCA_LEVELS[int(activity_level) - 1] - 0.03 * resting_heart_rate_bpm
    return VO2max(
        positive(value),
        MET,
        1.97,
        "standard error of estimate 1.45 to 1.97 MET",
        "jurca2005",
        "no exercise, activity level",
        _REST,
        mass_kg,
        ("Coefficients from memory, unchecked.", NO_JUDGE),
    )


def usual_vo2max_myers_2017(*, age_years: float, mass_kg: float, sex: Sex) -> VO2max:
    """The VO2max usual for a person of this age, weight and sex on a treadmill.

    age_years: age, years, 20 to 79.
    mass_kg: body mass, kg, 30 to 250.
    sex: F or M.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of a US registry, treadmill; the span of ages is that of its percentile tables.
    Error: SEE 7.2 mL/kg/min.
    Source: [myers2017] Myers et al. 2017; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Age", age_years, 20, 79, "years")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    check_sex(sex)
    value = 79.9 - 0.39 * age_years - 13.7 * (1 - male(sex)) - 0.127 * mass_kg / KG_PER_LB
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        7.2,
        "standard error of estimate 7.2 mL/kg/min",
        "myers2017",
        "usual for age, weight and sex (treadmill)",
        _REST,
        mass_kg,
        (_NORMAL,),
    )


def usual_vo2max_souza_2018(
    *, age_years: float, mass_kg: float, height_cm: float, sex: Sex, mode: Literal["treadmill", "cycle"]
) -> VO2max:
    """The VO2max usual for a person of this age, weight, height and sex, by mode.

    age_years: age, years, 20 to 79.
    mass_kg: body mass, kg, 30 to 250.
    height_cm: height, cm, 120 to 230.
    sex: F or M.
    mode: treadmill or cycle.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of a US registry; the span of ages is that of its percentile tables.
    Error: SEE 6.6 mL/kg/min.
    Source: [souza2018] de Souza e Silva et al. 2018; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic nonexercise.
    """
    check_range("Age", age_years, 20, 79, "years")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    check_range("Height", height_cm, SHORTEST_CM, TALLEST_CM, "cm")
    check_sex(sex)
    if mode not in ("treadmill", "cycle"):
        raise OutOfRange("The mode must be treadmill or cycle.")
    sex_code, mode_code = (1 if sex == "M" else 2), (1 if mode == "treadmill" else 2)
    value = 45.2 - 0.35 * age_years - 10.9 * sex_code - 0.15 * mass_kg / KG_PER_LB
    value += 0.68 * height_cm / 100 / M_PER_IN - 0.46 * mode_code
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        6.6,
        "standard error of estimate 6.6 mL/kg/min",
        "souza2018",
        f"usual for age, weight, height and sex ({mode})",
        _REST,
        mass_kg,
        (_NORMAL,),
    )


def _check_jackson(age_years: float, activity_code: float, sex: Sex, mass_kg: float | None) -> None:
    check_range("Age", age_years, 20, 70, "years")
    check_range("The activity code", activity_code, 0, 7)
    check_sex(sex)
    check_mass(mass_kg)


def _jackson(value: float, error: float, by: str, mass_kg: float | None) -> VO2max:
    return VO2max(
        positive(value),
        ML_PER_KG_MIN,
        error,
        f"standard error {error:g} mL/kg/min",
        "jackson1990",
        f"no exercise, {by}",
        _REST,
        mass_kg,
        ("Only a tenth of those measured were women.", NO_JUDGE),
    )


def _check_nes(age_years: float, resting_heart_rate_bpm: float, activity_index: float, sex: Sex) -> None:
    check_range("Age", age_years, 19, 89, "years")
    check_resting(resting_heart_rate_bpm)
    check_range("The activity index", activity_index, 0, 45)
    check_sex(sex)
