"""Every card there is: the formulae of the floor below, and the decisions of this one that say as much."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from datetime import date
from functools import cache
from types import FunctionType

import app.coaching as floor
from app.physiology import calculator
from app.physiology.calculator import Answer
from app.physiology.catalogue import Card, find, formulae, is_whole, public_functions, read_card

#: The input that stands for the day of asking; this floor has no clock, so whoever asks says the day.
ASKED_ON = "asked_on"


@cache
def decisions() -> dict[str, FunctionType]:
    """Every function of this floor that says all a card says, by its name, in the order of the alphabet."""
    found = dict(_whole_functions())
    return {name: found[name] for name in sorted(found)}


@cache
def functions() -> dict[str, FunctionType]:
    """Formulae and decisions together, in the order of the alphabet."""
    found = formulae() | decisions()
    return {name: found[name] for name in sorted(found)}


@cache
def card(name: str) -> Card:
    """The card of a formula or a decision.

    Raises: NoSuchFormula with the nearest names.
    """
    return read_card(find(name, functions()))


def cards() -> tuple[Card, ...]:
    """All cards, in the order of the alphabet."""
    return tuple(card(name) for name in functions())


def kinds_of(name: str) -> dict[str, object]:
    """The type of each input."""
    return calculator.kinds_of(card(name), functions()[name])


def can_compute(name: str) -> bool:
    """Whether every input that must be given can be typed."""
    return calculator.can_compute(card(name), functions()[name])


def run(name: str, *, today: date, **typed: str) -> Answer:
    """Compute from typed text, asked on a day.

    Raises: NoSuchFormula; CannotCompute for a wrong key, a missing one, or a value it refuses, with a sentence.
    """
    known = card(name)
    if ASKED_ON in {one.name for one in known.inputs}:
        typed = {ASKED_ON: today.isoformat()} | typed
    return calculator.compute(known, functions()[name], typed)


def as_data(answer: Answer) -> dict[str, object]:
    """An answer as a mapping that any format can hold; what a decision decides and what a formula adds stand on top.

    What it adds also stays under `more`, where readers of the first answers look for it.
    """
    if answer.name not in decisions():
        told = answer.as_data()
        return told | {name: value for name, value in answer.more.items() if name not in told}
    decided = answer.value if isinstance(answer.value, dict) else {"value": answer.value}
    return {"name": answer.name, **decided, "source": answer.source, "error_words": answer.error_words}


def _whole_functions() -> Iterator[tuple[str, FunctionType]]:
    for one in pkgutil.iter_modules(floor.__path__):
        module = importlib.import_module(f"{floor.__name__}.{one.name}")
        yield from ((name, function) for name, function in public_functions(module) if is_whole(function))
