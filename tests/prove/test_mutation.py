"""Faults put into modules whose wrong answer would hurt: tests notice nearly all of them, the rest is explained.

Another module is one more line in MODULES. FOOTHILL_MUTATE names the ones to try (`FOOTHILL_MUTATE=w_balance,load`).
Each module that passes has its row of docs/proof.md refreshed once it was tried; the other rows stay as they were.
"""

from __future__ import annotations

import os
import time
from dataclasses import dataclass

import pytest

from tests.prove import mutation_figures
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

_TRIALS = f"{_FOLDER}/test_from_trials_to_targets.py"


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
        "Mutation of efforts, hills and running out",
        90.0,
        (
            _physiology("even_effort", f"{_FOLDER}/test_running_out.py", _LIMITS, _ROWS),
            Proved("physiology/even_targets.py", (f"{_FOLDER}/test_even_effort.py", _TRIALS, _LIMITS)),
            _physiology("running_out", _TRIALS, _LIMITS, _ROWS),
            _physiology("hill", _LIMITS, _ROWS),
            _physiology("hill_on_foot", _LIMITS, _ROWS),
            _physiology("near_vo2max", _LIMITS, _FINDINGS, _ROWS),
            _physiology("gearing", _LIMITS, _ROWS),
        ),
    ),
    Group(
        "Mutation of the safety rules",
        95.0,
        (
            _safety("leave_to_train"),
            _safety("pressure_rules"),
            _safety("pressure_limits", "pressure_rules"),
            _safety("pregnancy_rules"),
            _safety("gap_rules"),
            _safety("outings"),
            _safety("transition"),
            _safety("regularly_active"),
            _safety("illness_return"),
            _safety("heat"),
            _safety("heart_rate_trust"),
            _safety("hard_work"),
            _safety("hard_spacing"),
            _safety("done_work"),
            _safety("asked_afresh", "asked_afresh", "screening_records"),
            _safety("consents"),
            _safety("clearance_papers"),
            _safety("second_week"),
            _safety("screening_table", "screening_table", "screening_calculator"),
            _safety("hold_rules", "hold_lifting", "hold_rules"),
            _safety("symptoms", "felt_wrong_signs", "symptoms"),
            _safety("screening_decision", "screening_records", "told_off_stop", "unsent_answers"),
            _safety("told_off_stop", "days_off", "told_off_stop"),
            _safety("unsent_answers"),
            _safety("promotion_safety"),
            _safety("promotion_practice", "promotion_practice", "promotion"),
            _safety("lookahead_hard"),
            _safety("lookahead_days_off"),
        ),
    ),
    Group(
        "Mutation of planning",
        95.0,
        (
            _safety("entry_ramp", "doing_now", "entry_ramp"),
            _safety("first_rounds", "first_rounds", "first_rounds_counted"),
        ),
    ),
)


def _chosen(group: Group) -> list[Proved]:
    return [one for one in group.modules if not CHOSEN or any(f"/{name}.py" in one.module for name in CHOSEN)]


@pytest.mark.parametrize("group", [group for group in MODULES if _chosen(group)], ids=lambda group: group.title)
def test_nearly_every_fault_is_noticed_and_the_rest_is_explained(group, tmp_path, capsys):
    objections = []
    for one in _chosen(group):
        begin = time.monotonic()
        found = outcome(one, tmp_path, WORKERS)
        seconds = time.monotonic() - begin
        with capsys.disabled():
            print(f"\n{one.module}: {found.killed} of {found.mutants} killed, {seconds:.0f} s", flush=True)
        against = _objections(group, found)
        if not against:
            _keep(group, found, seconds)
        objections += against

    assert not objections, "\n".join(objections)


def _objections(group: Group, found: Outcome) -> list[str]:
    known, survived = explanations(found.module), {one.key for one in found.survivors}
    unexplained = [_block(found.module, one.key) for one in found.survivors if one.key not in known]
    unneeded = [_block(found.module, key) for key in known if key not in survived]
    return [
        *(["Faults that no test notices and nobody explained:", *unexplained] if unexplained else []),
        *(["Explained, but noticed or no longer there:", *unneeded] if unneeded else []),
        *(
            [f"fewer than {group.least_percent:g} % noticed: {found.module}"]
            if 100 * found.killed < group.least_percent * found.mutants
            else []
        ),
    ]


def _block(module: str, key: tuple[str, str, str, int]) -> str:
    """A survivor as it would stand in survivors.toml."""
    where, line, change, repeat = key
    again = f"repeat = {repeat}\n" if repeat > 1 else ""
    return f"[[\"{module}\"]]\nwhere = '{where}'\nline = '''{line}'''\nchange = '''{change}'''\n{again}why = ''\n"


def _keep(group: Group, found: Outcome, seconds: float) -> None:
    known = explanations(found.module)
    lines = [f"- {one.where}: `{one.line}`, `{one.change}`: {known[one.key]}" for one in found.survivors]
    figures = mutation_figures.figures_now(found.module, found.mutants, lines, seconds)
    mutation_figures.keep(group.title, sentence_of(group), [one.module for one in group.modules], [figures])


def sentence_of(group: Group) -> str:
    """How a group's figures were found."""
    return (
        "Small faults are put into each module, one at a time, in a copy: a number, a comparison, a sign, a "
        "condition, an answer, a part of a table (the full list: tests/prove/mutants.py). The module's own tests and "
        f"the published rows must notice at least {group.least_percent:g} % of them in each module, and every fault "
        "that they do not notice is explained; an unexplained one fails the run. A row is the last run of its module "
        "that passed, with the commit it was made on, how long it took beside whatever else ran, and the fingerprint "
        "of the module's text."
    )
