"""Which days wished free for a block become agreed leave."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.time_away import Possible, Stretch, to_agree
from tests import factories as make
from tests.factories import TODAY


def stretch(start: int, days: int, possible: Possible = Possible.NOTHING) -> Stretch:
    """Days away that begin so many days from today."""
    first = TODAY + timedelta(days=start)
    return Stretch(first, first + timedelta(days=days - 1), possible)


def test_days_on_which_nothing_is_possible_are_agreed() -> None:
    assert to_agree([stretch(10, 14)], (), TODAY) == (stretch(10, 14),)


def test_days_with_a_walk_or_less_and_days_that_are_over_are_not() -> None:
    away = [stretch(10, 3, Possible.WALKING), stretch(20, 3, Possible.LESS), stretch(-9, 9)]

    assert to_agree(away, (), TODAY) == ()


def test_what_overlaps_agreed_leave_or_another_stretch_is_agreed_once() -> None:
    agreed = make.leave(from_on=TODAY + timedelta(days=12), until_on=TODAY + timedelta(days=13))

    assert to_agree([stretch(10, 3)], [agreed], TODAY) == ()
    assert to_agree([stretch(20, 5), stretch(24, 5)], [agreed], TODAY) == (stretch(20, 5),)
