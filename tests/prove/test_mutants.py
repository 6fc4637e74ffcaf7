"""The faults themselves: each kind is made, each is one change, and each keeps its name when the module grows."""

from __future__ import annotations

import ast

import pytest

from tests.prove.mutants import mutants
from tests.prove.report import CHECKOUT
from tests.prove.test_mutation import MODULES

SOURCES = [CHECKOUT / "app" / one.module for group in MODULES for one in group.modules]


def changes(source: str) -> list[str]:
    return [one.change.split(" -> ")[1] for one in mutants(source)]


@pytest.mark.parametrize(
    ("source", "instead"),
    [
        ("x = a + b", ["a - b"]),
        ("x = a ** b", ["a * b"]),
        ("x = a < b", ["a <= b", "a >= b"]),
        ("x = a is b", ["a is not b"]),
        ("x = a and b", ["a or b", "b", "a"]),
        ("x = not a", ["a"]),
        ("x = -a", ["a"]),
        ("x = 7", ["8", "6"]),
        ("x = 50.0", ["50.5", "49.5"]),
        ("x = 0.0", ["1.0", "-1.0"]),
        ("x = True", ["False"]),
        ("x = (a, b)", ["(b,)", "(a,)"]),
        ("x = (a, a)", ["(a,)"]),
        ("x = {a}", ["set()"]),
        ("x = {a: b, c: d}", ["{c: d}", "{a: b}"]),
        ("x = min(a)", ["max(a)"]),
        ("x = np.all(a)", ["np.any(a)"]),
        ("x = abs(a)", ["a"]),
        ("x += a", ["pass", "x -= a"]),
        ("f(a)", ["pass"]),
        ("x[a] = b", ["pass"]),
        ("raise a", ["pass"]),
        ("x = a if b else c", ["not (b)", "False"]),
        ("x = [a for a in b if c]", ["not (c)", "False"]),
        ("x = (E.A, E.B)", ["(E.B,)", "(E.A,)", "E.B", "E.A"]),
        ("def f():\n    return a", ["return None"]),
        ("while a:\n    break", ["not (a)", "False", "continue"]),
    ],
)
def test_every_kind_of_fault_is_made(source, instead):
    assert changes(source) == instead


@pytest.mark.parametrize(
    "source",
    [
        "'words'",
        "x = f'{1} of {2}'",
        "x = 'one' + a",
        "def f(a: int | None) -> tuple[int, ...]: ...",
        "x = Callable[[A, B], C | None]",
        "x = isinstance(a, int | Missing)",
        "import a",
        "__all__ = ['a', 'b']",
        "@d(3)\nclass A(B): ...",
        "def f():\n    return None",
    ],
)
def test_words_and_types_are_left_alone(source):
    assert changes(source) == []


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.stem)
def test_every_fault_is_another_program(path):
    source = path.read_text(encoding="utf-8")
    sound = ast.dump(ast.parse(source))

    found = mutants(source)

    assert all(ast.dump(ast.parse(one.source)) != sound for one in found)
    assert len({one.source for one in found}) == len({one.key for one in found}) == len(found)


def test_a_fault_keeps_its_name_when_the_module_grows():
    before = "def f(a):\n    return a + 1\n"
    after = "B = C\n\n\ndef g(a):\n    return a\n\n\ndef f(a):\n    return a + 1\n"

    assert {one.key for one in mutants(before)} <= {one.key for one in mutants(after)}
