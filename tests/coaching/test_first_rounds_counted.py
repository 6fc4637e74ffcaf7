"""What the next step in rounds is reckoned from: rounds done, rounds that stand published, and what rounds come to.

Source: common practice, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Band
from app.coaching.first_rounds import RoundsSoFar, is_long, rounds_breaches, rounds_so_far, rounds_worth
from app.coaching.history import History
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.steps import Part, Repeat, Step, to_json
from tests import factories as make

RULES = Rules()
TODAY = make.TODAY


def _on(days: int) -> date:
    return TODAY + timedelta(days=days)


def _client(**records: Any) -> History:
    decided = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=_on(-70))
    return make.history(**({"decisions": (decided,)} | records))


def _done(days: int, rounds: int) -> Any:
    logged = tuple(make.work_round(number=n) for n in range(1, rounds + 1))
    return make.log(id=60 - days, done_on=_on(-days), kind=SessionKind.INTERVALS, rounds=logged)


def _steps(work_s: int, rounds: int) -> str:
    return to_json(
        (Repeat(rounds, (Step(Part.WORK, work_s, Band.HARD, ""), Step(Part.RECOVERY, 60, Band.EASY, ""))),)
    )


# How many rounds come next: two, three, four; four as soon as three sessions are done or the phase says so.


@pytest.mark.parametrize(
    ("so_far", "rounds", "first", "is_over"),
    [
        (RoundsSoFar(0, 0, 0, False, False), 2, 2, False),
        (RoundsSoFar(0, 0, 1, False, False), 2, 2, False),
        (RoundsSoFar(0, 0, 2, False, False), 3, 3, False),
        (RoundsSoFar(2, 0, 2, False, False), 3, 3, False),
        (RoundsSoFar(2, 0, 3, False, False), 4, 2, True),
        (RoundsSoFar(3, 0, 2, False, False), 4, 2, True),
        (RoundsSoFar(4, 0, 2, False, False), 4, 2, True),
        (RoundsSoFar(1, 0, 8, False, False), 4, 2, True),
        (RoundsSoFar(0, 0, 0, True, False), 4, 2, True),
        (RoundsSoFar(0, 0, 0, False, True), 4, 2, True),
    ],
)
def test_the_next_rounds_go_up_one_by_one_to_four(
    so_far: RoundsSoFar, rounds: int, first: int, is_over: bool
) -> None:
    assert (so_far.next_rounds, so_far.first_rounds, so_far.is_introduction_over) == (rounds, first, is_over)


@pytest.mark.parametrize(
    ("phase", "rounds"),
    [(Phase.AEROBIC_BASE, 2), (Phase.INTERVAL_ONE, 2), (Phase.INTERVAL_TWO, 4), (Phase.KEEPING, 4)],
)
def test_the_phases_after_one_hard_session_a_week_have_four(phase: Phase, rounds: int) -> None:
    decided = make.decision(kind=DecisionKind.PROMOTE, phase=phase)

    assert rounds_so_far(_client(decisions=(decided,)), TODAY, TODAY, RULES).next_rounds == rounds


@pytest.mark.parametrize(
    ("changes", "is_brought_in"),
    [
        ({}, True),
        ({"kind": DecisionKind.PROMOTE}, False),
        ({"confirmed_at": None}, False),
        ({"phase": Phase.AEROBIC_BASE}, False),
    ],
)
def test_only_confirmed_hard_work_from_elsewhere_is_brought_in(changes: dict[str, Any], is_brought_in: bool) -> None:
    brought = {"kind": DecisionKind.BROUGHT_IN, "phase": Phase.INTERVAL_ONE, "confirmed_at": make.at(TODAY)}
    client = _client(decisions=(make.decision(), make.decision(id=2, **(brought | changes))))

    assert rounds_so_far(client, TODAY, TODAY, RULES).is_brought_in is is_brought_in
    assert bool(rounds_breaches(client, [make.planned_hard(planned_on=_on(1))], TODAY, RULES)) is not is_brought_in


# What was done.


def test_done_sessions_are_counted_and_the_fullest_of_them_is_kept() -> None:
    found = rounds_so_far(_client(logs=(_done(21, 3), _done(14, 2))), TODAY, TODAY, RULES)

    # Two full rounds, the plan unknown, are too few to count for progress; the three are.
    assert found == RoundsSoFar(1, 3, 3, False, False)


def test_an_easy_outing_is_no_hard_session() -> None:
    walks = tuple(make.log(id=n, done_on=_on(-n)) for n in (1, 2, 3))

    assert rounds_so_far(_client(logs=walks), TODAY, TODAY, RULES) == RoundsSoFar(0, 0, 0, False, False)


def test_short_of_every_round_what_was_done_counts_and_not_what_was_planned() -> None:
    plan = make.planned_hard(planned_on=_on(-7), rounds=4)
    rounds = (*(make.work_round(number=n) for n in (1, 2)), make.work_round(number=3, is_complete=False))
    done = make.log(done_on=_on(-7), kind=SessionKind.INTERVALS, planned_session_id=plan.id, rounds=rounds)

    assert rounds_so_far(_client(planned=(plan,), logs=(done,)), TODAY, TODAY, RULES) == RoundsSoFar(
        0, 2, 2, False, False
    )


@pytest.mark.parametrize(
    ("answer", "with_plan", "expected"),
    [(Answer.AS_PLANNED, True, (1, 3)), (Answer.PARTLY, True, (0, 0)), (Answer.AS_PLANNED, False, (1, 0))],
)
def test_without_logged_rounds_the_plan_counts_only_when_done_as_planned(
    answer: Answer, with_plan: bool, expected: tuple[int, int]
) -> None:
    plan = make.planned_hard(planned_on=_on(-7), rounds=3)
    done = make.log(
        done_on=_on(-7),
        kind=SessionKind.INTERVALS,
        minutes=57.0,
        effort=8.0,
        answer=answer,
        planned_session_id=plan.id if with_plan else None,
    )
    found = rounds_so_far(_client(planned=(plan,) if with_plan else (), logs=(done,)), TODAY, TODAY, RULES)

    assert (found.done, found.most_done) == expected


# What stands published.


@pytest.mark.parametrize(
    ("changes", "day", "most"),
    [
        ({}, 9, 3),
        ({}, 8, 0),
        ({}, 7, 0),
        ({"published_at": None}, 9, 0),
        ({"is_cancelled": True}, 9, 0),
        ({"planned_on": _on(-1)}, 9, 0),
        ({"is_hard": False}, 9, 0),
        ({"kind": SessionKind.TEST}, 9, 0),
        ({"rounds": 9, "steps_json": "short"}, 9, 0),
    ],
)
def test_long_rounds_that_stand_before_a_day_are_steps(changes: dict[str, Any], day: int, most: int) -> None:
    given = {"planned_on": _on(8), "rounds": 3} | changes
    if given.get("steps_json") == "short":
        given["steps_json"] = _steps(60, 9)

    found = rounds_so_far(_client(planned=(make.planned_hard(**given),)), _on(day), TODAY, RULES)

    assert (found.most, found.most_done) == (most, 0)


def test_done_and_published_the_most_counts() -> None:
    stands = make.planned_hard(planned_on=_on(1), rounds=2)
    client = _client(logs=(_done(7, 3),), planned=(stands,))

    assert rounds_so_far(client, _on(2), TODAY, RULES).most == 3


# Long rounds and what they come to.


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"rounds": 1}, True),
        ({"rounds": 0}, False),
        ({"rounds": 6, "steps_json": _steps(60, 6)}, True),
        ({"rounds": 7, "steps_json": _steps(119, 7)}, False),
        ({"rounds": 7, "steps_json": _steps(120, 7)}, True),
        ({"is_hard": False}, False),
        ({"kind": SessionKind.TEST}, False),
        ({"kind": SessionKind.EASY}, False),
    ],
)
def test_up_to_six_rounds_and_all_of_two_minutes_are_long(changes: dict[str, Any], expected: bool) -> None:
    assert is_long(make.planned_hard(**changes)) is expected


@pytest.mark.parametrize(
    ("work_s", "worth"), [(30, 3), (240, 3), (300, 3), (301, 6), (540, 6), (541, 9), (780, 9), (781, 12)]
)
def test_a_round_counts_once_more_for_every_four_minutes_past_the_fifth(work_s: int, worth: int) -> None:
    assert rounds_worth(make.planned_hard(rounds=3, steps_json=_steps(work_s, 3))) == worth


def test_the_longest_round_counts_for_all_and_a_recovery_for_none() -> None:
    work, rest = Step(Part.WORK, 240, Band.HARD, ""), Step(Part.RECOVERY, 900, Band.EASY, "")
    longer = Step(Part.WORK, 480, Band.HARD, "")

    assert rounds_worth(make.planned_hard(rounds=2, steps_json=to_json((work, rest, work)))) == 2
    assert rounds_worth(make.planned_hard(rounds=2, steps_json=to_json((work, rest, longer)))) == 4


@pytest.mark.parametrize("steps_json", ["no steps", to_json(make.easy_steps(45))])
def test_steps_that_name_no_round_stand_for_rounds_of_four_minutes(steps_json: str) -> None:
    assert rounds_worth(make.planned_hard(rounds=3, steps_json=steps_json)) == 3
