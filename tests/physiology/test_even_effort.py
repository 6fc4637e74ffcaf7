"""The even effort that leaves a reserve: against root finding, an equation solver, chance, and its laws."""

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from app.physiology import w_balance as balance
from app.physiology.critical_power import power_for_repetition_monod_1965, power_for_time_monod_1965
from app.physiology.critical_speed import time_for_distance_galbraith_2014
from app.physiology.even_effort import Rounds, even_efforts
from app.physiology.even_targets import even_power_for_reserve, even_speed_for_reserve
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import RecoveryModel
from tests.physiology.adapters.reading import all_numbers
from tests.physiology.reference_rows import rows

CP, W, EASY = 250.0, 20_000.0, 100.0
FOUR = {"rounds": 4, "work_s": 240, "recovery_s": 240}
RIDER = {"critical_power_w": CP, "w_prime_j": W, "recovery_power_w": EASY, "reserve_fraction": 0.15, **FOUR}
SURE = {"critical_power_se_w": 4.0, "w_prime_se_j": 1500.0, "correlation": -0.8}
RUNNER = {"critical_speed_m_per_s": 3.5, "d_prime_m": 180.0, "recovery_speed_m_per_s": 1.5, "reserve_fraction": 0.3}
FORMS = tuple(RecoveryModel)
ON_FOOT = (RecoveryModel.DIFFERENTIAL, RecoveryModel.CONSERVATIVE)

FLOWS = {
    RecoveryModel.DIFFERENTIAL: lambda d, p: p - CP if p >= CP else -d * (CP - p) / W,
    RecoveryModel.INTEGRAL: lambda d, p: max(0.0, p - CP) - d / (546 * math.exp(-0.01 * (CP - EASY)) + 316),
    RecoveryModel.CONSERVATIVE: lambda d, p: p - CP if p >= CP else -d * math.log(2) / 234,
}


def recorded(model, power, count=4, work_s=240, recovery_s=240):
    """What is left after the last round by the recording of the form, second by second."""
    powers = ([power] * work_s + [EASY] * recovery_s) * (count - 1) + [power] * work_s
    capacity = {"critical_power_w": CP, "w_prime_j": W}
    if model is RecoveryModel.INTEGRAL:
        tau = balance.recovery_tau_skiba_2012(below_critical_power_w=CP - EASY)
        return float(balance.w_balance_integral_skiba_2012(powers_w=powers, tau_s=tau, **capacity)[-1])
    form = {
        RecoveryModel.DIFFERENTIAL: balance.w_balance_differential_skiba_2015,
        RecoveryModel.CONSERVATIVE: balance.w_balance_half_time_ferguson_2010,
    }[model]
    return float(form(powers_w=powers, **capacity)[-1])


def solved(model, power):
    """Deficits after each of four rounds by an equation solver."""
    deficit, after = 0.0, []
    for effort in [power, EASY] * 3 + [power]:
        flow = solve_ivp(lambda _, d, p=effort: [FLOWS[model](d[0], p)], (0, 240), [deficit], rtol=1e-10, atol=1e-8)
        deficit = flow.y[0][-1]
        after.append(deficit)
    return after[::2]


@pytest.mark.parametrize("model", FORMS)
def test_the_power_is_the_root_of_the_recording_of_its_form(model):
    root = brentq(lambda power: recorded(model, power) - 0.15 * W, CP + 1, 600)

    assert even_power_for_reserve(**RIDER, model=model).value == pytest.approx(root, rel=1e-9)


@pytest.mark.parametrize("model", FORMS)
def test_the_reserve_after_each_round_is_what_an_equation_solver_finds(model):
    found = even_power_for_reserve(**RIDER, model=model)

    left = [1 - deficit / W for deficit in solved(model, found.value)]
    assert found.reserve_after_rounds == pytest.approx(left, abs=1e-5)
    assert found.reserve_after_rounds[-1] == pytest.approx(0.15)


def test_the_differential_form_is_taken_unless_another_is_named():
    found = even_power_for_reserve(**RIDER)

    assert (found.model, found.unit, found.source) == (RecoveryModel.DIFFERENTIAL, "W", "skiba2015")
    assert found.value == even_power_for_reserve(**RIDER, model=RecoveryModel.DIFFERENTIAL).value
    assert found.percent_of_critical == pytest.approx(100 * found.value / CP)


def test_one_round_without_reserve_is_the_published_prediction():
    published = [row for row in rows() if row.topic == "predict power"]
    given_ = [{name: float(text) for name, text in row.inputs.items()} for row in published]

    found = [
        even_power_for_reserve(
            critical_power_w=one["cp"],
            w_prime_j=one["w_prime"],
            rounds=1,
            work_s=one["t"],
            recovery_s=60,
            recovery_power_w=50,
            reserve_fraction=0,
        ).value
        for one in given_
    ]

    assert len(published) == 2
    assert found == pytest.approx([float(row.expected) for row in published], abs=0.5)


def test_one_round_is_the_power_of_a_single_repetition():
    alone = {**RIDER, "rounds": 1, "reserve_fraction": 0.4}

    repetition = power_for_repetition_monod_1965(
        critical_power_w=CP, w_prime_j=W, repetition_s=240, spent_fraction=0.6
    )
    assert even_power_for_reserve(**alone).value == pytest.approx(repetition)
    assert repetition == pytest.approx(float(next(row.expected for row in rows() if row.id == "CP-34")))


@pytest.mark.parametrize(("model", "topic"), [("differential", "differential"), ("integral", "integral")])
def test_the_published_series_is_met_by_asking_for_what_it_leaves(model, topic):
    series = [
        row for row in rows() if row.topic == f"W-prime balance {topic}" and "4x" in row.inputs.get("session", "")
    ]
    after = [float(row.expected) / W for row in series if row.inputs["point"].startswith("end rep")]
    count, work_s, work_w, rest_s, rest_w = all_numbers(series[0].inputs["session"])

    found = even_power_for_reserve(
        critical_power_w=CP,
        w_prime_j=W,
        rounds=int(count),
        work_s=work_s,
        recovery_s=rest_s,
        recovery_power_w=rest_w,
        reserve_fraction=after[-1],
        model=RecoveryModel(model),
    )

    assert len(after) == 4
    assert found.value == pytest.approx(work_w, abs=0.01)
    assert found.reserve_after_rounds == pytest.approx(after, abs=1e-4)


def test_one_round_at_a_speed_is_the_time_of_its_distance():
    found = even_speed_for_reserve(**{**RUNNER, "reserve_fraction": 0}, rounds=1, work_s=480, recovery_s=60)

    time_s = time_for_distance_galbraith_2014(critical_speed_m_per_s=3.5, d_prime_m=180, distance_m=found.value * 480)
    assert (found.unit, time_s) == ("m/s", pytest.approx(480))


@pytest.mark.parametrize("model", ON_FOOT)
def test_speed_and_power_obey_the_same_law(model):
    speed = even_speed_for_reserve(**RUNNER, **FOUR, model=model)
    power = even_power_for_reserve(
        critical_power_w=350, w_prime_j=18_000, recovery_power_w=150, reserve_fraction=0.3, **FOUR, model=model
    )

    assert speed.value * 100 == pytest.approx(power.value)
    assert speed.reserve_after_rounds == pytest.approx(power.reserve_after_rounds)


def test_the_integral_form_knows_no_speed():
    found = even_speed_for_reserve(**RUNNER, **FOUR, model=RecoveryModel.INTEGRAL)

    assert isinstance(found, Missing)
    assert "watts" in found.reason


sessions = st.fixed_dictionaries(
    {
        "critical_power_w": st.floats(120, 400),
        "w_prime_j": st.floats(6000, 30_000),
        "rounds": st.integers(1, 9),
        "work_s": st.floats(160, 600),
        "recovery_s": st.floats(30, 600),
        "recovery_power_w": st.floats(0, 110),
        "reserve_fraction": st.floats(0, 0.75),
    }
)


@given(sessions, st.sampled_from(FORMS))
def test_one_more_round_never_raises_the_power(session, model):
    more = {**session, "rounds": session["rounds"] + 1}
    usual, longer = (even_power_for_reserve(**one, model=model).value for one in (session, more))

    assert longer <= usual + 1e-9


@pytest.mark.parametrize("model", FORMS)
def test_each_round_more_lowers_the_power_and_each_longer_rest_raises_it(model):
    by_rounds = [even_power_for_reserve(**{**RIDER, "rounds": n}, model=model).value for n in range(1, 7)]
    by_rest = [even_power_for_reserve(**{**RIDER, "recovery_s": s}, model=model).value for s in (60, 120, 240, 480)]

    assert by_rounds == sorted(set(by_rounds), reverse=True)
    assert by_rest == sorted(set(by_rest))


@given(sessions, st.sampled_from(FORMS), st.floats(5, 600))
def test_more_rest_never_lowers_the_power(session, model, longer):
    more = {**session, "recovery_s": session["recovery_s"] + longer}
    usual, rested = (even_power_for_reserve(**one, model=model).value for one in (session, more))

    assert rested >= usual - 1e-9


@given(sessions, st.sampled_from(FORMS), st.floats(0.01, 0.19))
def test_more_reserve_lowers_the_power(session, model, more):
    kept = {**session, "reserve_fraction": session["reserve_fraction"] + more}

    assert even_power_for_reserve(**kept, model=model).value < even_power_for_reserve(**session, model=model).value


@given(sessions, st.sampled_from(FORMS))
def test_the_power_lies_above_critical_power_and_the_reserve_only_falls(session, model):
    found = even_power_for_reserve(**session, model=model)

    assert found.value > session["critical_power_w"]
    assert all(a >= b for a, b in zip(found.reserve_after_rounds, found.reserve_after_rounds[1:], strict=False))
    assert found.reserve_after_rounds[-1] == pytest.approx(session["reserve_fraction"], abs=1e-9)


def by_chance(model, count=40_000):
    """The same answer by drawing critical power and W' many times."""
    draws = np.random.default_rng(11).multivariate_normal(
        [CP, W], [[16.0, -0.8 * 4 * 1500], [-0.8 * 4 * 1500, 1500.0**2]], count
    )
    found = even_efforts(
        critical=draws[:, 0],
        capacity=draws[:, 1],
        recovery=np.full(count, EASY),
        rounds=Rounds(4, 240, 240),
        reserve_fraction=0.15,
        model=model,
    )
    return found.effort, draws


@pytest.mark.parametrize("model", FORMS)
def test_the_range_is_the_one_that_chance_gives(model):
    efforts, _ = by_chance(model)

    found = even_power_for_reserve(**RIDER, **SURE, model=model)

    assert found.range == pytest.approx(np.quantile(efforts, [0.025, 0.975]), abs=0.25)
    assert found.error == pytest.approx(np.std(efforts), rel=0.02)


def test_the_reserve_of_each_round_has_the_range_that_chance_gives():
    found = even_power_for_reserve(**RIDER, **SURE)
    _, draws = by_chance(RecoveryModel.DIFFERENTIAL)

    above, below = found.value - draws[:, 0], draws[:, 0] - EASY
    forgotten = np.exp(-below * 240 / draws[:, 1])
    first, last = above * 240, above * 240 * (1 + forgotten + forgotten**2 + forgotten**3)
    by_draws = [np.quantile(1 - deficit / draws[:, 1], [0.025, 0.975]) for deficit in (first, last)]

    ranges = found.reserve_range_after_rounds
    assert ranges[0] == pytest.approx(by_draws[0], abs=0.02)
    assert ranges[-1] == pytest.approx(by_draws[1], abs=0.03)


def test_a_fit_whose_errors_pull_against_each_other_gives_a_narrower_range():
    apart, together = (even_power_for_reserve(**RIDER, **{**SURE, "correlation": r}).error for r in (0.0, -0.9))

    assert together < apart


def test_one_round_carries_the_errors_as_the_delta_method_does():
    found = even_power_for_reserve(**{**RIDER, "rounds": 1, "reserve_fraction": 0.0}, **SURE)

    delta = math.sqrt(4.0**2 + (1500 / 240) ** 2 + 2 * -0.8 * 4.0 * 1500 / 240)
    assert found.error == pytest.approx(delta)
    assert found.range == pytest.approx((found.value - 1.96 * delta, found.value + 1.96 * delta))


@pytest.mark.parametrize("lacking", ["critical_power_se_w", "w_prime_se_j", "correlation"])
def test_without_the_errors_of_the_fit_there_is_no_range_and_it_says_what_lacks(lacking):
    found = even_power_for_reserve(**RIDER, **{name: value for name, value in SURE.items() if name != lacking})

    assert (found.range, found.error, found.reserve_range_after_rounds) == (None, None, None)
    assert lacking in found.range_words


def test_errors_too_large_beside_the_figures_give_no_range():
    found = even_power_for_reserve(**RIDER, **{**SURE, "w_prime_se_j": 9000.0})

    assert found.range is None
    assert "too large" in found.range_words


def test_many_clients_at_once_get_what_each_would_get_alone():
    critical, capacity = np.array([200.0, 250.0, 90.0]), np.array([15_000.0, 20_000.0, 9000.0])
    many = even_efforts(
        critical=critical,
        capacity=capacity,
        recovery=np.full(3, 100.0),
        rounds=Rounds(4, 240, 240),
        reserve_fraction=0.15,
        model=RecoveryModel.DIFFERENTIAL,
        critical_se=np.full(3, 4.0),
        capacity_se=np.full(3, 1500.0),
        correlation=np.full(3, -0.8),
    )

    alone = [
        even_power_for_reserve(**{**RIDER, "critical_power_w": c, "w_prime_j": w}, **SURE)
        for c, w in zip(critical[:2], capacity[:2], strict=True)
    ]
    assert many.effort[:2] == pytest.approx([one.value for one in alone])
    assert [(a, b) for a, b in zip(many.low[:2], many.high[:2], strict=True)] == [one.range for one in alone]
    assert many.reserves.shape == (3, 4)
    assert np.isnan(many.effort[2])


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"work_s": 30, "rounds": 1}, "2 min"),
        ({"work_s": 60, "recovery_s": 600, "recovery_power_w": 0}, "2 min"),
        ({"recovery_power_w": 250}, "nothing comes back"),
        ({"recovery_power_w": 300}, "nothing comes back"),
    ],
)
def test_beyond_the_reach_of_the_model_there_is_no_power_and_it_says_so(changed, says):
    found = even_power_for_reserve(**{**RIDER, **changed})

    assert isinstance(found, Missing)
    assert says in found.reason


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("critical_power_w", value) for value in (0, -250, 2501, math.nan)),
        *(("w_prime_j", value) for value in (0, -1, 100_001)),
        *(("rounds", value) for value in (0, -1, 41)),
        *(("work_s", value) for value in (9, 1201, -240)),
        *(("recovery_s", value) for value in (4, 3601, -1)),
        *(("recovery_power_w", value) for value in (-1, math.nan)),
        *(("reserve_fraction", value) for value in (-0.1, 0.96, 1, math.nan)),
        *(("critical_power_se_w", value) for value in (-1, 501, math.nan)),
        *(("w_prime_se_j", value) for value in (-1, math.inf)),
        *(("correlation", value) for value in (-1.1, 1.1)),
    ],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        even_power_for_reserve(**{**RIDER, **SURE, name: value})


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("critical_speed_m_per_s", value) for value in (0, 12.1)),
        *(("d_prime_m", value) for value in (0, 2001)),
        *(("recovery_speed_m_per_s", value) for value in (-0.1, 13)),
        *(("critical_speed_se_m_per_s", value) for value in (-1, 3)),
        *(("d_prime_se_m", value) for value in (-1, 2001)),
    ],
)
def test_speeds_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        even_speed_for_reserve(**{**RUNNER, **FOUR, name: value})


def test_a_speed_carries_the_errors_of_its_fit():
    sure = {"critical_speed_se_m_per_s": 0.05, "d_prime_se_m": 20.0, "correlation": -0.7}

    found = even_speed_for_reserve(**RUNNER, **FOUR, **sure)

    assert found.range[0] < found.value < found.range[1]
    assert found.range[1] - found.range[0] == pytest.approx(2 * 1.96 * found.error)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"reserve_fraction": 0.9, "recovery_s": 60}, "over 20 min"),
        ({"model": RecoveryModel.INTEGRAL}, "under 5 min"),
        ({"model": RecoveryModel.CONSERVATIVE}, "after exhaustion"),
        ({}, "59 against 37 %"),
    ],
)
def test_what_must_be_said_of_an_answer_is_said(changed, says):
    notes = even_power_for_reserve(**{**RIDER, **changed}).notes

    assert any(says in note for note in notes)


@settings(max_examples=40)
@given(sessions, st.floats(0.01, 0.12), st.floats(0.01, 0.15), st.floats(-0.99, 0.5))
def test_the_range_always_holds_the_power(session, share, capacity_share, correlation):
    found = even_power_for_reserve(
        **session,
        critical_power_se_w=share * 5,
        w_prime_se_j=capacity_share * session["w_prime_j"],
        correlation=correlation,
    )
    assume(found.range is not None)

    assert found.range[0] <= found.value <= found.range[1]


def test_the_power_for_a_time_still_bounds_a_session_of_the_same_work():
    whole = power_for_time_monod_1965(critical_power_w=CP, w_prime_j=W, duration_s=960)

    assert whole < even_power_for_reserve(**{**RIDER, "reserve_fraction": 0}).value


def test_many_clients_need_as_many_figures_each():
    with pytest.raises(OutOfRange, match="Every client"):
        even_efforts(
            critical=np.array([250.0, 200.0]),
            capacity=np.array([W]),
            recovery=np.array([EASY, EASY]),
            rounds=Rounds(4, 240, 240),
            reserve_fraction=0.15,
            model=RecoveryModel.DIFFERENTIAL,
        )


# Limits of what is looked at, and what of the spread of a fit can be.
ONE_ROUND = Rounds(1, 120, 60)
LOWEST_PLACE = float(np.min(np.polynomial.hermite_e.hermegauss(5)[0]))


def one(*, critical=250.0, capacity=24_000.0, recovery=100.0, rounds=ONE_ROUND, reserve=0.0, **errors):
    given_ = {"critical": critical, "capacity": capacity, "recovery": recovery} | errors
    return even_efforts(
        **{name: np.array([value]) for name, value in given_.items()},
        rounds=rounds,
        reserve_fraction=reserve,
        model=RecoveryModel.DIFFERENTIAL,
    )


@pytest.mark.parametrize("rounds", [(40, 60, 60), (1, 10, 5), (1, 10, 3600)], ids=str)
def test_rounds_are_taken_up_to_their_limits(rounds):
    assert Rounds(*rounds).count == rounds[0]


@pytest.mark.parametrize("rounds", [(41, 60, 60), (1, 9.9, 5), (1, 10, 4.9), (1, 10, 3601), (0, 60, 60)], ids=str)
def test_rounds_beyond_their_limits_are_refused(rounds):
    with pytest.raises(OutOfRange):
        Rounds(*rounds)


def test_a_reserve_is_taken_up_to_its_limit():
    assert np.isfinite(one(reserve=0.95).effort[0])
    with pytest.raises(OutOfRange, match="reserve"):
        one(reserve=0.951)


def test_an_effort_that_can_just_be_held_for_two_minutes_is_within_reach():
    assert one().effort[0] == 250 + 24_000 / 120
    assert math.isnan(one(rounds=Rounds(1, 119, 60)).effort[0])


def test_the_reserve_is_never_more_than_the_whole():
    sure, unsure = (
        one(reserve=0.95, critical_se=20.0, capacity_se=se, correlation=-0.5).reserves_high[0, 0]
        for se in (1.0, 5000.0)
    )

    assert 0.95 < sure <= 1.0
    assert unsure == 1.0


@pytest.mark.parametrize(
    ("changes", "is_number"),
    [
        ({"capacity": 0.5}, True),
        ({"capacity": 0.0}, False),
        ({"capacity": -0.5}, False),
        ({"recovery": 249.9}, True),
        ({"recovery": 250.0}, False),
    ],
)
def test_nothing_is_found_without_a_capacity_or_a_recovery_below_critical(changes, is_number):
    assert np.isfinite(one(rounds=Rounds(4, 240, 240), **changes).effort[0]) == is_number


def test_each_client_needs_all_three_figures():
    pair, single = np.array([250.0, 260.0]), np.array([250.0])
    for shapes in ((pair, single, single), (single, pair, single), (single, single, pair)):
        with pytest.raises(OutOfRange, match="Every client"):
            even_efforts(
                critical=shapes[0],
                capacity=shapes[1],
                recovery=shapes[2],
                rounds=ONE_ROUND,
                reserve_fraction=0.3,
                model=RecoveryModel.DIFFERENTIAL,
            )


@pytest.mark.parametrize(("least", "has_error"), [(0.5, True), (-0.5, False)])
def test_an_error_is_given_only_where_every_way_the_fit_might_have_come_out_can_be(least, has_error):
    se = (10 - least) / -LOWEST_PLACE

    found = one(capacity=10.0, rounds=Rounds(4, 240, 240), critical_se=0.0, capacity_se=se, correlation=0.0)

    assert np.isfinite(found.error[0]) == has_error
