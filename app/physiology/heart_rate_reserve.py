"""Targets between rest and maximum, for heart rate and for oxygen, and how the two relate."""

from __future__ import annotations

import math

from app.physiology.values import Estimate, OutOfRange, check_range

#: Oxygen uptake at rest by convention; heavy adults were measured at 2.47 to 2.62 (Wilms et al. 2014).
REST_ML_PER_KG_MIN = 3.5


def target_heart_rate_karvonen_1957(
    heart_rate_max_bpm: float, heart_rate_rest_bpm: float, reserve_fraction: float
) -> float:
    """The heart rate at a share of the way from rest to maximum.

    heart_rate_max_bpm: maximal heart rate, bpm, 60 to 240.
    heart_rate_rest_bpm: heart rate at rest, bpm, 25 to 120 and below the maximum.
    reserve_fraction: share of the reserve, fraction, 0 to 1.
    Returns: heart rate, bpm.
    Raises: OutOfRange outside these limits, or when rest is not below the maximum.
    Limits: no medicine or rhythm that uncouples heart rate from effort; see heart_rate_targets.
    Error: the share of the reserve times the error of the maximum: 10 bpm become 6 at 60 %.
    Source: [karvonen1957] Karvonen, Kentala & Mustala 1957; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr.
    """
    _check_reserve(heart_rate_max_bpm, heart_rate_rest_bpm)
    check_range("Share of the reserve", reserve_fraction, 0.0, 1.0)
    return heart_rate_rest_bpm + reserve_fraction * (heart_rate_max_bpm - heart_rate_rest_bpm)


def reserve_fraction_karvonen_1957(
    heart_rate_max_bpm: float, heart_rate_rest_bpm: float, heart_rate_bpm: float
) -> float:
    """How far up the way from rest to maximum a heart rate lies.

    heart_rate_max_bpm: maximal heart rate, bpm, 60 to 240.
    heart_rate_rest_bpm: heart rate at rest, bpm, 25 to 120 and below the maximum.
    heart_rate_bpm: heart rate now, bpm, from rest to maximum.
    Returns: share of the reserve, fraction.
    Raises: OutOfRange outside these limits: a heart rate over the maximum says that the maximum is wrong.
    Limits: as for target_heart_rate_karvonen_1957.
    Error: the share of the reserve times the error of the maximum: 10 bpm become 6 at 60 %.
    Source: [karvonen1957] Karvonen, Kentala & Mustala 1957; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr.
    """
    _check_reserve(heart_rate_max_bpm, heart_rate_rest_bpm)
    check_range("Heart rate", heart_rate_bpm, heart_rate_rest_bpm, heart_rate_max_bpm, "bpm")
    return (heart_rate_bpm - heart_rate_rest_bpm) / (heart_rate_max_bpm - heart_rate_rest_bpm)


def target_heart_rate_sd(
    heart_rate_max_sd_bpm: float, heart_rate_rest_sd_bpm: float, reserve_fraction: float
) -> float:
    """How uncertain a target is when its maximum and its rest are.

    heart_rate_max_sd_bpm: SD of the maximal heart rate, bpm, 0 to 40.
    heart_rate_rest_sd_bpm: SD of the heart rate at rest, bpm, 0 to 40.
    reserve_fraction: share of the reserve, fraction, 0 to 1.
    Returns: SD of the target, bpm.
    Raises: OutOfRange outside these limits.
    Limits: the two errors are taken as independent.
    Error: none of its own; it is arithmetic.
    Source: [karvonen1957] the spread of that line by ordinary error propagation; our arithmetic.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr.
    """
    check_range("SD of the maximum", heart_rate_max_sd_bpm, 0.0, 40.0, "bpm")
    check_range("SD of the rest", heart_rate_rest_sd_bpm, 0.0, 40.0, "bpm")
    check_range("Share of the reserve", reserve_fraction, 0.0, 1.0)
    return math.hypot(reserve_fraction * heart_rate_max_sd_bpm, (1.0 - reserve_fraction) * heart_rate_rest_sd_bpm)


def target_vo2_reserve(vo2max_ml_per_kg_min: float, reserve_fraction: float) -> float:
    """The oxygen uptake at a share of the way from rest to VO2max.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, over 3.5 to 100.
    reserve_fraction: share of the reserve, fraction, 0 to 1.
    Returns: oxygen uptake, mL/kg/min.
    Raises: OutOfRange outside these limits.
    Limits: rest is taken as 3.5 mL/kg/min by convention; heavy adults were measured lower.
    Error: not found; that of the VO2max goes through in proportion.
    Source: [swain1997] the oxygen-reserve method; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic vo2r.
    """
    _check_vo2max(vo2max_ml_per_kg_min)
    check_range("Share of the reserve", reserve_fraction, 0.0, 1.0)
    return REST_ML_PER_KG_MIN + reserve_fraction * (vo2max_ml_per_kg_min - REST_ML_PER_KG_MIN)


def vo2_reserve_fraction(vo2max_ml_per_kg_min: float, vo2_ml_per_kg_min: float) -> float:
    """How far up the way from rest to VO2max an oxygen uptake lies.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, over 3.5 to 100.
    vo2_ml_per_kg_min: oxygen uptake, mL/kg/min, 3.5 to VO2max.
    Returns: share of the reserve, fraction.
    Raises: OutOfRange outside these limits.
    Limits: rest is taken as 3.5 mL/kg/min by convention; heavy adults were measured lower.
    Error: not found; that of the VO2max goes through.
    Source: [swain1997] the oxygen-reserve method; published, second-hand.
    Checked in tests/physiology/test_heart_rate_reserve.py as the inverse of target_vo2_reserve.
    """
    _check_vo2max(vo2max_ml_per_kg_min)
    check_range("Oxygen uptake", vo2_ml_per_kg_min, REST_ML_PER_KG_MIN, vo2max_ml_per_kg_min, "mL/kg/min")
    return (vo2_ml_per_kg_min - REST_ML_PER_KG_MIN) / (vo2max_ml_per_kg_min - REST_ML_PER_KG_MIN)


def hrr_percent_from_vo2max_percent_swain_1997(vo2max_percent: float) -> Estimate:
    """Percent of heart-rate reserve for a percent of VO2max, on a cycle.

    vo2max_percent: share of VO2max, %, 20 to 100.
    Returns: share of heart-rate reserve, %.
    Raises: OutOfRange outside 20 to 100 %.
    Limits: 63 adults in a ramp test on a cycle; in long steady work heart rate drifts above.
    Error: not found.
    Source: [swain1997] Swain & Leutholtz 1997; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr_vo2.
    """
    check_range("Share of VO2max", vo2max_percent, 20.0, 100.0, "%")
    return _percent(-11.6 + 1.12 * vo2max_percent, "swain1997")


def hrr_percent_from_vo2_reserve_percent_swain_1997(vo2_reserve_percent: float) -> Estimate:
    """Percent of heart-rate reserve for a percent of oxygen reserve, on a cycle: practically the same.

    vo2_reserve_percent: share of the oxygen reserve, %, 0 to 100.
    Returns: share of heart-rate reserve, %.
    Raises: OutOfRange outside 0 to 100 %.
    Limits: 63 adults in a ramp test on a cycle; in long steady work heart rate drifts above.
    Error: not found.
    Source: [swain1997] Swain & Leutholtz 1997; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr_vo2.
    """
    check_range("Share of the oxygen reserve", vo2_reserve_percent, 0.0, 100.0, "%")
    return _percent(-0.1 + 1.00 * vo2_reserve_percent, "swain1997")


def hrr_percent_from_vo2max_percent_swain_1998(vo2max_percent: float) -> Estimate:
    """Percent of heart-rate reserve for a percent of VO2max, on a treadmill.

    vo2max_percent: share of VO2max, %, 20 to 100.
    Returns: share of heart-rate reserve, %.
    Raises: OutOfRange outside 20 to 100 %.
    Limits: 50 adults in a ramp test on a treadmill; in long steady work heart rate drifts above.
    Error: not found.
    Source: [swain1998] Swain et al. 1998; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr_vo2.
    """
    check_range("Share of VO2max", vo2max_percent, 20.0, 100.0, "%")
    return _percent(-6.1 + 1.10 * vo2max_percent, "swain1998")


def hrr_percent_from_vo2_reserve_percent_swain_1998(vo2_reserve_percent: float) -> Estimate:
    """Percent of heart-rate reserve for a percent of oxygen reserve, on a treadmill.

    vo2_reserve_percent: share of the oxygen reserve, %, 0 to 100.
    Returns: share of heart-rate reserve, %.
    Raises: OutOfRange outside 0 to 100 %.
    Limits: 50 adults in a ramp test on a treadmill; in long steady work heart rate drifts above.
    Error: not found.
    Source: [swain1998] Swain et al. 1998; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr_vo2.
    """
    check_range("Share of the oxygen reserve", vo2_reserve_percent, 0.0, 100.0, "%")
    return _percent(1.5 + 1.03 * vo2_reserve_percent, "swain1998")


def hrr_percent_from_vo2_reserve_percent_dalleck_2006(vo2_reserve_percent: float) -> Estimate:
    """Percent of heart-rate reserve for a percent of oxygen reserve, on a cross-trainer.

    vo2_reserve_percent: share of the oxygen reserve, %, 0 to 100.
    Returns: share of heart-rate reserve, %.
    Raises: OutOfRange outside 0 to 100 %.
    Limits: adults on an elliptical cross-trainer; in long steady work heart rate drifts above.
    Error: not found.
    Source: [dalleck2006] Dalleck & Kravitz 2006; published, read.
    Checked in tests/physiology/test_heart_rate_reserve.py by hand; no row in the reference.
    """
    check_range("Share of the oxygen reserve", vo2_reserve_percent, 0.0, 100.0, "%")
    return _percent(0.3 + 1.01 * vo2_reserve_percent, "dalleck2006")


def hrmax_percent_from_vo2max_percent_swain_1994(vo2max_percent: float) -> Estimate:
    """Percent of maximal heart rate for a percent of VO2max, on a treadmill.

    vo2max_percent: share of VO2max, %, 40 to 85.
    Returns: share of maximal heart rate, %.
    Raises: OutOfRange outside 40 to 85 %.
    Limits: adults of 18 to 34 on a treadmill.
    Error: not found; the line meets the four printed pairs to 1 point.
    Source: [swain1994] Swain et al. 1994; printed pairs published, read, the line from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrr_vo2.
    """
    check_range("Share of VO2max", vo2max_percent, 40.0, 85.0, "%")
    return _percent(
        0.64 * vo2max_percent + 37.0, "swain1994", "line from memory, unchecked", "made on 18 to 34 years"
    )


def _check_reserve(heart_rate_max_bpm: float, heart_rate_rest_bpm: float) -> None:
    check_range("Maximal heart rate", heart_rate_max_bpm, 60.0, 240.0, "bpm")
    check_range("Heart rate at rest", heart_rate_rest_bpm, 25.0, 120.0, "bpm")
    if heart_rate_rest_bpm >= heart_rate_max_bpm:
        raise OutOfRange("Heart rate at rest must be below the maximal heart rate.")


def _check_vo2max(vo2max_ml_per_kg_min: float) -> None:
    check_range("VO2max", vo2max_ml_per_kg_min, REST_ML_PER_KG_MIN, 100.0, "mL/kg/min")
    if vo2max_ml_per_kg_min == REST_ML_PER_KG_MIN:
        raise OutOfRange("VO2max must be over the 3.5 mL/kg/min of rest.")


def _percent(value: float, source: str, *notes: str) -> Estimate:
    return Estimate(value, "%", None, "error not found", source, notes)
