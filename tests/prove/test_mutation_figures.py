"""The rows of docs/proof.md: each module keeps its own last run, and the sum is reckoned from what stands there."""

from __future__ import annotations

import pytest

from tests.prove import report
from tests.prove.mutation_figures import Figures, fingerprint, keep, kept

TWO = ("physiology/load.py", "physiology/change.py")
LINE = "- change: `if a | b > 1:`, `1 -> 2`: nothing is between"


@pytest.fixture(autouse=True)
def proof(tmp_path, monkeypatch):
    """A page of proofs of our own."""
    page = tmp_path / "proof.md"
    monkeypatch.setattr(report, "FILE", page)
    return page


def tried(module: str, *lines: str, faults: int = 10, commit: str = "abc1234", text: str | None = None) -> Figures:
    return Figures(module, faults, lines, commit, "2026-11-29 19:30", "4", text or fingerprint(module))


def test_a_run_refreshes_its_own_row_and_leaves_the_other(proof):
    first, second = tried(TWO[0], LINE), tried(TWO[1], LINE, LINE)
    keep("Faults", "How.", TWO, [first, second])

    newer = tried(TWO[1], LINE, faults=20, commit="def5678, with changes")
    section = keep("Faults", "How.", TWO, [newer])

    assert kept(section) == kept(proof.read_text(encoding="utf-8")) == {TWO[0]: first, TWO[1]: newer}


def test_the_sum_is_reckoned_from_the_rows_that_stand_there():
    keep("Faults", "How.", TWO, [tried(TWO[0], LINE)])

    alone = keep("Faults", "How.", TWO, [])
    both = keep("Faults", "How.", TWO, [tried(TWO[1], faults=30)])

    assert "| together, 1 of 2 modules | 10 | 9 | 1 | 90.0 % |" in alone
    assert "Not tried yet: physiology/change.py." in alone
    assert "| together, 2 of 2 modules | 40 | 39 | 1 | 97.5 % |" in both
    assert "Not tried yet" not in both


def test_a_module_changed_since_its_run_is_named():
    section = keep("Faults", "How.", TWO, [tried(TWO[0], text="00000000"), tried(TWO[1])])

    assert "Changed since: physiology/load.py." in section


def test_a_module_that_left_the_group_leaves_its_section():
    keep("Faults", "How.", TWO, [tried(TWO[0], LINE), tried(TWO[1])])

    section = keep("Faults", "How.", TWO[1:], [])

    assert list(kept(section)) == [TWO[1]]
    assert LINE not in section
