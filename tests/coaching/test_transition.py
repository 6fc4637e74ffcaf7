"""The transition: which weeks count as all easy, when it is over, and what begins it again."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.transition import Transition, transition_of
from tests.factories import TODAY, base_weeks, client, decision, history, log

RULES = Rules()
WEEK = timedelta(weeks=1)


def transition(*logs, hard=(), today: date = TODAY, **records) -> Transition:
    return transition_of(history(logs=logs, **records), set(hard), today, RULES)


def outings(*weeks_ago: int, day: int = 0):
    """One walk in each of these weeks, on a day of it."""
    return tuple(log(id=n, done_on=TODAY - n * WEEK + timedelta(days=day)) for n in weeks_ago)


def promoted(weeks_ago: int = 0, **changes):
    given = {"kind": DecisionKind.PROMOTE, "phase": Phase.INTERVAL_ONE, "since_on": TODAY - weeks_ago * WEEK}
    return decision(**(given | changes))


# Two to three months of light to moderate work first (from memory, unchecked); twelve weeks in the practice's list.
@pytest.mark.parametrize(("weeks", "is_done"), [(11, False), (12, True), (13, True)])
def test_twelve_easy_weeks(weeks: int, is_done: bool) -> None:
    found = transition(*outings(*range(1, weeks + 1)))

    assert (found.weeks_done, found.is_done) == (weeks, is_done)


def test_it_is_over_on_the_monday_after_the_twelfth_easy_week() -> None:
    found = transition(*outings(*range(1, 15)))

    assert found.over_from == TODAY - 2 * WEEK
    assert not found.is_over_on(TODAY - 2 * WEEK - timedelta(days=1))
    assert found.is_over_on(TODAY - 2 * WEEK)
    assert found.is_over_on(TODAY)


def test_while_it_lasts_no_day_is_after_it() -> None:
    found = transition(*outings(1, 2))

    assert found.over_from is None
    assert not found.is_over_on(date.max)


def test_several_outings_make_one_week_and_one_hard_one_spoils_it() -> None:
    assert transition(*base_weeks(5)).weeks_done == 5
    assert transition(*outings(1, 2, 3), hard=(2,)).weeks_done == 2
    assert (
        transition(*outings(1, 2), log(id=50, done_on=TODAY - WEEK + timedelta(days=3)), hard=(50,)).weeks_done == 1
    )


def test_the_week_that_runs_does_not_count_yet() -> None:
    assert transition(*outings(0, 1), today=TODAY + timedelta(days=6)).weeks_done == 1
    assert transition(*outings(1, day=6)).weeks_done == 1


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH},
        {"answer": Answer.NOT_DONE},
        {"minutes": 0.0},
    ],
)
def test_what_is_no_outing_makes_no_week(changes: dict) -> None:
    assert transition(log(done_on=TODAY - WEEK, **changes)).weeks_done == 0


def test_half_a_minute_makes_one() -> None:
    assert transition(log(done_on=TODAY - WEEK, minutes=0.5)).weeks_done == 1


# Over 12 weeks off: as new, transition again (common practice, no published source).
@pytest.mark.parametrize(("weeks_off", "weeks_done"), [(12, 9), (13, 3)])
def test_over_twelve_weeks_off_it_begins_again(weeks_off: int, weeks_done: int) -> None:
    logs = outings(1, 2, 3, *range(3 + weeks_off, 9 + weeks_off))

    assert transition(*logs).weeks_done == weeks_done


@pytest.mark.parametrize(("weeks_off", "weeks_done"), [(12, 14), (13, 0)])
def test_a_long_break_counts_while_it_lasts(weeks_off: int, weeks_done: int) -> None:
    found = transition(*outings(*range(weeks_off, weeks_off + 14)))

    assert (found.weeks_done, found.is_done) == (weeks_done, weeks_done > 0)


def test_of_two_long_breaks_the_last_counts() -> None:
    logs = outings(1, 2, *range(20, 24), *range(50, 70))

    assert transition(*logs).weeks_done == 2


def test_a_hard_outing_before_the_break_spoils_no_week_after_it() -> None:
    assert transition(*outings(1, 2, 20), hard=(20,)).weeks_done == 2


@pytest.mark.parametrize(("weeks_ago", "is_done"), [(15, True), (16, False)])
def test_an_outing_before_the_records_looked_at_makes_a_break(weeks_ago: int, is_done: bool) -> None:
    before = {"outing_before_on": TODAY - weeks_ago * WEEK, "decisions": (promoted(5),)}

    assert transition(*outings(1, 2, 3), **before).is_done is is_done


def test_regularly_active_at_intake_needs_none() -> None:
    found = transition(*outings(1, 2), client=client(regularly_active_confirmed_on=TODAY - 3 * WEEK))

    assert (found.over_from, found.is_done) == (date.min, True)


@pytest.mark.parametrize(("confirmed", "is_done"), [(4, False), (3, True), (2, True)])
def test_a_break_ends_what_was_confirmed_before_it(confirmed: int, is_done: bool) -> None:
    # Back three weeks ago after twenty weeks off.
    logs = outings(1, 2, 3, *range(23, 40))
    active = client(regularly_active_confirmed_on=TODAY - confirmed * WEEK)

    assert transition(*logs, client=active).is_done is is_done


@pytest.mark.parametrize(
    ("changes", "is_done"),
    [
        ({}, True),
        ({"phase": Phase.KEEPING}, True),
        ({"phase": Phase.AEROBIC_BASE}, False),
        ({"kind": DecisionKind.STEP_BACK}, False),
        ({"kind": DecisionKind.BROUGHT_IN}, False),
        ({"since_on": TODAY}, True),
        ({"since_on": TODAY + timedelta(days=1)}, False),
    ],
)
def test_a_promotion_made_here_shows_that_it_was_over(changes: dict, is_done: bool) -> None:
    assert transition(*outings(1, 2), decisions=(promoted(1, **changes),)).is_done is is_done


def test_the_first_promotion_is_the_day() -> None:
    decisions = (promoted(5, id=1), promoted(9, id=2), promoted(2, id=3))

    assert transition(*outings(1), decisions=decisions).over_from == TODAY - 9 * WEEK


@pytest.mark.parametrize(("weeks_ago", "is_done"), [(4, False), (3, True), (1, True)])
def test_a_promotion_before_the_break_shows_nothing(weeks_ago: int, is_done: bool) -> None:
    logs = outings(1, 2, 3, *range(23, 40))

    assert transition(*logs, decisions=(promoted(weeks_ago),)).is_done is is_done
