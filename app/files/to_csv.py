"""CSV out: RFC 4180, with text that a spreadsheet cannot mistake for a formula."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Sequence
from datetime import date
from enum import StrEnum

from app.coaching.reasons import DomainError
from app.files.csv_values import FORMULA_STARTS

#: Spreadsheets know the encoding by this mark only.
BYTE_ORDER_MARK = "\ufeff"
MEDIA_TYPE = "text/csv; charset=utf-8; header=present"
#: Enough for minutes and shares, and no false precision beyond.
_DECIMALS = 4

#: Text is guarded; numbers stay numbers and days are ISO days. None is an empty cell.
Cell = str | int | float | date | None


class Reader(StrEnum):
    """Who reads the file: a spreadsheet wants a byte order mark, a program does not."""

    SPREADSHEETS = "spreadsheets"
    MACHINES = "machines"


def csv_bytes(headers: Sequence[str], rows: Iterable[Sequence[Cell]], *, reader: Reader) -> bytes:
    """A table as a file: UTF-8, records ending in CRLF, the same number of fields in each.

    Source: RFC 4180 (from memory, unchecked).
    Raises: DomainError for a row of another width, or a number that is not finite.
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(headers)
    for row in rows:
        if len(row) != len(headers):
            raise DomainError(f"a row of {len(row)} cells does not fit under {len(headers)} headers")
        writer.writerow([written(cell) for cell in row])
    mark = BYTE_ORDER_MARK if reader is Reader.SPREADSHEETS else ""
    return (mark + out.getvalue()).encode("utf-8", errors="replace")


def written(cell: Cell) -> str:
    """One cell as it stands in the file. Raises: DomainError for a number that is not finite."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return guarded(cell)
    if isinstance(cell, date):
        return cell.isoformat()
    if not math.isfinite(cell):
        raise DomainError("a number that is not finite cannot be written")
    rounded = round(cell, _DECIMALS)
    return str(int(rounded)) if rounded == int(rounded) else repr(rounded)


def guarded(text: str) -> str:
    """Text with a single quote before it where a spreadsheet would read a formula.

    Quotes that already stand before such a sign count with it, so that taking one off always gives the text back.
    Source: OWASP Application Security Verification Standard 5.0, V1.2.10 (published, read); carriage return and
    line feed published, second-hand; full-width signs from memory, unchecked.
    """
    return f"'{text}" if text.lstrip("'").startswith(FORMULA_STARTS) else text


def unguarded(text: str) -> str:
    """The text that was guarded: exactly one quote less where one was put."""
    is_guarded = text.startswith("'") and text.lstrip("'").startswith(FORMULA_STARTS)
    return text[1:] if is_guarded else text
