"""Regularly active, read strictly and by the practice, from thirteen weeks of entries."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.effort import Talk
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
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


# Moderate on the practice's own 0-10 scale is 3, "light, breathing calmly" (house choice); the talk answer beats it.
@pytest.mark.parametrize(
    ("talk", "effort", "good"),
    [
        (None, 3, 13),
        (None, 2.9, 0),
        (None, None, 0),
        (Talk.CHAT, 1, 13),
        (Talk.CHAT, None, 13),
        (Talk.FEW_WORDS, 9, 13),
        (Talk.SING, 8, 0),
    ],
)
def test_what_counts_as_moderate(talk: Talk | None, effort: float | None, good: int) -> None:
    assert read_activity(weeks(talk=talk, effort=effort), TODAY).good_weeks == good


@pytest.mark.parametrize(("days", "is_good"), [((0, 2), False), ((0, 2, 5), True), ((4, 5, 6), True)])
def test_a_good_week_has_three_different_days(days: tuple[int, ...], is_good: bool) -> None:
    logs = factories.base_week(MONDAYS[-1], days=days, minutes=30)

    assert read_activity(factories.history(logs=logs), TODAY).good_weeks == int(is_good)


def test_monday_of_the_next_week_is_no_day_of_this_one() -> None:
    logs = (*factories.base_week(MONDAYS[0], days=(4, 6)), *factories.base_week(MONDAYS[1], days=(0,)))

    assert read_activity(factories.history(logs=logs), TODAY).good_weeks == 0


def test_two_short_outings_of_one_day_make_one_day() -> None:
    halves = [
        factories.log(id=10 * n + day, done_on=MONDAYS[0] + timedelta(days=day), minutes=15)
        for day in (0, 2, 4)
        for n in (1, 2)
    ]

    assert read_activity(factories.history(logs=tuple(halves)), TODAY).good_weeks == 1


@pytest.mark.parametrize("changes", [{"kind": SessionKind.STRENGTH}, {"mode": Mode.STRENGTH}])
def test_strength_is_no_outing(changes: dict) -> None:
    reading = read_activity(weeks(**changes), TODAY)

    assert (reading.good_weeks, reading.weeks_with_entries) == (0, 0)


def test_weeks_before_the_thirteen_are_left_out() -> None:
    logs = factories.base_week(MONDAYS[0] - timedelta(weeks=1))

    assert not read_activity(factories.history(logs=logs), TODAY).is_derivable


def test_one_logged_week_can_be_read() -> None:
    reading = read_activity(factories.history(logs=factories.base_week(MONDAYS[0], days=(0,))), TODAY)

    assert reading.is_derivable is True
    assert (reading.weeks_with_entries, reading.good_weeks) == (1, 0)


def test_nothing_logged_is_not_derivable() -> None:
    assert not read_activity(factories.history(), TODAY).is_derivable


def test_entries_from_the_running_week_are_left_out() -> None:
    today = factories.history(logs=factories.base_week(TODAY))

    assert not read_activity(today, TODAY + timedelta(days=2)).is_derivable
