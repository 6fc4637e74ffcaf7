"""What a step up waits for: a fortnight over its ceiling, hard work since that went badly, planned or not."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from app.coaching.execution_values import CountsAs
from app.coaching.next_step import Dimension, Looks, Way, next_step
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Posture, SpoiltBy
from app.coaching.step_waits import step_waits
from tests import factories
from tests.coaching.test_next_step import asked, went
from tests.factories import TODAY

LAST_ON = TODAY - timedelta(days=5)


def run(days_ago: int, **changes: Any):
    given = {
        "id": 300 + days_ago,
        "done_on": TODAY - timedelta(days=days_ago),
        "kind": SessionKind.EASY,
        "minutes": 40.0,
        "effort": 7.0,
    }
    return factories.log(**(given | changes))


def waits(*logs, executed=(), phase: Phase = Phase.INTERVAL_ONE) -> tuple[str, ...]:
    decisions = (
        factories.decision(),
        factories.decision(id=2, kind=DecisionKind.PROMOTE, phase=phase, since_on=TODAY - timedelta(weeks=12)),
    )
    return step_waits(factories.history(decisions=decisions, logs=logs), executed, LAST_ON, TODAY, Rules())


def test_three_hard_sessions_in_a_fortnight_do_not_wait() -> None:
    assert waits(run(1), run(5), run(10)) == ()


def test_a_fourth_nobody_planned_waits_with_its_days() -> None:
    [said] = waits(run(1), run(3), run(5), run(10))

    assert said.startswith("4 hard sessions in 14 days (")
    assert said.endswith("), 3 is full")


def test_on_two_a_week_the_ceiling_is_five() -> None:
    assert waits(run(1), run(3), run(5), run(10), phase=Phase.INTERVAL_TWO) == ()


@pytest.mark.parametrize(
    ("days_ago", "change", "because"),
    [
        (2, {"effort": 8.0}, None),
        (2, {"effort": 8.5}, "(effort 8.5)"),
        (5, {"effort": 9.0}, "(effort 9)"),
        (6, {"effort": 9.0}, None),
        (2, {"posture": Posture.STOOD}, None),
        (2, {"posture": Posture.BENT_OR_SAT}, "(not upright after it)"),
        (2, {"effort": 9.0, "spoilt_by": SpoiltBy.HEAT}, None),
        # Too little to be a hard session at all.
        (2, {"effort": 9.0, "minutes": 5.0}, None),
    ],
)
def test_hard_work_since_the_last_rounds_that_went_badly_waits(days_ago, change, because) -> None:
    said = waits(run(days_ago, **change))

    assert len(said) == (because is not None)
    if because is not None:
        assert "not planned, on " in said[0]
        assert said[0].endswith(f"did not go well {because}")


def test_rounds_done_another_way_that_were_not_held_wait() -> None:
    bad = went(CountsAs.BAD, on=TODAY - timedelta(days=2), mode=Mode.RUN, title="Hill rounds")

    assert waits(executed=(bad,))[0].startswith("Hill rounds on ")
    assert waits(executed=(went(CountsAs.GOOD, on=TODAY - timedelta(days=2)),)) == ()
    assert waits(executed=(went(CountsAs.BAD, on=LAST_ON),)) == ()


@pytest.mark.parametrize("rounds", [2, 4])
def test_what_waits_makes_a_step_up_the_same_again(rounds: int) -> None:
    done = [went(CountsAs.GOOD, n, rounds=rounds) for n in range(2)]
    without, held = next_step(done), next_step(done, looks=Looks(waits=("4 hard sessions in 14 days, 3 is full",)))

    assert without.way is Way.HARDER
    assert (held.way, held.dimension, asked(held)) == (Way.SAME, Dimension.NOTHING, (rounds, 240, 240))
    assert held.sentence == "The same again, no step up: 4 hard sessions in 14 days, 3 is full."


def test_a_step_back_does_not_wait() -> None:
    bad = [went(CountsAs.BAD)]

    assert next_step(bad, looks=Looks(waits=("it waits",))) == next_step(bad)
