"""What is kept of the history asked about last: it answers again at once, and never for another one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from app.coaching.history import History
from app.coaching.last_asked import kept_for_last
from app.coaching.rules import Rules
from tests import factories as make

TODAY = make.TODAY

asked: list[date] = []


@kept_for_last
def days_known(history: History, today: date, rules: Rules) -> int:
    """Something that takes long."""
    asked.append(today)
    return (today - history.from_on).days + rules.quiet_days


def test_the_same_question_is_worked_out_once() -> None:
    asked.clear()
    one = make.history()

    first = days_known(one, TODAY, Rules())

    assert days_known(one, TODAY, Rules()) == first
    assert asked == [TODAY]


def test_another_history_day_or_rule_is_worked_out_afresh() -> None:
    asked.clear()
    one = make.history()
    first = days_known(one, TODAY, Rules())

    other = days_known(replace(one, from_on=date(2020, 1, 1)), TODAY, Rules())
    later = days_known(one, date(2030, 1, 1), Rules())
    stricter = days_known(one, TODAY, Rules(quiet_days=Rules().quiet_days - 1))

    assert len({first, other, later, stricter}) == 4
    assert len(asked) == 4


def test_of_the_last_history_alone_something_is_kept() -> None:
    asked.clear()
    one, other = make.history(), make.history()

    for history in (one, one, other, one):
        days_known(history, TODAY, Rules())

    assert len(asked) == 3


def test_a_history_that_only_looks_the_same_is_not_taken_for_it() -> None:
    asked.clear()
    one = make.history()

    days_known(one, TODAY, Rules())
    days_known(replace(one), TODAY, Rules())

    assert len(asked) == 2
