"""Load averages and the two-part answer to load."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from app.physiology import impulse_response as impulse
from app.physiology.values import Missing, OutOfRange, WrongLength

PLAN = [100 if day % 7 in (0, 2, 4) else 150 if day % 7 == 5 else 0 for day in range(56)]
TEST_DAYS = (14, 28, 42, 56)
VARIED = np.random.default_rng(5).choice([0, 0, 60, 120, 300], 200).tolist()
MANY_DAYS = tuple(range(20, 200, 10))

loads = st.lists(st.floats(0, 900), min_size=1, max_size=80)


def results(days, gain=0.1, loss=0.15, plan=PLAN):
    return [impulse.response_banister_1975(daily_load_au=plan[:day], start=250, gain=gain, loss=loss) for day in days]


def fitted(days, values, plan=PLAN, **more):
    return impulse.fit_response_fixed_constants(daily_load_au=plan, test_days=days, test_values=values, **more)


@given(loads, st.floats(1, 90))
def test_a_sum_is_each_load_faded_by_its_age(days, tau):
    aged = math.fsum(load * math.exp(-(len(days) - day) / tau) for day, load in enumerate(days))

    assert impulse.impulse_sum_morton_1990(daily_load_au=days, tau_days=tau) == pytest.approx(aged)


@given(loads, st.floats(1, 90))
def test_all_sums_at_once_are_each_sum_alone(days, tau):
    table = impulse.impulse_sums(days, np.array([tau, 2 * tau]))

    assert table[0].tolist() == [0, 0]
    assert table[-1][0] == pytest.approx(impulse.impulse_sum_morton_1990(daily_load_au=days, tau_days=tau))


@given(loads, st.floats(0.1, 2), st.floats(1, 90))
def test_sums_and_averages_grow_with_load(days, factor, tau):
    scaled = [factor * load for load in days]

    assert impulse.impulse_sum_morton_1990(daily_load_au=scaled, tau_days=tau) == pytest.approx(
        factor * impulse.impulse_sum_morton_1990(daily_load_au=days, tau_days=tau)
    )
    assert impulse.load_average_morton_1990(daily_load_au=scaled, tau_days=tau) == pytest.approx(
        factor * impulse.load_average_morton_1990(daily_load_au=days, tau_days=tau)
    )


@given(loads, st.floats(1, 90))
def test_an_average_stays_within_its_loads(days, tau):
    for average in (impulse.load_average_morton_1990, impulse.load_average_short_cut):
        assert 0 <= average(daily_load_au=days, tau_days=tau) <= max(days) + 1e-9


def test_a_steady_plan_comes_to_the_geometric_sum():
    found = impulse.impulse_sum_morton_1990(daily_load_au=[100] * 3000, tau_days=45)

    assert found == pytest.approx(4450.19, abs=0.05)


@pytest.mark.parametrize(
    "figure", [impulse.impulse_sum_morton_1990, impulse.load_average_morton_1990, impulse.load_average_short_cut]
)
def test_an_unknown_day_is_not_a_rest_day(figure):
    assert isinstance(figure(daily_load_au=[100, None], tau_days=45), Missing)
    with pytest.raises(WrongLength):
        figure(daily_load_au=[], tau_days=45)
    with pytest.raises(OutOfRange):
        figure(daily_load_au=[100], tau_days=0)


def test_a_response_over_an_unknown_day_is_a_gap():
    assert isinstance(impulse.response_banister_1975(daily_load_au=[None], start=0, gain=1, loss=2), Missing)


@pytest.mark.parametrize(
    ("name", "value"),
    [("gain", -1), ("loss", 1001), ("start", math.nan), ("long_days", 15), ("short_days", 0), ("long_days", 400)],
)
def test_a_response_outside_its_limits_is_refused(name, value):
    with pytest.raises(OutOfRange):
        impulse.response_banister_1975(**{"daily_load_au": [100], "start": 0, "gain": 1, "loss": 2, name: value})


@pytest.mark.parametrize(
    ("long_days", "short_days", "harmless", "most"), [(45, 15, 15.5958, 40.3146), (42, 7, 5.82244, 20.8732)]
)
def test_days_before_a_target(long_days, short_days, harmless, most):
    given_ = {"long_days": long_days, "short_days": short_days}

    assert impulse.days_until_harmless_fitz_clarke_1991(**given_) == pytest.approx(harmless, abs=0.01)
    assert impulse.days_of_most_gain_fitz_clarke_1991(**given_) == pytest.approx(most, abs=0.01)


@given(st.floats(1.2, 5), st.floats(20, 60), st.floats(3, 15))
def test_a_session_balances_where_its_answer_crosses_nothing(loss, long_days, short_days):
    crossing = brentq(lambda t: math.exp(-t / long_days) - loss * math.exp(-t / short_days), 0, 500)

    found = impulse.days_until_harmless_fitz_clarke_1991(loss=loss, long_days=long_days, short_days=short_days)

    assert found == pytest.approx(crossing, rel=1e-6)


@pytest.mark.parametrize(("gain", "loss"), [(0, 2), (2, 1), (1, 1001)])
def test_a_loss_below_the_gain_has_no_balance(gain, loss):
    with pytest.raises(OutOfRange):
        impulse.days_until_harmless_fitz_clarke_1991(gain=gain, loss=loss)


def test_points_without_noise_give_the_factors_back():
    fit = fitted(TEST_DAYS, results(TEST_DAYS))

    assert (fit.start, fit.gain, fit.loss) == pytest.approx((250, 0.1, 0.15), rel=1e-9)
    assert fit.misfits == pytest.approx([0] * 4, abs=1e-9)
    assert fit.correlation_of_sums > 0.95


@given(st.floats(0.05, 1), st.floats(0.05, 1), st.floats(0.5, 5))
def test_factors_grow_with_the_results(gain, loss, factor):
    values = results(MANY_DAYS, gain, loss, VARIED)

    fit = fitted(MANY_DAYS, [factor * value for value in values], VARIED)

    assert (fit.gain, fit.loss) == pytest.approx((factor * gain, factor * loss), rel=1e-6)


def test_a_noisy_fit_has_errors_and_still_speaks():
    noise = np.random.default_rng(1).normal(0, 3, len(MANY_DAYS))

    fit = fitted(MANY_DAYS, results(MANY_DAYS, 0.1, 0.2, VARIED) + noise, VARIED)

    assert 0 < fit.gain_error < fit.gain / 2
    assert fit.gain == pytest.approx(0.1, abs=3 * fit.gain_error)
    assert fit.loss == pytest.approx(0.2, abs=3 * fit.loss_error)


def test_a_fit_refuses_when_its_error_is_more_than_half():
    noise = np.random.default_rng(1).normal(0, 120, len(MANY_DAYS))

    fit = fitted(MANY_DAYS, results(MANY_DAYS, 0.1, 0.2, VARIED) + noise, VARIED)

    assert fit == Missing("the tests leave the gain or the loss open: its error is more than half of it")


def test_a_fit_refuses_when_load_only_takes():
    values = [500 - value for value in results(MANY_DAYS, plan=VARIED)]

    assert fitted(MANY_DAYS, values, VARIED) == Missing("the tests do not show both a gain and a loss from load")


def test_a_fit_refuses_when_nothing_was_trained():
    assert isinstance(fitted(TEST_DAYS, [1, 2, 3, 4], [0] * 56), Missing)


def test_a_fit_over_an_unknown_day_is_a_gap():
    assert isinstance(fitted(TEST_DAYS, [1, 2, 3, 4], [None, *PLAN[1:]]), Missing)


@pytest.mark.parametrize(
    ("days", "values"), [((14, 28, 42), (1, 2, 3)), ((14, 14, 28, 42), (1, 2, 3, 4)), (TEST_DAYS, (1,))]
)
def test_too_few_tests_are_refused(days, values):
    with pytest.raises(WrongLength, match="4 tests on different days"):
        fitted(days, values)


@pytest.mark.parametrize(
    ("days", "values"),
    [((0, 14, 28, 42), (1, 2, 3, 4)), ((14, 28, 42, 57), (1, 2, 3, 4)), (TEST_DAYS, (1, 2, 3, math.inf))],
)
def test_a_test_outside_the_days_is_refused(days, values):
    with pytest.raises(OutOfRange):
        fitted(days, values)
