"""From the bytes of a spreadsheet's text file to a header row and numbered lines of cells."""

from __future__ import annotations

import codecs
import csv
from dataclasses import dataclass

from app.coaching.reasons import DomainError

#: House choices: generous for a practice of 500 clients, small enough to read within one answer.
LARGEST_FILE = 5 * 1024 * 1024
MOST_ROWS = 100_000
MOST_COLUMNS = 100
LONGEST_CELL = 64 * 1024

DELIMITERS = (",", ";", "\t")
_SAMPLE_LINES = 20
_WORKBOOK_STARTS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0")


class Unreadable(DomainError):
    """A file that cannot be read as a table; the sentence says why and what to do."""


@dataclass(frozen=True, slots=True)
class Line:
    """One row: the line it begins on in the file (the header is usually line 1) and its cells."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A header row with the rows below it, and what had to be assumed to read it."""

    headers: tuple[str, ...]
    lines: tuple[Line, ...]
    delimiter: str
    notes: tuple[str, ...]

    def column(self, index: int) -> tuple[str, ...]:
        """The cells of one column that hold something."""
        return tuple(line.cells[index].strip() for line in self.lines if line.cells[index].strip())


def read_table(content: bytes) -> Table:
    """The table in a file's bytes. Raises: Unreadable."""
    text, notes = decode(content)
    delimiter = detect_delimiter(text)
    records = _records(text, delimiter)
    if not records:
        raise Unreadable("This file is empty.")
    headers = tuple(cell.strip() for cell in _without_empty_end(records[0].cells))
    _check_headers(headers)
    if len(records) - 1 > MOST_ROWS:
        raise Unreadable(f"This file has more than {MOST_ROWS:,} rows. Split it and bring the parts in.")
    lines = tuple(_padded(record, len(headers)) for record in records[1:])
    return Table(headers, lines, delimiter, notes)


def decode(content: bytes) -> tuple[str, tuple[str, ...]]:
    """The text of a file, and a note when its encoding had to be guessed. Raises: Unreadable."""
    if len(content) > LARGEST_FILE:
        raise Unreadable(f"This file is larger than {LARGEST_FILE // (1024 * 1024)} MB. Split it.")
    if content.startswith(_WORKBOOK_STARTS):
        raise Unreadable("This is a whole workbook. Save the sheet as CSV and bring that in.")
    text, notes = _decoded(content)
    if "\0" in text:
        raise Unreadable("This is not a text file. Save the sheet as CSV and bring that in.")
    return text, notes


def _decoded(content: bytes) -> tuple[str, tuple[str, ...]]:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        try:
            return content.decode("utf-16"), ()
        except UnicodeDecodeError:
            raise Unreadable("This file is damaged: it says UTF-16 and is not.") from None
    try:
        return content.decode("utf-8-sig"), ()
    except UnicodeDecodeError:
        pass
    try:
        text = content.decode("cp1252")
    except UnicodeDecodeError:
        raise Unreadable("The letters of this file cannot be read. Save it as CSV in UTF-8.") from None
    return text, ("Not UTF-8: read as Western European (Windows-1252). Look at names with accents.",)


def detect_delimiter(text: str) -> str:
    """Comma, semicolon or tab: the one that splits the first lines most evenly into most cells."""
    sample = [line for line in text.splitlines() if line.strip()][:_SAMPLE_LINES]
    return max(DELIMITERS, key=lambda mark: _evenness(sample, mark))


def _evenness(sample: list[str], delimiter: str) -> tuple[int, int]:
    """How many sample lines have as many cells as the first, and how many cells that is."""
    try:
        widths = [len(row) for row in csv.reader(sample, delimiter=delimiter)]
    except csv.Error:
        return (0, 0)
    if not widths or widths[0] == 1:
        return (0, 0)
    return (sum(width == widths[0] for width in widths) * widths[0], widths[0])


def _records(text: str, delimiter: str) -> list[Line]:
    csv.field_size_limit(LONGEST_CELL)
    reader = csv.reader(text.splitlines(keepends=True), delimiter=delimiter, strict=True)
    records: list[Line] = []
    while True:
        begins_on = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return records
        except csv.Error as problem:
            raise Unreadable(
                f"This does not read as a table: line {begins_on} breaks off ({problem}). Is it the right file?"
            ) from None
        if any(cell.strip() for cell in cells):
            records.append(Line(begins_on, tuple(cells)))
        if len(records) > MOST_ROWS + 1:
            return records


def _without_empty_end(cells: tuple[str, ...]) -> tuple[str, ...]:
    last = max((i for i, cell in enumerate(cells) if cell.strip()), default=-1)
    return cells[: last + 1]


def _check_headers(headers: tuple[str, ...]) -> None:
    if len(headers) > MOST_COLUMNS:
        raise Unreadable(f"This file has more than {MOST_COLUMNS} columns.")
    if len(headers) < 2:
        raise Unreadable("No columns were found. The first row must name them, parted by comma, semicolon or tab.")
    plain = [normalised(header) for header in headers]
    twice = next((header for header in plain if header and plain.count(header) > 1), None)
    if twice is not None:
        raise Unreadable(f"Two columns are called “{twice}”. Give each its own name.")


def _padded(record: Line, width: int) -> Line:
    """Cells up to the header's width; spreadsheets leave out empty ends. More cells stay and are refused later."""
    cells = _without_empty_end(record.cells)
    return Line(record.number, cells + ("",) * (width - len(cells)))


def normalised(text: str) -> str:
    """A header or a name without capitals and extra spaces."""
    return " ".join(text.split()).casefold()
