"""Rounds found in many recordings whose truth is known, and none in a thousand easy sessions of each kind."""

import time

from tests.prove import report
from tests.recorded_sessions import Seen
from tests.rounds_proof import LONG_SETS, MOST_ERROR_S, SHORT_SETS, Score, easy_sessions, score, score_both, sets

SETS = 350
EASY = 1000
#: Below these a run fails; the table says what was reached.
PRECISION_LEAST = 0.98
RECALL_LEAST = {True: 0.97, False: 0.85}
COLUMNS = (
    "read from",
    "sets",
    "rounds",
    "precision",
    "recall",
    "edge error, median",
    "edge error, 95 of 100",
    "allowed",
)
SENTENCE = (
    "Invented sessions whose truth is known (tests/recorded_sessions.py): power noise 6 % + 4 W, heart rate with a "
    "time constant of 38 s and +-1 beat, speed with SD 0.3 m/s correlated over 5 s, drop-outs of 1-3 %, hills of "
    "+-6 %, stops of 10-90 s, drift, pauses of the clock, recoveries stretched to 0.9-1.4 times, rounds left out and "
    "added, a brisk warm-up before each set. The easy sessions have all of these too; a round found in one is false."
)


def test_rounds_are_found_and_easy_sessions_show_none():
    began = time.monotonic()
    rows = [*_rows(LONG_SETS, "rounds of 3 min and more", SETS), *_rows(SHORT_SETS, "rounds of 30 to 60 s", 90)]
    false = {seen: score_both(easy_sessions(EASY, seen)) for seen in Seen}

    below = [
        "",
        f"| easy sessions, {EASY} of each | false rounds with a plan | false rounds without |",
        "| --- | --- | --- |",
        *(f"| {seen.value} | {false[seen][True].found} | {false[seen][False].found} |" for seen in Seen),
        "",
        f"Time: {time.monotonic() - began:.0f} s.",
    ]
    print(
        report.keep(
            "Rounds in recordings",
            command="make prove (tests/prove/test_rounds.py)",
            sentence=SENTENCE,
            columns=COLUMNS,
            rows=[cells for _, _, _, cells in rows],
            below=below,
        )
    )

    assert sum(one.found for both in false.values() for one in both.values()) == 0
    assert [cells for is_long, plan, found, cells in rows if is_long and not _is_enough(plan, found, cells)] == []


def _rows(shapes, name, count):
    for seen in Seen:
        if shapes is SHORT_SETS and seen is Seen.HEART_RATE:
            continue
        for plan in (True, False):
            found = score(sets(count, seen, shapes, with_changes=plan), with_plan=plan)
            yield shapes is LONG_SETS, plan, found, _cells(seen, name, plan, count, found)


def _cells(seen, name, plan, count, found: Score):
    return (
        f"{seen.value}, {name}, {'with' if plan else 'without'} a plan",
        count,
        found.there,
        f"{100 * found.precision:.1f} %",
        f"{100 * found.recall:.1f} %",
        f"{found.edge_error_s(50):.0f} s",
        f"{found.edge_error_s(95):.0f} s",
        f"{MOST_ERROR_S[seen]:.0f} s",
    )


def _is_enough(plan, found: Score, cells):
    allowed = float(cells[-1].removesuffix(" s"))
    return (
        found.precision >= PRECISION_LEAST
        and found.recall >= RECALL_LEAST[plan]
        and found.edge_error_s(95) <= allowed
    )
