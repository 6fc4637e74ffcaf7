"""Time above 90 % of VO2max: against an equation solver, the published rows, and its laws."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.physiology.near_vo2max import time_near_vo2max
from app.physiology.values import OutOfRange
from tests.physiology.reference_rows import rows

FOUR = {"rounds": 4, "work_s": 240, "recovery_s": 180, "target_fraction": 1.0, "recovery_fraction": 0.5, "tau_s": 30}
SHORT = {**FOUR, "rounds": 24, "work_s": 30, "recovery_s": 30}


def counted(given_, delay_s=17.5, start=0.35):
    """Seconds above by a solver of the equation, sampled finely; round after round."""
    step_s, at, above = 0.02, start, []
    for aim, time_s in [
        (given_["target_fraction"], given_["work_s"]),
        (given_["recovery_fraction"], given_["recovery_s"]),
    ] * given_["rounds"]:
        times = np.arange(0, time_s, step_s)
        flow = solve_ivp(
            lambda _, x, a=aim: [(a - x[0]) / given_["tau_s"]],
            (0, time_s),
            [at],
            t_eval=[*times, time_s],
            rtol=1e-9,
            atol=1e-10,
        )
        above.extend(np.minimum(flow.y[0][:-1], 1.0) > 0.9)
        at = min(1.0, flow.y[0][-1])
    counted_s = given_["rounds"] * (given_["work_s"] + given_["recovery_s"]) - given_["recovery_s"] - delay_s
    return step_s * np.count_nonzero(above[: round(counted_s / step_s)])


@pytest.mark.parametrize(
    "protocol",
    [
        FOUR,
        SHORT,
        {**FOUR, "target_fraction": 1.2},
        {**FOUR, "recovery_s": 20, "recovery_fraction": 0.8},
        {**SHORT, "recovery_fraction": 0.8, "target_fraction": 1.2, "work_s": 60},
        {**FOUR, "work_s": 15, "recovery_s": 15, "target_fraction": 1.3, "rounds": 3},
        {**SHORT, "work_s": 10, "recovery_s": 5, "recovery_fraction": 0.85, "target_fraction": 1.1, "tau_s": 15},
    ],
)
def test_the_time_is_what_an_equation_solver_counts(protocol):
    assert time_near_vo2max(**protocol).value == pytest.approx(counted(protocol), abs=0.05 * protocol["rounds"])


def test_one_round_reaches_it_after_the_published_time_and_the_delay():
    published = [row for row in rows() if row.topic == "time to 90 % VO2max, ideal"]
    expected = [float(row.expected) for row in published]

    found = [
        time_near_vo2max(
            rounds=1,
            work_s=300,
            recovery_s=60,
            tau_s=float(row.inputs["tau"]),
            target_fraction=float(row.inputs["asymptote"]),
            recovery_fraction=0.4,
            start_fraction=float(row.inputs["baseline"]),
            delay_s=20,
        )
        for row in published
    ]

    assert len(published) >= 5
    assert [one.first_reached_after_s - 20 for one in found] == pytest.approx(expected, abs=0.05)
    assert [one.value for one in found] == pytest.approx([300 - 20 - time_s for time_s in expected], abs=0.05)


def test_it_is_told_by_round_and_as_a_share_of_the_work():
    found = time_near_vo2max(**FOUR)

    assert len(found.by_round_s) == 4
    assert sum(found.by_round_s) == pytest.approx(found.value)
    assert found.share_of_work == pytest.approx(found.value / 960)
    assert found.by_round_s[1] > found.by_round_s[0]
    assert any("compare" in note for note in found.notes)


MEASURED = {row.id: float(row.expected) for row in rows() if row.id in ("INT-83", "INT-84")}


@pytest.mark.parametrize("tau_s", [20, 25, 30])
def test_long_and_short_rounds_come_in_the_measured_order_and_long_ones_too_long(tau_s):
    long, short = (time_near_vo2max(**{**one, "tau_s": tau_s}) for one in ({**FOUR, "work_s": 180}, SHORT))

    assert long.value > short.value
    assert MEASURED["INT-83"] > MEASURED["INT-84"]
    assert long.value > 1.4 * MEASURED["INT-83"]


def test_work_that_asks_for_90_percent_or_less_never_passes_it():
    found = time_near_vo2max(**{**FOUR, "target_fraction": 0.9})

    assert (found.value, found.first_reached_after_s, found.by_round_s) == (0, None, (0, 0, 0, 0))


def test_a_round_shorter_than_the_delay_and_the_rise_never_passes_it():
    assert time_near_vo2max(**{**FOUR, "rounds": 1, "work_s": 15}).value == 0


protocols = st.fixed_dictionaries(
    {
        "rounds": st.integers(1, 8),
        "work_s": st.floats(10, 600),
        "recovery_s": st.floats(5, 300),
        "tau_s": st.floats(15, 45),
        "target_fraction": st.floats(0.7, 1.3),
        "recovery_fraction": st.floats(0.1, 0.85),
    }
)


@given(protocols)
def test_the_time_is_never_more_than_the_session(protocol):
    found = time_near_vo2max(**protocol)

    assert 0 <= found.value <= protocol["rounds"] * (protocol["work_s"] + protocol["recovery_s"])
    assert len(found.by_round_s) == protocol["rounds"]
    assert (found.first_reached_after_s is None) == math.isclose(found.value, 0, abs_tol=1e-12)


@given(protocols, st.floats(1, 20))
def test_a_slower_rise_never_adds_time_to_a_single_round(protocol, slower):
    alone = {**protocol, "rounds": 1}

    assert time_near_vo2max(**{**alone, "tau_s": protocol["tau_s"] + slower}).value <= time_near_vo2max(**alone).value


@given(protocols)
def test_one_more_round_never_takes_time_away(protocol):
    assert (
        time_near_vo2max(**{**protocol, "rounds": protocol["rounds"] + 1}).value
        >= time_near_vo2max(**protocol).value - 1e-9
    )


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("rounds", value) for value in (0, 41)),
        *(("work_s", value) for value in (9, 1201)),
        *(("recovery_s", value) for value in (4, 3601)),
        *(("tau_s", value) for value in (4, 121)),
        *(("target_fraction", value) for value in (0.4, 1.31)),
        *(("recovery_fraction", value) for value in (-0.1, 0.86)),
        *(("start_fraction", value) for value in (-0.1, 0.86)),
        *(("delay_s", value) for value in (-1, 41, math.nan)),
    ],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        time_near_vo2max(**{**FOUR, name: value})
