"""Rows of a spreadsheet as clients, sessions and readiness notes; a bad row is refused with line, column, reason."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from app.coaching.effort import Talk
from app.coaching.people import ClientState, Mode, Sex
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.typed_values import NotUnderstood, clean_text
from app.files import csv_dates, csv_values
from app.files.csv_dates import DateOrder
from app.files.csv_fields import EMPTY_CELLS, READINESS_ITEMS, FileKind, label_of
from app.files.csv_mapping import Mapping
from app.files.csv_text import Line, Table
from app.files.csv_values import LONGEST_NAME, LONGEST_NOTE, EffortScale

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why a row does not go in: the line in the file, the column's header, the reason, and whom it names."""

    line: int
    column: str
    reason: str
    who: str = ""


@dataclass(frozen=True, slots=True)
class ClientLine:
    """A row about a client. None: the file says nothing, so nothing is changed."""

    line: int
    name: str
    email: str | None
    phone: str | None
    born_on: date | None
    sex: Sex | None
    zone: str | None
    state: ClientState | None
    phase: Phase | None
    phase_since_on: date | None
    phase_source: str | None
    joined_on: date | None
    emergency_contact: str | None
    emergency_phone: str | None


@dataclass(frozen=True, slots=True)
class SessionLine:
    """A row about one session that was done. `client` is a name or an e-mail address."""

    line: int
    client: str
    done_on: date
    kind: SessionKind
    mode: Mode
    minutes: float
    effort: float | None
    talk: Talk | None
    rounds: tuple[int, int] | None
    note: str | None
    #: Rated so high that it was all-out, whatever kind of session it is called.
    felt_all_out: bool = False


@dataclass(frozen=True, slots=True)
class ReadinessLine:
    """A row about how a client was on a day, on the desk's own scale."""

    line: int
    client: str
    noted_on: date
    sleep: int | None
    fatigue: int | None
    stress: int | None
    soreness: int | None
    mood: int | None
    slept_h: float | None
    resting_heart_rate_bpm: int | None
    text: str | None


FileLine = ClientLine | SessionLine | ReadinessLine


@dataclass(frozen=True, slots=True)
class Reading:
    """What a file says: the rows understood and the rows refused."""

    kind: FileKind
    rows: tuple[FileLine, ...]
    refused: tuple[Refusal, ...]
    #: The file's own header of each field it holds.
    headers: dict[str, str]

    def header_of(self, name: str) -> str:
        """How the file calls a field; our own label when no column holds it."""
        return self.headers.get(name) or (label_of(self.kind, name) if name else "")


class _Refused(Exception):
    def __init__(self, column: str, reason: str) -> None:
        super().__init__(reason)
        self.column = column
        self.reason = reason


class _Cells:
    """The cells of one line by field, each read with the column to blame at hand."""

    def __init__(self, line: Line, table: Table, mapping: Mapping, indexes: dict[str, int]) -> None:
        if len(line.cells) > len(table.headers):
            raise _Refused(
                "",
                f"This line has {len(line.cells)} cells where the header has {len(table.headers)}. Is a cell split?",
            )
        self._line = line
        self._headers = table.headers
        self._indexes = indexes
        self._kind = mapping.kind

    def refuse(self, name: str, reason: str) -> _Refused:
        """The refusal of this line for one field."""
        index = self._indexes.get(name)
        return _Refused(label_of(self._kind, name) if index is None else self._headers[index], reason)

    def get(self, name: str, reader: Callable[[str], T]) -> T | None:
        """The field's value, or None when the cell is empty or no column holds it."""
        index = self._indexes.get(name)
        if index is None or self._line.cells[index].strip().casefold() in EMPTY_CELLS:
            return None
        try:
            return reader(self._line.cells[index])
        except NotUnderstood as problem:
            raise self.refuse(name, str(problem)) from None

    def need(self, name: str, reader: Callable[[str], T]) -> T:
        """The field's value; an empty cell refuses the line."""
        value = self.get(name, reader)
        if value is None or value == "":
            raise self.refuse(name, "This cell is empty.")
        return value


def read_rows(table: Table, mapping: Mapping) -> Reading:
    """Every row of a table under a mapping that leaves nothing open.

    Raises: ValueError when the order of dates or a needed scale was never settled (see csv_questions).
    """
    if mapping.dates is None:
        raise ValueError("the order of dates is not settled")
    readers: dict[FileKind, Callable[[int, _Cells, Mapping, DateOrder], FileLine]] = {
        FileKind.CLIENTS: _client,
        FileKind.SESSIONS: _session,
        FileKind.READINESS: _readiness,
    }
    reader = readers[mapping.kind]
    names = set(mapping.columns.values())
    found = {name: mapping.column_of(table.headers, name) for name in names}
    indexes = {name: index for name, index in found.items() if index is not None}
    rows: list[FileLine] = []
    refused: list[Refusal] = []
    for line in table.lines:
        try:
            rows.append(reader(line.number, _Cells(line, table, mapping, indexes), mapping, mapping.dates))
        except _Refused as problem:
            refused.append(Refusal(line.number, problem.column, problem.reason, _named(line, indexes)))
    headers = {name: table.headers[index] for name, index in indexes.items()}
    return Reading(mapping.kind, tuple(rows), tuple(refused), headers)


def _named(line: Line, indexes: dict[str, int]) -> str:
    """Whom a row names, as far as that can be read."""
    index = indexes.get("name", indexes.get("client"))
    return "" if index is None else clean_text(line.cells[index])[:LONGEST_NAME]


def _client(line: int, cells: _Cells, mapping: Mapping, order: DateOrder) -> ClientLine:
    row = ClientLine(
        line=line,
        name=cells.need("name", lambda raw: " ".join(csv_values.text(raw).split())),
        email=cells.get("email", _email),
        phone=cells.get("phone", csv_values.text),
        born_on=cells.get("born_on", lambda raw: csv_dates.day(raw, order, is_birth=True)),
        sex=cells.get("sex", lambda raw: _sex(mapping.word("sex", raw))),
        zone=cells.get("zone", _zone),
        state=cells.get("state", lambda raw: ClientState(mapping.word("state", raw))),
        phase=cells.get("phase", lambda raw: Phase(mapping.word("phase", raw))),
        phase_since_on=cells.get("phase_since_on", lambda raw: csv_dates.day(raw, order)),
        phase_source=cells.get("phase_source", csv_values.text),
        joined_on=cells.get("joined_on", lambda raw: csv_dates.day(raw, order)),
        emergency_contact=_emergency_contact(cells),
        emergency_phone=cells.get("emergency_phone", csv_values.text),
    )
    if row.phase is not None and row.phase_since_on is None:
        raise cells.refuse("phase_since_on", "A phase needs the day it began.")
    if row.phase is None and row.phase_since_on is not None:
        raise cells.refuse("phase", "There is a “since” without a phase: this cell is empty.")
    return row


def _emergency_contact(cells: _Cells) -> str | None:
    """Name and relation as one text, which is how the desk keeps them: "Edwin Marsh, husband"."""
    name = cells.get("emergency_contact", csv_values.text)
    relation = cells.get("emergency_relation", csv_values.text)
    return f"{name}, {relation}" if name and relation else name


def _session(line: int, cells: _Cells, mapping: Mapping, order: DateOrder) -> SessionLine:
    mode = cells.get("mode", lambda raw: Mode(mapping.word("mode", raw))) or Mode.OTHER
    kind = cells.get("kind", lambda raw: SessionKind(mapping.word("kind", raw)))
    scale = mapping.effort or EffortScale.ZERO_TO_TEN
    effort = cells.get("effort", lambda raw: csv_values.effort(raw, mapping.decimals, scale))
    distance = cells.get("distance", lambda raw: csv_values.distance_words(raw, mapping.decimals, mapping.distance))
    note = cells.get("note", lambda raw: csv_values.text(raw, most=LONGEST_NOTE, many_lines=True))
    return SessionLine(
        line=line,
        client=cells.need("client", csv_values.text),
        done_on=cells.need("done_on", lambda raw: csv_dates.day(raw, order)),
        kind=kind or (SessionKind.STRENGTH if mode is Mode.STRENGTH else SessionKind.EASY),
        mode=mode,
        minutes=cells.need("minutes", lambda raw: csv_values.minutes(raw, mapping.decimals)),
        effort=effort.effort if effort else None,
        talk=cells.get("talk", lambda raw: Talk(mapping.word("talk", raw))),
        rounds=cells.get("rounds", csv_values.rounds),
        note=_joined(distance, effort.words if effort else None, note),
        felt_all_out=effort is not None and effort.is_all_out,
    )


def _readiness(line: int, cells: _Cells, mapping: Mapping, order: DateOrder) -> ReadinessLine:
    scale = mapping.scale
    items: dict[str, int | None] = dict.fromkeys(READINESS_ITEMS)
    mood = None
    if scale is not None:
        read = scale
        items = {
            name: cells.get(name, lambda raw: csv_values.readiness_item(raw, mapping.decimals, read))
            for name in READINESS_ITEMS
        }
        mood = cells.get("mood", lambda raw: csv_values.mood(raw, mapping.decimals, read))
    written = cells.get("text", lambda raw: csv_values.text(raw, most=LONGEST_NOTE, many_lines=True))
    row = ReadinessLine(
        line=line,
        client=cells.need("client", csv_values.text),
        noted_on=cells.need("noted_on", lambda raw: csv_dates.day(raw, order)),
        **items,
        mood=mood,
        slept_h=cells.get("slept_h", lambda raw: _hours(raw, mapping)),
        resting_heart_rate_bpm=cells.get(
            "resting_heart_rate_bpm", lambda raw: csv_values.whole(raw, mapping.decimals, 25, 240, "beats a minute")
        ),
        text=_joined(_conversion(cells, mapping), written),
    )
    said = (*items.values(), mood, row.slept_h, row.resting_heart_rate_bpm, written)
    if all(value is None for value in said):
        raise cells.refuse("sleep", "This row says nothing but the day.")
    return row


def _conversion(cells: _Cells, mapping: Mapping) -> str | None:
    """The numbers as they stood in the file, when they had to be converted."""
    if mapping.scale is None or mapping.scale.is_own:
        return None
    as_it_stood = [
        f"{name} {value}" for name in (*READINESS_ITEMS, "mood") if (value := cells.get(name, csv_values.text))
    ]
    return f"Converted from a scale of {mapping.scale.words}: {', '.join(as_it_stood)}." if as_it_stood else None


def _hours(raw: str, mapping: Mapping) -> float:
    value = csv_values.minutes(raw) / 60 if ":" in raw else csv_values.number(raw, mapping.decimals)
    return round(csv_values.within(value, 0, 24, "hours"), 2)


def _sex(word: str) -> Sex | None:
    return Sex(word) if word else None


def _email(raw: str) -> str:
    cell = csv_values.text(raw)
    before, mark, after = cell.partition("@")
    if not (before and mark and "." in after) or " " in cell or after.count("@"):
        raise NotUnderstood(f"“{cell[:60]}” is not an e-mail address.")
    return cell


def _zone(raw: str) -> str:
    cell = csv_values.text(raw)
    try:
        return ZoneInfo(cell).key
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise NotUnderstood(f"“{cell[:60]}” is not a time zone such as Europe/Oslo.") from None


def _joined(*parts: str | None) -> str | None:
    return "\n".join(part for part in parts if part) or None
