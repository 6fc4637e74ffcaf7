"""When a client's next test is due: the standard loop every few weeks, another test after longer in intervals,
and one after a long gap."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.gap_rules import LONG_GAP_DAYS, Gap, gap_stop, last_gap
from app.coaching.history import History
from app.coaching.people import ClientState
from app.coaching.phases import HARD_WORK_PHASES, INTERVAL_PHASES
from app.coaching.rules import Rules
from app.coaching.told_off_stop import told_gap, told_off_stop


@dataclass(frozen=True, slots=True)
class Due:
    """A test that is due on a day, and what its time is counted from."""

    what: str
    weeks: int
    #: The last test of its kind, or the beginning of the phase.
    start_on: date
    #: None when there was none yet.
    last: FitnessTest | None

    @property
    def on(self) -> date:
        """The day it is due."""
        return self.start_on + timedelta(weeks=self.weeks)


def loop_due(history: History, today: date, rules: Rules) -> Due | None:
    """When the next standard loop is due: weeks after the last, else after the phase began.

    None while the client is not training here, or before a first loop and a phase.
    Source: every four weeks (common practice, no published source).
    """
    last = _newest(_before(history, today, Protocol.STANDARD_LOOP))
    start_on = last.tested_on if last else history.phase_since_on
    if start_on is None or history.client.state is not ClientState.ACTIVE:
        return None
    return Due("The standard loop", rules.loop_weeks, start_on, last)


def retest_due(history: History, today: date, rules: Rules) -> Due | None:
    """When another test than the loop is due in intervals: weeks after the last, or after the phase began.

    Source: after twelve weeks of intervals (common practice, no published source).
    """
    since = history.phase_since_on
    if since is None or history.client.state is not ClientState.ACTIVE or history.phase not in INTERVAL_PHASES:
        return None
    others = [one for one in Protocol if one is not Protocol.STANDARD_LOOP]
    last = _newest(_before(history, today, *others))
    return Due("A test", rules.retest_weeks, max(last.tested_on, since) if last else since, last)


def gap_to_retest(history: History, today: date, rules: Rules) -> Gap | None:
    """The long gap whose held weeks are done and whose retest is still to come; None when there is none.

    Source: 28 days off and more: held weeks, target afresh, retest (common practice, no published source).
    """
    found = [one for one in (last_gap(history, today), told_gap(history, today)) if one and one.days >= LONG_GAP_DAYS]
    ended = [(one.back_on, one) for one in found if one.back_on is not None]
    if not ended or history.phase not in HARD_WORK_PHASES:
        return None
    back_on, gap = max(ended, key=lambda one: one[0])
    others = [one for one in Protocol if one is not Protocol.STANDARD_LOOP]
    is_tested = any(one.tested_on >= back_on for one in _before(history, today, *others))
    still_waits = gap_stop(history, today, rules) or told_off_stop(history, today, rules)
    return None if is_tested or still_waits else gap


def _before(history: History, today: date, *protocols: Protocol) -> list[FitnessTest]:
    return [one for one in history.tests if one.tested_on <= today and one.protocol in protocols]


def _newest(tests: Iterable[FitnessTest]) -> FitnessTest | None:
    return max(tests, key=lambda one: (one.tested_on, one.id), default=None)
