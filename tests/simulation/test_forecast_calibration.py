"""A few simulated clients against their forecast: enough to notice a range that is far too narrow or shifted.

The long proof over many clients is tests/prove/test_forecast_calibration.py.
"""

from __future__ import annotations

import pytest

from tests.forecast_calibration import Tried, counted, tried
from tests.forecast_lives import cases

SEED = 4
CLIENTS = range(1, 13)


@pytest.fixture(scope="module")
def some() -> list[Tried]:
    """Two days in the base of each of a dozen clients."""
    return tried(cases(CLIENTS, seed=SEED, weeks_in=(10, 22)), courses=250)


def test_most_ranges_hold(some):
    found = counted(some)

    assert found.forecasts >= 15
    assert found.inside >= 0.6


def test_ranges_are_no_wider_than_they_have_to_be(some):
    named = [one for one in some if one.has_middle]

    assert len(named) >= 5
    assert all(one.early < one.middle for one in named if one.middle > 12)
    assert sum(one.early > one.middle / 3 for one in named) >= len(named) / 2


def test_the_truth_comes_on_both_sides_of_the_middle(some):
    found = counted([one for one in some if one.has_middle])

    assert found.before_middle
    assert found.after_middle
