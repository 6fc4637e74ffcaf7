"""What people type, understood: numbers, minutes, dates and text, finite and in ASCII digits."""

from __future__ import annotations

import math
import re
import unicodedata
from datetime import date
from functools import cache
from zoneinfo import available_timezones

_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")
_WHOLE = re.compile(r"[+-]?[0-9]+")
_CLOCK = re.compile(r"([0-9]{1,2}):([0-5][0-9])(?::([0-5][0-9]))?")
_HOURS_IN_PARTS = re.compile(r"([0-9]{1,2}[.,][0-9]+)\s*(?:h|hours?)", re.IGNORECASE)
_HOURS = re.compile(r"([0-9]{1,2})\s*h(?:\s*([0-5]?[0-9])\s*(?:m|min)?)?", re.IGNORECASE)
_MINUTES_WORD = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*(?:m|min|minutes?)", re.IGNORECASE)
_SPAN = re.compile(r"([0-9]{1,4})\s*(s|sec|seconds?|m|min|minutes?)", re.IGNORECASE)
_PACE = re.compile(r"([0-9]{1,2}):([0-5][0-9])")
#: More fits into no column, and of very long numbers Python itself refuses the reading.
_MOST_DIGITS = 18
#: "1.5" may be an hour and a half or ninety seconds; from here on a part of a minute is surely meant.
_FEWEST_MINUTES_WITH_PARTS = 12
_PHONE = re.compile(r"[0-9+()/ -]+")
#: The shortest emergency numbers have three.
_FEWEST_PHONE_DIGITS = 3
_NO_ZONES = frozenset({"Factory", "localtime", "posixrules"})
#: What a machine without a place calls its clock; a new practice begins with it.
_MACHINE_ZONE = "Etc/UTC"
_NO_ZONE_FOLDERS = ("Etc/", "SystemV/", "posix/", "right/")
_ISO_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")


class NotUnderstood(ValueError):
    """A typed value could not be read; the message is a sentence for the person who typed it."""


def phone_number(raw: str) -> str:
    """A telephone number as it was typed: digits, and what stands between them."""
    text = " ".join(clean_text(raw).split())
    digits = sum(c.isdigit() for c in text)
    if not _PHONE.fullmatch(text) or digits < _FEWEST_PHONE_DIGITS:
        raise NotUnderstood(
            f"This is no telephone number: write at least {_FEWEST_PHONE_DIGITS} digits, with + - / ( ) and spaces."
        )
    return text


@cache
def zones() -> tuple[str, ...]:
    """Every time zone somebody lives in, as "Europe/Berlin", in order of the alphabet; no copies, no placeholders."""
    return tuple(sorted(one for one in available_timezones() if _is_lived_in(one)))


def _is_lived_in(zone: str) -> bool:
    return zone == _MACHINE_ZONE or (zone not in _NO_ZONES and not zone.startswith(_NO_ZONE_FOLDERS))


def zone_name(raw: str) -> str:
    """A time zone by its name."""
    text = clean_text(raw)
    if text not in zones():
        raise NotUnderstood("Write a time zone such as Europe/Berlin: the part of the world, a stroke, a big town.")
    return text


def clean_text(raw: str, *, many_lines: bool = False) -> str:
    """Typed text with control characters removed, spaces trimmed and letters composed."""
    keep = {"\n", "\t"} if many_lines else set()
    text = unicodedata.normalize("NFC", raw.replace("\r\n", "\n").replace("\r", "\n"))
    if not many_lines:
        text = text.replace("\n", " ").replace("\t", " ")
    text = "".join(c for c in text if c in keep or unicodedata.category(c) not in ("Cc", "Cs", "Co", "Cn"))
    # Joiners inside emoji stay; a text of nothing but invisible characters is empty.
    is_visible = any(unicodedata.category(c)[0] not in "CZ" for c in text)
    return text.strip() if is_visible else ""


def whole_number(raw: str) -> int:
    """A whole number in plain digits. Raises: NotUnderstood."""
    text = raw.strip()
    if not _WHOLE.fullmatch(text):
        raise NotUnderstood("Write a whole number in plain digits.")
    if len(text) > _MOST_DIGITS:
        raise NotUnderstood("This number is too large.")
    return int(text)


def number(raw: str) -> float:
    """A number with point or comma. Raises: NotUnderstood for anything else, also NaN and infinity."""
    text = raw.strip().replace("\u00a0", "").replace(" ", "")
    if not _NUMBER.fullmatch(text):
        raise NotUnderstood("Write a number such as 7 or 7.5.")
    value = float(text.replace(",", "."))
    if not math.isfinite(value):
        raise NotUnderstood("This number is too large.")
    return value


def minutes(raw: str) -> float:
    """Minutes from "45", "45 min", "1:10", "1h10", "1.5 h" or "1:10:30".

    Raises: NotUnderstood, also for a bare "1.5", which may mean hours.
    """
    text = raw.strip()
    if found := _CLOCK.fullmatch(text):
        hours, mins, seconds = (int(part or 0) for part in found.groups())
        return hours * 60 + mins + seconds / 60
    if found := _HOURS.fullmatch(text):
        return int(found[1]) * 60 + int(found[2] or 0)
    if found := _HOURS_IN_PARTS.fullmatch(text):
        return number(found[1]) * 60
    if found := _MINUTES_WORD.fullmatch(text):
        return number(found[1])
    try:
        value = number(text)
    except NotUnderstood:
        raise NotUnderstood("Write minutes as 45, 1:10 or 1h10.") from None
    refuse_unclear_minutes(text, value)
    return value


def refuse_unclear_minutes(typed: str, value: float) -> None:
    """Raises: NotUnderstood for a small number with a part, such as "1.5": it may be minutes or hours."""
    if value < _FEWEST_MINUTES_WITH_PARTS and value != int(value):
        minutes_of_hours = round(value * 60)
        clock = f"{minutes_of_hours // 60}:{minutes_of_hours % 60:02d}"
        raise NotUnderstood(
            f"“{typed.strip()[:20]}” may be minutes or hours. For hours write {clock} or {value:g} h."
        )


def pace_s(raw: str) -> float:
    """Seconds from a pace or round time such as "5:12". Raises: NotUnderstood."""
    found = _PACE.fullmatch(raw.strip())
    if not found:
        raise NotUnderstood("Write minutes and seconds as 5:12.")
    return int(found[1]) * 60 + int(found[2])


def duration_s(raw: str) -> int:
    """Whole seconds from "30 s", "4 min" or "1:30". Raises: NotUnderstood, also for a bare number: of what?"""
    text = raw.strip()
    if found := _PACE.fullmatch(text):
        return int(found[1]) * 60 + int(found[2])
    if found := _SPAN.fullmatch(text):
        return int(found[1]) * (60 if found[2].lower().startswith("m") else 1)
    raise NotUnderstood("Write it as 30 s, 4 min or 1:30.")


def iso_day(raw: str) -> date:
    """A date written 2026-11-25. Raises: NotUnderstood."""
    found = _ISO_DATE.fullmatch(raw.strip())
    try:
        if not found:
            raise ValueError
        return date(int(found[1]), int(found[2]), int(found[3]))
    except ValueError:
        raise NotUnderstood("Write the date as year-month-day, such as 2026-11-25.") from None
