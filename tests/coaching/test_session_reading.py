"""A session read whole: the recording's rounds before the entry's, the plan's clock for typed ones, its target."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from app.coaching.execution_values import Verdict
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import Provenance, Why
from app.coaching.recordings import Recording
from app.coaching.round_figures import Output
from app.coaching.rounds_values import EdgesFrom, RoundEdges
from app.coaching.rules import Rules
from app.coaching.session_reading import ReadWith, read_session, same_protocol
from app.coaching.session_target import SessionTarget, TargetForm, target_to_json
from app.coaching.thinned_series import thinned
from tests import factories

BESIDE = ReadWith(heart_rate_counts=True, readiness=(), rules=Rules())
PLANNED = factories.planned_hard(mode=Mode.INDOOR_RIDE)


def log(powers=(200.0, 201.0, 199.0, 200.0), **changes):
    rounds = tuple(
        factories.work_round(number=n, duration_s=240, power_w=power, heart_rate_end_bpm=150, effort=7.0)
        for n, power in enumerate(powers, start=1)
    )
    return factories.log(**{"mode": Mode.INDOOR_RIDE, "rounds": rounds} | changes)


def recording(levels=(200.0, 200.0, 200.0, 200.0)) -> Recording:
    """Fifteen minutes easy, four rounds of four minutes with as much rest, ten minutes easy."""
    parts = [np.full(900, 110.0)]
    for level in levels:
        parts += [np.full(240, level), np.full(240, 90.0)]
    power = np.concatenate([*parts, np.full(600, 105.0)])
    return Recording(np.arange(power.size, dtype=float), power_w=power)


def with_target(form, value, **more):
    why = Why((), "As chosen.", Provenance.COMMON_PRACTICE)
    given_ = {"low": None, "high": None, "rounds": (), "distance_m": None, "basis": "typed", "why": why}
    return replace(PLANNED, target_json=target_to_json(SessionTarget(form=form, value=value, **(given_ | more))))


def test_the_recordings_rounds_come_before_the_entrys():
    read = read_session(log((150.0, 150.0, 150.0, 150.0)), PLANNED, recording(), by_hand=(), beside=BESIDE)

    assert [round(one.output) for one in read.rounds] == [200, 200, 200, 200]
    assert [one.effort for one in read.rounds] == [7.0, 7.0, 7.0, 7.0]
    assert read.judged.verdict is Verdict.EVEN


def test_a_fade_in_the_recording_is_named():
    read = read_session(log(), PLANNED, recording((210.0, 205.0, 196.0, 185.0)), by_hand=(), beside=BESIDE)

    assert read.judged.verdict is Verdict.FADED


def test_rounds_seen_in_an_easy_session_prescribe_nothing():
    faded = recording((210.0, 205.0, 196.0, 185.0))

    easy = read_session(log(), None, faded, by_hand=(), beside=BESIDE)
    hard = read_session(log(kind=SessionKind.INTERVALS), None, faded, by_hand=(), beside=BESIDE)

    assert (easy.is_easy, easy.judged.verdict, easy.judged.next_time) == (True, Verdict.FADED, None)
    assert not hard.is_easy
    assert hard.judged.next_time is not None


def test_rounds_set_by_hand_win_over_any_reading():
    edges = (RoundEdges(900, 1140), RoundEdges(1380, 1620))

    read = read_session(log(), PLANNED, recording(), by_hand=edges, beside=BESIDE)

    assert read.found.edges_from is EdgesFrom.HAND
    assert [(one.start_s, one.end_s) for one in read.rounds] == [(900, 1140), (1380, 1620)]


def test_a_recording_without_rounds_leaves_the_entrys():
    flat = Recording(np.arange(1800.0), power_w=np.full(1800, 120.0))

    read = read_session(log(), None, flat, by_hand=(), beside=BESIDE)

    assert [one.output for one in read.rounds] == [200.0, 201.0, 199.0, 200.0]


def test_typed_rounds_lie_on_the_plans_clock():
    read = read_session(log(), PLANNED, None, by_hand=(), beside=BESIDE)

    lead_in = read.asked.lead_in_s
    assert [one.start_s for one in read.rounds] == [lead_in, lead_in + 480, lead_in + 960, lead_in + 1440]
    assert {one.asked_s for one in read.rounds} == {240}


def test_heart_rate_that_does_not_count_is_not_shown():
    read = read_session(log(), PLANNED, None, by_hand=(), beside=replace(BESIDE, heart_rate_counts=False))

    assert {one.heart_rate_end_bpm for one in read.rounds} == {None}


def test_a_target_is_read_in_the_unit_of_what_was_done():
    by_power = with_target(TargetForm.POWER, 205.0, low=200.0, high=210.0)
    by_pace = with_target(TargetForm.PACE, 250.0, low=240.0, high=250.0)
    runs = log(mode=Mode.RUN, rounds=(factories.work_round(speed_m_per_s=4.0, power_w=None),))

    powered = read_session(log(), by_power, None, by_hand=(), beside=BESIDE)
    paced = read_session(runs, replace(by_pace, mode=Mode.RUN), None, by_hand=(), beside=BESIDE)
    crossed = read_session(log(), by_pace, None, by_hand=(), beside=BESIDE)

    assert (powered.aims, powered.aim_range) == ((205.0,) * 4, (200.0, 210.0))
    assert paced.output is Output.SPEED
    assert paced.aims == (4.0,) * 4
    assert paced.aim_range == pytest.approx((4.0, 1000 / 240))
    assert (crossed.aims, crossed.aim_range) == ((), None)


def test_without_a_recording_and_without_rounds_there_is_nothing_to_judge():
    read = read_session(factories.log(), None, None, by_hand=(), beside=BESIDE)

    assert (read.judged, read.rounds, read.found) == (None, (), None)


def test_sessions_are_of_the_same_rounds_by_length_rest_and_mode():
    three = replace(PLANNED, steps_json=factories.planned_hard(steps_json=PLANNED.steps_json).steps_json)

    assert same_protocol(PLANNED, three)
    assert not same_protocol(PLANNED, replace(PLANNED, mode=Mode.RIDE))
    assert not same_protocol(PLANNED, factories.planned())


channels = arrays(np.float64, st.integers(1, 400), elements=st.one_of(st.floats(0, 2000), st.just(float("nan"))))


@settings(max_examples=40)
@given(channels, st.integers(1, 60))
def test_thinning_keeps_every_peak_and_trough_and_never_bridges_a_gap(values, most):
    runs = thinned(values, most)

    stretches = [one for run in runs for one in run]
    known = values[np.isfinite(values)]
    assert len(stretches) <= most
    assert bool(stretches) == bool(known.size)
    assert max((one.high for one in stretches), default=None) == (known.max() if known.size else None)
    assert min((one.low for one in stretches), default=None) == (known.min() if known.size else None)
    assert all(one.low <= one.mean * (1 + 1e-12) and one.mean <= one.high * (1 + 1e-12) for one in stretches)
    assert all(before.end_s == after.start_s for run in runs for before, after in pairwise(run))


def test_a_stretch_nothing_is_known_of_ends_a_line():
    values = np.array([1.0, 2.0, np.nan, np.nan, 3.0, 4.0])

    assert [[(one.start_s, one.mean) for one in run] for run in thinned(values, 3)] == [[(0.0, 1.5)], [(4.0, 3.5)]]
