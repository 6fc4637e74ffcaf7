"""The mapping file of the command: one TOML table per kind of file."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from typing import Any

from app.coaching.typed_values import NotUnderstood
from app.files.csv_fields import FileKind
from app.files.csv_mapping import Mapping, from_plain, lacks
from app.files.csv_text import normalised


def read_mapping_file(text: str) -> tuple[Mapping, ...]:
    """Every mapping of a mapping file. Raises: NotUnderstood, naming what is wrong."""
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as problem:
        raise NotUnderstood(f"The mapping file cannot be read: {problem}.") from None
    known = {kind.value for kind in FileKind}
    for name, table in tables.items():
        if name not in known or not isinstance(table, dict):
            raise NotUnderstood(f"The mapping file may have [clients], [sessions] and [readiness], not “{name}”.")
    return tuple(_mapping(name, table) for name, table in tables.items())


def _mapping(name: str, table: dict[str, Any]) -> Mapping:
    try:
        return from_plain({**table, "kind": name})
    except NotUnderstood as problem:
        raise NotUnderstood(f"[{name}] {problem}{_HOW_TO_WRITE.get(name, '')}") from None


#: Pages ask in plain words; whoever writes a mapping file needs its own words too.
_HOW_TO_WRITE = {"readiness": " In the file: scale = [1, 5] and high_is = “better” or “worse”."}


def fitting(mappings: Sequence[Mapping], headers: Sequence[str]) -> Mapping | None:
    """The mapping whose columns fit a header row best; None when none has all that is needed."""
    plain = {normalised(header) for header in headers}
    best: tuple[int, Mapping] | None = None
    for mapping in mappings:
        present = {header: name for header, name in mapping.columns.items() if header in plain}
        if not lacks(mapping.kind, present) and (best is None or len(present) > best[0]):
            best = (len(present), mapping)
    return best[1] if best else None
