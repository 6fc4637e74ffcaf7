"""What is left of W': against an equation solver, plain steps, and the laws it must keep."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.physiology import w_balance as balance
from app.physiology.values import Missing, OutOfRange, WrongLength

CP, W = 250.0, 20_000.0
CAPACITY = {"critical_power_w": CP, "w_prime_j": W}
TAU = 450.0
FORMS = (
    balance.w_balance_differential_skiba_2015,
    balance.w_balance_half_time_ferguson_2010,
    lambda **given_: balance.w_balance_integral_skiba_2012(tau_s=TAU, **given_),
)

recordings = st.lists(st.floats(0, 1500), min_size=1, max_size=60)


def differential(deficit, power):
    return power - CP if power >= CP else -deficit * (CP - power) / W


def half_time(deficit, power):
    return power - CP if power >= CP else -deficit * math.log(2) / 234


def integral(deficit, power):
    return max(0.0, power - CP) - deficit / TAU


def solved(rate, powers, step_s):
    deficit, left = 0.0, []
    for power in powers:
        flow = solve_ivp(lambda _, d, p=power: [rate(d[0], p)], (0, step_s), [deficit], rtol=1e-10, atol=1e-8)
        deficit = flow.y[0][-1]
        left.append(W - deficit)
    return left


@pytest.mark.parametrize(("form", "rate"), tuple(zip(FORMS, (differential, half_time, integral), strict=True)))
def test_each_form_is_what_an_equation_solver_finds(form, rate):
    powers = np.random.default_rng(7).uniform(0, 520, 40)

    left = form(powers_w=powers, step_s=20.0, **CAPACITY)

    assert left == pytest.approx(solved(rate, powers, 20.0), abs=0.05)


@pytest.mark.parametrize("form", FORMS)
def test_a_long_easy_recording_is_as_exact_as_a_short_one(form):
    powers = np.tile(np.r_[np.full(60, 400.0), np.full(3540, 20.0)], 24)
    last_hour = form(powers_w=powers[:3600], **CAPACITY)

    left = form(powers_w=powers, **CAPACITY)

    assert np.isfinite(left).all()
    assert left[-3600:] == pytest.approx(last_hour, abs=10)


def test_a_recording_longer_than_a_block_is_a_plain_walk_through_it():
    powers = np.random.default_rng(3).uniform(0, 400, 20_000)
    deficit, walked = 0.0, []
    for power in powers:
        above = power - CP
        deficit = deficit + above * 5 if above >= 0 else deficit * math.exp(above * 5 / W)
        walked.append(W - deficit)

    left = balance.w_balance_differential_skiba_2015(powers_w=powers, step_s=5.0, **CAPACITY)

    assert left == pytest.approx(walked, rel=1e-9, abs=1e-6)


@given(recordings, st.sampled_from(FORMS), st.floats(0.5, 60))
def test_what_is_left_never_passes_the_capacity(powers, form, step_s):
    left = form(powers_w=powers, step_s=step_s, **CAPACITY)

    assert (left <= W).all()
    assert len(left) == len(powers)


@given(recordings, st.sampled_from(FORMS), st.floats(0, 500))
def test_more_power_never_leaves_more(powers, form, more):
    harder = [power + more for power in powers]

    left, less = form(powers_w=powers, **CAPACITY), form(powers_w=harder, **CAPACITY)

    assert (less <= left + 1e-6).all()


@given(recordings, st.sampled_from(FORMS))
def test_one_long_step_equals_two_short_ones(powers, form):
    twice = np.repeat(powers, 2)

    assert form(powers_w=twice, step_s=1.0, **CAPACITY)[1::2] == pytest.approx(
        form(powers_w=powers, step_s=2.0, **CAPACITY), rel=1e-9, abs=1e-6
    )


@settings(max_examples=50)
@given(recordings, st.integers(0, 59), st.sampled_from(FORMS[:2]))
def test_a_recording_may_be_taken_in_two_parts(powers, cut, form):
    cut = min(cut, len(powers) - 1)
    whole = form(powers_w=powers, **CAPACITY)
    before = W if cut == 0 else whole[cut - 1]

    assert form(powers_w=powers[cut:], start_j=before, **CAPACITY) == pytest.approx(whole[cut:], rel=1e-9, abs=1e-6)


@given(recordings, st.floats(0.5, 2))
def test_the_differential_form_does_not_depend_on_the_unit_of_power(powers, factor):
    scaled = balance.w_balance_differential_skiba_2015(
        powers_w=[min(power, 1200) * factor for power in powers], critical_power_w=CP * factor, w_prime_j=W * factor
    )

    left = balance.w_balance_differential_skiba_2015(powers_w=[min(p, 1200) for p in powers], **CAPACITY)

    assert scaled == pytest.approx(left * factor, rel=1e-6, abs=1e-3)


def test_half_of_it_is_back_after_the_half_time():
    left = balance.w_balance_half_time_ferguson_2010(powers_w=[50] * 234, start_j=0, **CAPACITY)

    assert left[-1] == pytest.approx(W / 2)


def test_after_exhaustion_the_half_time_is_the_careful_form():
    rest = {"powers_w": [100] * 120, "start_j": 0, **CAPACITY}

    assert (
        balance.w_balance_half_time_ferguson_2010(**rest)[-1] < balance.w_balance_differential_skiba_2015(**rest)[-1]
    )


def test_a_single_half_time_misses_the_measured_recovery_as_stated():
    left = balance.w_balance_half_time_ferguson_2010(powers_w=[0] * 900, start_j=0, **CAPACITY)

    found = [100 * left[int(time) - 1] / W for time, _ in balance.MEASURED_RECOVERY]

    assert found == pytest.approx([30, 66, 93], abs=0.6)


def test_at_critical_power_nothing_is_spent_and_nothing_comes_back():
    left = balance.w_balance_half_time_ferguson_2010(powers_w=[CP] * 5, start_j=7000, **CAPACITY)

    assert left == pytest.approx(7000)


def test_work_that_cannot_be_done_stays_below_nothing():
    left = balance.w_balance_differential_skiba_2015(powers_w=[350] * 300, **CAPACITY)

    assert left[-1] == pytest.approx(-10_000)


@pytest.mark.parametrize("form", FORMS)
def test_a_sample_without_power_is_a_gap(form):
    found = form(powers_w=[200, math.nan, 210, math.nan], **CAPACITY)

    assert found == Missing("2 samples of this recording have no power")


@pytest.mark.parametrize("powers", [[], [[200.0]]])
def test_a_recording_is_one_row_of_samples(powers):
    with pytest.raises(WrongLength):
        balance.w_balance_differential_skiba_2015(powers_w=powers, **CAPACITY)


@pytest.mark.parametrize("power", [-1, 2501, math.inf])
def test_a_power_that_cannot_be_is_refused(power):
    with pytest.raises(OutOfRange, match="in every sample"):
        balance.w_balance_differential_skiba_2015(powers_w=[200, power], **CAPACITY)


@pytest.mark.parametrize(
    ("name", "value"),
    [("critical_power_w", 0), ("w_prime_j", 0), ("step_s", 0), ("start_j", W + 1), ("step_s", 4000)],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        balance.w_balance_differential_skiba_2015(powers_w=[200], **{**CAPACITY, name: value})


def test_a_time_constant_outside_is_refused():
    with pytest.raises(OutOfRange, match="time constant"):
        balance.w_balance_integral_skiba_2012(powers_w=[200], tau_s=9, **CAPACITY)


def test_the_recording_itself_is_left_as_it_was():
    powers = np.array([300.0, 200.0])

    balance.w_balance_differential_skiba_2015(powers_w=powers, **CAPACITY)

    assert powers.tolist() == [300, 200]


def test_how_far_below_critical_power_the_easy_time_was():
    assert balance.mean_power_below_w(powers_w=[300, 150, 200, 250], critical_power_w=CP) == pytest.approx(75)


@pytest.mark.parametrize("powers", [[300, 250], [300, math.nan]])
def test_no_easy_time_or_a_gap_has_no_mean(powers):
    assert isinstance(balance.mean_power_below_w(powers_w=powers, critical_power_w=CP), Missing)


@given(st.floats(10, 900), st.floats(1, 100))
def test_lower_power_recovers_faster(below, more):
    for tau in (balance.recovery_tau_skiba_2012, balance.recovery_tau_bartram_2018):
        assert tau(below_critical_power_w=below + more) < tau(below_critical_power_w=below)


@given(st.floats(0, 3000), st.floats(0.1, 500))
def test_a_longer_rest_gives_more_back_but_never_more_than_all(rest, more):
    assert balance.recovered_percent_chorley_2022(rest_s=rest) <= balance.recovered_percent_chorley_2022(
        rest_s=rest + more
    )
    assert balance.recovered_percent_chorley_2022(rest_s=rest + more) <= 100 + 1e-9


@pytest.mark.parametrize(("name", "value"), [("rest_s", -1), ("fast_percent", 101), ("slow_tau_s", 0)])
def test_a_recovery_outside_is_refused(name, value):
    with pytest.raises(OutOfRange):
        balance.recovered_percent_chorley_2022(**{"rest_s": 30, name: value})


def test_just_below_critical_power_the_half_time_holds_already():
    left = balance.w_balance_half_time_ferguson_2010(powers_w=[CP - 0.5] * 234, start_j=0, **CAPACITY)

    assert left[-1] == pytest.approx(W / 2)


@pytest.mark.parametrize("form", FORMS[:2])
def test_a_long_rest_of_a_small_capacity_gives_it_all_back(form):
    # The differential form forgets by exp(-1800) in one step, beyond what a computer can turn round.
    left = form(powers_w=[350, 0, 0, 350, 0], critical_power_w=CP, w_prime_j=500, step_s=3600)

    assert left == pytest.approx([-359_500, 500, 500, -359_500, 500], abs=10)


def test_the_group_curve_has_its_published_shares_and_time_constants():
    fast, slow = 50.67 * (1 - math.exp(-60 / 21.5)), 49.33 * (1 - math.exp(-60 / 388.0))

    assert balance.recovered_percent_chorley_2022(rest_s=60) == pytest.approx(fast + slow, rel=1e-9)


@pytest.mark.parametrize("model", [balance.RecoveryModel.DIFFERENTIAL, balance.RecoveryModel.CONSERVATIVE])
def test_only_the_integral_form_has_a_time_constant(model):
    below = np.array([50.0, 150.0])

    assert np.isnan(model.tau_s(below)).tolist() == [True, True]
    assert balance.RecoveryModel.INTEGRAL.tau_s(below)[0] == balance.recovery_tau_skiba_2012(
        below_critical_power_w=50
    )
