"""Planned and done, assigned exactly: against every other way there is, whatever the order they come in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import timedelta
from itertools import combinations_with_replacement
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.assignment import cheapest, pair_cost, tied
from app.coaching.session_logs import Answer
from tests import factories as make

MONDAY = make.TODAY
#: The Friday of the week: two of its days are ahead or today.
TODAY = MONDAY + timedelta(days=4)


def session(number: int, day: int, minutes: int = 45) -> Any:
    return make.planned(id=number, planned_on=MONDAY + timedelta(days=day), minutes=minutes)


def entry(number: int, day: int, minutes: float | None = 45.0) -> Any:
    answer = Answer.NOT_DONE if minutes is None else Answer.SOMETHING_ELSE
    return make.log(id=100 + number, done_on=MONDAY + timedelta(days=day), minutes=minutes, answer=answer)


def every_assignment(planned: Sequence[Any], logs: Sequence[Any]) -> Iterator[dict[int, Any]]:
    """All ways to let entries answer sessions, each entry at most once."""
    if not planned:
        yield {}
        return
    first, rest = planned[0], planned[1:]
    yield from every_assignment(rest, logs)
    for log in logs:
        if pair_cost(first, log, TODAY) is not None:
            others = [one for one in logs if one is not log]
            for more in every_assignment(rest, others):
                yield {first.id: log} | more


def worth(planned: Sequence[Any], found: dict[int, Any]) -> tuple[Any, ...]:
    """What is compared: sessions left open, then each part of the cost summed, then the order of days."""
    by_id = {one.id: one for one in planned}
    costs = [pair_cost(by_id[id_], log, TODAY) for id_, log in found.items()]
    sums = tuple(sum(cost[part] for cost in costs if cost is not None) for part in range(4))
    ordered = sorted(planned, key=lambda one: (one.planned_on, one.id))
    late = (MONDAY + timedelta(days=99), 0)
    return (
        len(planned) - len(found),
        *sums,
        tuple((found[s.id].done_on, found[s.id].id) if s.id in found else late for s in ordered),
    )


def best(planned: Sequence[Any], logs: Sequence[Any]) -> dict[int, Any]:
    return min(every_assignment(planned, logs), key=lambda found: worth(planned, found))


def test_every_week_of_up_to_three_sessions_and_entries_is_the_best_there_is() -> None:
    days = [one for size in range(1, 4) for one in combinations_with_replacement(range(0, 7, 2), size)]
    weeks = [
        ([session(n, day) for n, day in enumerate(plan)], [entry(n, day) for n, day in enumerate(done)])
        for plan in days
        for done in days
    ]

    assert [week for week in weeks if cheapest(*week, TODAY) != best(*week)] == []


_DAYS = st.integers(0, 6)
_SESSIONS = st.lists(st.tuples(_DAYS, st.sampled_from((30, 45, 60))), min_size=1, max_size=5)
_ENTRIES = st.lists(st.tuples(_DAYS, st.sampled_from((None, 20.0, 30.0, 45.0, 90.0))), min_size=1, max_size=5)


@settings(max_examples=50, deadline=None)
@given(plan=_SESSIONS, done=_ENTRIES, randomly=st.randoms(use_true_random=False))
def test_a_random_week_is_the_best_there_is_in_whatever_order_it_comes(plan: Any, done: Any, randomly: Any) -> None:
    planned = [session(n, *one) for n, one in enumerate(plan)]
    logs = [entry(n, *one) for n, one in enumerate(done)]
    wanted = best(planned, logs)
    randomly.shuffle(planned)
    randomly.shuffle(logs)

    assert cheapest(planned, logs, TODAY) == wanted


def test_two_entries_of_a_day_go_where_they_fit_and_not_first_come() -> None:
    planned = [session(1, 0, 30), session(2, 1, 60)]
    short, long = entry(1, 0, 20.0), entry(2, 0, 60.0)

    assert cheapest(planned, [long, short], TODAY) == {1: short, 2: long}


def test_what_is_ahead_is_answered_on_its_day_only() -> None:
    assert cheapest([session(1, 5)], [entry(1, 3)], TODAY) == {}


@pytest.mark.parametrize(("second", "is_tied"), [(45.0, True), (40.0, False)])
def test_entries_that_fit_equally_well_are_called_a_tie(second: float, is_tied: bool) -> None:
    found = tied([session(1, 1)], [entry(1, 1, 45.0), entry(2, 1, second)], TODAY)

    assert found == (frozenset({1}) if is_tied else frozenset())
