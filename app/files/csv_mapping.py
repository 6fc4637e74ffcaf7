"""How a file's columns are to be read: suggested from its headers, confirmed by a person, kept per header row."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping as Pairs
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any, TypeVar

from app.coaching.typed_values import NotUnderstood
from app.files.csv_dates import DateOrder
from app.files.csv_fields import FIELDS, KIND_ORDER, WORD_CHOICES, WORDS, FileKind, label_of, needed
from app.files.csv_text import normalised
from app.files.csv_values import Decimals, DistanceUnit, EffortScale, HighIs, ReadinessScale

E = TypeVar("E", bound=StrEnum)
Words = dict[str, dict[str, str]]


@dataclass(frozen=True, slots=True)
class Mapping:
    """Which header is which field, and how its values are written. None: not said, so found out or asked."""

    kind: FileKind
    #: Normalised header to field name; headers that are left out are ignored.
    columns: dict[str, str]
    dates: DateOrder | None = None
    decimals: Decimals | None = None
    distance: DistanceUnit | None = None
    effort: EffortScale | None = None
    scale: ReadinessScale | None = None
    #: Field name to the file's own words (normalised) to our word.
    words: Words = field(default_factory=dict)

    def column_of(self, headers: Sequence[str], name: str) -> int | None:
        """The index of the column that holds a field."""
        return next((i for i, header in enumerate(headers) if self.columns.get(normalised(header)) == name), None)

    def word(self, name: str, raw: str) -> str:
        """Our word for a cell. Raises: NotUnderstood for a word nobody has explained."""
        said = normalised(raw)
        found = self.words.get(name, {}).get(said) or WORDS[self.kind].get(name, {}).get(said)
        if found is None:
            what = label_of(self.kind, name)
            raise NotUnderstood(f"“{raw[:40]}” is a word this desk does not know here, as “{what}”.")
        return found


def header_sha256(headers: Sequence[str]) -> str:
    """The print of a header row; the order of the columns does not matter."""
    plain = sorted(normalised(header) for header in headers if header.strip())
    return hashlib.sha256(json.dumps(plain).encode()).hexdigest()


def suggest_columns(kind: FileKind, headers: Sequence[str]) -> dict[str, str]:
    """Headers that usually mean a field; a suggestion that a person confirms."""
    found: dict[str, str] = {}
    for known in FIELDS[kind]:
        fitting = [h for h in map(normalised, headers) if h in known.headers and h not in found]
        if fitting:
            found[fitting[0]] = known.name
    return found


def suggest(headers: Sequence[str]) -> Mapping:
    """The kind of file and the columns its headers look like."""
    by_kind = {kind: suggest_columns(kind, headers) for kind in KIND_ORDER}
    best = max(KIND_ORDER, key=lambda kind: (len(by_kind[kind]), not lacks(kind, by_kind[kind])))
    return Mapping(best, by_kind[best])


def lacks(kind: FileKind, columns: Pairs[str, str]) -> tuple[str, ...]:
    """Needed fields that no column holds."""
    return tuple(name for name in needed(kind) if name not in columns.values())


def to_json(mapping: Mapping) -> str:
    """The mapping as text."""
    return json.dumps(as_plain(mapping), ensure_ascii=False)


def as_plain(mapping: Mapping) -> dict[str, Any]:
    """The mapping as plain lists, dictionaries and words."""
    scale = mapping.scale
    return {
        "kind": mapping.kind.value,
        "columns": mapping.columns,
        "dates": mapping.dates,
        "decimals": mapping.decimals,
        "distance": mapping.distance,
        "effort": mapping.effort,
        "scale": [scale.lowest, scale.highest] if scale else None,
        "high_is": scale.high_is if scale else None,
        "words": mapping.words,
    }


def from_plain(plain: Pairs[str, Any]) -> Mapping:
    """A mapping from plain values. Raises: NotUnderstood, naming what is wrong."""
    kind = _choice(FileKind, plain.get("kind"), "kind")
    if kind is None:
        raise NotUnderstood("A mapping needs its kind: clients, sessions or readiness.")
    mapping = Mapping(
        kind,
        _columns(kind, _table(plain, "columns")),
        _choice(DateOrder, plain.get("dates"), "dates"),
        _choice(Decimals, plain.get("decimals"), "decimals"),
        _choice(DistanceUnit, plain.get("distance"), "distance"),
        _choice(EffortScale, plain.get("effort"), "effort"),
    )
    words = {name: _words(kind, name, said) for name, said in _table(plain, "words").items()}
    return replace(mapping, scale=_scale(plain), words=words)


def from_json(kept: str) -> Mapping:
    """A mapping as it was kept. Raises: NotUnderstood."""
    return from_plain(json.loads(kept))


def _table(plain: Pairs[str, Any], name: str) -> dict[str, Any]:
    found = plain.get(name) or {}
    if not isinstance(found, dict):
        raise NotUnderstood(f"“{name}” must be a table.")
    return found


def _columns(kind: FileKind, given: Pairs[str, Any]) -> dict[str, str]:
    known = {known.name for known in FIELDS[kind]}
    for header, name in given.items():
        if name not in known:
            raise NotUnderstood(f"“{header}” = “{name}”: {kind.value} have {', '.join(sorted(known))}.")
    columns = {normalised(header): str(name) for header, name in given.items()}
    twice = next((name for name in columns.values() if list(columns.values()).count(name) > 1), None)
    if twice is not None:
        raise NotUnderstood(f"Two columns cannot both be “{label_of(kind, twice)}”.")
    return columns


def _choice(words: type[E], given: object, name: str) -> E | None:
    if given is None or given == "":
        return None
    try:
        return words(str(given))
    except ValueError:
        raise NotUnderstood(f"“{name}” cannot be “{given}”.") from None


def _scale(plain: Pairs[str, Any]) -> ReadinessScale | None:
    ends, high_is = plain.get("scale"), _choice(HighIs, plain.get("high_is"), "high_is")
    if ends is None and high_is is None:
        return None
    if not (isinstance(ends, list) and len(ends) == 2 and all(type(end) is int for end in ends)) or high_is is None:
        raise NotUnderstood(
            "Readiness numbers need both: the lowest and the highest number one can give, and whether a high number "
            "means better or worse."
        )
    return ReadinessScale(ends[0], ends[1], high_is)


def _words(kind: FileKind, name: str, said: object) -> dict[str, str]:
    if name not in WORDS[kind] or not isinstance(said, dict):
        raise NotUnderstood(f"“{name}” is not a field of {kind.value} that holds words.")
    allowed = {value for value, _ in WORD_CHOICES[name]}
    for word, value in said.items():
        if value not in allowed:
            raise NotUnderstood(f"“{word}” = “{value}”: {name} is one of {', '.join(sorted(allowed))}.")
    return {normalised(str(word)): str(value) for word, value in said.items()}
