"""What a file does not say by itself: found out where its cells prove it, asked where they do not."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.coaching.typed_values import NotUnderstood
from app.coaching.weeks import day_words
from app.files.csv_dates import DateOrder, day, order_shown_by
from app.files.csv_fields import DATE_FIELDS, EMPTY_CELLS, READINESS_SCALED, WORDS, FileKind, label_of
from app.files.csv_mapping import Mapping, lacks
from app.files.csv_text import Table, normalised
from app.files.csv_values import Decimals, DistanceUnit, EffortScale, number

MOST_WORDS_ASKED = 40
SAMPLES_SHOWN = 4


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
        Question("columns", f"Which column is “{label_of(mapping.kind, name)}”? Choose it below.")
        for name in lacks(mapping.kind, _present(table, mapping))
    ]
    found += _half_phase(table, mapping)
    if mapping.dates is None:
        found.append(Question("dates", _date_question(_cells(table, mapping, *DATE_FIELDS[mapping.kind]))))
    if mapping.kind is FileKind.SESSIONS and mapping.effort is None:
        text = "Is effort in this file rated from 0 to 10 or from 6 to 20?"
        found.append(Question("effort", text + _it_holds(table, mapping, "effort")))
    if mapping.kind is FileKind.SESSIONS and mapping.distance is None:
        text = "Are distances in this file kilometres or miles?"
        found.append(Question("distance", text + _it_holds(table, mapping, "distance")))
    if mapping.kind is FileKind.READINESS and mapping.scale is None and _cells(table, mapping, *READINESS_SCALED):
        text = (
            "In this file, does a high number mean better or worse? "
            "And which are the lowest and the highest number one can give?"
        )
        found.append(Question("scale", text + _it_holds(table, mapping, *READINESS_SCALED)))
    return found


def _half_phase(table: Table, mapping: Mapping) -> list[Question]:
    """A phase and the day it began come together; one column without the other is asked about by its name."""
    names = _present(table, mapping)
    has_both = {"phase", "phase_since_on"}.issubset(names.values())
    alone = next((header for header, name in names.items() if name in ("phase", "phase_since_on")), None)
    if has_both or alone is None:
        return []
    taken = mapping.columns[alone]
    lacking = "phase_since_on" if taken == "phase" else "phase"
    left = [header for header in table.headers if header.strip() and normalised(header) not in names]
    where = f" Is it one of these: {', '.join(f'“{one[:30]}”' for one in left)}?" if left else ""
    header = next(one for one in table.headers if normalised(one) == alone)
    text = (
        f"“{header}” is taken for “{label_of(mapping.kind, taken)}”, but no column was recognised as "
        f"“{label_of(mapping.kind, lacking)}”.{where} Choose it below, or leave “{header}” out."
    )
    return [Question("columns", text)]


def _date_question(cells: list[str]) -> str:
    """Asked with a date of the file that can be read both ways."""
    for cell in cells:
        try:
            one, other = day(cell, DateOrder.DAY_FIRST), day(cell, DateOrder.MONTH_FIRST)
        except NotUnderstood:
            continue
        if one != other:
            return f"Is “{cell[:20]}” in this file {day_words(one)} or {day_words(other)}?"
    return "Some dates of this file put the day first and some the month. Which is meant?"


def _it_holds(table: Table, mapping: Mapping, *names: str) -> str:
    """The first different cells of each column asked about, as they stand in the file."""
    held = []
    for name in names:
        index = mapping.column_of(table.headers, name)
        cells = list(dict.fromkeys(_cells(table, mapping, name)))[:SAMPLES_SHOWN]
        if index is not None and cells:
            held.append(f"“{table.headers[index]}” holds {', '.join(cell[:20] for cell in cells)}")
    return f" {'; '.join(held)}." if held else ""


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
