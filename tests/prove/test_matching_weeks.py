"""Planned and done of every week of up to six sessions and six entries, against the best there is."""

from __future__ import annotations

import time
from functools import cache
from itertools import combinations
from typing import Any

from app.coaching.assignment import cheapest, pair_cost
from tests.coaching.test_assignment import TODAY, entry, session
from tests.prove import report

MOST = 6
MINUTES = (45, 30, 60, 45, 90, 45, 30)
DONE = (45.0, 20.0, 60.0, 90.0, None, 45.0, 30.0)
SENTENCE = (
    "Every week in which up to six of seven days have a session and up to six have an entry of the same kind, on a "
    "Friday. The assignment is compared with the least cost found by trying every subset of entries for every row of "
    "sessions, and must be the same in sessions answered, days between, what was not done, minutes short and minutes "
    "over; each week is also given in reverse order and must come out the same."
)


def test_every_week_of_up_to_six_sessions_is_matched_best() -> None:
    began, weeks, pairs = time.monotonic(), 0, 0
    days = [chosen for size in range(1, MOST + 1) for chosen in combinations(range(7), size)]
    for plan in days:
        planned = [session(n, day, MINUTES[(n + day) % 7]) for n, day in enumerate(plan)]
        for shift, done in enumerate(days):
            logs = [entry(n, day, DONE[(n + day + shift) % 7]) for n, day in enumerate(done)]
            found = cheapest(planned, logs, TODAY)
            assert _worth(planned, found) == _least(planned, logs)
            assert cheapest(planned[::-1], logs[::-1], TODAY) == found
            weeks, pairs = weeks + 1, pairs + len(found)

    print(
        report.keep(
            "Matching of planned and done",
            command=f"make prove (tests/prove/test_matching_weeks.py, {time.monotonic() - began:.0f} s)",
            sentence=SENTENCE,
            columns=("weeks", "pairs in them", "worse than the best", "changed by their order"),
            rows=[(weeks, pairs, 0, 0)],
        )
    )


def _worth(planned: list[Any], found: dict[int, Any]) -> tuple[int, ...]:
    by_id = {one.id: one for one in planned}
    costs = [pair_cost(by_id[id_], log, TODAY) or (0, 0, 0, 0) for id_, log in found.items()]
    return (len(planned) - len(found), *(sum(cost[part] for cost in costs) for part in range(4)))


def _least(planned: list[Any], logs: list[Any]) -> tuple[int, ...]:
    table = [[pair_cost(one, log, TODAY) for log in logs] for one in planned]

    @cache
    def least(row: int, used: int) -> tuple[int, ...]:
        if row == len(table):
            return (0, 0, 0, 0, 0)
        left = least(row + 1, used)
        ways = [(left[0] + 1, *left[1:])]
        for place, cost in enumerate(table[row]):
            if cost is not None and not used & (1 << place):
                more = least(row + 1, used | (1 << place))
                ways.append((more[0], *(a + b for a, b in zip(more[1:], cost, strict=True))))
        return min(ways)

    return least(0, 0)
