"""Fifty kills in a storm of entries: none that was answered is lost, none is kept twice."""

from __future__ import annotations

import os
import random
from statistics import median

from tests.faults.conftest import serve
from tests.faults.storm import WRITERS, Round, assert_all_there, phones, storm
from tests.prove import report
from tests.serving import foothill

ROUNDS = int(os.environ.get("FOOTHILL_STORM_ROUNDS", "50"))
SEED = 20261125


def test_fifty_kills_lose_nothing(tmp_path):
    served = serve(tmp_path / "practice")
    chance = random.Random(SEED)
    told: list[Round] = []
    kept = 0
    try:
        writers = phones(served.desk, served.coach)
        for number in range(1, ROUNDS + 1):
            served.desk, one = storm(served.desk, writers, number=number, chance=chance)
            kept = assert_all_there(served.data_dir, writers)
            told.append(one)
    finally:
        served.desk.kill()
    assert foothill("check", "--data", served.data_dir).stdout == "All is well.\n"

    answered, unanswered = sum(one.answered for one in told), sum(one.unanswered for one in told)
    assert answered + unanswered == kept
    assert answered > ROUNDS
    print()
    print(figures(told, kept))


def figures(told: list[Round], kept: int) -> str:
    """The table for the console and docs/proof.md."""
    starts = sorted(one.restarted_s for one in told)
    rows = [
        ("rounds, each ended by kill -9", len(told)),
        ("writers at once", WRITERS),
        (
            "moment of the kill",
            f"{min(o.killed_after_s for o in told):.2f} to {max(o.killed_after_s for o in told):.2f} s",
        ),
        ("entries answered before a kill", sum(one.answered for one in told)),
        ("entries cut off without an answer, sent again with the same id", sum(one.unanswered for one in told)),
        ("entries in the file at the end", kept),
        ("answered entries lost", 0),
        ("entries kept twice", 0),
        ("integrity and foreign keys", "well after every round"),
        ("start after a kill, median and longest", f"{median(starts):.1f} and {starts[-1]:.1f} s"),
    ]
    return report.keep(
        "Kill storm",
        command=f"make prove (tests/prove/test_kill_storm.py, {ROUNDS} rounds, seed {SEED})",
        sentence="The served desk is killed at random moments while eight phones send entries without a pause. After "
        "each restart every answered entry must be in the file exactly once, and an entry sent again with its "
        "request id must be there once. The run fails at the first entry lost or doubled.",
        columns=("figure", "value"),
        rows=rows,
    )
