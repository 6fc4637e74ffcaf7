"""The few column types the tables use: STRICT storage classes with Python values on our side."""

# ruff: noqa: ARG002  # SQLAlchemy hands the dialect to every converter; ours do not differ by it
from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from enum import StrEnum
from functools import lru_cache
from typing import Any

from sqlalchemy import CheckConstraint, Dialect, Integer, Text, types


class LocalDate(types.TypeDecorator[date]):
    """A local date as ISO text."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: date | None, dialect: Dialect) -> str | None:
        """To text."""
        return None if value is None else value.isoformat()

    def process_result_value(self, value: Any, dialect: Dialect) -> date | None:
        """From text."""
        return _day_of(value)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], date | None]:
        """The same without a call between: pages read tens of thousands of days, and few different ones."""
        return _day_of


@lru_cache(maxsize=8192)
def _day_of(value: str | None) -> date | None:
    return None if value is None else date.fromisoformat(value)


@lru_cache(maxsize=1024)
def _utc_text(value: datetime) -> str:
    """Rows written together share instants. In UTC only: elsewhere two of one autumn night are equal."""
    return _text_of(value)


def _text_of(value: datetime) -> str:
    # Years before 1000 keep their zeros, which a format of days would drop; such a text could not be read again.
    return f"{value.replace(tzinfo=None).isoformat(timespec='microseconds')}Z"


class Instant(types.TypeDecorator[datetime]):
    """An instant in UTC as ISO text with microseconds, so that text order is time order."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> str | None:
        """To text. Raises: ValueError for an instant without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("an instant needs a zone")
        return _utc_text(value) if value.tzinfo is UTC else _text_of(value.astimezone(UTC))

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """From text."""
        return _instant_of(value)

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], datetime | None]:
        """The same without a call between."""
        return _instant_of


def _instant_of(value: str | None) -> datetime | None:
    return None if value is None else datetime.fromisoformat(value)


class Flag(types.TypeDecorator[bool]):
    """Yes or no as 1 or 0."""

    impl = Integer
    cache_ok = True

    def process_bind_param(self, value: bool | None, dialect: Dialect) -> int | None:
        """To a number."""
        return None if value is None else int(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> bool | None:
        """From a number."""
        return _FLAGS[value]

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], bool | None]:
        """The same without a call between."""
        return _FLAGS.__getitem__


_FLAGS: dict[int | None, bool | None] = {None: None, 0: False, 1: True}


class Choice(types.TypeDecorator[StrEnum]):
    """One word out of an enumeration, as text."""

    impl = Text
    cache_ok = True

    def __init__(self, words: type[StrEnum]) -> None:
        super().__init__()
        self.words = words
        self._by_text: dict[str | None, StrEnum | None] = {None: None} | {word.value: word for word in words}

    def process_bind_param(self, value: StrEnum | None, dialect: Dialect) -> str | None:
        """To text."""
        return None if value is None else (value if isinstance(value, self.words) else self.words(value)).value

    def process_result_value(self, value: Any, dialect: Dialect) -> StrEnum | None:
        """From text."""
        return self._by_text[value]

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], StrEnum | None]:
        """The same without a call between; a word the enumeration has not is a broken file."""
        return self._by_text.__getitem__


def one_of(column: str, words: type[StrEnum]) -> CheckConstraint:
    """The database's own check that a text column holds one of the words."""
    listed = ", ".join(f"'{word.value}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_is_known")


def between(column: str, lowest: float, highest: float) -> CheckConstraint:
    """The database's own check of a number's limits; NULL passes."""
    return CheckConstraint(f"{column} BETWEEN {lowest} AND {highest}", name=f"{column}_is_plausible")


def iso_date(column: str) -> CheckConstraint:
    """The database's own check that a text is a calendar date."""
    return CheckConstraint(f"{column} IS date(julianday({column}))", name=f"{column}_is_a_date")


def filled(column: str, most: int) -> CheckConstraint:
    """The database's own check that a text is neither empty nor too long."""
    return CheckConstraint(f"length({column}) BETWEEN 1 AND {most}", name=f"{column}_is_filled")


def json_text(column: str) -> CheckConstraint:
    """The database's own check that a text is a JSON object or list (its JSON functions are barred in schemas)."""
    return CheckConstraint(f"substr({column}, 1, 1) IN ('{{', '[')", name=f"{column}_is_json")
