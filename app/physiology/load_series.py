"""The load figures of many clients over years, one call a figure.

Loads are an array whose last axis is days: one row, or one row a client. NaN is an unknown day on the way in and a
figure that is not defined on the way out; a rest day is 0. Each figure belongs to the day its window ends on.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from app.physiology.least_squares import FloatArray
from app.physiology.load import DAYS_IN_A_WEEK, HIGHEST_LOAD_AU
from app.physiology.load_averages import ACUTE_DAYS, CHRONIC_DAYS, exponential_weight_williams_2017
from app.physiology.values import OutOfRange, WrongLength, check_range


def weekly_loads(daily_load_au: npt.ArrayLike) -> FloatArray:
    """Load of the seven days that end on each day, AU."""
    return _window_sums(_days(daily_load_au), DAYS_IN_A_WEEK)


def monotonies(daily_load_au: npt.ArrayLike) -> FloatArray:
    """Monotony (sample form) of the seven days that end on each day; not defined where all seven are equal."""
    loads = _days(daily_load_au)
    means = _window_sums(loads, DAYS_IN_A_WEEK) / DAYS_IN_A_WEEK
    squares, is_even = np.zeros_like(loads), np.ones(loads.shape, dtype=bool)
    for back in range(DAYS_IN_A_WEEK):
        then = _days_before(loads, back)
        squares += (then - means) ** 2
        is_even &= then == loads
    spread = np.sqrt(squares / (DAYS_IN_A_WEEK - 1))
    return np.divide(means, spread, out=np.full_like(means, np.nan), where=~is_even)


def strains(daily_load_au: npt.ArrayLike) -> FloatArray:
    """Weekly load times monotony of the seven days that end on each day, AU."""
    return np.asarray(weekly_loads(daily_load_au) * monotonies(daily_load_au))


def rolling_means(daily_load_au: npt.ArrayLike, *, days: int) -> FloatArray:
    """Mean load of the days that end on each day, AU a day; not defined while a window holds an unknown day."""
    check_range("The days", days, 1, 365, "days")
    return _window_sums(_days(daily_load_au), days) / days


def coupled_ratios(daily_load_au: npt.ArrayLike) -> FloatArray:
    """Mean of the last 7 days against that of the last 28, for each day; not defined without load."""
    acute = rolling_means(daily_load_au, days=ACUTE_DAYS)
    return _ratio(acute, rolling_means(daily_load_au, days=CHRONIC_DAYS))


def uncoupled_ratios(daily_load_au: npt.ArrayLike) -> FloatArray:
    """Mean of the last 7 days against that of the 21 before, for each day; not defined without load in the 21."""
    acute = rolling_means(daily_load_au, days=ACUTE_DAYS)
    before = rolling_means(daily_load_au, days=CHRONIC_DAYS - ACUTE_DAYS)
    return _ratio(acute, _days_before(before, ACUTE_DAYS))


def exponential_averages(daily_load_au: npt.ArrayLike, *, days: float) -> FloatArray:
    """Exponential average with weight 2 / (N + 1) on each day, AU a day, started at the first known load.

    After an unknown day it starts again at the next known one: what was before cannot be carried across.
    """
    return weighted_averages(daily_load_au, weight=exponential_weight_williams_2017(days=days))


def weighted_averages(daily_load_au: npt.ArrayLike, *, weight: float, start_au: float | None = None) -> FloatArray:
    """Exponential average with a weight for today, from a start or from the first known load, AU a day."""
    check_range("The weight", weight, 0, 1)
    loads = _days(daily_load_au)
    found = np.empty_like(loads)
    average = np.full(loads.shape[:-1], math.nan if start_au is None else start_au)
    for day in range(loads.shape[-1]):
        today = loads[..., day]
        stepped = average + weight * (today - average)
        average = np.where(np.isnan(average), today, stepped)
        found[..., day] = average
    return found


def known_run_lengths(daily_load_au: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """How many days in a row, up to each day, are known: hide an average until as many as its name says."""
    is_known = ~np.isnan(_days(daily_load_au))
    place = np.arange(1, is_known.shape[-1] + 1)
    last_unknown = np.maximum.accumulate(np.where(is_known, 0, place), axis=-1)
    return np.asarray(place - last_unknown, dtype=np.int64)


def _days(daily_load_au: npt.ArrayLike) -> FloatArray:
    loads = np.asarray(daily_load_au, dtype=float)
    if loads.ndim == 0 or loads.size == 0:
        raise WrongLength("A series has at least one day.")
    known = loads[~np.isnan(loads)]
    if known.size and (known.min() < 0 or known.max() > HIGHEST_LOAD_AU):
        raise OutOfRange(f"The load of a day must be from 0 to {HIGHEST_LOAD_AU:g} AU.")
    return loads


def _window_sums(loads: FloatArray, days: int) -> FloatArray:
    """Sum of the days that end on each day, added one by one: a running total would leave a remainder at rest."""
    sums = np.zeros_like(loads)
    for back in range(days):
        sums += _days_before(loads, back)
    return sums


def _days_before(values: FloatArray, days: int) -> FloatArray:
    """What stood so many days earlier; unknown before the series begins."""
    found = np.full_like(values, np.nan)
    found[..., days:] = values[..., : max(0, values.shape[-1] - days)]
    return found


def _ratio(acute: FloatArray, chronic: FloatArray) -> FloatArray:
    return np.divide(acute, chronic, out=np.full_like(acute, np.nan), where=chronic > 0)
