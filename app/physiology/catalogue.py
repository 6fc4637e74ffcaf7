"""One catalogue of the formulae on this floor, read from their own signatures and docstrings: no second list."""

from __future__ import annotations

import difflib
import importlib
import inspect
import pkgutil
import re
import typing
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import FunctionType, ModuleType

import app.physiology as floor
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES
from app.physiology.typed_inputs import choices

FIELDS = ("Returns", "Raises", "Limits", "Error", "Source")
_TELLING = ("Returns", "Limits", "Error", "Source")
_CHECKED = "Checked in"
_NO_UNIT = "no unit"
_NOT_FORMULAE = re.compile(r"catalogue|calculator|typed_inputs|provenance|sources?(_\w+)?|values")
_LINE = re.compile(r"(?P<name>\w+): (?P<text>.*)")
_KEY = re.compile(r"\[([a-z_]+[0-9]{4}[a-z]?)\]")


class NoSuchFormula(ValueError):
    """No formula has that name."""


@dataclass(frozen=True, slots=True)
class Input:
    """One thing a formula wants to know."""

    name: str
    what: str
    unit: str
    limits: str
    is_required: bool
    default: object = None


@dataclass(frozen=True, slots=True)
class Card:
    """All that is known about one formula."""

    name: str
    sentence: str
    inputs: tuple[Input, ...]
    returns: str
    unit: str
    raises: str
    limits: str
    error: str
    source: str
    keys: tuple[str, ...]
    provenance: Provenance | None
    checked: str
    area: str

    @property
    def title(self) -> str:
        """The name in words: hrmax tanaka 2001."""
        return self.name.replace("_", " ")


@cache
def formulae() -> dict[str, FunctionType]:
    """Every formula of the floor by its name, in the order of the alphabet."""
    found = {name: function for module in modules() for name, function in public_functions(module)}
    return {name: found[name] for name in sorted(found) if is_formula(found[name])}


def modules() -> Iterator[ModuleType]:
    """The modules that hold formulae."""
    for one in pkgutil.iter_modules(floor.__path__):
        if not _NOT_FORMULAE.fullmatch(one.name):
            yield importlib.import_module(f"{floor.__name__}.{one.name}")


def public_functions(module: ModuleType) -> Iterator[tuple[str, FunctionType]]:
    """The public functions that a module makes itself."""
    for name, thing in vars(module).items():
        if isinstance(thing, FunctionType) and not name.startswith("_") and thing.__module__ == module.__name__:
            yield name, thing


def is_formula(function: Callable[..., object]) -> bool:
    """Whether a function says of itself what a formula says; helpers say one sentence only."""
    text = inspect.getdoc(function) or ""
    return any(f"\n{field}:" in text for field in _TELLING)


def is_whole(function: Callable[..., object]) -> bool:
    """Whether a function says everything a card says."""
    text = inspect.getdoc(function) or ""
    return all(f"\n{field}:" in text for field in FIELDS) and f"\n{_CHECKED}" in text


@cache
def card(name: str) -> Card:
    """The card of a formula.

    Raises: NoSuchFormula with the nearest names.
    """
    return read_card(find(name, formulae()))


def find(name: str, among: Mapping[str, FunctionType]) -> FunctionType:
    """The function of a name.

    Raises: NoSuchFormula with the nearest names.
    """
    if name not in among:
        near = difflib.get_close_matches(name, among, n=3, cutoff=0.5)
        hint = f" Did you mean {' or '.join(near)}?" if near else ""
        raise NoSuchFormula(f"There is no formula called {name}.{hint}")
    return among[name]


def cards() -> tuple[Card, ...]:
    """All cards, in the order of the alphabet."""
    return tuple(card(name) for name in formulae())


def read_card(function: FunctionType) -> Card:
    """What a function says of itself, taken apart; what it does not say stays empty."""
    sentence, said = _taken_apart(inspect.getdoc(function) or "")
    source = said.get("Source", "")
    keys = tuple(dict.fromkeys(_KEY.findall(source)))
    return Card(
        name=function.__name__,
        sentence=sentence,
        inputs=_inputs(function, said),
        returns=said.get("Returns", ""),
        unit=_unit_of(said.get("Returns", "")),
        raises=_refusals(said.get("Raises", "")),
        limits=said.get("Limits", ""),
        error=said.get("Error", ""),
        source=source,
        keys=keys,
        provenance=_provenance_of(source, keys),
        checked=said.get(_CHECKED, ""),
        area=function.__module__.rpartition(".")[2],
    )


def _taken_apart(text: str) -> tuple[str, dict[str, str]]:
    sentence, _, rest = text.partition("\n\n")
    said: dict[str, str] = {}
    name = ""
    for line in rest.splitlines():
        if line.startswith(_CHECKED):
            name, said[_CHECKED] = _CHECKED, line.removeprefix(_CHECKED).strip()
        elif found := _LINE.fullmatch(line):
            name, said[found["name"]] = found["name"], found["text"].strip()
        elif name and line.strip():
            said[name] = f"{said[name]} {line.strip()}"
    return " ".join(sentence.split()), said


def _inputs(function: FunctionType, said: Mapping[str, str]) -> tuple[Input, ...]:
    kinds = typing.get_type_hints(function)
    parameters = inspect.signature(function).parameters.values()
    return tuple(_input(one, said.get(one.name, ""), choices(kinds[one.name])) for one in parameters)


def _input(parameter: inspect.Parameter, text: str, options: Sequence[str]) -> Input:
    """A choice needs no unit, and its limits are what there is to choose from."""
    what, unit, limits = (*(part.strip() for part in text.rstrip(".").split(",", 2)), "", "", "")[:3]
    if what and options:
        unit, limits = unit or _NO_UNIT, limits or " or ".join(options)
    is_required = parameter.default is inspect.Parameter.empty
    return Input(parameter.name, what, unit, limits, is_required, None if is_required else parameter.default)


def _unit_of(returns: str) -> str:
    """`maximal heart rate, bpm; Missing when ...` names bpm."""
    parts = re.split(r"[;:]|\.\s|\.$", returns)[0].split(",")
    return parts[1].strip() if len(parts) > 1 else ""


def _refusals(raises: str) -> str:
    """The names of exceptions as words a coach reads."""
    return re.sub(r"\bWrongLength\b", "a wrong length", re.sub(r"\b(OutOfRange|OffTheScale)\b", "values", raises))


def _provenance_of(source: str, keys: tuple[str, ...]) -> Provenance | None:
    """The first word the line itself says, else that of the publication it names."""
    said = [(source.find(one.value), one) for one in Provenance if one.value in source]
    if said:
        return min(said)[1]
    return next((SOURCES[key].provenance for key in keys if key in SOURCES), None)
