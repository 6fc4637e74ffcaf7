"""When a test is due: one rule for the morning and for the page of tests."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.fitness_tests import Protocol
from app.coaching.people import ClientState
from app.coaching.phases import DecisionKind, Phase
from app.coaching.retests import loop_due, retest_due
from app.coaching.rules import Rules
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
BEFORE = TODAY - timedelta(weeks=3)


def in_phase(phase: Phase = Phase.AEROBIC_BASE, **records):
    since = make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=BEFORE)
    return make.history(**({"decisions": (since,)} | records))


def test_a_loop_is_due_four_weeks_after_the_last():
    history = in_phase(tests=(make.standard_loop(tested_on=BEFORE),))

    due = loop_due(history, TODAY, RULES)

    assert due is not None
    assert due.on == BEFORE + timedelta(weeks=4)


def test_the_first_loop_is_due_four_weeks_after_the_phase_began():
    due = loop_due(in_phase(), TODAY, RULES)

    assert due is not None
    assert due.last is None
    assert due.on == BEFORE + timedelta(weeks=4)


def test_nothing_is_due_without_a_phase_or_on_pause():
    paused = in_phase(client=make.client(state=ClientState.PAUSED))

    assert loop_due(make.history(), TODAY, RULES) is None
    assert loop_due(paused, TODAY, RULES) is None
    assert retest_due(in_phase(), TODAY, RULES) is None


def test_another_test_is_due_in_intervals_after_twelve_weeks_of_them():
    early = make.standard_loop(protocol=Protocol.FIVE_KM, tested_on=BEFORE - timedelta(weeks=2))

    due = retest_due(in_phase(Phase.INTERVAL_ONE, tests=(early,)), TODAY, RULES)

    assert due is not None
    assert due.on == BEFORE + timedelta(weeks=12)


def test_a_test_of_tomorrow_does_not_count_yet():
    later = make.standard_loop(tested_on=TODAY + timedelta(days=1))

    due = loop_due(in_phase(tests=(later,)), TODAY, RULES)

    assert due is not None
    assert due.last is None
