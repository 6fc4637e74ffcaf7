"""Critical speed of running and swimming."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from app.physiology import critical_speed as cs
from app.physiology.values import Missing, OutOfRange, WrongLength

TIMES = (250.0, 540.0, 838.0)


def test_a_fit_and_its_errors_are_those_of_a_second_solver():
    wanted = linregress(TIMES, cs.FIELD_TEST_DISTANCES_M)

    fit = cs.critical_speed_galbraith_2014(distances_m=cs.FIELD_TEST_DISTANCES_M, durations_s=TIMES)

    assert (fit.critical_speed_m_per_s, fit.d_prime_m) == pytest.approx((wanted.slope, wanted.intercept))
    assert fit.critical_speed_error_m_per_s == pytest.approx(wanted.stderr)
    assert fit.d_prime_error_m == pytest.approx(wanted.intercept_stderr)
    assert fit.covariance_m2_per_s < 0
    # Slope and start of a straight line, by hand: less the mean of the times over their root mean square.
    assert fit.correlation == pytest.approx(-sum(TIMES) / (len(TIMES) * sum(time**2 for time in TIMES)) ** 0.5)
    assert sum(fit.distance_misfits_m) == pytest.approx(0, abs=1e-9)
    assert fit.notes == ()


def test_two_runs_have_no_error():
    fit = cs.critical_speed_galbraith_2014(distances_m=(800, 2000), durations_s=(180, 500))

    assert fit.critical_speed_error_m_per_s is None
    assert fit.covariance_m2_per_s is None
    assert fit.correlation is None
    assert len(fit.notes) == 2


@pytest.mark.parametrize("distances", [(500, 2000, 4000), (3000, 2000, 1000)])
def test_runs_that_do_not_slow_down_are_a_gap(distances):
    fit = cs.critical_speed_galbraith_2014(distances_m=distances, durations_s=TIMES)

    assert isinstance(fit, Missing)


def test_runs_that_differ_too_little_are_a_gap():
    fit = cs.critical_speed_galbraith_2014(distances_m=(800, 900), durations_s=(500, 500.00000001))

    assert isinstance(fit, Missing)


def test_each_run_needs_distance_and_time():
    with pytest.raises(WrongLength, match="a distance and a time"):
        cs.critical_speed_galbraith_2014(distances_m=(800,), durations_s=(180, 500))


@pytest.mark.parametrize("distance", [0, 10_001])
def test_a_distance_that_cannot_be_is_refused(distance):
    with pytest.raises(OutOfRange):
        cs.critical_speed_galbraith_2014(distances_m=(800, distance), durations_s=(180, 500))


@pytest.mark.parametrize("figure", [cs.critical_speed_swimming_wakayoshi_1992, cs.d_prime_swimming_wakayoshi_1992])
def test_a_long_swim_faster_than_the_short_one_is_a_gap(figure):
    assert isinstance(figure(short_m=200, short_s=220, long_m=400, long_s=420), Missing)


def test_a_swim_of_a_few_metres_is_refused():
    with pytest.raises(OutOfRange, match="The swim"):
        cs.d_prime_swimming_wakayoshi_1992(short_m=25, short_s=200, long_m=400, long_s=420)


@given(st.floats(3, 6), st.floats(50, 300), st.floats(130, 1100))
def test_the_line_there_and_back(speed, start, time):
    distance = start + speed * time

    found = cs.time_for_distance_galbraith_2014(critical_speed_m_per_s=speed, d_prime_m=start, distance_m=distance)

    assert found == pytest.approx(time)


@pytest.mark.parametrize("distance", [300, 9000])
def test_no_time_is_foretold_outside_2_to_20_min(distance):
    found = cs.time_for_distance_galbraith_2014(critical_speed_m_per_s=4, d_prime_m=150, distance_m=distance)

    assert isinstance(found, Missing)


@given(st.floats(0.1, 12))
def test_pace_times_speed_is_100_m(speed):
    assert cs.pace_per_100_m(speed_m_per_s=speed) * speed == pytest.approx(100)


@pytest.mark.parametrize(("speed", "start"), [(0.5, 150), (4, 0.5)])
def test_a_figure_just_above_nothing_is_still_a_fit(speed, start):
    fit = cs.critical_speed_galbraith_2014(distances_m=[start + speed * t for t in TIMES], durations_s=TIMES)

    assert (fit.critical_speed_m_per_s, fit.d_prime_m) == pytest.approx((speed, start))


@pytest.mark.parametrize(("speed", "start"), [(-0.5, 1000), (4, -0.5)])
def test_a_figure_just_below_nothing_is_a_gap(speed, start):
    fit = cs.critical_speed_galbraith_2014(distances_m=[start + speed * t for t in TIMES], durations_s=TIMES)

    assert isinstance(fit, Missing)


@pytest.mark.parametrize(("distance", "time"), [(480, 120), (4800, 1200)])
def test_exactly_2_and_20_min_are_still_foretold(distance, time):
    found = cs.time_for_distance_galbraith_2014(critical_speed_m_per_s=4, d_prime_m=0, distance_m=distance)

    assert found == time
