"""The search for a person's own time constants, which refuses when the tests cannot tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.physiology.impulse_response import impulse_sums, tests_on_days
from app.physiology.least_squares import FloatArray
from app.physiology.load import known_days
from app.physiology.values import Missing, check_range

#: Bounds of the search, days: the ranges of nine swimmers ([hellard2006]) rounded outwards.
LONG_BOUNDS_DAYS = (15, 70)
SHORT_BOUNDS_DAYS = (3, 35)
#: Five unknowns; "many tests" made a number. House choice.
FEWEST_TESTS = 15
REDRAWS = 300
#: A range of a time constant wider than this many times the constant itself leaves it open. House choice.
WIDEST_RANGE = 1.0
_CLEAR_DIRECTION = 1e-6


@dataclass(frozen=True, slots=True)
class ConstantsFit:
    """Time constants found, with the middle 95 % of what redrawn misfits gave."""

    long_days: float
    short_days: float
    long_range_days: tuple[float, float]
    short_range_days: tuple[float, float]
    start: float
    gain: float
    loss: float


def fit_time_constants_hellard_2006(
    *,
    daily_load_au: Sequence[float | None],
    test_days: Sequence[int],
    test_values: Sequence[float],
    seed: int,
) -> ConstantsFit | Missing:
    """The two time constants that lie nearest to many tests, tried day by day within bounds.

    daily_load_au: days in order from day 0, AU, 0 to 20000; rest days 0, unknown days none.
    test_days: day of each test, d, 1 to the number of days; loads of the days before it count.
    test_values: result of each test, in the test's unit, higher is better.
    seed: of the redraws of misfits that show how far the constants stay open, no unit, 0 or more.
    Returns: constants, d, with their ranges, and the factors; Missing with an unknown day, when a constant meets its
    bound or its range is wider than itself, or when gain or loss is not above 0.
    Raises: OutOfRange outside these limits; WrongLength for fewer than 15 tests.
    Limits: not for steering a person: even nine swimmers' constants stayed open within 17-59 and 6-32 d.
    Error: the middle 95 % of 300 redraws of the misfits.
    Source: [hellard2006] for why to refuse; bounds, counts and limits of refusing are house choices.
    Checked in tests/physiology/test_impulse_constants.py, by histories with known constants.
    """
    check_range("The seed", seed, 0, 2**32)
    loads = known_days(daily_load_au)
    if isinstance(loads, Missing):
        return loads
    days, values = tests_on_days(len(loads), test_days, test_values, FEWEST_TESTS)
    pairs, designs = _designs(loads, days)
    bases, weights, _ = np.linalg.svd(designs / np.linalg.norm(designs, axis=1, keepdims=True), full_matrices=False)
    bases = bases * (weights[:, -1:] > _CLEAR_DIRECTION * weights[:, :1])[:, np.newaxis]
    best = int(_nearest(bases, values[:, np.newaxis])[0])
    factors = np.linalg.lstsq(designs[best], values)[0]
    if factors[1] <= 0 or factors[2] <= 0:
        return Missing("the tests do not show both a gain and a loss from load")
    if _meets_bound(pairs[best]):
        return Missing("a time constant meets the end of what was searched: the tests do not hold it")
    fitted = designs[best] @ factors
    random = np.random.default_rng(seed)
    drawn = fitted[:, np.newaxis] + random.choice(values - fitted, size=(len(values), REDRAWS))
    low, high = np.percentile(pairs[_nearest(bases, drawn)], [2.5, 97.5], axis=0)
    if np.any(high - low > WIDEST_RANGE * pairs[best]):
        return Missing("the tests leave a time constant open: its range is wider than itself")
    long_days, short_days = pairs[best].tolist()
    long_range, short_range = np.column_stack([low, high]).tolist()
    start, gain, loss = factors.tolist()
    return ConstantsFit(long_days, short_days, tuple(long_range), tuple(short_range), start, gain, loss)


def _designs(loads: Sequence[float], days: list[int]) -> tuple[FloatArray, FloatArray]:
    """Every pair of time constants, the short one below the long one, and what each makes of the loads."""
    long_days = np.arange(LONG_BOUNDS_DAYS[0], LONG_BOUNDS_DAYS[1] + 1, dtype=float)
    short_days = np.arange(SHORT_BOUNDS_DAYS[0], SHORT_BOUNDS_DAYS[1] + 1, dtype=float)
    pairs = np.array([(one, other) for one in long_days for other in short_days if other < one])
    gains, losses = (impulse_sums(loads, pairs[:, side])[days].T for side in (0, 1))
    return pairs, np.stack([np.ones_like(gains), gains, -losses], axis=2)


def _nearest(bases: FloatArray, values: FloatArray) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    """Which pair explains most of each column of values."""
    explained = ((bases.transpose(0, 2, 1) @ values) ** 2).sum(axis=1)
    return np.asarray(explained.argmax(axis=0))


def _meets_bound(pair: FloatArray) -> bool:
    return bool(pair[0] in LONG_BOUNDS_DAYS or pair[1] in SHORT_BOUNDS_DAYS)
