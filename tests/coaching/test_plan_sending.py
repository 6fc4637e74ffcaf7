"""Which week is sent next, by the day it is asked on."""

from __future__ import annotations

from datetime import date

import pytest

from app.coaching.plan_sending import week_to_send


@pytest.mark.parametrize(
    ("today", "monday"),
    [
        (date(2026, 11, 23), date(2026, 11, 23)),
        (date(2026, 11, 27), date(2026, 11, 23)),
        (date(2026, 11, 28), date(2026, 11, 30)),
        (date(2026, 11, 29), date(2026, 11, 30)),
        (date(2026, 12, 31), date(2026, 12, 28)),
        (date(2028, 1, 1), date(2028, 1, 3)),
    ],
)
def test_from_saturday_on_the_coming_week_is_sent(today: date, monday: date) -> None:
    assert week_to_send(today) == monday
