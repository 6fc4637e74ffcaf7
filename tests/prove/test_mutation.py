"""Faults put into modules whose wrong answer would hurt: tests notice nearly all of them, the rest is explained.

Another module is one more line in MODULES. FOOTHILL_MUTATE names the ones to try (`FOOTHILL_MUTATE=w_balance,load`);
docs/proof.md is written only when all of a group were tried.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass

import pytest

from tests.prove import report
from tests.prove.mutation_run import Outcome, Proved, explanations, outcome

WORKERS = int(os.environ.get("FOOTHILL_MUTATION_WORKERS", os.cpu_count() or 1))
CHOSEN = {name for name in os.environ.get("FOOTHILL_MUTATE", "").split(",") if name}


@dataclass(frozen=True, slots=True)
class Group:
    """Modules with one share of faults that their tests must notice."""

    title: str
    least_percent: float
    modules: tuple[Proved, ...]


_FOLDER = "tests/physiology"
_LIMITS, _FINDINGS, _ROWS = (f"{_FOLDER}/test_{name}.py" for name in ("limits", "findings_kept", "reference_rows"))


def _physiology(name: str, *more: str) -> Proved:
    return Proved(f"physiology/{name}.py", (f"{_FOLDER}/test_{name}.py", *more))


def _safety(name: str, *tests: str) -> Proved:
    return Proved(f"coaching/{name}.py", tuple(f"tests/coaching/test_{test}.py" for test in tests or (name,)))


MODULES = (
    Group(
        "Mutation of fits",
        90.0,
        (
            _physiology("critical_power", _LIMITS, _ROWS),
            _physiology("critical_power_three", _LIMITS, _ROWS),
            _physiology("critical_speed", _LIMITS, _FINDINGS, _ROWS),
            _physiology("least_squares", f"{_FOLDER}/test_critical_power_three.py"),
        ),
    ),
    Group(
        "Mutation of loads and changes",
        90.0,
        (
            _physiology("load", _LIMITS, _FINDINGS, _ROWS),
            _physiology("load_averages", _LIMITS, _FINDINGS, _ROWS),
            _physiology("load_series", _LIMITS),
            _physiology("change", _LIMITS, _ROWS),
            _physiology("percent_change", _LIMITS, _ROWS),
        ),
    ),
    Group("Mutation of W' balance", 90.0, (_physiology("w_balance", _LIMITS, _FINDINGS, _ROWS),)),
    Group(
        "Mutation of the safety rules",
        95.0,
        (
            _safety("leave_to_train"),
            _safety("pressure_rules"),
            _safety("pressure_limits", "pressure_rules"),
            _safety("pregnancy_rules"),
            _safety("gap_rules"),
            _safety("transition"),
            _safety("regularly_active"),
            _safety("illness_return"),
            _safety("heat"),
            _safety("heart_rate_trust"),
            _safety("hard_work"),
            _safety("done_work"),
            _safety("asked_afresh"),
            _safety("consents"),
            _safety("clearance_papers"),
            _safety("second_week"),
            _safety("screening_table", "screening_table", "screening_calculator"),
            _safety("hold_rules", "hold_lifting", "hold_rules"),
            _safety("symptoms", "felt_wrong_signs", "symptoms"),
            _safety("screening_decision", "screening_records"),
            _safety("promotion_safety"),
            _safety("lookahead_hard"),
        ),
    ),
)


def _chosen(group: Group) -> list[Proved]:
    return [one for one in group.modules if not CHOSEN or any(f"/{name}.py" in one.module for name in CHOSEN)]


@pytest.mark.parametrize("group", [group for group in MODULES if _chosen(group)], ids=lambda group: group.title)
def test_nearly_every_fault_is_noticed_and_the_rest_is_explained(group, tmp_path, capsys):
    chosen = _chosen(group)
    found, seconds = [], []
    for one in chosen:
        begin = time.monotonic()
        found.append(outcome(one, tmp_path, WORKERS))
        seconds.append(time.monotonic() - begin)
        with capsys.disabled():
            print(
                f"\n{one.module}: {found[-1].killed} of {found[-1].mutants} killed, {seconds[-1]:.0f} s", flush=True
            )

    unexplained = [text for one in found for text in _unexplained(one)]
    assert not unexplained, "\n".join(["Faults that no test notices and nobody explained:", *unexplained])
    unneeded = [text for one in found for text in _unneeded(one)]
    assert not unneeded, "\n".join(["Explained, but noticed or no longer there:", *unneeded])
    weak = [one.module for one in found if 100 * one.killed < group.least_percent * one.mutants]
    assert not weak, f"fewer than {group.least_percent:g} % noticed: {', '.join(weak)}"
    if len(chosen) == len(group.modules):
        print(_figures(group, found, seconds))


def _unexplained(found: Outcome) -> list[str]:
    known = explanations(found.module)
    return [_block(found.module, one.key) for one in found.survivors if one.key not in known]


def _unneeded(found: Outcome) -> list[str]:
    survived = {one.key for one in found.survivors}
    return [_block(found.module, key) for key in explanations(found.module) if key not in survived]


def _block(module: str, key: tuple[str, str, str, int]) -> str:
    """A survivor as it would stand in survivors.toml."""
    where, line, change, repeat = key
    again = f"repeat = {repeat}\n" if repeat > 1 else ""
    return f"[[\"{module}\"]]\nwhere = '{where}'\nline = '''{line}'''\nchange = '''{change}'''\n{again}why = ''\n"


def _figures(group: Group, found: list[Outcome], seconds: list[float]) -> str:
    rows: list[tuple[object, ...]] = [
        (one.module, one.mutants, one.killed, len(one.survivors), f"{100 * one.killed / one.mutants:.1f} %")
        for one in found
    ]
    tried, killed = sum(one.mutants for one in found), sum(one.killed for one in found)
    rows.append(("together", tried, killed, tried - killed, f"{100 * killed / tried:.1f} %"))
    return report.keep(
        group.title,
        command=f"make prove (tests/prove/test_mutation.py, {WORKERS} at once, {sum(seconds) / 60:.0f} min)",
        sentence="Small faults are put into each module, one at a time, in a copy: a number, a comparison, a sign, a "
        "condition, an answer, a part of a table (the full list: tests/prove/mutants.py). The module's own tests and "
        f"the published rows must notice at least {group.least_percent:g} % of them in each module, and every fault "
        "that they do not notice is explained; an unexplained one fails the run.",
        columns=("module", "faults", "noticed", "not noticed", "share"),
        rows=rows,
        below=[line for one in found for line in _survivors(one)],
    )


def _survivors(found: Outcome) -> list[str]:
    if not found.survivors:
        return []
    known = explanations(found.module)
    lines = [f"- {one.where}: `{one.line}`, `{one.change}`: {known[one.key]}" for one in found.survivors]
    return ["", f"Not noticed in {found.module}:", "", *lines]
