"""The search for time constants: histories with known ones, and the refusals."""

import numpy as np
import pytest

from app.physiology.impulse_constants import ConstantsFit, fit_time_constants_hellard_2006
from app.physiology.impulse_response import response_banister_1975
from app.physiology.values import Missing, OutOfRange, WrongLength

LOADS = np.random.default_rng(3).choice([0, 0, 60, 120, 300], 300).tolist()
DAYS = tuple(range(20, 300, 7))


def results(noise=0.0, loads=LOADS, days=DAYS, **constants):
    known = {"start": 250, "gain": 0.1, "loss": 0.2, "long_days": 40, "short_days": 10, **constants}
    drawn = np.random.default_rng(1).normal(0, noise, len(days))
    return [
        response_banister_1975(daily_load_au=loads[:day], **known) + extra
        for day, extra in zip(days, drawn, strict=True)
    ]


def fitted(values, loads=LOADS, days=DAYS, seed=1):
    return fit_time_constants_hellard_2006(daily_load_au=loads, test_days=days, test_values=values, seed=seed)


@pytest.mark.parametrize(("long_days", "short_days"), [(40, 10), (30, 12), (60, 5)])
def test_a_history_without_noise_gives_its_constants_back(long_days, short_days):
    fit = fitted(results(long_days=long_days, short_days=short_days))

    assert (fit.long_days, fit.short_days) == (long_days, short_days)
    assert (fit.start, fit.gain, fit.loss) == pytest.approx((250, 0.1, 0.2), rel=1e-6)
    assert fit.long_range_days == pytest.approx((long_days, long_days))


def test_noise_opens_the_ranges_around_the_truth():
    fit = fitted(results(noise=5))

    assert isinstance(fit, ConstantsFit)
    assert fit.long_range_days[0] < 40 < fit.long_range_days[1]
    assert fit.short_range_days[0] <= 10 <= fit.short_range_days[1]


def test_the_same_seed_gives_the_same_ranges():
    values = results(noise=5)

    assert fitted(values, seed=4) == fitted(values, seed=4)


def test_a_wide_range_is_refused_by_name():
    found = fitted(results(noise=25))

    assert found == Missing("the tests leave a time constant open: its range is wider than itself")


def test_a_constant_beyond_the_search_is_refused():
    found = fitted(results(long_days=120, short_days=10))

    assert found == Missing("a time constant meets the end of what was searched: the tests do not hold it")


def test_load_that_only_takes_is_refused():
    found = fitted([500 - value for value in results()])

    assert found == Missing("the tests do not show both a gain and a loss from load")


def test_an_unknown_day_is_a_gap():
    assert isinstance(fitted(results(), loads=[None, *LOADS[1:]]), Missing)


def test_too_few_tests_are_refused():
    with pytest.raises(WrongLength, match="15 tests"):
        fitted(results()[:14], days=DAYS[:14])


def test_a_negative_seed_is_refused():
    with pytest.raises(OutOfRange, match="seed"):
        fitted(results(), seed=-1)
