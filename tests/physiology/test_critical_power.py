"""Critical power: three fits against SciPy, their errors, and what they foretell."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from app.physiology import critical_power as cp
from app.physiology.values import Missing, OutOfRange, WrongLength

TIMES = (180.0, 300.0, 480.0, 720.0)
POWERS = (387.0, 343.0, 326.0, 309.0)
FORMS = (
    cp.critical_power_work_time_moritani_1981,
    cp.critical_power_inverse_time_moritani_1981,
    cp.critical_power_hyperbola_monod_1965,
)

capacities = st.tuples(st.floats(80, 400), st.floats(5_000, 40_000))


def fitted(form, times=TIMES, powers=POWERS, **more):
    return form(durations_s=times, powers_w=powers, **more)


def second_opinion(form):
    times, powers = np.array(TIMES), np.array(POWERS)
    curves = {
        cp.Form.WORK_TIME: (lambda t, c, w: w + c * t, times, times * powers),
        cp.Form.INVERSE_TIME: (lambda t, c, w: c + w / t, times, powers),
        cp.Form.HYPERBOLA: (lambda p, c, w: w / (p - c), powers, times),
    }
    curve, x, y = curves[form]
    return curve_fit(curve, x, y, p0=(280, 18_000), maxfev=10_000)


@pytest.mark.parametrize("form", FORMS)
def test_a_fit_and_its_errors_are_those_of_a_second_solver(form):
    fit = fitted(form)
    (power, capacity), covariance = second_opinion(fit.form)

    assert fit.critical_power_w == pytest.approx(power, rel=1e-5)
    assert fit.w_prime_j == pytest.approx(capacity, rel=1e-5)
    assert fit.critical_power_error_w == pytest.approx(covariance[0][0] ** 0.5, rel=1e-3)
    assert fit.w_prime_error_j == pytest.approx(covariance[1][1] ** 0.5, rel=1e-3)
    assert fit.covariance_w_j == pytest.approx(covariance[0][1], rel=1e-3)
    assert fit.correlation == pytest.approx(covariance[0][1] / (covariance[0][0] * covariance[1][1]) ** 0.5, rel=1e-3)


@pytest.mark.parametrize("form", FORMS)
def test_the_misfit_of_each_trial_is_shown_in_watts(form):
    fit = fitted(form)

    foretold = [fit.critical_power_w + fit.w_prime_j / time for time in TIMES]

    assert fit.power_misfits_w == pytest.approx(np.array(POWERS) - foretold)
    assert fit.notes == ()


@given(capacities, st.sampled_from(FORMS))
def test_trials_without_noise_give_their_hyperbola_back(capacity, form):
    power, w_prime = capacity
    powers = [power + w_prime / time for time in TIMES]

    fit = fitted(form, powers=powers)

    assert fit.critical_power_w == pytest.approx(power, rel=1e-6)
    assert fit.w_prime_j == pytest.approx(w_prime, rel=1e-6)


@given(st.floats(0.5, 2), st.sampled_from(FORMS))
def test_a_fit_does_not_depend_on_the_unit_of_power(factor, form):
    fit, other = fitted(form), fitted(form, powers=[factor * power for power in POWERS])

    assert other.critical_power_w == pytest.approx(factor * fit.critical_power_w, rel=1e-6)
    assert other.w_prime_j == pytest.approx(factor * fit.w_prime_j, rel=1e-6)


def test_two_trials_have_no_error_and_say_so():
    fit = fitted(FORMS[0], (180, 720), (387, 309))

    assert fit.critical_power_error_w is None
    assert fit.covariance_w_j is None
    assert fit.correlation is None
    assert fit.notes == ("two trials always fit: there is no misfit to look at",)


def test_short_trials_alone_are_marked():
    fit = fitted(FORMS[0], TIMES[:3], POWERS[:3])

    assert fit.notes == ("no trial of 12 min or more: critical power is overstated",)


@pytest.mark.parametrize("times", [(29, 203, 689), (203, 689, 4565)])
def test_trials_outside_2_to_20_min_are_refused(times):
    with pytest.raises(OutOfRange, match="Trials of 2 to 20 min fit a hyperbola"):
        fitted(FORMS[0], times, (366, 302, 290))


@pytest.mark.parametrize("times", [(29, 203, 1000), (203, 689, 4565)])
def test_trials_let_in_from_outside_are_marked(times):
    fit = fitted(FORMS[1], times, (500, 340, 290), limits_s=(1, 9999))

    assert "trials outside 2 to 20 min: a hyperbola does not describe them" in fit.notes


@pytest.mark.parametrize(
    ("times", "powers", "sentence"),
    [
        ((180,), (387,), "Two trials of different length"),
        ((180, 180), (387, 380), "Two trials of different length"),
        ((180, 720), (387,), "needs a duration and a power"),
    ],
)
def test_trials_that_say_too_little_are_refused(times, powers, sentence):
    with pytest.raises(WrongLength, match=sentence):
        fitted(FORMS[0], times, powers)


@pytest.mark.parametrize("power", [0, 2501, np.nan])
def test_a_power_that_cannot_be_is_refused(power):
    with pytest.raises(OutOfRange, match="power of a trial"):
        fitted(FORMS[0], (180, 720), (387, power))


@pytest.mark.parametrize("form", FORMS[:2])
@pytest.mark.parametrize("powers", [(300, 310, 320, 330), (900, 300, 50, 5)])
def test_trials_that_are_no_hyperbola_are_a_gap(form, powers):
    fit = fitted(form, powers=powers)

    assert isinstance(fit, Missing)


def test_power_that_rises_with_time_is_a_gap_in_the_hyperbola_too():
    fit = fitted(FORMS[2], powers=(300, 310, 320, 330))

    assert isinstance(fit, Missing)


def test_the_three_forms_stand_side_by_side():
    found = cp.critical_power_all_forms(durations_s=TIMES, powers_w=POWERS)

    assert [fit.form for fit in found] == list(cp.Form)[:3]


def test_one_form_that_fails_is_a_gap_for_all():
    assert isinstance(cp.critical_power_all_forms(durations_s=TIMES, powers_w=POWERS[::-1]), Missing)


def test_a_foretold_power_carries_the_error_of_both_figures():
    fit = fitted(FORMS[1])
    _, covariance = second_opinion(fit.form)
    slopes = np.array([1, 1 / 600])

    foretold = cp.power_for_time_with_error(fit, 600)

    assert foretold.value == pytest.approx(fit.critical_power_w + fit.w_prime_j / 600)
    assert foretold.error == pytest.approx((slopes @ covariance @ slopes) ** 0.5, rel=1e-3)
    assert "days differ more" in foretold.error_words


def test_a_foretold_power_of_two_trials_says_that_its_error_is_not_known():
    fit = fitted(FORMS[0], (180, 720), (387, 309))

    foretold = cp.power_for_time_with_error(fit, 600)

    assert foretold.error is None
    assert foretold.error_words == "not known: two trials give no error"


@given(capacities, st.floats(120, 1200))
def test_time_for_power_undoes_power_for_time(capacity, time):
    given_ = {"critical_power_w": capacity[0], "w_prime_j": capacity[1]}

    power = cp.power_for_time_monod_1965(**given_, duration_s=time)

    assert cp.time_for_power_monod_1965(**given_, power_w=power) == pytest.approx(time, rel=1e-6)


@pytest.mark.parametrize("power", [0, 249, 250])
def test_there_is_no_time_at_critical_power_and_below(power):
    found = cp.time_for_power_monod_1965(critical_power_w=250, w_prime_j=20_000, power_w=power)

    assert isinstance(found, Missing)
    assert "real limits exist" in found.reason


def test_a_repetition_that_spends_a_share():
    power = cp.power_for_repetition_monod_1965(
        critical_power_w=250, w_prime_j=20_000, repetition_s=240, spent_fraction=0.6
    )

    assert power == pytest.approx(300)


@pytest.mark.parametrize(
    ("name", "value"),
    [("critical_power_w", 0), ("w_prime_j", 0), ("repetition_s", 9), ("spent_fraction", 1.1), ("w_prime_j", 1e6)],
)
def test_a_repetition_outside_its_limits_is_refused(name, value):
    usual = {"critical_power_w": 250, "w_prime_j": 20_000, "repetition_s": 240, "spent_fraction": 0.6}

    with pytest.raises(OutOfRange):
        cp.power_for_repetition_monod_1965(**{**usual, name: value})


@pytest.mark.parametrize("time", [119, 1201])
def test_no_power_is_foretold_outside_2_to_20_min(time):
    with pytest.raises(OutOfRange, match="The time"):
        cp.power_for_time_monod_1965(critical_power_w=250, w_prime_j=20_000, duration_s=time)


@pytest.mark.parametrize("form", FORMS[:2])
@pytest.mark.parametrize(("power", "capacity"), [(0.5, 15_000), (200, 0.5)])
def test_a_figure_just_above_nothing_is_still_a_fit(form, power, capacity):
    fit = fitted(form, powers=[power + capacity / time for time in TIMES])

    assert (fit.critical_power_w, fit.w_prime_j) == pytest.approx((power, capacity), rel=1e-3)


@pytest.mark.parametrize("form", FORMS[:2])
@pytest.mark.parametrize(("power", "capacity"), [(-0.5, 15_000), (200, -0.5)])
def test_a_figure_just_below_nothing_is_a_gap(form, power, capacity):
    assert isinstance(fitted(form, powers=[power + capacity / time for time in TIMES]), Missing)


def test_trials_of_exactly_2_12_and_20_min_need_no_word():
    assert cp.trial_notes((120, 720, 1200)) == ()
    assert cp.trial_notes((120, 300, 720)) == ()
    assert cp.trial_notes((120, 300, 719)) == ("no trial of 12 min or more: critical power is overstated",)


@pytest.mark.parametrize(
    "powers", [(210.89, 205.99, 204.24, 202.82), (202.78, 201.67, 201.04, 200.69), (123.8, 120.9, 119.5, 118.7)]
)
def test_the_hyperbola_of_a_small_capacity_is_that_of_a_second_solver(powers):
    (power, capacity), _ = curve_fit(
        lambda p, c, w: w / (p - c), powers, TIMES, p0=(0.95 * powers[-1], 1500), maxfev=10_000
    )

    fit = fitted(FORMS[2], powers=powers)

    assert (fit.critical_power_w, fit.w_prime_j) == pytest.approx((power, capacity), rel=1e-4)


def test_an_error_below_one_watt_is_not_rounded_up():
    fit = fitted(FORMS[1], powers=[250 + 15_000 / time + 0.01 * (-1) ** place for place, time in enumerate(TIMES)])

    assert 0 < cp.power_for_time_with_error(fit, 600).error < 0.1


@pytest.mark.parametrize(("lowest", "is_defined"), [(200, False), (199.5, False), (200.5, True)])
def test_a_hyperbola_is_defined_only_where_every_trial_lies_above_it(lowest, is_defined):
    curve = cp.hyperbola_misfit(np.array([180.0, 720.0]), np.array([300.0, lowest]), np.array([200.0, 15_000.0]))

    assert (curve is not None) is is_defined
