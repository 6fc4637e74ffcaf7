"""VO2max from heart rates alone, without exercise: a starting point, never the judge of a gain."""

from __future__ import annotations

from typing import Literal

from app.physiology.values import OutOfRange
from app.physiology.vo2max import MET, ML_PER_KG_MIN, NO_JUDGE, VO2max, check_mass, check_resting, check_working

_REST = "at rest"
_RATIO = "heart-rate ratio"


def heart_rate_ratio_uth_2004(
    *,
    maximal_heart_rate_bpm: float,
    resting_heart_rate_bpm: float,
    maximum_is: Literal["measured", "predicted"] = "measured",
    mass_kg: float | None = None,
) -> VO2max:
    """VO2max from the ratio of maximal to resting heart rate, well-trained men.

    maximal_heart_rate_bpm: maximal heart rate, beats a minute, 60 to 220.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    maximum_is: how the maximum was got, no unit, measured or predicted from age.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 46 well-trained men of 21 to 51; too high for ordinary middle-aged people.
    Error: SEE 2.7 mL/kg/min, 4.7 with a predicted maximum.
    Source: [uth2004] Uth et al. 2004; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hr_ratio.
    """
    errors = {"measured": 2.7, "predicted": 4.7}
    if maximum_is not in errors:
        raise OutOfRange("The maximum must be measured or predicted.")
    error = errors[maximum_is]
    ratio = _ratio(maximal_heart_rate_bpm, resting_heart_rate_bpm, mass_kg)
    return VO2max(
        15.3 * ratio,
        ML_PER_KG_MIN,
        error,
        f"standard error of estimate {error:g} mL/kg/min with a {maximum_is} maximum",
        "uth2004",
        _RATIO,
        _REST,
        mass_kg,
        ("Made on well-trained men of 21 to 51; reads too high for ordinary people.", NO_JUDGE),
    )


def heart_rate_ratio_voutilainen_2020(
    *, maximal_heart_rate_bpm: float, resting_heart_rate_bpm: float, mass_kg: float | None = None
) -> VO2max:
    """VO2max from the ratio of maximal to resting heart rate, ordinary middle-aged men, by a factor.

    maximal_heart_rate_bpm: maximal heart rate, beats a minute, 60 to 220.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 634 men of mean age 49.
    Error: not found.
    Source: [voutilainen2020] Voutilainen et al. 2020; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hr_ratio.
    """
    ratio = _ratio(maximal_heart_rate_bpm, resting_heart_rate_bpm, mass_kg)
    return _voutilainen(12.11 * ratio, "factor", mass_kg)


def heart_rate_ratio_line_voutilainen_2020(
    *, maximal_heart_rate_bpm: float, resting_heart_rate_bpm: float, mass_kg: float | None = None
) -> VO2max:
    """VO2max from the ratio of maximal to resting heart rate, ordinary middle-aged men, by a line.

    maximal_heart_rate_bpm: maximal heart rate, beats a minute, 60 to 220.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 634 men of mean age 49.
    Error: not found.
    Source: [voutilainen2020] Voutilainen et al. 2020; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hr_ratio.
    """
    ratio = _ratio(maximal_heart_rate_bpm, resting_heart_rate_bpm, mass_kg)
    return _voutilainen(8.43 * ratio + 10.46, "line", mass_kg)


def heart_rate_index_wicks_2016(*, heart_rate_bpm: float, resting_heart_rate_bpm: float) -> VO2max:
    """METs from a heart rate under work over the resting one; at the maximum, the highest METs.

    heart_rate_bpm: heart rate under work, beats a minute, 60 to 220.
    resting_heart_rate_bpm: resting heart rate, beats a minute, 30 to 120.
    Returns: fitness, MET.
    Raises: OutOfRange outside these.
    Limits: population not noted; heart rate not steered by medicines.
    Error: not found.
    Source: [wicks2016] Wicks & Oldridge 2016; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hr_ratio.
    """
    ratio = _ratio(heart_rate_bpm, resting_heart_rate_bpm, None)
    return VO2max(
        6 * ratio - 5, MET, None, "error not found", "wicks2016", "heart-rate index", _REST, None, (NO_JUDGE,)
    )


def _ratio(heart_rate_bpm: float, resting_heart_rate_bpm: float, mass_kg: float | None) -> float:
    check_working(heart_rate_bpm)
    check_resting(resting_heart_rate_bpm)
    check_mass(mass_kg)
    if heart_rate_bpm <= resting_heart_rate_bpm:
        raise OutOfRange("The higher heart rate must be above the resting one.")
    return heart_rate_bpm / resting_heart_rate_bpm


def _voutilainen(value: float, form: str, mass_kg: float | None) -> VO2max:
    return VO2max(
        value,
        ML_PER_KG_MIN,
        None,
        "error not found",
        "voutilainen2020",
        f"{_RATIO} (ordinary men, {form})",
        _REST,
        mass_kg,
        ("Made on men of mean age 49.", NO_JUDGE),
    )
