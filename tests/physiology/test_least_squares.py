"""Fits and their errors, against SciPy."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit as second_opinion

from app.physiology import least_squares
from app.physiology.least_squares import Fit, correlation_of, curve_fit, linear_fit
from app.physiology.values import Missing

X = np.array([1.0, 2.0, 3.0, 5.0, 8.0])
Y = np.array([2.1, 3.7, 6.4, 9.6, 16.3])


def falling(guess):
    rise = np.exp(-guess[1] * X)
    return guess[0] * rise - Y[::-1], np.column_stack([rise, -guess[0] * X * rise])


def test_a_line_and_its_covariance_are_those_of_a_second_solver():
    fit = linear_fit(np.column_stack([X, np.ones(5)]), Y)
    wanted, covariance = second_opinion(lambda x, a, b: a * x + b, X, Y)

    assert fit.parameters == pytest.approx(wanted, rel=1e-6)
    assert np.array(fit.covariance) == pytest.approx(covariance, rel=1e-4)
    assert fit.error(0) == pytest.approx(covariance[0][0] ** 0.5, rel=1e-4)


def test_a_curve_and_its_covariance_are_those_of_a_second_solver():
    fit = curve_fit(falling, np.array([10.0, 0.1]))
    wanted, covariance = second_opinion(lambda x, a, b: a * np.exp(-b * x), X, Y[::-1], p0=(10, 0.1))

    assert fit.parameters == pytest.approx(wanted, rel=1e-5)
    assert np.array(fit.covariance) == pytest.approx(covariance, rel=1e-3)


def test_as_many_data_as_parameters_leave_no_error():
    fit = linear_fit(np.array([[1.0, 1.0], [2.0, 1.0]]), np.array([3.0, 5.0]))

    assert fit.parameters == pytest.approx((2, 1))
    assert fit.covariance is None
    assert fit.error(0) is None


@pytest.mark.parametrize(
    ("design", "reason"),
    [
        (np.array([[1.0, 0.0], [2.0, 0.0], [3.0, 0.0]]), "never differs from nothing"),
        (np.array([[1.0, 2.0], [2.0, 4.0], [3.0, 6.0]]), "do not tell the quantities apart"),
        (np.array([[1.0, 2.0]]), "do not tell the quantities apart"),
    ],
)
def test_quantities_that_cannot_be_told_apart_are_a_gap(design, reason):
    fit = linear_fit(design, np.arange(1.0, len(design) + 1))

    assert isinstance(fit, Missing)
    assert reason in fit.reason


def test_a_search_needs_a_place_to_begin():
    fit = curve_fit(lambda _: None, np.array([1.0]))

    assert isinstance(fit, Missing)
    assert "would begin" in fit.reason


def test_a_search_that_runs_away_is_a_gap():
    fit = curve_fit(lambda guess: (np.exp(-guess), -np.exp(-guess)[:, np.newaxis]), np.array([-300.0]))

    assert isinstance(fit, Missing)
    assert "did not settle" in fit.reason


def test_a_search_stops_where_no_step_helps():
    held = np.array([[1.0], [1.0]])

    fit = curve_fit(lambda guess: (np.array([1.0, -0.5]), held) if guess[0] == 2 else None, np.array([2.0]))

    assert isinstance(fit, Fit)
    assert fit.parameters == (2.0,)


def test_a_parameter_without_effect_is_a_gap():
    fit = curve_fit(lambda _: (np.array([1.0]), np.array([[0.0]])), np.array([2.0]))

    assert isinstance(fit, Missing)


def test_two_parameters_with_one_effect_are_a_gap():
    fit = curve_fit(lambda guess: (X * (guess[0] + guess[1]) - Y, np.column_stack([X, X])), np.array([1.0, 0.5]))

    assert isinstance(fit, Missing)


@given(st.floats(-50, 50), st.floats(-50, 50))
def test_a_line_without_noise_is_found_again(slope, start):
    fit = linear_fit(np.column_stack([X, np.ones(5)]), slope * X + start)

    assert fit.parameters == pytest.approx((slope, start), abs=1e-9)


@pytest.mark.parametrize(("apart", "told"), [(1.99e-10, False), (2.01e-10, True)])
def test_directions_count_as_one_below_a_ten_thousand_millionth(apart, told):
    # Two columns at a small angle: the weaker direction is half the angle beside the stronger.
    design = np.array([[1.0, 1.0], [0.0, apart], [0.0, 0.0]])
    observed = np.array([1.0, 0.0, 0.0])

    line = linear_fit(design, observed)
    curve = curve_fit(lambda guess: (design @ guess - observed, design), np.array([1.0, 1e-30]))

    assert isinstance(line, Fit) is told
    assert isinstance(curve, Fit) is told


def test_a_search_gives_up_after_500_rounds():
    tried = []

    def runs_away(guess):
        tried.append(guess)
        return np.exp(-guess), -np.exp(-guess)[:, np.newaxis]

    curve_fit(runs_away, np.array([-300.0]))

    assert len(tried) == 1 + 500


def test_each_step_that_does_not_help_is_shortened_tenfold_and_each_that_helps_is_trusted_as_much_more():
    tried = []

    def narrow(guess):
        tried.append(guess[0])
        # Defined only near the start, then everywhere: three steps come to nothing, the fourth helps.
        return None if guess[0] > 0.6 and len(tried) < 5 else (guess - 1.0, np.array([[1.0]]))

    fit = curve_fit(narrow, np.array([0.0]))

    steps = [(0.0, tried[1]), (0.0, tried[2]), (0.0, tried[3]), (0.0, tried[4]), (tried[4], tried[5])]
    assert [(1 - at) / (to - at) - 1 for at, to in steps] == pytest.approx([1e-3, 1e-2, 1e-1, 1, 1e-1])
    assert fit.parameters == pytest.approx((1.0,), abs=1e-9)


def test_damping_never_falls_below_its_floor(monkeypatch):
    monkeypatch.setattr(least_squares, "_SMALLEST_DAMPING", 0.5)
    tried = []

    def line(guess):
        tried.append(guess[0])
        return guess - 1.0, np.array([[1.0]])

    curve_fit(line, np.array([0.0]))

    assert (1 - tried[1]) / (tried[2] - tried[1]) - 1 == pytest.approx(0.5)


def test_a_search_that_no_step_helps_gives_up_after_sixteen_tenfold_dampings():
    tried = []

    def only_here(guess):
        tried.append(guess[0])
        return (np.array([1.0, -0.5]), np.array([[1.0], [1.0]])) if guess[0] == 2 else None

    curve_fit(only_here, np.array([2.0]))

    assert len(tried) == 1 + 17


def test_a_search_ends_only_when_every_parameter_has_come_to_rest():
    # The first parameter is right from the start; the second is still far away.
    fit = curve_fit(
        lambda g: (np.array([g[0] - 1, g[1] ** 3 - 8, 0.0]), np.array([[1, 0], [0, 3 * g[1] ** 2], [0, 0]])),
        np.array([1.0, 9.0]),
    )

    assert fit.parameters == pytest.approx((1, 2), rel=1e-9)


def test_a_step_too_far_is_taken_back():
    # Undamped, each step from here lands farther away than the one before.
    fit = curve_fit(lambda g: (np.arctan(g - 5), 1 / (1 + (g - 5) ** 2)[:, np.newaxis]), np.array([8.0]))

    assert fit.parameters == pytest.approx((5,), rel=1e-9)


def test_a_curve_that_no_step_changes_does_not_settle():
    fit = curve_fit(lambda _: (np.array([1.0, -0.5]), np.array([[1.0], [1.0]])), np.array([2.0]))

    assert isinstance(fit, Missing)
    assert "did not settle" in fit.reason


def test_nothing_itself_can_be_what_is_found():
    fit = curve_fit(lambda guess: (guess, np.array([[1.0]])), np.array([0.0]))

    assert fit.parameters == (0.0,)


def test_one_spare_trial_gives_an_error_already():
    fit = linear_fit(np.array([[1.0, 1.0], [2.0, 1.0], [3.0, 1.0]]), np.array([1.0, 2.0, 4.0]))

    # By hand: residuals 1/6, -1/3, 1/6; their squares add to 1/6; a spread of the first column of 2.
    assert fit.error(0) == pytest.approx((1 / 6 / 2) ** 0.5)


def test_three_quantities_of_which_two_are_one_are_a_gap():
    design = np.array([[1.0, 2.0, 1.0], [2.0, 4.0, 1.0], [3.0, 6.0, 1.0], [5.0, 10.0, 1.0]])

    assert isinstance(linear_fit(design, np.arange(4.0)), Missing)


@pytest.mark.parametrize(
    ("covariance", "first", "second", "correlation"),
    [
        (6.0, 2.0, 4.0, 0.75),
        (-6.0, 2.0, 4.0, -0.75),
        (7.96, 2.0, 4.0, 0.995),
        (-7.96, 2.0, 4.0, -0.995),
        (0.0, 2.0, 4.0, 0.0),
        # Rounding may bring a covariance past the product of its errors; a correlation never passes one.
        (8.000001, 2.0, 4.0, 1.0),
        (-8.000001, 2.0, 4.0, -1.0),
        (None, 2.0, 4.0, None),
        (6.0, None, 4.0, None),
        (6.0, 2.0, None, None),
        (6.0, 0.0, 4.0, None),
        (6.0, 2.0, 0.0, None),
        (None, None, None, None),
    ],
)
def test_a_correlation_is_the_covariance_over_both_errors(covariance, first, second, correlation):
    assert correlation_of(covariance, first, second) == correlation


def test_slope_and_start_of_a_line_are_correlated_by_where_its_data_lie():
    fit = linear_fit(np.array([[1.0, 1.0], [2.0, 1.0], [3.0, 1.0]]), np.array([1.0, 2.0, 4.0]))

    # By hand: less the mean over the root of the mean square, -2 / sqrt(14 / 3), whatever was observed.
    found = correlation_of(fit.covariance[0][1], fit.error(0), fit.error(1))
    assert found == pytest.approx(-2 / (14 / 3) ** 0.5)
