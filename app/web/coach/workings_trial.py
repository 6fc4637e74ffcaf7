"""Trying a formula on the page of workings: its fields, what was typed, and what came out in words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from app.coaching.catalogue import can_compute, card, kinds_of, run
from app.physiology.calculator import Answer, CannotCompute
from app.physiology.catalogue import NoSuchFormula
from app.physiology.typed_inputs import choices, is_series, record_fields

LONGEST_VALUE = 4000
_UNNAMED = ""
#: Under which of these a result without a value says why.
_REASONS = ("reason", "because", "missing", "why")
_NO_NUMBER = "there is no number for this; what is known stands below."
_AN_ESTIMATE = frozenset({"value", "unit", "error_words", "source", "notes"})


@dataclass(frozen=True, slots=True)
class TrialField:
    """One input to be typed or chosen."""

    name: str
    label: str
    unit: str
    hint: str
    typed: str
    options: tuple[str, ...]
    is_required: bool


@dataclass(frozen=True, slots=True)
class Trial:
    """A formula being tried, with what came out or why nothing did."""

    name: str
    fields: tuple[TrialField, ...]
    lines: tuple[tuple[str, str], ...] = ()
    answer: Answer | None = None
    problem: str | None = None


def trial(name: str, asked: Mapping[str, str], today: date) -> Trial | None:
    """The formula asked for, computed once anything was typed; None for a name nobody knows."""
    try:
        known = card(name)
    except NoSuchFormula:
        return None
    if not can_compute(name):
        return None
    typed = {one.name: asked.get(one.name, "").strip()[:LONGEST_VALUE] for one in known.inputs}
    fields = _fields(name, typed)
    given = {key: text for key, text in typed.items() if text}
    if not given and not _is_sent(known.inputs, asked):
        return Trial(name, fields)
    try:
        answer = run(name, today=today, **given)
    except CannotCompute as problem:
        return Trial(name, fields, problem=str(problem))
    return Trial(name, fields, lines=tuple(_lines(_UNNAMED, answer)), answer=answer, problem=_refusal(answer))


def _refusal(answer: Answer) -> str | None:
    """Why no value comes out, said like any refusal; None when one does."""
    reason = answer.missing
    value = answer.value
    if reason is None and isinstance(value, Mapping) and "value" in value and value["value"] is None:
        reason = next((str(value[key]) for key in _REASONS if value.get(key)), _NO_NUMBER)
    if reason is None and value is None:
        reason = _NO_NUMBER
    return None if reason is None else f"Nothing comes out: {reason}"


def _is_sent(inputs: tuple[object, ...], asked: Mapping[str, str]) -> bool:
    """A formula without anything to type is computed at once; others when the form came back."""
    return not inputs or "computed" in asked


def _fields(name: str, typed: Mapping[str, str]) -> tuple[TrialField, ...]:
    kinds = kinds_of(name)
    return tuple(
        TrialField(
            name=one.name,
            label=one.what,
            unit="" if one.unit == "no unit" else one.unit,
            hint=_hint(one.limits, kinds[one.name]),
            typed=typed[one.name],
            options=() if is_series(kinds[one.name]) else choices(kinds[one.name]),
            is_required=one.is_required,
        )
        for one in card(name).inputs
    )


def _hint(limits: str, kind: object) -> str:
    if is_series(kind):
        words = ", ".join(choices(kind))
        return f"{limits}. Commas between{': ' if words else ''}{words}."
    if fields := record_fields(kind):
        return f"{limits}. Typed as {', '.join(f'{field}:value' for field in fields)}."
    if kind in (date, date | None):
        return f"{limits}. Written as 2026-11-25."
    return limits


def _lines(name: str, answer: Answer) -> list[tuple[str, str]]:
    """The value and what else is known, as lines of a label and a text."""
    if answer.missing is not None:
        return []
    if answer.value is None:
        return _told(_UNNAMED, dict(answer.more), set())
    unit = "" if answer.unit == "no unit" else answer.unit
    said: set[str] = set()
    found = _told(name, answer.value, said)
    if len(found) == 1 and found[0][0] == name:
        found = [("result", f"{found[0][1]} {unit}".strip())]
    return [*found, *_told(_UNNAMED, dict(answer.more), said)]


def _told(name: str, value: object, said: set[str]) -> list[tuple[str, str]]:
    if isinstance(value, Mapping) and value.keys() >= _AN_ESTIMATE:
        return [(name, _estimate(value, said))]
    if isinstance(value, Mapping):
        return [line for key, one in value.items() for line in _told(_joined(name, str(key)), one, said)]
    if isinstance(value, list) and any(isinstance(one, Mapping) for one in value):
        return [line for n, one in enumerate(value, start=1) for line in _told(_one_of(name, n), one, said)]
    return [(name, _text(value))]


def _estimate(value: Mapping[str, object], said: set[str]) -> str:
    """One estimate among several, in one line; a note that stands above already is not said again."""
    notes = [str(note) for note in value["notes"] if note not in said] if isinstance(value["notes"], list) else []
    said.update(notes)
    behind = "; ".join([str(value["error_words"]), str(value["source"]), *notes])
    return f"{_text(value['value'])} {value['unit']} ({behind})"


def _joined(name: str, key: str) -> str:
    return f"{name}: {key}".removeprefix(": ").replace("_", " ")


def _one_of(name: str, number: int) -> str:
    """One part of a list by its place: "form 2 of the list" is shorter said "form 2"."""
    return f"{name.removesuffix('s') or 'part'} {number}"


def _text(value: object) -> str:
    if value is None or value in ([], ()):
        return "none"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.6g}"
    if isinstance(value, list):
        return ", ".join(_text(one) for one in value)
    return str(value)
