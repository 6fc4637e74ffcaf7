"""What every formula takes and gives: an estimate with its error and source, a gap with its reason, a refusal."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum


class Sex(StrEnum):
    """Sex as the published equations use it; optional everywhere else."""

    FEMALE = "F"
    MALE = "M"


class OutOfRange(ValueError):
    """A value outside what a formula was made for, or no number at all."""


class WrongLength(ValueError):
    """A series with too few or too many values."""


@dataclass(frozen=True, slots=True)
class Missing:
    """An expected gap: there is no value, and this is why."""

    reason: str


@dataclass(frozen=True, slots=True)
class Estimate:
    """A figure out of a published equation: never without its unit, its error in words, and its source.

    `error` is the error as a number in the same unit, or None where the source gives none.
    `source` is a key of app/physiology/sources.py, or a provenance word where nothing was published.
    """

    value: float
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...] = ()


def check_range(name: str, value: float, low: float, high: float, unit: str = "") -> None:
    """Refuse a value that is no finite number or lies outside its limits, both of which still count as inside.

    Raises: OutOfRange with a sentence.
    """
    if math.isfinite(value) and low <= value <= high:
        return
    behind = f" {unit}" if unit else ""
    if not math.isfinite(value):
        raise OutOfRange(f"{name} must be a number from {low:g} to {high:g}{behind}.")
    raise OutOfRange(f"{name} must be from {low:g} to {high:g}{behind}; {value:g} is outside.")
