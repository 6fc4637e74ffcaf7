"""What a file does not say by itself: found out where its cells prove it, asked where they do not."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.coaching.typed_values import NotUnderstood
from app.files.csv_dates import order_shown_by
from app.files.csv_fields import DATE_FIELDS, EMPTY_CELLS, READINESS_SCALED, WORDS, FileKind, label_of
from app.files.csv_mapping import Mapping, lacks
from app.files.csv_text import Table, normalised
from app.files.csv_values import Decimals, DistanceUnit, EffortScale, number

MOST_WORDS_ASKED = 40


@dataclass(frozen=True, slots=True)
class Question:
    """Something that must be answered before a file is read: the mapping's own name for it, and the question."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Prepared:
    """A mapping with everything filled in that the file proves, what is still open, and words nobody explained."""

    mapping: Mapping
    questions: tuple[Question, ...]
    unknown_words: tuple[tuple[str, str], ...]


def prepare(table: Table, mapping: Mapping) -> Prepared:
    """Fill in what the cells prove and list what they leave open."""
    mapping = replace(
        mapping,
        dates=mapping.dates or order_shown_by(_cells(table, mapping, *DATE_FIELDS[mapping.kind])),
        effort=mapping.effort or _effort_scale(_cells(table, mapping, "effort"), mapping.decimals),
        distance=mapping.distance or _distance_unit(table, mapping),
    )
    return Prepared(mapping, tuple(_questions(table, mapping)), tuple(_unknown_words(table, mapping)))


def _cells(table: Table, mapping: Mapping, *names: str) -> list[str]:
    indexes = [mapping.column_of(table.headers, name) for name in names]
    found = [cell for index in indexes if index is not None for cell in table.column(index)]
    return [cell for cell in found if cell.casefold() not in EMPTY_CELLS]


def _questions(table: Table, mapping: Mapping) -> list[Question]:
    found = [
        Question("columns", f"Which column is “{label_of(mapping.kind, name)}”?")
        for name in lacks(mapping.kind, _present(table, mapping))
    ]
    if mapping.dates is None:
        found.append(Question("dates", "Is 3/4/2026 in this file the 3rd of April or the 4th of March?"))
    if mapping.kind is FileKind.SESSIONS and mapping.effort is None:
        found.append(Question("effort", "Is effort in this file rated from 0 to 10 or from 6 to 20?"))
    if mapping.kind is FileKind.SESSIONS and mapping.distance is None:
        found.append(Question("distance", "Are distances in this file kilometres or miles?"))
    if mapping.kind is FileKind.READINESS and mapping.scale is None and _cells(table, mapping, *READINESS_SCALED):
        found.append(
            Question("scale", "From what to what do the readiness numbers run, and is high better or worse?")
        )
    return found


def _present(table: Table, mapping: Mapping) -> dict[str, str]:
    headers = {normalised(header) for header in table.headers}
    return {header: name for header, name in mapping.columns.items() if header in headers}


def _effort_scale(cells: list[str], decimals: Decimals | None) -> EffortScale | None:
    values = [value for value in (_number(cell, decimals) for cell in cells) if value is not None]
    if not values or min(values) < 6:
        return EffortScale.ZERO_TO_TEN
    return EffortScale.SIX_TO_TWENTY if max(values) > 10 else None


def _number(cell: str, decimals: Decimals | None) -> float | None:
    try:
        return number(cell, decimals)
    except NotUnderstood:
        return None


def _distance_unit(table: Table, mapping: Mapping) -> DistanceUnit | None:
    index = mapping.column_of(table.headers, "distance")
    if index is None:
        return DistanceUnit.KILOMETRES
    header = normalised(table.headers[index])
    if "km" in header or "kilomet" in header:
        return DistanceUnit.KILOMETRES
    if "mile" in header or header.endswith(("mi", "(mi)")):
        return DistanceUnit.MILES
    said = all(cell[-1:].isalpha() for cell in _cells(table, mapping, "distance"))
    return DistanceUnit.KILOMETRES if said else None


def _unknown_words(table: Table, mapping: Mapping) -> list[tuple[str, str]]:
    unknown: dict[tuple[str, str], None] = {}
    for name in WORDS[mapping.kind]:
        for cell in _cells(table, mapping, name):
            try:
                mapping.word(name, cell)
            except NotUnderstood:
                unknown[(name, normalised(cell)[:60])] = None
    return list(unknown)[:MOST_WORDS_ASKED]
