"""How values are printed: days, times, minutes, numbers. Formatting lives here and nowhere else."""

from __future__ import annotations

from datetime import date, datetime
from enum import Enum

from app.coaching.session_renderings import clock_words
from app.coaching.words import minutes_words
from app.coaching.words import percent as percent_words


def day(value: date | None) -> str:
    """Tue 3 March."""
    return "" if value is None else f"{value:%a} {value.day} {value:%B}"


def day_year(value: date | None) -> str:
    """3 March 2026."""
    return "" if value is None else f"{value.day} {value:%B} {value.year}"


def clock(value: datetime | None) -> str:
    """06:40."""
    return "" if value is None else f"{value:%H:%M}"


def minutes(value: float | None) -> str:
    """45 min, or 1 h 10."""
    return "unknown" if value is None else minutes_words(value)


def percent(value: float | None) -> str:
    """80 %."""
    return "not defined" if value is None else percent_words(value)


def plain(value: float | None) -> str:
    """A number without trailing zeros."""
    return "" if value is None else f"{value:g}"


def words(value: object) -> str:
    """A word of the program as a word of the page."""
    text = value.value if isinstance(value, Enum) else value
    return str(text).replace("_", " ")


def sentence(value: str) -> str:
    """What somebody wrote, ended by a full stop where it has no end of its own."""
    text = value.rstrip()
    return text if not text or text[-1] in ".!?…:" else f"{text}."


FILTERS = {
    "day": day,
    "day_year": day_year,
    "clock": clock,
    "lasting": clock_words,
    "minutes": minutes,
    "percent": percent,
    "plain": plain,
    "sentence": sentence,
    "words": words,
}
