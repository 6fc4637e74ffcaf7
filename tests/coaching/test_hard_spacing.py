"""Two hard days too close: 72 hours belong between them early and from sixty, else 48.

Source: common practice, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.hard_spacing import TooSoon, too_soon, too_soon_after_done, too_soon_words
from app.coaching.hard_work import HardDay
from app.coaching.history import History
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from tests.factories import TODAY, client, decision, history, log, planned, planned_hard, work_round

RULES = Rules()
YOUNG = client(born_on=date(1990, 1, 1))


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def somebody(*, weeks: int = 20, **records: Any) -> History:
    """Somebody of 36, so many weeks into hard work."""
    since = decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(weeks=weeks))
    return history(**({"client": YOUNG, "decisions": (since,)} | records))


def day(on: date) -> HardDay:
    return HardDay(on, "Rounds", False, 5)


def done(days: int, **changes: Any) -> SessionLog:
    rounds = tuple(work_round(number=n) for n in (1, 2, 3))
    return log(**({"id": 50 - days, "done_on": ago(days), "kind": SessionKind.INTERVALS, "rounds": rounds} | changes))


@pytest.mark.parametrize(
    ("born_on", "weeks", "needed"),
    [
        (date(1990, 1, 1), 8, 48),
        (date(1990, 1, 1), 7, 72),
        (TODAY.replace(year=1966) + timedelta(days=1), 20, 48),
        (TODAY.replace(year=1966), 20, 72),
        (None, 20, 72),
    ],
)
def test_so_many_hours_belong_between_two_hard_days(born_on: date | None, weeks: int, needed: int) -> None:
    found = somebody(weeks=weeks, client=client(born_on=born_on))
    before, later = day(ago(1)), day(TODAY)
    last, enough = day(ago(needed // 24 - 1)), day(ago(needed // 24))

    assert too_soon(found, before, later, RULES) == TooSoon(before, later, 24, needed)
    assert too_soon(found, last, later, RULES) == TooSoon(last, later, needed - 24, needed)
    assert too_soon(found, enough, later, RULES) is None


def test_the_needed_hours_are_those_of_the_later_day() -> None:
    eighth_week_ends = TODAY + timedelta(days=2)
    found = somebody(decisions=(decision(phase=Phase.INTERVAL_ONE, since_on=eighth_week_ends - timedelta(weeks=8)),))
    turns_sixty = somebody(client=client(born_on=date(1966, 10, 7)))

    assert too_soon(found, day(TODAY), day(eighth_week_ends), RULES) is None
    assert too_soon(turns_sixty, day(TODAY), day(eighth_week_ends), RULES) is not None


def test_todays_session_is_held_against_the_last_hard_work_done() -> None:
    session = planned_hard(id=9)
    found = too_soon_after_done(somebody(logs=(done(1), done(5), done(3))), session, TODAY, RULES)

    assert found is not None
    assert (found.earlier.on, found.earlier.record_id, found.earlier.is_done) == (ago(1), 49, True)
    assert found.later == HardDay(TODAY, "Rounds", False, 9)
    assert (found.hours, found.needed) == (24, 48)


@pytest.mark.parametrize(
    ("logs", "is_too_soon"),
    [
        ((), False),
        ((done(2),), False),
        ((done(1),), True),
        ((done(0),), True),
        ((done(0, planned_session_id=9),), False),
        ((done(0, planned_session_id=9), done(1)), True),
        ((done(-1),), False),
        ((done(-1), done(1)), True),
        ((log(done_on=ago(1)),), False),
    ],
)
def test_own_entry_later_entries_and_easy_ones_do_not_count(logs: tuple[SessionLog, ...], is_too_soon: bool) -> None:
    session = planned_hard(id=9)
    found = too_soon_after_done(somebody(logs=logs, planned=(session,)), session, TODAY, RULES)

    assert (found is not None) is is_too_soon


def test_an_easy_session_is_never_too_soon() -> None:
    assert too_soon_after_done(somebody(logs=(done(1),)), planned(id=9), TODAY, RULES) is None


@pytest.mark.parametrize(("days", "when"), [(1, "on Sunday"), (0, "today already")])
def test_the_client_reads_when_it_was_and_that_this_one_waits(days: int, when: str) -> None:
    found = too_soon_after_done(somebody(logs=(done(days),)), planned_hard(id=9), TODAY, RULES)

    assert found is not None
    assert too_soon_words(found) == (
        f"You did hard work {when}, and 48 hours belong between two hard sessions: this one waits until your coach "
        "has looked."
    )
