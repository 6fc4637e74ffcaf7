"""A logger's table as samples: columns matched by their headers, units asked for where the table does not say."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

import numpy as np

from app.coaching.recording_samples import Place, Samples
from app.coaching.recordings import Series, SpeedSource
from app.files.csv_fields import EMPTY_CELLS
from app.files.csv_text import Table, read_table
from app.files.recording_columns import (
    FACTORS,
    PACES,
    ROW_QUESTION,
    ROWS,
    SOURCE,
    SOURCE_QUESTION,
    TIME,
    Column,
    Question,
    match_columns,
    unit_question,
)
from app.files.recording_file import NoRecording

DAY_S = 24 * 3600.0
HALF_DAY_S = DAY_S / 2
#: Numbers this large count from 1970, in seconds or in thousandths of them.
EPOCH_FROM_S, EPOCH_FROM_MS = 1e9, 1e11
#: No cell of a logger is larger, milliseconds since 1970 included; nor is any pace shorter (house choices).
LARGEST_FIGURE, SHORTEST_PACE_MIN = 1e15, 0.01
#: More unreadable times than this and the column is no clock.
MOST_UNREAD_FRACTION = 0.5
_SAMPLE = 50
_CLOCK = re.compile(r"(?:([0-9]{1,3}):)?([0-9]{1,3}):([0-9]{2}(?:[.,][0-9]+)?)", re.ASCII)
_HAS_ZONE = re.compile(r"(?:Z|[+-][0-9]{2}:?[0-9]{2})$", re.ASCII)


@dataclass(frozen=True, slots=True)
class LoggedTable:
    """A table as it was understood, and what has to be asked before it can be read."""

    table: Table
    columns: Mapping[str, Column]
    questions: tuple[Question, ...]

    @property
    def unused(self) -> tuple[str, ...]:
        """Headers of columns that were not understood."""
        used = {column.index for column in self.columns.values()}
        return tuple(one for index, one in enumerate(self.table.headers) if index not in used and one)


def look_at(content: bytes) -> LoggedTable:
    """What a table holds. Raises: Unreadable, NoRecording."""
    table = read_table(content)
    if not table.lines:
        raise NoRecording("This table has a header and no rows.")
    columns = match_columns(table)
    columns = {name: _with_unit(name, column, table) for name, column in columns.items()}
    questions = [
        unit_question(name, column, table.column(column.index))
        for name, column in columns.items()
        if column.unit is None
    ]
    if TIME not in columns:
        questions.insert(0, ROW_QUESTION)
    has_places = Place.LATITUDE in columns and Place.LONGITUDE in columns
    if ("speed_m_per_s" in columns or "distance_m" in columns) and not has_places:
        questions.append(SOURCE_QUESTION)
    return LoggedTable(table, columns, tuple(questions))


def samples_of(found: LoggedTable, answers: Mapping[str, str]) -> Samples:
    """The table's rows as samples, in the units that were answered.

    Raises: NoRecording for a question left open or a column of times that is none.
    """
    for one in found.questions:
        if answers.get(one.name) not in dict(one.choices):
            raise NoRecording(one.sentence)
    bad = 0
    values: dict[str, Series] = {}
    for name, column in found.columns.items():
        if name != TIME:
            values[name], unread = _channel(found.table, name, column, column.unit or answers[name])
            bad += unread
    at_s, has_calendar = _times(found, answers)
    has_places = Place.LATITUDE in values and Place.LONGITUDE in values
    source = SpeedSource.SATELLITE if has_places else None
    notes = list(found.table.notes)
    if found.unused:
        notes.append(f"Not used: {', '.join(one[:40] for one in found.unused[:10])}.")
    if bad:
        notes.append(f"{bad:,} cells could not be read as a number and were left out.")
    return Samples(
        at_s=at_s,
        values=values,
        has_calendar=has_calendar,
        speed_source=SpeedSource(answers[SOURCE]) if SOURCE in answers and source is None else source,
        notes=tuple(notes),
    )


def _with_unit(name: str, column: Column, table: Table) -> Column:
    """A column of times often says by its cells what it is."""
    if name != TIME or (column.unit is not None and column.unit != "min"):
        return column
    cells = table.column(column.index)[:_SAMPLE]
    return Column(column.index, column.header, _kind_of_times(cells) or column.unit)


def _kind_of_times(cells: Sequence[str]) -> str | None:
    """Date and time, a clock, or seconds that count up by one; None when it could be several."""
    if not cells:
        return None
    if all(_calendar_s(one) is not None for one in cells):
        return "calendar"
    if all(_CLOCK.fullmatch(one) for one in cells):
        return "clock"
    figures = [_figure(one) for one in cells]
    if any(one is None for one in figures):
        return None
    steps = np.diff(np.array(figures, dtype=np.float64))
    return "s" if steps.size and np.median(steps) == 1 else None


def _times(found: LoggedTable, answers: Mapping[str, str]) -> tuple[Series, bool]:
    """When each row was, and whether that is an instant."""
    column = found.columns.get(TIME)
    count = len(found.table.lines)
    if column is None:
        return np.arange(count, dtype=np.float64) * float(answers[ROWS]), False
    unit = column.unit or answers[TIME]
    cells = [line.cells[column.index].strip() for line in found.table.lines]
    readers: dict[str, Callable[[str], float | None]] = {"calendar": _calendar_s, "clock": _clock_s}
    read = readers.get(unit, _figure)
    at_s = np.array([math.nan if (value := read(cell)) is None else value for cell in cells])
    if np.isnan(at_s).mean() > MOST_UNREAD_FRACTION:
        raise NoRecording(
            f"The times in “{column.header[:40]}” cannot be read. Write seconds, 0:01:05, or 2026-03-03T07:15:22Z."
        )
    if unit == "clock":
        at_s = _over_midnight(at_s)
    has_zone = unit == "calendar" and all(_HAS_ZONE.search(one) or _figure(one) is not None for one in cells if one)
    return at_s * FACTORS[TIME][unit], has_zone


def _over_midnight(at_s: Series) -> Series:
    """A clock of the day begins again at midnight."""
    known = np.flatnonzero(np.isfinite(at_s))
    falls = np.concatenate(([0.0], np.cumsum(np.diff(at_s[known]) < -HALF_DAY_S)))
    found = at_s.copy()
    found[known] += falls * DAY_S
    return found


def _calendar_s(cell: str) -> float | None:
    """Seconds since 1970 of a date with a time, or of a number that counts from there."""
    figure = _figure(cell)
    if figure is not None:
        if figure >= EPOCH_FROM_MS:
            return figure / 1000
        return figure if figure >= EPOCH_FROM_S else None
    try:
        at = datetime.fromisoformat(cell.replace("/", "-"))
        # Without a zone only the distance in time is used; reading it as UTC keeps that.
        return (at if at.tzinfo is not None else at.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None


def _clock_s(cell: str) -> float | None:
    """Seconds of 1:05:30, 65:30 or 65:30.5."""
    found = _CLOCK.fullmatch(cell)
    if found is None:
        return None
    return int(found[1] or 0) * 3600 + int(found[2]) * 60 + float(found[3].replace(",", "."))


def _figure(cell: str) -> float | None:
    """A number in plain digits with a point or a comma; None for anything else."""
    if not cell.isascii() or "_" in cell:
        return None
    try:
        value = float(cell.replace(",", "."))
    except ValueError:
        return None
    return value if abs(value) <= LARGEST_FIGURE else None


def _channel(table: Table, name: str, column: Column, unit: str) -> tuple[Series, int]:
    """A column in our unit, and how many of its cells hold something that is no number."""
    read = _pace_min if unit in PACES else _figure
    cells = [line.cells[column.index].strip() for line in table.lines]
    read_cells = [read(cell) for cell in cells]
    bad = sum(
        value is None and cell.casefold() not in EMPTY_CELLS for cell, value in zip(cells, read_cells, strict=True)
    )
    values = np.array([math.nan if value is None else value for value in read_cells])
    factor = FACTORS[name][unit]
    if unit not in PACES:
        return values * factor, bad
    speed = np.divide(factor, values * 60, out=np.full_like(values, np.nan), where=values >= SHORTEST_PACE_MIN)
    return speed, bad


def _pace_min(cell: str) -> float | None:
    """Minutes of a pace written 5:12 or 5.2."""
    found = _clock_s(cell)
    return _figure(cell) if found is None else found / 60
