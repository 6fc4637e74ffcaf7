"""Load left over in a taper."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.taper import BEST_CUT_PERCENT, BEST_LENGTH_DAYS, exponential_taper_mean_percent
from app.physiology.values import OutOfRange


def test_two_weeks_that_fall_in_ten_days_lie_in_the_best_cut():
    low, high = BEST_CUT_PERCENT

    assert low < 100 - exponential_taper_mean_percent(tau_days=10, days=BEST_LENGTH_DAYS) < high


@given(st.floats(1, 60), st.integers(1, 41))
def test_a_longer_taper_leaves_less(tau, days):
    shorter, longer = (exponential_taper_mean_percent(tau_days=tau, days=one) for one in (days, days + 1))

    assert 0 < longer < shorter < 100


@pytest.mark.parametrize(("tau", "days"), [(0, 14), (10, 0), (10, 43)])
def test_values_outside_are_refused(tau, days):
    with pytest.raises(OutOfRange):
        exponential_taper_mean_percent(tau_days=tau, days=days)
