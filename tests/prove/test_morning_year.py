"""How long is the morning? Every line of a year of mornings of a simulated practice, and what they are about."""

from __future__ import annotations

import os
import time
from collections import Counter, defaultdict
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date

from app.coaching.morning_groups import GROUP_LEAST, is_grouped
from app.coaching.signal_cards import CARDS, Group
from tests.morning_year import Morning, mornings, share
from tests.prove import report

CLIENTS = int(os.environ.get("FOOTHILL_MORNING_CLIENTS", "200"))
SEED = 20261129
UNTIL = date(2026, 11, 25)
DAYS = 365
AT_ONCE = 2
PARTS = 10
#: The aim of the page: lines that must be decided before anybody trains, on a usual morning, of 100 clients.
TODAY_MOST_OF_100 = 6
SENTENCE = (
    "Simulated clients live two and a half years; on each morning of the last one the rules read what was known at "
    "seven o'clock. The coach of this proof deals every morning with what must be decided today, and on Mondays with "
    "the rest; a line dealt with returns with new evidence only. Counted are lines (one a client); reasons behind a "
    "line are counted in the last column. The aim is a median of at most 6 lines of 100 clients that must be decided "
    "today. No signal was tuned for it: the settings are the defaults; a safety setting can only be made stricter."
)
COLUMNS = ("about", "today, of 100 clients a morning", "planning day, of 100 clients a morning", "of all reasons")


def test_a_usual_morning_is_short() -> None:
    began = time.monotonic()

    with ProcessPoolExecutor(AT_ONCE) as pool:
        found = _together(list(pool.map(_part, range(PARTS))))

    today = _of_100(found, [sum(one.today.values()) for one in found])
    print(_kept(found, time.monotonic() - began))
    assert len(found) == DAYS
    assert share(today, 0.5) <= TODAY_MOST_OF_100


def _part(number: int) -> dict[date, Morning]:
    """The mornings of every so manieth client."""
    return mornings(range(1 + number, CLIENTS + 1, PARTS), seed=SEED, until=UNTIL, days=DAYS)


def _together(parts: Sequence[dict[date, Morning]]) -> list[Morning]:
    found: dict[date, Morning] = defaultdict(Morning)
    for part in parts:
        for day, one in part.items():
            found[day] += one
    return [found[day] for day in sorted(found)]


def _of_100(found: Sequence[Morning], counts: Sequence[int]) -> list[float]:
    return [100 * count / one.clients for count, one in zip(counts, found, strict=True)]


def _kept(found: Sequence[Morning], seconds: float) -> str:
    today = [sum(one.today.values()) for one in found]
    later = [sum(one.planning.values()) for one in found]
    return report.keep(
        "Length of the morning",
        command=f"make prove (tests/prove/test_morning_year.py, {CLIENTS} clients, {DAYS} mornings, {AT_ONCE} at "
        f"once, seed {SEED}, {seconds / 60:.0f} min)",
        sentence=SENTENCE,
        columns=COLUMNS,
        rows=[_row(group, found) for group in Group],
        below=[
            "",
            f"- clients on a morning: {min(one.clients for one in found)} to {max(one.clients for one in found)}",
            f"- lines today, of everybody: median {share(today, 0.5)}, 95th percentile {share(today, 0.95)}; of 100 "
            f"clients: median {share(_of_100(found, today), 0.5):.1f}, 95th percentile "
            f"{share(_of_100(found, today), 0.95):.1f}",
            f"- lines for planning day, of everybody: median {share(later, 0.5)}, 95th percentile "
            f"{share(later, 0.95)}; of 100 clients: median {share(_of_100(found, later), 0.5):.1f}, 95th percentile "
            f"{share(_of_100(found, later), 0.95):.1f}",
            f"- rows of planning day for one coach of everybody, a reason that {GROUP_LEAST} or more share being one "
            f"row: median {share(_rows(found), 0.5)}, 95th percentile {share(_rows(found), 0.95)}",
            f"- most frequent on top: {_most(found)}",
        ],
    )


def _rows(found: Sequence[Morning]) -> list[int]:
    return [
        sum(1 if is_grouped(name) and count >= GROUP_LEAST else count for name, count in one.planning.items())
        for one in found
    ]


def _row(group: Group, found: Sequence[Morning]) -> tuple[str, ...]:
    everybody = sum(one.clients for one in found)
    counts = [sum(_of(group, one.today) for one in found), sum(_of(group, one.planning) for one in found)]
    reasons = sum(_of(group, one.reasons) for one in found) / max(1, sum(sum(one.reasons.values()) for one in found))
    return (str(group), *(f"{100 * count / everybody:.2f}" for count in counts), f"{reasons:.0%}")


def _of(group: Group, counted: Counter[str]) -> int:
    return sum(count for name, count in counted.items() if CARDS[name].group is group)


def _most(found: Sequence[Morning]) -> str:
    together = sum((one.today + one.planning for one in found), Counter[str]())
    total = sum(together.values())
    return ", ".join(f"{name.replace('_', ' ')} {count / total:.0%}" for name, count in together.most_common(8))
