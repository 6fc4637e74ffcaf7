"""A served practice of its own for each fault: made by commands and pages only."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.serving import Desk, Visitor, foothill

EMAIL, PASSWORD = "mats@birchway.example", "seven lanterns along the quay"


@dataclass
class Served:
    """A running desk and its coach; `desk` is replaced when a test starts it again."""

    data_dir: Path
    desk: Desk
    coach: Visitor

    def restart(self, *options: object, largest_file: int | None = None) -> None:
        """Start again on the same folder; the coach stays signed in."""
        self.desk.kill()
        self.desk = Desk(self.data_dir, *options, largest_file=largest_file)
        self.coach.desk = self.desk


def serve(data_dir: Path) -> Served:
    """A new practice with its coach signed in."""
    made = foothill(
        *("create-coach", "--data", data_dir, "--email", EMAIL, "--name", "Mats Elgin", "--password-stdin"),
        typed=f"{PASSWORD}\n",
    )
    assert made.returncode == 0, made.stderr
    desk = Desk(data_dir)
    coach = Visitor(desk)
    coach.sign_in(EMAIL, PASSWORD)
    return Served(data_dir, desk, coach)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    """A desk of this test's own."""
    one = serve(tmp_path / "practice")
    yield one
    one.desk.kill()
