"""From typed text to what a formula takes, by the types in its signature."""

from __future__ import annotations

import collections.abc
import contextlib
import dataclasses
import math
import re
import types
import typing
from collections.abc import Callable, Mapping
from datetime import date
from enum import Enum

import numpy as np

from app.physiology.values import OutOfRange

_NUMBER = re.compile(r"[+-]?[0-9]{1,15}(?:\.[0-9]{1,15})?(?:[eE][+-]?[0-9]{1,3})?")
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_UNKNOWN = frozenset({"none", "unknown", "?"})
_YES_NO: Mapping[str, bool] = {"yes": True, "no": False}
MOST_VALUES = 5000


class CannotRead(OutOfRange):
    """A typed text that is not what the formula takes."""


def read_typed(name: str, text: str, kind: object) -> object:
    """The value a text stands for.

    Raises: CannotRead with a sentence.
    """
    text = text.strip()
    options = choices(kind)
    if options and not _is_series(kind):
        return _choice(name, text, kind, options)
    if kind is float or kind is np.floating:
        return _number(name, text)
    if kind is int:
        return _whole(name, text)
    if kind is date:
        return _day(name, text)
    if kind is str:
        return text
    return _read_composed(name, text, kind)


def _read_composed(name: str, text: str, kind: object) -> object:
    if _is_optional(kind):
        if text.casefold() in _UNKNOWN:
            return None
        return read_typed(name, text, _without_none(kind))
    if _is_series(kind):
        return _series(name, text, kind)
    if is_record(kind):
        return _record(name, text, kind)
    raise CannotRead(f"{name} is the result of another formula and cannot be typed.")


def can_be_typed(kind: object) -> bool:
    """Whether a text can stand for it at all."""
    bare = _without_none(kind)
    return bare in (float, int, str, date) or bool(choices(bare)) or _is_series(bare) or is_record(bare)


def choices(kind: object) -> tuple[str, ...]:
    """The words to choose from, where it is a choice."""
    bare = _without_none(kind)
    if bare is bool:
        return tuple(_YES_NO)
    if isinstance(bare, type) and issubclass(bare, Enum):
        return tuple(str(one.value) for one in bare)
    if typing.get_origin(bare) is typing.Literal:
        return tuple(str(one) for one in typing.get_args(bare))
    if _is_series(bare):
        return choices(_part_of(bare)) if _part_of(bare) is not bare else ()
    return ()


def is_series(kind: object) -> bool:
    """Whether several values go in, with commas between them."""
    return _is_series(_without_none(kind))


def is_record(kind: object) -> bool:
    """Whether it is a small result of another formula, typed as `field:value` with commas between."""
    kinds = _kinds(kind) if isinstance(kind, type) and dataclasses.is_dataclass(kind) else {}
    return bool(kinds) and all(one in (float, int, str) for one in kinds.values())


def record_fields(kind: object) -> tuple[str, ...]:
    """The names of its fields, to be typed."""
    return tuple(_kinds(kind)) if is_record(kind) else ()


def _kinds(kind: object) -> dict[str, object]:
    hints = typing.get_type_hints(kind)
    return {one.name: hints[one.name] for one in dataclasses.fields(kind)}  # type: ignore[arg-type]  # a dataclass


def _record(name: str, text: str, kind: object) -> object:
    pairs = dict(part.strip().partition(":")[::2] for part in text.split(","))
    kinds = _kinds(kind)
    if pairs.keys() != kinds.keys():
        raise CannotRead(f"{name} is typed as {', '.join(f'{field}:value' for field in kinds)}.")
    values = {field: read_typed(field, pairs[field], kinds[field]) for field in kinds}
    return typing.cast(Callable[..., object], kind)(**values)


def _choice(name: str, text: str, kind: object, options: tuple[str, ...]) -> object:
    if _is_optional(kind) and text.casefold() in _UNKNOWN:
        return None
    if text not in options:
        raise CannotRead(f"{name} must be one of {', '.join(options)}; “{text[:40]}” is not.")
    bare = _without_none(kind)
    if bare is bool:
        return _YES_NO[text]
    if isinstance(bare, type) and issubclass(bare, Enum):
        return next(one for one in bare if str(one.value) == text)
    return next(one for one in typing.get_args(bare) if str(one) == text)


def _number(name: str, text: str) -> float:
    if not _NUMBER.fullmatch(text) or not math.isfinite(float(text)):
        raise CannotRead(f"{name} must be a plain number such as 63 or 0.75; “{text[:40]}” is not.")
    return float(text)


def _whole(name: str, text: str) -> int:
    number = _number(name, text)
    if number != int(number):
        raise CannotRead(f"{name} must be a whole number; {number:g} is not.")
    return int(number)


def _day(name: str, text: str) -> date:
    if _DAY.fullmatch(text):
        with contextlib.suppress(ValueError):
            return date.fromisoformat(text)
    raise CannotRead(f"{name} must be a day such as 2026-11-25; “{text[:40]}” is not.")


def _series(name: str, text: str, kind: object) -> object:
    parts = [part.strip() for part in text.split(",")] if text else []
    if len(parts) > MOST_VALUES:
        raise CannotRead(f"{name} takes at most {MOST_VALUES} values here.")
    read = tuple(read_typed(name, part, _part_of(kind)) for part in parts)
    return np.array(read, dtype=float) if _is_array(kind) else read


def _part_of(kind: object) -> object:
    if _is_array(kind):
        return float
    return next((one for one in typing.get_args(kind) if one is not Ellipsis), float)


def _is_series(kind: object) -> bool:
    origin = typing.get_origin(kind)
    is_collection = isinstance(origin, type) and issubclass(origin, collections.abc.Collection)
    return _is_array(kind) or (is_collection and not issubclass(origin, collections.abc.Mapping))  # type: ignore[arg-type]  # a type, by the line above


def _is_array(kind: object) -> bool:
    return typing.get_origin(kind) is np.ndarray or kind is np.ndarray or _is_array_like(kind)


def _is_array_like(kind: object) -> bool:
    """NumPy's own alias for anything that can become an array; it is a union."""
    return "_SupportsArray" in str(kind)


def _is_optional(kind: object) -> bool:
    return _is_union(kind) and types.NoneType in typing.get_args(kind) and not _is_array_like(kind)


def _is_union(kind: object) -> bool:
    return typing.get_origin(kind) in (typing.Union, types.UnionType)


def _without_none(kind: object) -> object:
    if not _is_optional(kind):
        return kind
    left = [one for one in typing.get_args(kind) if one is not types.NoneType]
    return left[0] if len(left) == 1 else typing.Union[tuple(left)]  # noqa: UP007 - built from a list


def plain(value: object) -> object:
    """Anything a formula gives as plain data: numbers, words, lists and mappings."""
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, np.ndarray | np.generic):
        return plain(value.tolist())
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if dataclasses.is_dataclass(value):
        return {name: plain(getattr(value, name)) for name in names_of(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple | set | frozenset):
        return [plain(one) for one in value]
    return value


def names_of(value: object) -> tuple[str, ...]:
    """The fields of a value and what it works out from them."""
    fields = tuple(one.name for one in dataclasses.fields(value))  # type: ignore[arg-type]  # asked only of dataclasses
    worked_out = (name for name, thing in vars(type(value)).items() if isinstance(thing, property))
    return (*fields, *(name for name in worked_out if not name.startswith("_")))
