"""Small words every sentence needs: counts, days and minutes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date


def counted(number: int, noun: str) -> str:
    """A count with its noun: "1 day", "3 days"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def one_of(noun: str) -> str:
    """A noun with its article: "a ride", "an indoor ride"."""
    return f"{'an' if noun[:1].lower() in 'aeiou' else 'a'} {noun}"


def percent(fraction: float) -> str:
    """A share from 0 to 1 in a sentence: "80 %"."""
    return f"{fraction * 100:.0f} %"


def figure_beside(value: float, least: float) -> str:
    """A figure beside the least that is asked: a short one never looks met, "74.6" or "just under 75"."""
    if value >= least or f"{value:.0f}" != f"{least:.0f}":
        return f"{value:.0f}"
    finer = f"{value:.1f}"
    return f"just under {least:g}" if float(finer) >= least else finer


def percent_beside(fraction: float, least: float) -> str:
    """A share beside the least that is asked: "74.6 %"."""
    return f"{figure_beside(fraction * 100, least * 100)} %"


def done_minutes_words(minutes: float) -> str:
    """Minutes as they were said, seconds and all: "12 min 30 s"."""
    whole, seconds = divmod(round(minutes * 60), 60)
    hours, rest = divmod(whole, 60)
    if not seconds:
        return minutes_words(whole)
    return f"{hours} h {rest:02d} min {seconds} s" if hours else f"{rest} min {seconds} s"


def minutes_words(minutes: float) -> str:
    """Minutes as people say them: "45 min", "3 h", "1 h 10"."""
    hours, rest = divmod(round(minutes), 60)
    if hours == 0:
        return f"{rest} min"
    return f"{hours} h {rest:02d}" if rest else f"{hours} h"


def duration_words(seconds: int) -> str:
    """How long a step is, to the second: "30 s", "4 min", "1:30 min"."""
    if seconds < 60:
        return f"{seconds} s"
    whole, rest = divmod(seconds, 60)
    return f"{whole} min" if rest == 0 else f"{whole}:{rest:02d} min"


def short_day(day: date) -> str:
    """A day as it stands in a sentence: "Mon 5 Oct"."""
    return f"{day:%a} {day.day} {day:%b}"


def ends_words(day: date, days_left: int) -> str:
    """When something ends: "on Sun 29 Nov, in 3 days", or "today"."""
    return f"on {short_day(day)}, in {counted(days_left, 'day')}" if days_left else "today"


def short_days(days: Iterable[date]) -> str:
    """Several days in a sentence."""
    return ", ".join(short_day(day) for day in days)


def ordinal(number: int) -> str:
    """A place in a row: "6th", "22nd"."""
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{ending}"
