"""The three-parameter form, against SciPy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from app.physiology.critical_power_three import (
    critical_power_morton_1996,
    three_parameter_misfit,
    time_for_power_morton_1996,
)
from app.physiology.values import Missing, OutOfRange, WrongLength

TIMES = (15.0, 30.0, 60.0, 200.0, 600.0)
POWERS = (750.0, 620.0, 470.0, 340.0, 285.0)


def test_a_fit_and_its_errors_are_those_of_a_second_solver():
    wanted, covariance = curve_fit(
        lambda p, c, w, m: w / (p - c) - w / (m - c), POWERS, TIMES, p0=(250, 18_000, 1000), maxfev=10_000
    )

    fit = critical_power_morton_1996(durations_s=TIMES, powers_w=POWERS)

    assert (fit.critical_power_w, fit.w_prime_j, fit.p_max_w) == pytest.approx(wanted, rel=1e-4)
    errors = (fit.critical_power_error_w, fit.w_prime_error_j, fit.p_max_error_w)
    assert errors == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-3)
    assert len(fit.time_misfits_s) == len(TIMES)


def test_three_trials_fit_without_an_error():
    times = [
        time_for_power_morton_1996(critical_power_w=250, w_prime_j=2e4, p_max_w=900, power_w=p)
        for p in (300, 400, 700)
    ]

    fit = critical_power_morton_1996(durations_s=times, powers_w=(300, 400, 700))

    assert (fit.critical_power_w, fit.w_prime_j, fit.p_max_w) == pytest.approx((250, 20_000, 900), rel=1e-4)
    assert fit.p_max_error_w is None


@given(st.floats(150, 350), st.floats(8_000, 30_000), st.floats(700, 1500))
def test_trials_without_noise_give_their_three_figures_back(power, capacity, greatest):
    powers = [power + (greatest - power) * share for share in (0.04, 0.1, 0.2, 0.4, 0.6)]
    times = [capacity / (p - power) - capacity / (greatest - power) for p in powers]
    usable = [(t, p) for t, p in zip(times, powers, strict=True) if 10 <= t <= 1200]
    times, powers = zip(*usable, strict=True)

    fit = critical_power_morton_1996(durations_s=times, powers_w=powers)

    assert (fit.critical_power_w, fit.w_prime_j, fit.p_max_w) == pytest.approx((power, capacity, greatest), rel=1e-3)


@given(st.floats(251, 899), st.floats(0.1, 100))
def test_more_power_is_less_time(power, more):
    given_ = {"critical_power_w": 250, "w_prime_j": 20_000, "p_max_w": 1000}

    slow = time_for_power_morton_1996(**given_, power_w=power)
    fast = time_for_power_morton_1996(**given_, power_w=power + more)

    assert fast < slow


def test_there_is_no_time_at_critical_power():
    found = time_for_power_morton_1996(critical_power_w=250, w_prime_j=20_000, p_max_w=900, power_w=250)

    assert isinstance(found, Missing)


@pytest.mark.parametrize(("name", "value"), [("p_max_w", 200), ("power_w", 901), ("w_prime_j", 0)])
def test_values_outside_are_refused(name, value):
    usual = {"critical_power_w": 250, "w_prime_j": 20_000, "p_max_w": 900, "power_w": 350}

    with pytest.raises(OutOfRange):
        time_for_power_morton_1996(**{**usual, name: value})


@pytest.mark.parametrize(("times", "powers"), [((60, 600), (470, 285)), (TIMES, POWERS[:4])])
def test_too_few_trials_are_refused(times, powers):
    with pytest.raises(WrongLength, match="Three trials or more"):
        critical_power_morton_1996(durations_s=times, powers_w=powers)


def test_long_trials_do_not_tell_the_greatest_power():
    powers = [283 + 18_000 / time for time in (180, 300, 500, 720)]

    found = critical_power_morton_1996(durations_s=(180, 300, 500, 720), powers_w=powers)

    assert isinstance(found, Missing)
    assert "short trials are needed" in found.reason


def test_trials_that_are_no_hyperbola_are_a_gap():
    found = critical_power_morton_1996(durations_s=(60, 300, 900), powers_w=(300, 310, 320))

    assert isinstance(found, Missing)


FIVE = (700.0, 600.0, 400.0, 300.0, 200.0)


def trials_of(power, capacity, greatest, powers):
    times = [capacity / (p - power) - capacity / (greatest - power) for p in powers]
    return {"durations_s": times, "powers_w": powers}


def test_a_critical_power_just_above_nothing_is_still_a_fit():
    fit = critical_power_morton_1996(**trials_of(0.5, 60_000, 900, FIVE))

    assert (fit.critical_power_w, fit.w_prime_j, fit.p_max_w) == pytest.approx((0.5, 60_000, 900), rel=1e-3)


def test_a_critical_power_just_below_nothing_is_a_gap():
    assert isinstance(critical_power_morton_1996(**trials_of(-0.5, 60_000, 900, FIVE)), Missing)


def test_trials_that_want_a_critical_power_far_below_nothing_are_a_gap():
    found = critical_power_morton_1996(
        durations_s=(285.9, 157.2, 89.5, 71.8, 15.0), powers_w=(181.3, 354.7, 312.6, 392.6, 605.9)
    )

    assert isinstance(found, Missing)


@pytest.mark.parametrize(("greatest", "is_found"), [(2990, True), (3010, False)])
def test_a_greatest_power_beyond_3000_w_is_a_gap(greatest, is_found):
    found = critical_power_morton_1996(**trials_of(250, 20_000, greatest, (1200.0, 900.0, 600.0, 400.0, 300.0)))

    assert isinstance(found, Missing) is not is_found


def test_a_small_capacity_is_found_close_above_critical_power():
    fit = critical_power_morton_1996(**trials_of(200, 500, 210, (200.6, 200.8, 201.5, 203.0, 206.0)))

    assert (fit.critical_power_w, fit.w_prime_j, fit.p_max_w) == pytest.approx((200, 500, 210), rel=1e-3)


@pytest.mark.parametrize(
    ("lowest", "greatest", "is_defined"),
    [
        (200, 900, False),
        (199.5, 900, False),
        (200.5, 900, True),
        (250, 600, False),
        (250, 500, False),
        (250, 600.5, True),
        (100, 500, False),
        # A million watts above critical power is the farthest the search goes.
        (250, 1_000_200, True),
        (250, 1_000_200.5, False),
    ],
)
def test_the_form_is_defined_only_where_every_trial_lies_within_it(lowest, greatest, is_defined):
    times, powers = np.array([60.0, 700.0]), np.array([600.0, lowest])

    curve = three_parameter_misfit(times, powers, np.array([200.0, 15_000.0, greatest]))

    assert (curve is not None) is is_defined


def test_trials_that_hold_no_greatest_power_are_a_gap_and_overflow_nothing():
    durations, powers = (568, 613, 941), (287.23752313292164, 282.5913639661273, 267.3958915791305)

    found = critical_power_morton_1996(durations_s=durations, powers_w=powers)

    assert isinstance(found, Missing)


def test_trials_on_which_no_search_settles_are_a_gap():
    found = critical_power_morton_1996(durations_s=(593, 1070, 1122), powers_w=(1493, 991, 906))

    assert isinstance(found, Missing)
