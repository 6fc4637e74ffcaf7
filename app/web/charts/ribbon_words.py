"""The ribbon as a table: one row a day, in words and whole minutes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.effort import Band
from app.coaching.ribbon import RibbonDay
from app.coaching.words import minutes_words


@dataclass(frozen=True, slots=True)
class RibbonRow:
    """One line of the table beneath a ribbon, ready to print; empty text where nothing is known."""

    day: date
    planned: str
    done: str
    words: str


def ribbon_rows(days: Sequence[RibbonDay]) -> tuple[RibbonRow, ...]:
    """The days of a ribbon as rows of a table, oldest first."""
    return tuple(
        RibbonRow(
            day=one.day,
            planned=_minutes(one.planned_minutes),
            done=_minutes(one.done_minutes),
            words=_what(one),
        )
        for one in days
    )


def _minutes(minutes: float) -> str:
    return f"{round(minutes)}" if minutes > 0 else ""


def _what(one: RibbonDay) -> str:
    parts = []
    if one.planned_minutes > 0:
        parts.append(f"{minutes_words(one.planned_minutes)} planned{_effort(one.planned_band)}")
    if one.is_unknown:
        parts.append("not known what was done")
    if one.done_minutes > 0:
        parts.append(f"{minutes_words(one.done_minutes)} done{_effort(one.done_band) or ', effort not said'}")
    if one.extra_minutes > 0:
        parts.append(f"{minutes_words(one.extra_minutes)} of it extra")
    if one.moved_from is not None:
        parts.append(f"moved from {one.moved_from:%a} {one.moved_from.day} {one.moved_from:%B}")
    if one.is_paused:
        parts.append("paused")
    return "; ".join(parts) if parts else "rest"


def _effort(band: Band | None) -> str:
    return "" if band is None else f", {band.value}"
