"""Forms: what was typed is kept, understood, and answered beside the field."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from enum import StrEnum
from typing import TypeVar

from app.coaching import typed_values
from app.coaching.typed_values import NotUnderstood

E = TypeVar("E", bound=StrEnum)
T = TypeVar("T")

MISSING = "Please fill this in."
#: So much of what could not be understood is kept as words.
TYPED_SHOWN = 40
SHORT_TEXT = 200
LONG_TEXT = 4000
LONGEST_DAY_MIN = 24 * 60
#: Years anything here can lie in; beyond them the calendar's ends are near, and reckoning in weeks falls off.
YEARS = range(1900, 2200)
HOURS_TYPED_AS_MINUTES = 12
#: Parts of hours are not whole in a computer: 1.1 h is 66 min all the same.
_SAME_MINUTE = 1e-6


class Fields:
    """One form: typed values, initial values, and the errors found while reading it."""

    def __init__(self, typed: Mapping[str, str] | None = None, initial: Mapping[str, object] | None = None) -> None:
        self._typed = typed
        self._initial = initial or {}
        self.errors: list[tuple[str, str]] = []
        self._labels: dict[str, str] = {}

    def named(self, name: str, label: str) -> str:
        """The label of a field, noted for the summary of errors that is written after the fields."""
        self._labels[name] = label
        return label

    def label(self, name: str) -> str | None:
        """What a field is called on the page; None before it was written."""
        return self._labels.get(name)

    def value(self, name: str) -> str:
        """What the field shows: what was typed, else the initial value."""
        if self._typed is not None:
            return self._typed.get(name, "")
        initial = self._initial.get(name)
        if initial is None or initial is False:
            return ""
        if initial is True:
            return "yes"
        return initial.value if isinstance(initial, StrEnum) else str(initial)

    def error(self, name: str) -> str | None:
        """The sentence beside a field."""
        return next((message for field, message in self.errors if field == name), None)

    @property
    def missing(self) -> list[str]:
        """Names of the fields that were left empty and may not be."""
        return [name for name, message in self.errors if message == MISSING]

    def refuse(self, name: str, message: str) -> None:
        """Add an error beside a field."""
        self.errors.append((name, message))

    @contextmanager
    def named_in_errors(self, owner: str) -> Iterator[None]:
        """What is refused meanwhile says whose field it is: "Round 3: This should be between 0 and 10."."""
        before = len(self.errors)
        yield
        self.errors[before:] = [(name, f"{owner}: {message}") for name, message in self.errors[before:]]

    def _raw(self, name: str) -> str:
        return (self._typed or {}).get(name, "")

    def _read(self, name: str, reader: Callable[[str], T], *, required: bool) -> T | None:
        raw = self._raw(name).strip()
        if not raw:
            if required:
                self.refuse(name, MISSING)
            return None
        try:
            return reader(raw)
        except NotUnderstood as problem:
            self.refuse(name, str(problem))
            return None

    def text(
        self, name: str, *, most: int = SHORT_TEXT, required: bool = True, many_lines: bool = False
    ) -> str | None:
        """A text, cleaned of control characters; None when empty and not required."""

        def reader(raw: str) -> str:
            text = typed_values.clean_text(raw, many_lines=many_lines)
            if not text:
                raise NotUnderstood("This holds nothing that can be read.")
            if len(text) > most:
                raise NotUnderstood(f"Please keep it under {most} characters; this has {len(text)}.")
            return text

        return self._read(name, reader, required=required)

    def phone(self, name: str, *, most: int = 50, required: bool = True) -> str | None:
        """A telephone number; words are refused, nobody can be reached by them."""
        value = self._read(name, typed_values.phone_number, required=required)
        if value is not None and len(value) > most:
            self.refuse(name, f"Please keep it under {most} characters; this has {len(value)}.")
            return None
        return value

    def zone(self, name: str) -> str | None:
        """A time zone somebody lives in."""
        return self._read(name, typed_values.zone_name, required=True)

    def whole(self, name: str, *, lowest: int, highest: int, required: bool = True, unit: str = "") -> int | None:
        """A whole number within limits."""
        value = self._read(name, typed_values.whole_number, required=required)
        return self._within(name, value, lowest, highest, unit)

    def number(
        self, name: str, *, lowest: float, highest: float, required: bool = True, unit: str = ""
    ) -> float | None:
        """A number within limits, with point or comma."""
        value = self._read(name, typed_values.number, required=required)
        return self._within(name, value, lowest, highest, unit)

    def _within(self, name: str, value: T | None, lowest: float, highest: float, unit: str) -> T | None:
        if isinstance(value, int | float) and not lowest <= value <= highest:
            self.refuse(name, f"This should be between {lowest:g} and {highest:g} {unit}".rstrip() + ".")
            return None
        return value

    def minutes(
        self, name: str, *, lowest: float = 1, highest: float = LONGEST_DAY_MIN, required: bool = True
    ) -> float | None:
        """Minutes from "45", "1:10" or "1h10"; hours typed for minutes get a suggestion."""
        value = self._read(name, typed_values.minutes, required=required)
        if value is None or lowest <= value <= highest:
            return value
        hours = value / 60
        if value > highest and hours > HOURS_TYPED_AS_MINUTES and hours == int(hours):
            self.refuse(name, f"That is {hours:g} hours. Did you mean {hours:g} min?")
        else:
            self.refuse(name, f"This should be between {lowest:g} and {highest:g} minutes.")
        return None

    def whole_minutes(self, name: str, *, lowest: float, highest: float, required: bool = True) -> int | None:
        """Minutes without a part, for plans; one with a part is refused, not rounded."""
        value = self.minutes(name, lowest=lowest, highest=highest, required=required)
        if value is None:
            return None
        nearest = round(value)
        if abs(value - nearest) > _SAME_MINUTE:
            below = int(value)
            self.refuse(name, f"This counts whole minutes: write {below} or {below + 1}.")
            return None
        return nearest

    def pace_s(self, name: str, *, lowest: float, highest: float, required: bool = True) -> float | None:
        """Seconds from "5:12"."""
        value = self._read(name, typed_values.pace_s, required=required)
        return self._within(name, value, lowest, highest, "seconds")

    def duration_s(self, name: str, *, required: bool = True) -> int | None:
        """Whole seconds from "30 s", "4 min" or "1:30"."""
        return self._read(name, typed_values.duration_s, required=required)

    def day(
        self,
        name: str,
        *,
        earliest: date | None = None,
        latest: date | None = None,
        required: bool = True,
        too_late: str = "This day has not come yet.",
        too_early: str | None = None,
    ) -> date | None:
        """A date within limits."""
        value = self._read(name, typed_values.iso_day, required=required)
        if value is None:
            return None
        if latest is not None and value > latest:
            self.refuse(name, too_late)
            return None
        if earliest is not None and value < earliest:
            self.refuse(name, too_early or f"This is before {earliest:%d %B %Y}.")
            return None
        if value.year not in YEARS:
            self.refuse(name, "Check the year.")
            return None
        return value

    def choice(self, name: str, words: type[E], *, required: bool = True) -> E | None:
        """One word of an enumeration."""

        def reader(raw: str) -> E:
            try:
                return words(raw)
            except ValueError:
                raise NotUnderstood("Choose one of the answers.") from None

        return self._read(name, reader, required=required)

    def yes(self, name: str) -> bool:
        """Whether a box is ticked."""
        return self._raw(name) == "yes"


def added(text: str | None, more: str) -> str:
    """A client's words with a sentence behind them; the words come first when there is no room for both."""
    whole = f"{text} ({more})" if text else more
    return whole if len(whole) <= LONG_TEXT else text or more
