"""What speaks for a second hard session a week, on both sides of each limit."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.condition import State
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.second_week import SECOND_WEEK_KEYS, may_take_second, second_week_conditions
from app.coaching.session_logs import Answer, Posture, SpoiltBy
from tests import factories
from tests.factories import TODAY

RULES = Rules()


def on_one(weeks: int, **changes):
    since = TODAY - timedelta(weeks=weeks)
    decisions = (
        factories.decision(),
        factories.decision(id=2, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=since),
    )
    return factories.history(decisions=decisions, **changes)


def rounds_log(weeks_ago: int, **changes):
    """Four of four rounds, effort 7, stood."""
    day = TODAY - timedelta(weeks=weeks_ago, days=1)
    given = {
        "id": 100 + weeks_ago,
        "done_on": day,
        "kind": SessionKind.INTERVALS,
        "minutes": 57.0,
        "effort": 7.0,
        "posture": Posture.STOOD,
        "rounds": tuple(factories.work_round(number=n, effort=7.0) for n in (1, 2, 3, 4)),
    }
    return factories.log(**(given | changes))


def state_of(history, key: str) -> State:
    return {one.key: one for one in second_week_conditions(history, TODAY, RULES)}[key].state


def test_every_condition_is_looked_at() -> None:
    assert tuple(one.key for one in second_week_conditions(on_one(8), TODAY, RULES)) == SECOND_WEEK_KEYS


@pytest.mark.parametrize(("weeks", "state"), [(8, State.MET), (7, State.NOT_MET)])
def test_eight_weeks_on_one(weeks: int, state: State) -> None:
    assert state_of(on_one(weeks), "weeks_on_one") is state


@pytest.mark.parametrize(("count", "state"), [(6, State.MET), (5, State.NOT_MET)])
def test_six_sessions_done(count: int, state: State) -> None:
    logs = tuple(rounds_log(n) for n in range(count))

    assert state_of(on_one(9, logs=logs), "sessions_done") is state


def test_a_spoilt_session_counts_neither_way() -> None:
    logs = (*(rounds_log(n) for n in range(5)), rounds_log(5, spoilt_by=SpoiltBy.HEAT))

    assert state_of(on_one(9, logs=logs), "sessions_done") is State.NOT_MET


def test_three_good_ones_in_a_row() -> None:
    assert state_of(on_one(9, logs=tuple(rounds_log(n) for n in range(3))), "last_three") is State.MET


@pytest.mark.parametrize(
    ("change", "state"),
    [
        ({"posture": Posture.BENT_OR_SAT}, State.NOT_MET),
        ({"posture": Posture.HANDS_ON_KNEES}, State.NOT_MET),
        ({"posture": None}, State.UNKNOWN),
        ({"rounds": (), "effort": 9.0}, State.NOT_MET),
        ({"rounds": (), "effort": 8.0}, State.MET),
        ({"rounds": (), "effort": 7.0, "answer": Answer.PARTLY}, State.NOT_MET),
    ],
)
def test_one_that_did_not_go_well_is_seen(change: dict[str, object], state: State) -> None:
    logs = (rounds_log(0, **change), rounds_log(1), rounds_log(2))

    assert state_of(on_one(9, logs=logs), "last_three") is state


def test_a_last_round_above_eight_is_seen() -> None:
    rounds = (factories.work_round(number=1, effort=7.0), factories.work_round(number=2, effort=8.5))
    logs = (rounds_log(0, rounds=rounds), rounds_log(1), rounds_log(2))

    assert state_of(on_one(9, logs=logs), "last_three") is State.NOT_MET


@pytest.mark.parametrize(
    ("days", "born_year", "state"),
    [
        ((0, 3), 1965, State.MET),
        ((0, 2), 1965, State.NOT_MET),
        ((0, 2), 1990, State.MET),
        ((6, 0), 1990, State.NOT_MET),
        ((0, 5), 1965, State.NOT_MET),
        ((), 1990, State.UNKNOWN),
    ],
)
def test_two_days_far_enough_apart_around_the_week(days: tuple[int, ...], born_year: int, state: State) -> None:
    born = factories.client().born_on.replace(year=born_year)
    available = tuple(factories.available(weekday=day) for day in days)

    assert state_of(on_one(9, client=factories.client(born_on=born), available=available), "spacing_fits") is state


def test_volume_counts_held_weeks() -> None:
    assert state_of(on_one(9, logs=factories.base_weeks(8)), "volume_held") is State.MET
    assert state_of(on_one(9), "volume_held") is not State.MET


def test_without_the_safety_conditions_it_is_refused() -> None:
    found = second_week_conditions(on_one(9), TODAY, RULES)

    assert may_take_second(found, "All the same.") == (
        "Not every condition was looked at; look at the whole list again.",
    )
