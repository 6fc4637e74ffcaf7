"""Regularly active, read strictly and by the practice, from thirteen weeks of entries."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.effort import Talk
from app.coaching.regularly_active import read_activity
from app.coaching.weeks import weeks_back
from tests import factories
from tests.factories import TODAY

MONDAYS = weeks_back(TODAY, 13)


def weeks(*poor: int, minutes: float = 30, **changes):
    """Thirteen weeks of three outings, but for the poor ones."""
    logs = [
        log
        for n, monday in enumerate(MONDAYS)
        if n not in poor
        for log in factories.base_week(monday, minutes=minutes)
    ]
    return factories.history(logs=tuple(factories.log(**(_values(log) | changes)) for log in logs))


def _values(log):
    return {name: getattr(log, name) for name in ("id", "done_on", "minutes")}


@pytest.mark.parametrize(
    ("poor", "strict", "practice"),
    [
        ((), True, True),
        ((4,), False, True),
        ((0, 4, 8), False, True),
        ((0, 3, 6, 9), False, False),
        ((4, 5), False, False),
    ],
)
def test_both_readings(poor: tuple[int, ...], strict: bool, practice: bool) -> None:
    reading = read_activity(weeks(*poor), TODAY)

    assert (reading.is_strict, reading.is_by_practice) == (strict, practice)
    assert reading.good_weeks == 13 - len(poor)


def test_twenty_nine_minutes_are_too_few() -> None:
    assert read_activity(weeks(minutes=29), TODAY).good_weeks == 0


def test_outings_at_which_one_could_sing_do_not_count() -> None:
    reading = read_activity(weeks(talk=Talk.SING), TODAY)

    assert (reading.good_weeks, reading.weeks_with_entries) == (0, 13)


def test_nothing_logged_is_not_derivable() -> None:
    assert not read_activity(factories.history(), TODAY).is_derivable


def test_entries_from_the_running_week_are_left_out() -> None:
    today = factories.history(logs=factories.base_week(TODAY))

    assert not read_activity(today, TODAY + timedelta(days=2)).is_derivable
