"""Which week is asked about on a day, and what a check-in says."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.check_ins import WeekFelt, said_in, week_asked_about
from app.coaching.session_logs import WhyNot
from tests import factories as make

MONDAY = date(2026, 11, 23)


@pytest.mark.parametrize(
    ("weekday", "asked"),
    [(0, -7), (1, -7), (2, -7), (3, None), (4, 0), (5, 0), (6, 0)],
)
def test_a_week_is_asked_about_from_its_friday_to_the_wednesday_after(weekday: int, asked: int | None) -> None:
    found = week_asked_about(MONDAY + timedelta(days=weekday))

    assert found == (None if asked is None else MONDAY + timedelta(days=asked))


def test_what_wants_a_question_is_said_first() -> None:
    told = make.check_in(
        felt=WeekFelt.TOO_MUCH, fell=True, medicine_changed=True, barrier=WhyNot.CARING, confidence=4
    )

    assert said_in(told) == (
        "a medicine changed",
        "a fall",
        "the week was too much",
        "in the way: caring for somebody",
        "sure of next week 4 of 10",
    )
