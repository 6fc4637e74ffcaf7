"""Days and weeks in the client's zone: instants are UTC, days are local, weeks run Monday to Sunday."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo

DAYS_IN_WEEK = 7


def local_day(instant: datetime, zone: str) -> date:
    """The local date of an instant in a zone."""
    return instant.astimezone(ZoneInfo(zone)).date()


def start_of_day(day: date, zone: str) -> datetime:
    """The instant (UTC) at which a local day begins in a zone."""
    return datetime.combine(day, time(0), ZoneInfo(zone)).astimezone(UTC)


def earliest_instant(day: date) -> datetime:
    """An instant before which it is not yet that day in any zone; spares old records the client's own clock."""
    before = date.fromordinal(max(1, day.toordinal() - 1))
    return datetime.combine(before, time(0), UTC)


@lru_cache(maxsize=4096)
def week_start(day: date) -> date:
    """The Monday of the ISO week a day lies in."""
    return day - timedelta(days=day.weekday())


@lru_cache(maxsize=4096)
def week_number(day: date) -> int:
    """A number shared by the days of one ISO week; the first day of the calendar was a Monday."""
    return (day.toordinal() - 1) // DAYS_IN_WEEK


@lru_cache(maxsize=4096)
def week_days(monday: date) -> tuple[date, ...]:
    """The seven days of the week that begins on a Monday."""
    return tuple(monday + timedelta(days=n) for n in range(DAYS_IN_WEEK))


def weeks_back(day: date, count: int) -> tuple[date, ...]:
    """The Mondays of the `count` complete weeks before the week of a day, oldest first."""
    monday = week_start(day)
    return tuple(monday - timedelta(weeks=n) for n in range(count, 0, -1))


def month_days(month: str) -> tuple[date, date]:
    """First and last day of a month written as "2026-10".

    Raises: ValueError when it is not a month.
    """
    first = datetime.strptime(month, "%Y-%m").replace(tzinfo=UTC).date()
    following = (first.replace(day=28) + timedelta(days=4)).replace(day=1)
    return first, following - timedelta(days=1)


def day_words(day: date) -> str:
    """A day as it is written in a sentence: 3 March 2026."""
    return f"{day.day} {day:%B} {day.year}"
