"""Compute any formula of the floor from typed text, and answer in plain data."""

from __future__ import annotations

import dataclasses
import typing
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import FunctionType

from app.physiology.catalogue import Card, card, formulae
from app.physiology.typed_inputs import CannotRead, can_be_typed, names_of, plain, read_typed
from app.physiology.values import Missing

#: What every estimate carries; anything more it knows stands under `more`.
_CARRIED = ("value", "unit", "error", "error_words", "source", "notes")


class CannotCompute(ValueError):
    """The formula was not computed, and the sentence says why."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came out, as plain data; `missing` says why where nothing came out."""

    name: str
    value: object
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...] = ()
    missing: str | None = None
    more: Mapping[str, object] = field(default_factory=dict)

    def as_data(self) -> dict[str, object]:
        """As a mapping that any format can hold."""
        return {one.name: plain(getattr(self, one.name)) for one in dataclasses.fields(self)}


def kinds_of(known: Card, function: FunctionType) -> dict[str, object]:
    """The type of each input of a formula."""
    kinds = typing.get_type_hints(function)
    return {one.name: kinds[one.name] for one in known.inputs}


def can_compute(known: Card, function: FunctionType) -> bool:
    """Whether every input that must be given can be typed."""
    kinds = kinds_of(known, function)
    return all(can_be_typed(kinds[one.name]) for one in known.inputs if one.is_required)


def run(name: str, **typed: str) -> Answer:
    """Compute a formula from typed text.

    Raises: NoSuchFormula; CannotCompute for a wrong key, a missing one, or a value it refuses, with a sentence.
    """
    return compute(card(name), formulae()[name], typed)


def compute(known: Card, function: FunctionType, typed: Mapping[str, str]) -> Answer:
    """Compute a function that has a card from typed text.

    Raises: CannotCompute for a wrong key, a missing one, or a value it refuses, with a sentence.
    """
    values = _read(known, kinds_of(known, function), typed)
    try:
        came_out = function(**values)
    except (ValueError, ArithmeticError) as problem:
        raise CannotCompute(str(problem)) from problem
    return _answer(known, came_out)


def _read(known: Card, kinds: Mapping[str, object], typed: Mapping[str, str]) -> dict[str, object]:
    names = [one.name for one in known.inputs]
    strange = sorted(typed.keys() - set(names))
    if strange:
        raise CannotCompute(f"{known.name} does not know {', '.join(strange)}; it takes {', '.join(names)}.")
    lacking = [
        f"{i.name} ({i.what}, {i.unit}, {i.limits})" for i in known.inputs if i.is_required and i.name not in typed
    ]
    if lacking:
        raise CannotCompute(f"{known.name} still needs {'; '.join(lacking)}.")
    try:
        return {name: read_typed(name, text, kinds[name]) for name, text in typed.items()}
    except CannotRead as problem:
        raise CannotCompute(str(problem)) from problem


def _answer(known: Card, came_out: object) -> Answer:
    if isinstance(came_out, Missing):
        return Answer(known.name, None, known.unit, None, known.error, known.source, missing=came_out.reason)
    if dataclasses.is_dataclass(came_out) and all(hasattr(came_out, name) for name in _CARRIED):
        return _estimate(known, came_out)
    return Answer(known.name, plain(came_out), known.unit, None, known.error, known.source)


def _estimate(known: Card, came_out: object) -> Answer:
    carried = {name: plain(getattr(came_out, name)) for name in _CARRIED}
    more = {name: plain(getattr(came_out, name)) for name in names_of(came_out) if name not in _CARRIED}
    error = carried["error"]
    return Answer(
        name=known.name,
        value=carried["value"],
        unit=str(carried["unit"]),
        error=float(error) if isinstance(error, int | float) else None,
        error_words=str(carried["error_words"]),
        source=known.source,
        notes=tuple(str(note) for note in getattr(came_out, "notes", ())),
        more=more,
    )
