"""The rows of published examples and cells, and the adapters that put them through the public functions."""

from __future__ import annotations

import csv
import importlib
import math
import pkgutil
import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from tests.physiology import adapters

FOLDER = Path(__file__).parents[1] / "reference"
FILES = ("intensity_and_vo2max.csv", "load_intervals_readiness.csv")

Answer = float | str
Adapter = Callable[[Mapping[str, str]], Answer]

_IN_WORDS = frozenset({"", "n/a", "exact"})
_NUMBER = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?:[eE]-?\d+)?")
_NAME = re.compile(r"[\w.]*[A-Za-z]{3}[\w.]*")
# Small steps first; the large ones are for classes, which a small step need not leave.
_STEPS: tuple[Callable[[float], float], ...] = (
    lambda x: x * 1.01 + 0.001,
    lambda x: x * 0.99 - 0.001,
    lambda x: x * 1.1,
    lambda x: x * 0.9,
    lambda x: x + 1,
    lambda x: x - 1,
    lambda x: x * 1.5,
    lambda x: x * 0.5,
)


@dataclass(frozen=True, slots=True)
class Row:
    """One published example, cell or finding."""

    file: str
    id: str
    kind: str
    topic: str
    inputs: Mapping[str, str]
    expected: str
    tolerance: float


def rows() -> list[Row]:
    """All rows of both files, in their order."""
    return [row for name in FILES for row in _read(FOLDER / name)]


def told(passed: Iterable[str]) -> str:
    """The three counts for the end of a test run, from the names of the tests that passed; empty without any."""
    ran = [name.partition("[")[0].rpartition("::")[2] for name in passed if "test_reference_rows.py::" in name]
    if not ran:
        return ""
    met, there = Counter(ran), Counter(row.kind for row in rows())
    calculated = f"calculate {met['test_a_calculated_row_is_met']} of {there['calculate']} met"
    transcribed = f"table {met['test_a_printed_cell_is_transcribed']} of {there['table']} transcribed"
    return f"Reference rows: {calculated}, {transcribed}, finding {there['finding']} kept as data"


def _read(path: Path) -> Iterator[Row]:
    for line in csv.DictReader(path.read_text(encoding="utf-8").splitlines()):
        tolerance = math.nan if line["tolerance"] in _IN_WORDS else float(line["tolerance"])
        yield Row(
            path.name, line["id"], line["kind"], line["topic"], inputs_of(line["inputs"]), line["expected"], tolerance
        )


def inputs_of(text: str) -> dict[str, str]:
    """`age=40;sex=F` as a mapping; a part without a sign of equality stands under its own name."""
    parts = (part.partition("=") for part in text.split(";") if part.strip())
    return {name.strip(): value.strip() for name, _, value in parts}


def adapter_modules() -> list[object]:
    """Every module of adapters."""
    found = pkgutil.iter_modules(adapters.__path__)
    return [importlib.import_module(f"{adapters.__name__}.{one.name}") for one in found]


def gathered(name: str) -> dict[object, object]:
    """The dictionaries of that name in all adapter modules as one; a key in two of them is refused."""
    together: dict[object, object] = {}
    for module in adapter_modules():
        own = getattr(module, name, {})
        assert not own.keys() & together.keys(), f"{module} repeats {own.keys() & together.keys()}"
        together |= own
    return together


def agrees(answer: Answer, row: Row) -> bool:
    """Whether an answer is the expected one: the same words, or the same number within the row's own tolerance."""
    if isinstance(answer, str) or math.isnan(row.tolerance):
        return str(answer) == row.expected
    wanted = float(row.expected)
    return math.isclose(answer, wanted, rel_tol=1e-12, abs_tol=row.tolerance * (1 + 1e-9))


def variants(value: str) -> Iterator[str]:
    """The value with each of its numbers moved in turn, by ever larger steps."""
    for step in _STEPS:
        for found in _NUMBER.finditer(value):
            moved = step(float(found.group()))
            yield f"{value[: found.start()]}{moved:.10g}{value[found.end() :]}"


def has_number(value: str) -> bool:
    """Whether there is anything in it to move."""
    return _NAME.fullmatch(value) is None and _NUMBER.search(value) is not None


def moves(adapter: Adapter, row: Row, name: str) -> bool:
    """Whether some change of that input changes the answer; a refused change counts as nothing."""
    before = adapter(row.inputs)
    return any(
        _answer(adapter, {**row.inputs, name: value}) not in (None, before) for value in variants(row.inputs[name])
    )


def _answer(adapter: Adapter, inputs: Mapping[str, str]) -> Answer | None:
    try:
        return adapter(inputs)
    except (ValueError, KeyError, ZeroDivisionError, OverflowError):
        return None
