"""Where rounds would run out: the published series, the solver turned round, and an equation solver."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.physiology.even_effort import Rounds, Spending
from app.physiology.even_targets import even_power_for_reserve
from app.physiology.running_out import rounds_until_empty, rounds_until_empty_at_speed
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import RecoveryModel
from tests.physiology.adapters.reading import all_numbers
from tests.physiology.reference_rows import rows

CP, W = 250.0, 20_000.0
RIDER = {"critical_power_w": CP, "w_prime_j": W}
FOUR = {"rounds": 4, "work_s": 240, "recovery_s": 180}
RUNNER = {"critical_speed_m_per_s": 3.5, "d_prime_m": 180.0, "recovery_speed_m_per_s": 1.5}
FORMS = tuple(RecoveryModel)


@pytest.mark.parametrize("model", ["differential", "integral"])
def test_the_published_series_leaves_what_was_published(model):
    series = [
        row for row in rows() if row.topic == f"W-prime balance {model}" and "4x" in row.inputs.get("session", "")
    ]
    after = [float(row.expected) / W for row in series if row.inputs["point"].startswith("end rep")]
    count, work_s, work_w, rest_s, rest_w = all_numbers(series[0].inputs["session"])

    found = rounds_until_empty(
        **RIDER,
        power_w=work_w,
        rounds=int(count),
        work_s=work_s,
        recovery_s=rest_s,
        recovery_power_w=rest_w,
        model=RecoveryModel(model),
    )

    assert found.reserve_after_rounds == pytest.approx(after, abs=1e-5)
    assert (found.value, found.runs_out_in_round, found.runs_out_after_s) == (4, None, None)


def test_short_rounds_run_out_where_the_published_debt_begins():
    row = next(row for row in rows() if row.id == "WB-30")
    count, work_s, work_w, rest_s, rest_w = all_numbers(row.inputs["session"])
    spending = Spending(
        RecoveryModel.DIFFERENTIAL, Rounds(int(count), work_s, rest_s), *np.array([CP, W, rest_w])[:, None]
    )
    left = spending.reserves(np.array([work_w]))[:, 0]

    found = rounds_until_empty(
        **RIDER, power_w=work_w, rounds=int(count), work_s=work_s, recovery_s=rest_s, recovery_power_w=rest_w
    )

    assert left[-1] * W == pytest.approx(float(row.expected), abs=row.tolerance)
    assert found.value == np.count_nonzero(left >= 0) == 11
    assert found.runs_out_after_s == pytest.approx(work_s + left[11] * W / (work_w - CP))


def emptied_at(model, power, rest_w, before_s, rest_s):
    """Seconds into the second round until nothing is left, by an equation solver that watches for it."""
    rate = {
        RecoveryModel.DIFFERENTIAL: lambda d, p: p - CP if p >= CP else -d * (CP - p) / W,
        RecoveryModel.INTEGRAL: lambda d, p: max(0.0, p - CP) - d / (546 * math.exp(-0.01 * (CP - rest_w)) + 316),
        RecoveryModel.CONSERVATIVE: lambda d, p: p - CP if p >= CP else -d * math.log(2) / 234,
    }[model]

    def flow(deficit, effort, time_s, events=None):
        return solve_ivp(
            lambda _, d: [rate(d[0], effort)], (0, time_s), [deficit], rtol=1e-10, atol=1e-8, events=events
        )

    first = flow(0.0, power, before_s).y[0][-1]
    rested = flow(first, rest_w, rest_s).y[0][-1]
    return flow(rested, power, before_s, events=lambda _, d: d[0] - W).t_events[0][0]


@pytest.mark.parametrize(("model", "power"), [("differential", 325.0), ("integral", 350.0), ("conservative", 310.0)])
def test_the_second_of_the_end_is_where_an_equation_solver_finds_it(model, power):
    form = RecoveryModel(model)

    found = rounds_until_empty(**RIDER, **FOUR, power_w=power, recovery_power_w=100, model=form)

    assert (found.value, found.runs_out_in_round) == (1, 2)
    assert found.runs_out_after_s == pytest.approx(emptied_at(form, power, 100, 240, 180), abs=1e-4)
    assert len(found.reserve_after_rounds) == 1


def test_a_first_round_beyond_all_ends_where_the_hyperbola_says():
    found = rounds_until_empty(**RIDER, **FOUR, power_w=350, recovery_power_w=100)

    assert (found.value, found.runs_out_in_round, found.reserve_after_rounds) == (0, 1, ())
    assert found.runs_out_after_s == pytest.approx(W / 100)


@given(st.integers(1, 8), st.sampled_from(FORMS), st.floats(0, 0.6))
def test_what_the_solver_proposes_does_not_run_out(rounds, model, reserve):
    session = {**RIDER, **FOUR, "rounds": rounds, "recovery_power_w": 100.0}
    power = even_power_for_reserve(**session, reserve_fraction=reserve, model=model)

    found = rounds_until_empty(**session, power_w=power.value, model=model)

    assert (found.value, found.runs_out_in_round) == (rounds, None)
    assert found.reserve_after_rounds == pytest.approx(power.reserve_after_rounds)


@given(st.integers(2, 8), st.sampled_from(FORMS), st.floats(0.2, 3))
def test_a_little_more_than_the_solver_gives_without_reserve_runs_out_in_the_last_round(rounds, model, more):
    session = {**RIDER, **FOUR, "rounds": rounds, "recovery_power_w": 200.0}
    power = even_power_for_reserve(**session, reserve_fraction=0, model=model).value

    found = rounds_until_empty(**session, power_w=power + more, model=model)

    assert found.runs_out_in_round is not None
    assert 0 < found.runs_out_after_s < 240


def test_speed_and_power_obey_the_same_law():
    at_speed = rounds_until_empty_at_speed(**RUNNER, **FOUR, speed_m_per_s=4.1)
    at_power = rounds_until_empty(critical_power_w=350, w_prime_j=18_000, power_w=410, recovery_power_w=150, **FOUR)

    assert at_speed.value == at_power.value
    assert at_speed.runs_out_after_s == pytest.approx(at_power.runs_out_after_s)


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"power_w": 250}, "no end"),
        ({"power_w": 200}, "no end"),
        ({"power_w": 420}, "2 min"),
        ({"recovery_power_w": 260}, "nothing comes back"),
    ],
)
def test_beyond_the_reach_of_the_model_it_says_so(changed, says):
    found = rounds_until_empty(**{**RIDER, **FOUR, "power_w": 300, "recovery_power_w": 100, **changed})

    assert isinstance(found, Missing)
    assert says in found.reason


def test_the_integral_form_knows_no_speed():
    found = rounds_until_empty_at_speed(**RUNNER, **FOUR, speed_m_per_s=4, model=RecoveryModel.INTEGRAL)

    assert isinstance(found, Missing)


@pytest.mark.parametrize(
    ("name", "value"),
    [("critical_power_w", 0), ("w_prime_j", 0), ("power_w", -1), ("power_w", math.nan), ("recovery_power_w", -1)],
)
def test_powers_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        rounds_until_empty(**{**RIDER, **FOUR, "power_w": 300, "recovery_power_w": 100, name: value})


@pytest.mark.parametrize(
    ("name", "value"),
    [("critical_speed_m_per_s", 0), ("d_prime_m", 0), ("speed_m_per_s", 13), ("recovery_speed_m_per_s", -1)],
)
def test_speeds_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        rounds_until_empty_at_speed(**{**RUNNER, **FOUR, "speed_m_per_s": 4, name: value})
