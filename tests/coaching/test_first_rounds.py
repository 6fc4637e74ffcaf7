"""Two rounds at first, then one more at a time; the fifth after four even ones.

Source: common practice, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Band
from app.coaching.first_rounds import rounds_so_far
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.steps import Part, Repeat, Step, to_json
from tests import factories as make

RULES = Rules()
TODAY = make.TODAY


def _on(days: int) -> date:
    return TODAY + timedelta(days=days)


def _client(**records: Any) -> History:
    decided = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=_on(-70))
    given: dict[str, Any] = {"decisions": (decided,), "screening": (make.answers(),)}
    return make.history(**(given | records))


def _draft(days: int, rounds: int, **changes: Any) -> PlannedSession:
    return make.planned_hard(id=300 + days, planned_on=_on(days), rounds=rounds, published_at=None, **changes)


def _done(days: int, rounds: int) -> Any:
    logged = tuple(make.work_round(number=n) for n in range(1, rounds + 1))
    return make.log(id=60 - days, done_on=_on(-days), kind=SessionKind.INTERVALS, rounds=logged)


def _found(history: History, *drafts: PlannedSession) -> list[Breach]:
    return [one for one in breaches(history, drafts, TODAY, RULES) if one.kind == "rounds"]


def test_five_rounds_as_the_first_hard_session_ask_for_a_reason() -> None:
    found = _found(_client(), _draft(1, 5))

    assert [one.level for one in found] == [Level.ASKS]
    assert "first hard session: 5 rounds; the practice begins with 2" in found[0].sentence


@pytest.mark.parametrize(("rounds", "count"), [(2, 0), (3, 1), (4, 1)])
def test_the_first_hard_session_has_two_rounds(rounds: int, count: int) -> None:
    assert len(_found(_client(), _draft(1, rounds))) == count


def test_two_three_and_four_in_one_sending_are_the_way() -> None:
    assert _found(_client(), _draft(1, 2), _draft(8, 3), _draft(15, 4), _draft(22, 4)) == []


def test_a_step_left_out_asks_for_a_reason() -> None:
    found = _found(_client(), _draft(1, 2), _draft(8, 4))

    assert [one.sentence.split(": ")[1] for one in found] == [
        "4 rounds after at most 2; 3 come next, one more at a time."
    ]


@pytest.mark.parametrize(("rounds", "count"), [(3, 0), (4, 1)])
def test_done_rounds_are_where_the_next_step_begins(rounds: int, count: int) -> None:
    assert len(_found(_client(logs=(_done(7, 2),)), _draft(1, rounds))) == count


def test_a_published_session_is_a_step_and_a_draft_that_stays_at_home_is_none() -> None:
    published = make.planned_hard(id=1, planned_on=_on(1), rounds=2)
    drafted = make.planned_hard(id=1, planned_on=_on(1), rounds=2, published_at=None)

    assert _found(_client(planned=(published,)), _draft(8, 3)) == []
    assert len(_found(_client(drafts=(drafted,)), _draft(8, 3))) == 1
    assert rounds_so_far(_client(drafts=(drafted,)), _on(8), TODAY, RULES).first_rounds == 2


@pytest.mark.parametrize(("done", "count"), [(3, 1), (4, 0)])
def test_the_fifth_round_waits_for_four_done(done: int, count: int) -> None:
    assert len(_found(_client(logs=(_done(21, 3), _done(14, 3), _done(7, done))), _draft(1, 5))) == count


def test_hard_work_brought_in_and_confirmed_begins_where_it_was() -> None:
    brought = make.decision(kind=DecisionKind.BROUGHT_IN, phase=Phase.INTERVAL_ONE, confirmed_at=make.at(TODAY))

    assert _found(_client(decisions=(brought,)), _draft(1, 4)) == []


def _steps(work_s: int, rounds: int) -> str:
    return to_json(
        (Repeat(rounds, (Step(Part.WORK, work_s, Band.HARD, ""), Step(Part.RECOVERY, 60, Band.EASY, ""))),)
    )


def test_many_short_rounds_are_no_long_ones() -> None:
    assert _found(_client(), _draft(1, 10, steps_json=_steps(60, 10), hard_minutes=10.0)) == []


@pytest.mark.parametrize(("done", "minutes", "count"), [(0, 10.5, 1), (2, 14.0, 0), (2, 14.5, 1), (3, 19.5, 0)])
def test_short_rounds_come_to_little_hard_work_at_first(done: int, minutes: float, count: int) -> None:
    logs = (_done(7, done),) if done else ()
    draft = _draft(1, 39, steps_json=_steps(30, 39), hard_minutes=minutes)

    found = _found(_client(logs=logs), draft)

    assert len(found) == count
    assert all("of hard work in short rounds" in one.sentence for one in found)


def test_many_rounds_that_last_are_long_ones_all_the_same() -> None:
    [found] = _found(_client(), _draft(1, 7, steps_json=_steps(120, 7)))

    assert "first hard session: 7 rounds; the practice begins with 2" in found.sentence


@pytest.mark.parametrize(("work_s", "count"), [(300, 0), (301, 1), (480, 1), (960, 1)])
def test_two_rounds_longer_than_five_minutes_are_no_first_session(work_s: int, count: int) -> None:
    assert len(_found(_client(), _draft(1, 2, steps_json=_steps(work_s, 2)))) == count


def test_rounds_of_eight_minutes_wait_for_four_of_four() -> None:
    draft = _draft(1, 3, steps_json=_steps(480, 3))
    [found] = _found(_client(logs=(_done(21, 2), _done(14, 3), _done(7, 3))), draft)

    assert "3 rounds that are as much as 6 of 4 min" in found.sentence
    assert _found(_client(logs=(_done(21, 2), _done(14, 3), _done(7, 4))), draft) == []
