"""What the columns of a spreadsheet probably are, and what its words may mean; a person confirms both at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from difflib import get_close_matches

from app.coaching.typed_values import zones
from app.files.csv_fields import EMPTY_CELLS, FIELDS, WORDS, FileKind
from app.files.csv_mapping import suggest_columns
from app.files.csv_text import Table, normalised

#: A unit or a scale behind a header, as "(min)" or "[0-10]".
_IN_BRACKETS = re.compile(r"\([^)]*\)|\[[^\]]*\]")
#: How near a word must stand to a known one to be offered as it (house choice).
_NEAR = 0.75

_Guess = Callable[[FileKind, Table, int, Collection[str]], str | None]


def guess_columns(kind: FileKind, table: Table) -> dict[str, str]:
    """Which header is which field: by the usual headers, by headers without units and more words, by the cells."""
    found = suggest_columns(kind, table.headers)
    for guess in (_by_header, _by_cells):
        _add(found, kind, table, guess)
    return found


def guess_word(kind: FileKind, name: str, word: str) -> str:
    """Our word that a file's word stands nearest to; empty when none is near."""
    known = WORDS[kind][name]
    near = get_close_matches(normalised(word), known, n=1, cutoff=_NEAR)
    return known[near[0]] if near else ""


def _add(found: dict[str, str], kind: FileKind, table: Table, guess: _Guess) -> None:
    for index, header in enumerate(table.headers):
        plain = normalised(header)
        if plain and plain not in found and (name := guess(kind, table, index, found.values())):
            found[plain] = name


def _by_header(kind: FileKind, table: Table, index: int, taken: Collection[str]) -> str | None:
    plain = normalised(_IN_BRACKETS.sub(" ", table.headers[index])).strip(" :.*")
    fitting = [
        (len(usual), field.name)
        for field in FIELDS[kind]
        if field.name not in taken
        for usual in field.headers
        if plain == usual or plain.startswith(f"{usual} ")
    ]
    return max(fitting)[1] if fitting else None


def _by_cells(kind: FileKind, table: Table, index: int, taken: Collection[str]) -> str | None:
    """The one field whose words most cells of a column are; the others are asked about."""
    cells = {normalised(cell) for cell in table.column(index)} - EMPTY_CELLS
    if not cells:
        return None
    fitting = [name for name, known in WORDS[kind].items() if name not in taken and _are_mostly(cells, known)]
    if kind is FileKind.CLIENTS and "zone" not in taken and cells <= {normalised(one) for one in zones()}:
        fitting.append("zone")
    return fitting[0] if len(fitting) == 1 else None


def _are_mostly(cells: Collection[str], known: Collection[str]) -> bool:
    """More than half of the different cells."""
    return sum(cell in known for cell in cells) > len(cells) / 2
