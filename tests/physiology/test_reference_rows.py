"""Every published row, put through the public functions with its own tolerance; nothing here is loosened."""

from __future__ import annotations

import ast
import inspect
from collections import Counter

import pytest

from tests.physiology.reference_rows import adapter_modules, agrees, gathered, has_number, moves, rows, told

ROWS = rows()
CALCULATED = [row for row in ROWS if row.kind == "calculate"]
CELLS = [row for row in ROWS if row.kind == "table"]
FINDINGS = [row for row in ROWS if row.kind == "finding"]
ADAPTERS = gathered("ADAPTERS")

#: (topic or row, input) -> why the answer does not move with it. Stands beside the adapters of each area.
UNMOVED = gathered("UNMOVED")

# 92 rows came marked as calculated that are printed cells or group means: the norms of 2017 and the talk test.
EXPECTED_COUNTS = {"calculate": 410, "table": 707, "finding": 254}


def test_the_three_counts():
    counts = Counter(row.kind for row in ROWS)

    assert counts == EXPECTED_COUNTS
    assert len({(row.file, row.id) for row in ROWS}) == len(ROWS)


def test_the_counts_are_told_at_the_end_of_a_run():
    met = [f"tests/physiology/test_reference_rows.py::test_a_calculated_row_is_met[{n}]" for n in range(3)]

    assert told(["tests/web/test_look.py::test_x"]) == ""
    assert told(met) == "Reference rows: calculate 3 of 410 met, table 0 of 707 transcribed, finding 254 kept as data"


def adapter_of(row):
    if row.topic not in ADAPTERS:
        pytest.fail(f"no adapter for the topic {row.topic}")
    return ADAPTERS[row.topic]


@pytest.mark.parametrize("row", CALCULATED, ids=lambda row: row.id)
def test_a_calculated_row_is_met(row):
    answer = adapter_of(row)(row.inputs)

    assert agrees(answer, row), f"{row.inputs} gives {answer}, not {row.expected} (+-{row.tolerance})"


@pytest.mark.parametrize("row", CELLS, ids=lambda row: row.id)
def test_a_printed_cell_is_transcribed(row):
    answer = adapter_of(row)(row.inputs)

    assert agrees(answer, row), f"{row.inputs} gives {answer}, not {row.expected} (+-{row.tolerance})"


@pytest.mark.parametrize("row", CALCULATED, ids=lambda row: row.id)
def test_the_answer_moves_with_every_number_that_goes_in(row):
    adapter = adapter_of(row)

    still = {name for name, value in row.inputs.items() if has_number(value) and not moves(adapter, row, name)}

    unexplained = {name for name in still if (row.topic, name) not in UNMOVED and (row.id, name) not in UNMOVED}
    assert unexplained == set()


def test_every_explanation_is_still_needed():
    known = {(row.topic, name) for row in CALCULATED for name in row.inputs} | {
        (row.id, name) for row in CALCULATED for name in row.inputs
    }

    assert UNMOVED.keys() <= known
    assert all(UNMOVED.values())


def test_no_adapter_is_without_a_row():
    assert ADAPTERS.keys() <= {row.topic for row in ROWS}


def test_adapters_hold_no_number_out_of_what_is_expected():
    expected = {float(row.expected) for row in CALCULATED if _is_number(row.expected)}
    telling = {number for number in expected if len(f"{number:g}".replace(".", "").strip("0-")) >= 3}

    held = {
        (module.__name__, node.value)
        for module in adapter_modules()
        for node in ast.walk(ast.parse(inspect.getsource(module)))
        if isinstance(node, ast.Constant) and isinstance(node.value, int | float) and node.value in telling
    }

    assert held == set()


def test_a_wrong_answer_would_be_noticed():
    row = next(row for row in CALCULATED if row.id == "HRM-TAN-60")

    assert agrees(float(row.expected), row)
    assert not agrees(float(row.expected) + 2 * row.tolerance, row)
    assert not agrees("about that", row)


def _is_number(text):
    try:
        float(text)
    except ValueError:
        return False
    return True
