"""Training load from heart rate: the exponential impulse, its individual form, and two sums of weighted minutes.

Summed over samples, never from a session's mean heart rate, which underrates intervals. Beta-blockers and a
wrong maximum break all of these.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from app.physiology.least_squares import FloatArray, curve_fit, linear_fit
from app.physiology.values import Estimate, Missing, OutOfRange, Sex, WrongLength, check_range

#: Factor and exponent for men and women; texts that pair 0.64 with 1.67 for women are wrong.
_WEIGHTS = {Sex.MALE: (0.64, 1.92), Sex.FEMALE: (0.86, 1.67)}
#: Test against test in recreational people ([wallace2014]).
IMPULSE_ERROR_PERCENT = 15.6
THRESHOLD_LOAD_ERROR_PERCENT = 10.7
#: Lower edge of each band, % of maximum heart rate, and its weight; the edge itself counts (house choice).
_BANDS = ((90.0, 5), (80.0, 4), (70.0, 3), (60.0, 2), (50.0, 1))
FEWEST_STEPS = 4
_TEST_AGAINST_TEST = "test against test, recreational people"
_LONGEST_MIN = 1440.0


@dataclass(frozen=True, slots=True)
class LactateCurve:
    """Lactate = factor times exp(exponent times share of reserve), and how it was fitted."""

    factor_mmol_per_l: float
    exponent: float
    how: str


def training_impulse_banister_1991(
    *,
    minutes: npt.ArrayLike,
    heart_rates_bpm: npt.ArrayLike,
    resting_bpm: float,
    maximum_bpm: float,
    sex: Sex,
    base: float = math.e,
) -> Estimate | Missing:
    """Heart-rate load: minutes times share of reserve, weighted by an exponential curve, summed over samples.

    minutes: length of each sample, or one for all, min, 0 to 1440.
    heart_rates_bpm: heart rate of each sample, beats/min, 20 to 250; below resting counts as resting.
    resting_bpm: resting heart rate, beats/min, 25 to 120.
    maximum_bpm: maximum heart rate, beats/min, above resting to 230.
    sex: F or M, for the weight (0.86 and 1.67, or 0.64 and 1.92).
    base: of the exponential, no unit, 2.6 to 2.8; some texts print 2.712, which is 0.3 % low.
    Returns: load, AU, marked when heart rate passed the maximum; Missing when a sample has no heart rate.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: curves from small groups of young people; not with beta-blockers or a doubtful maximum.
    Error: test against test differs by 15.6 % in recreational people [wallace2014].
    Source: [banister1991], women's weight [morton1990]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic Banister TRIMP.
    """
    check_range("The base", base, 2.6, 2.8)
    factor, exponent = _WEIGHTS[sex]
    shares = reserve_fractions(heart_rates_bpm=heart_rates_bpm, resting_bpm=resting_bpm, maximum_bpm=maximum_bpm)
    if isinstance(shares, Missing):
        return shares
    weights = factor * base ** (exponent * shares)
    load = _impulse(minutes, shares, weights, "banister1991", ())
    return replace(load, error=load.value * IMPULSE_ERROR_PERCENT / 100, error_words=_TEST_AGAINST_TEST)


def individual_impulse_manzi_2009(
    *,
    minutes: npt.ArrayLike,
    heart_rates_bpm: npt.ArrayLike,
    resting_bpm: float,
    maximum_bpm: float,
    curve: LactateCurve,
) -> Estimate | Missing:
    """Heart-rate load weighted by the person's own lactate curve, summed over samples.

    minutes: length of each sample, or one for all, min, 0 to 1440.
    heart_rates_bpm: heart rate of each sample, beats/min, 20 to 250; below resting counts as resting.
    resting_bpm: resting heart rate, beats/min, 25 to 120.
    maximum_bpm: maximum heart rate, beats/min, above resting to 230.
    curve: lactate against share of reserve, mmol/L, from the person's step test.
    Returns: load, AU, marked when heart rate passed the maximum; Missing when a sample has no heart rate.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: recreational runners of about 40; the way of fitting is named with the curve.
    Error: not found.
    Source: [manzi2009]; from memory, unchecked.
    Checked in tests/physiology/test_heart_rate_load.py, by hand.
    """
    shares = reserve_fractions(heart_rates_bpm=heart_rates_bpm, resting_bpm=resting_bpm, maximum_bpm=maximum_bpm)
    if isinstance(shares, Missing):
        return shares
    weights = curve.factor_mmol_per_l * np.exp(curve.exponent * shares)
    return _impulse(minutes, shares, weights, "manzi2009", (f"curve: {curve.how}", "recipe from memory, unchecked"))


def lactate_curve_log_linear_manzi_2009(
    *, reserve_fractions: Sequence[float], lactates_mmol_per_l: Sequence[float]
) -> LactateCurve | Missing:
    """The exponential curve of a step test, as a straight line through the logarithms.

    reserve_fractions: share of heart-rate reserve of each step, no unit, 0 to 1.
    lactates_mmol_per_l: blood lactate of each step, mmol/L, 0.3 to 30.
    Returns: factor, mmol/L, and exponent, no unit; Missing unless lactate rises.
    Raises: OutOfRange outside these limits; WrongLength for fewer than four steps.
    Limits: differs from the non-linear fit, since low steps weigh as much as high ones; name the one used.
    Error: not found.
    Source: [manzi2009]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic individual TRIMP fit (log-linear).
    """
    shares, lactates = _steps(reserve_fractions, lactates_mmol_per_l)
    fit = linear_fit(np.column_stack([np.ones_like(shares), shares]), np.log(lactates))
    if isinstance(fit, Missing):
        return fit
    return _curve(math.exp(fit.parameters[0]), fit.parameters[1], "straight line through logarithms")


def lactate_curve_non_linear_manzi_2009(
    *, reserve_fractions: Sequence[float], lactates_mmol_per_l: Sequence[float]
) -> LactateCurve | Missing:
    """The exponential curve of a step test that lies nearest to lactate itself.

    reserve_fractions: share of heart-rate reserve of each step, no unit, 0 to 1.
    lactates_mmol_per_l: blood lactate of each step, mmol/L, 0.3 to 30.
    Returns: factor, mmol/L, and exponent, no unit; Missing unless lactate rises.
    Raises: OutOfRange outside these limits; WrongLength for fewer than four steps.
    Limits: differs from the log-linear fit, since high steps weigh more; name the one used.
    Error: not found.
    Source: [manzi2009]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic individual TRIMP fit (non-linear least squares).
    """
    begin = lactate_curve_log_linear_manzi_2009(
        reserve_fractions=reserve_fractions, lactates_mmol_per_l=lactates_mmol_per_l
    )
    if isinstance(begin, Missing):
        return begin
    shares, lactates = _steps(reserve_fractions, lactates_mmol_per_l)

    def curve(guess: FloatArray) -> tuple[FloatArray, FloatArray]:
        rise = np.exp(guess[1] * shares)
        return guess[0] * rise - lactates, np.column_stack([rise, guess[0] * shares * rise])

    fit = curve_fit(curve, np.array([begin.factor_mmol_per_l, begin.exponent]))
    if isinstance(fit, Missing):
        return fit
    return _curve(fit.parameters[0], fit.parameters[1], "least squares on lactate itself")


def summated_load_edwards_1993(*, minutes: Sequence[float], percents_of_maximum: Sequence[float]) -> Estimate:
    """Minutes times a weight of 0 to 5 by share of maximum heart rate, summed.

    minutes: length of each part, min, 0 to 1440.
    percents_of_maximum: heart rate of each part, % of maximum, 0 to 110.
    Returns: load, AU.
    Raises: OutOfRange outside these limits; WrongLength unless each part has both.
    Limits: for looking up only; the weights have no physiological ground and one beat over an edge changes them.
    Error: not found.
    Source: [edwards1993]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic Edwards summated load.
    """
    if len(minutes) != len(percents_of_maximum):
        raise WrongLength("Each part needs its minutes and its heart rate.")
    for length in minutes:
        check_range("The minutes", length, 0, _LONGEST_MIN, "min")
    weights = [heart_rate_weight_edwards_1993(percent_of_maximum=percent) for percent in percents_of_maximum]
    load = math.fsum(length * weight for length, weight in zip(minutes, weights, strict=True))
    return Estimate(load, "AU", None, "not found", "edwards1993")


def heart_rate_weight_edwards_1993(*, percent_of_maximum: float) -> int:
    """The weight of a heart rate in the summated load: 0 below 50 %, then one more each 10 %.

    percent_of_maximum: heart rate, % of maximum, 0 to 110.
    Returns: weight, no unit, 0 to 5; an edge belongs to the higher weight.
    Raises: OutOfRange outside these limits.
    Limits: for looking up only.
    Error: not found.
    Source: [edwards1993]; from memory, unchecked. That an edge counts upward is a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic Edwards load edge.
    """
    check_range("The heart rate", percent_of_maximum, 0, 110, "% of maximum")
    return next((weight for edge, weight in _BANDS if percent_of_maximum >= edge), 0)


def threshold_load_lucia_2003(
    *, minutes_below_first: float, minutes_between: float, minutes_above_second: float
) -> Estimate:
    """Minutes below, between and above two measured thresholds, weighted 1, 2 and 3.

    minutes_below_first: minutes below the first threshold, min, 0 to 1440.
    minutes_between: minutes between the two, min, 0 to 1440.
    minutes_above_second: minutes above the second, min, 0 to 1440.
    Returns: load, AU.
    Raises: OutOfRange outside these limits.
    Limits: needs both thresholds measured in the person.
    Error: test against test differs by 10.7 % in recreational people [wallace2014].
    Source: [lucia2003]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic Lucia TRIMP.
    """
    parts = (minutes_below_first, minutes_between, minutes_above_second)
    for length in parts:
        check_range("The minutes", length, 0, _LONGEST_MIN, "min")
    load = math.fsum(weight * length for weight, length in enumerate(parts, start=1))
    error = load * THRESHOLD_LOAD_ERROR_PERCENT / 100
    return Estimate(load, "AU", error, _TEST_AGAINST_TEST, "lucia2003", ("from memory, unchecked",))


def reserve_fractions(
    *, heart_rates_bpm: npt.ArrayLike, resting_bpm: float, maximum_bpm: float
) -> FloatArray | Missing:
    """The share of heart-rate reserve of each sample, never below 0; above 1 the maximum is wrong."""
    check_range("Resting heart rate", resting_bpm, 25, 120, "beats/min")
    check_range("Maximum heart rate", maximum_bpm, resting_bpm + 20, 230, "beats/min")
    rates = np.atleast_1d(np.asarray(heart_rates_bpm, dtype=float))
    if rates.size == 0:
        raise WrongLength("A recording has at least one sample.")
    unknown = int(np.isnan(rates).sum())
    if unknown:
        return Missing(f"{unknown} samples of this recording have no heart rate")
    if rates.min() < 20 or rates.max() > 250:
        raise OutOfRange("Heart rate must be from 20 to 250 beats/min in every sample.")
    return np.maximum((rates - resting_bpm) / (maximum_bpm - resting_bpm), 0.0)


def _impulse(
    minutes: npt.ArrayLike, shares: FloatArray, weights: FloatArray, source: str, notes: tuple[str, ...]
) -> Estimate:
    lengths = np.asarray(minutes, dtype=float)
    if lengths.ndim and lengths.shape != shares.shape:
        raise WrongLength("Each sample needs its minutes, or one length for all.")
    if not np.all((lengths >= 0) & (lengths <= _LONGEST_MIN)):
        raise OutOfRange(f"The minutes must be from 0 to {_LONGEST_MIN:g} min.")
    if shares.max() > 1:
        notes = (*notes, "heart rate passed the maximum: the maximum is wrong")
    load = float(np.sum(lengths * shares * weights))
    return Estimate(load, "AU", None, "not found", source, notes)


def _steps(reserve: Sequence[float], lactates: Sequence[float]) -> tuple[FloatArray, FloatArray]:
    if len(reserve) != len(lactates) or len(reserve) < FEWEST_STEPS:
        raise WrongLength("Four steps or more are needed, each with heart rate and lactate.")
    for share, lactate in zip(reserve, lactates, strict=True):
        check_range("The share of reserve", share, 0, 1)
        check_range("Lactate", lactate, 0.3, 30, "mmol/L")
    return np.array(reserve, dtype=float), np.array(lactates, dtype=float)


def _curve(factor: float, exponent: float, how: str) -> LactateCurve | Missing:
    if exponent <= 0:
        return Missing("lactate does not rise with heart rate in this test")
    return LactateCurve(factor, exponent, how)
