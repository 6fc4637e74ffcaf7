"""The transition: which weeks count as all easy, when it is over, and what begins it again."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.told_away import AwayAnswer
from app.coaching.transition import Transition, transition_of
from tests.factories import TODAY, base_weeks, client, decision, history, leave, log, told_away

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


# Days off that were told: over 12 weeks, as new, transition again (common practice, no published source).
DAY = timedelta(days=1)


def told_off(days: int, *, back_on: date = TODAY - 3 * WEEK, **changes):
    return told_away(from_on=back_on - days * DAY, until_on=back_on - DAY, **changes)


# 84 days are twelve weeks. Entries stand in every week of them.
@pytest.mark.parametrize(("days", "weeks_done"), [(83, 30), (84, 30), (85, 3), (86, 3)])
@pytest.mark.parametrize("answer", [AwayAnswer.OPEN, AwayAnswer.ACCEPTED, AwayAnswer.DECLINED])
def test_over_twelve_weeks_told_off_it_begins_again_whatever_is_logged(days, weeks_done, answer) -> None:
    found = transition(*base_weeks(30), told_away=(told_off(days, answer=answer),))

    assert (found.weeks_done, found.is_done) == (weeks_done, weeks_done == 30)
    assert found.again_from == (None if found.is_done else TODAY - 3 * WEEK)


def test_days_told_by_mistake_begin_nothing_again() -> None:
    told = told_off(120, answer=AwayAnswer.TAKEN_BACK)

    assert transition(*base_weeks(30), told_away=(told,)) == transition(*base_weeks(30))


@pytest.mark.parametrize(("begun_ago", "is_done"), [(83, True), (84, False)])
def test_days_told_that_go_on_count_up_to_today(begun_ago: int, is_done: bool) -> None:
    told = told_away(from_on=TODAY - begun_ago * DAY, until_on=TODAY + 40 * DAY)
    found = transition(*base_weeks(30), told_away=(told,))

    assert found.is_done is is_done
    assert found.again_from == (None if is_done else TODAY + DAY)


def test_agreed_leave_that_adjoins_days_told_is_counted_along() -> None:
    told = told_off(40)
    before = leave(from_on=told.from_on - 45 * DAY, until_on=told.from_on - DAY)

    assert transition(*base_weeks(30), told_away=(told,), leaves=(before,)).weeks_done == 3
    assert transition(*base_weeks(30), leaves=(before,)).weeks_done == 30


@pytest.mark.parametrize("in_order", [True, False])
def test_of_two_long_stretches_told_the_last_counts(in_order: bool) -> None:
    told = (told_off(90, back_on=TODAY - 25 * WEEK), told_off(90, id=2))

    assert transition(*base_weeks(30), told_away=told if in_order else told[::-1]).weeks_done == 3


@pytest.mark.parametrize(("told_ago", "weeks_done"), [(8, 3), (2, 2)])
def test_of_a_break_logged_and_one_told_the_later_counts(told_ago: int, weeks_done: int) -> None:
    # Back three weeks ago after twenty weeks without an entry.
    logs = outings(1, 2, 3, *range(23, 40))
    told = told_off(85, back_on=TODAY - told_ago * WEEK)

    assert transition(*logs, told_away=(told,)).weeks_done == weeks_done


def test_a_return_within_a_week_counts_that_week_from_its_day() -> None:
    thursday = TODAY - 2 * WEEK + 3 * DAY
    told = told_off(85, back_on=thursday)

    assert transition(*base_weeks(30), told_away=(told,)).weeks_done == 2
    assert transition(*outings(*range(1, 30)), told_away=(told,)).weeks_done == 1


@pytest.mark.parametrize(("from_ago", "is_done"), [(21, True), (22, False)])
def test_days_told_before_the_days_looked_at_are_not_judged_by_them(from_ago: int, is_done: bool) -> None:
    found = transition(*base_weeks(30), told_away=(told_off(100),), from_on=TODAY - from_ago * DAY)

    assert found.is_done is is_done


@pytest.mark.parametrize(("confirmed_ago", "is_done"), [(22, False), (21, True)])
def test_days_told_end_what_was_confirmed_before_them(confirmed_ago: int, is_done: bool) -> None:
    active = client(regularly_active_confirmed_on=TODAY - confirmed_ago * DAY)

    assert transition(*base_weeks(30), told_away=(told_off(85),), client=active).is_done is is_done
