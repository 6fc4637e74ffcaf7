"""Dates as spreadsheets write them: ISO, day first, month first, or with the month's name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from app.coaching.typed_values import NotUnderstood


class DateOrder(StrEnum):
    """Which comes first in 03/04/2026."""

    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"
    ISO = "iso"


MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
MONTHS_IN_YEAR = 12
#: Two figures for the year: this century. Birth dates are refused instead, they could be either.
CENTURY = 2000

_TIME = r"(?:[T ]\s*[0-9]{1,2}:[0-9]{2}(?::[0-9]{2})?)?"
_ISO = re.compile(rf"([0-9]{{4}})[-/.]([0-9]{{1,2}})[-/.]([0-9]{{1,2}}){_TIME}")
_NUMBERS = re.compile(rf"([0-9]{{1,2}})([-/. ])\s?([0-9]{{1,2}})\2\s?([0-9]{{4}}|[0-9]{{2}}){_TIME}")
_DAY_MONTH_NAME = re.compile(r"([0-9]{1,2})\.?[ -]([A-Za-z]{3,9})\.?,?[ -]([0-9]{4})")
_MONTH_NAME_DAY = re.compile(r"([A-Za-z]{3,9})\.? ([0-9]{1,2}),? ([0-9]{4})")
_DAY_NUMBER = re.compile(r"[0-9]{5}(?:[.,][0-9]+)?")


def order_shown_by(cells: Iterable[str]) -> DateOrder | None:
    """The order that a file's dates prove: a number over 12 can only be a day. None when it must be asked.

    Without a date that depends on it: ISO, or day first where 3/3/2026 is written. None as well when some cells
    prove one order and some the other.
    """
    proofs: set[DateOrder] = set()
    is_open = False
    harmless = DateOrder.ISO
    for cell in cells:
        found = _NUMBERS.fullmatch(" ".join(cell.split()))
        if not found:
            continue
        harmless = DateOrder.DAY_FIRST
        first, second = int(found[1]), int(found[3])
        if first > MONTHS_IN_YEAR >= second:
            proofs.add(DateOrder.DAY_FIRST)
        elif second > MONTHS_IN_YEAR >= first:
            proofs.add(DateOrder.MONTH_FIRST)
        elif first != second:
            is_open = True
    if len(proofs) == 1:
        return proofs.pop()
    return None if proofs or is_open else harmless


def day(raw: str, order: DateOrder, *, is_birth: bool = False) -> date:
    """A date. Raises: NotUnderstood."""
    text = " ".join(raw.split())
    if found := _ISO.fullmatch(text):
        return _made(int(found[1]), int(found[2]), int(found[3]), raw)
    if found := _NUMBERS.fullmatch(text):
        return _from_numbers(found, order, is_birth=is_birth)
    if found := _DAY_MONTH_NAME.fullmatch(text):
        return _made(int(found[3]), _month(found[2], raw), int(found[1]), raw)
    if found := _MONTH_NAME_DAY.fullmatch(text):
        return _made(int(found[3]), _month(found[1], raw), int(found[2]), raw)
    if _DAY_NUMBER.fullmatch(text):
        raise NotUnderstood(f"“{text}” is a spreadsheet's day number. Show the column as dates and save again.")
    raise NotUnderstood(f"“{raw[:40]}” is not a date.")


def _from_numbers(found: re.Match[str], order: DateOrder, *, is_birth: bool) -> date:
    if order is DateOrder.ISO:
        raise NotUnderstood(f"“{found[0]}” is not written year-month-day.")
    year = int(found[4])
    if len(found[4]) == 2:
        if is_birth:
            raise NotUnderstood(f"“{found[0]}”: write the year of birth with four figures.")
        year += CENTURY
    first, second = int(found[1]), int(found[3])
    month, of_month = (second, first) if order is DateOrder.DAY_FIRST else (first, second)
    return _made(year, month, of_month, f"{found[0]} ({order.value})")


def _made(year: int, month: int, of_month: int, raw: str) -> date:
    try:
        return date(year, month, of_month)
    except ValueError:
        raise NotUnderstood(f"“{raw[:40]}” is not in the calendar.") from None


def _month(name: str, raw: str) -> int:
    try:
        return MONTHS.index(name[:3].lower()) + 1
    except ValueError:
        raise NotUnderstood(f"“{raw[:40]}” is not a date.") from None
