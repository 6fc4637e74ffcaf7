"""Two rounds at first, then one more at a time; the fifth after four even ones.

Source: common practice, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Band
from app.coaching.facts import facts_of
from app.coaching.first_rounds import rounds_breaches, rounds_so_far
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Figure, Provenance
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


# What is said of a draft.


@pytest.mark.parametrize("changes", [{"is_hard": False}, {"kind": SessionKind.TEST}, {"rounds": 0}])
def test_of_what_has_no_hard_rounds_nothing_is_said(changes: dict[str, Any]) -> None:
    draft = make.planned_hard(**({"rounds": 5, "published_at": None} | changes))

    assert rounds_breaches(_client(), [draft], TODAY, RULES) == []


def test_one_round_first_is_less_than_two_and_no_objection() -> None:
    assert _found(_client(), _draft(1, 1)) == []


def test_two_drafts_of_one_day_are_no_steps_to_each_other() -> None:
    first, second = _draft(1, 2), make.planned_hard(id=2, planned_on=_on(1), rounds=3, published_at=None)

    [found] = _found(_client(), first, second)

    assert found.sentence == "Rounds on Tue 6 Oct: first hard session: 3 rounds; the practice begins with 2."


@pytest.mark.parametrize(("days", "count"), [((1, 2), 0), ((1, 1), 1), ((2, 1), 1)])
def test_a_draft_with_long_rounds_before_it_is_a_step_for_short_rounds(days: tuple[int, int], count: int) -> None:
    long, short = days
    drafts = (
        _draft(long, 2),
        make.planned_hard(
            id=2, planned_on=_on(short), rounds=28, steps_json=_steps(30, 28), hard_minutes=14.0, published_at=None
        ),
    )

    assert len(_found(_client(), *drafts)) == count


def test_a_published_session_before_it_is_a_step_for_short_rounds() -> None:
    stands = make.planned_hard(id=1, planned_on=_on(1), rounds=2)
    short = _draft(8, 28, steps_json=_steps(30, 28), hard_minutes=14.0)

    assert _found(_client(planned=(stands,)), short) == []
    assert len(_found(_client(), short)) == 1


def test_four_even_ones_done_free_the_fifth_and_four_planned_do_not() -> None:
    stands = make.planned_hard(id=1, planned_on=_on(1), rounds=4)

    [found] = _found(_client(logs=(_done(7, 3),), planned=(stands,)), _draft(8, 5))

    assert found.sentence.endswith(
        ": 5 rounds; the practice begins with 2, and the fifth waits for four even ones done."
    )
    assert found.shared == "5 rounds; the practice begins with 2, and the fifth waits for four even ones done."
    assert _found(_client(logs=(_done(7, 4),)), _draft(8, 5)) == []


@pytest.mark.parametrize(
    ("rounds", "words", "shared"),
    [
        (3, "first hard session: 3 rounds; the practice begins with 2", ""),
        (
            5,
            "first hard session: 5 rounds; the practice begins with 2, and the fifth waits for four even ones done",
            "first hard session: 5 rounds; the practice begins with 2, and the fifth waits for four even ones done.",
        ),
    ],
)
def test_the_first_hard_session_is_called_so(rounds: int, words: str, shared: str) -> None:
    [found] = _found(_client(), _draft(1, rounds))

    assert (found.sentence, found.shared) == (f"Rounds on Tue 6 Oct: {words}.", shared)


@pytest.mark.parametrize("rounds", [4, 5])
def test_a_session_done_or_standing_before_it_makes_it_no_first_one(rounds: int) -> None:
    stopped = make.log(
        done_on=_on(-7), kind=SessionKind.INTERVALS, minutes=57.0, effort=8.0, answer=Answer.AS_PLANNED
    )
    stands = make.planned_hard(id=1, planned_on=_on(1), rounds=2)
    [after_one_done] = _found(_client(logs=(stopped,)), _draft(8, rounds))
    [after_one_planned] = _found(_client(planned=(stands,)), _draft(8, rounds))

    assert "first hard session" not in after_one_done.sentence
    assert "first hard session" not in after_one_planned.sentence


def test_short_rounds_are_told_how_much_comes_first() -> None:
    [found] = _found(_client(), _draft(1, 30, steps_json=_steps(30, 30), hard_minutes=15.0))

    words = "15 min of hard work in short rounds; at this point up to 10 come first."
    assert (found.sentence, found.shared) == (f"Rounds on Tue 6 Oct: {words}", words)


def test_each_figure_behind_it_is_shown() -> None:
    stands = make.planned_hard(id=1, planned_on=_on(1), rounds=2)
    [found] = _found(_client(logs=(_done(7, 1),), planned=(stands,)), _draft(8, 2, steps_json=_steps(480, 2)))

    assert (found.level, found.kind, found.on) == (Level.ASKS, "rounds", _on(8))
    assert found.why.provenance is Provenance.COMMON_PRACTICE
    assert found.why.figures == (
        Figure("planned", "2 rounds"),
        Figure("as rounds of 4 min", "4"),
        Figure("hard sessions done", "0"),
        Figure("most rounds done", "1"),
        Figure("most rounds done or before it in the plan", "2"),
    )
    assert "2 rounds that are as much as 4 of 4 min after at most 2; 3 come next" in found.sentence


def test_a_draft_takes_the_place_of_what_it_changes() -> None:
    stands = make.planned_hard(id=308, planned_on=_on(1), rounds=3)

    assert _found(_client(planned=(stands,)), _draft(9, 4)) == []
    assert len(_found(_client(planned=(stands,)), _draft(8, 2), _draft(9, 4))) == 1  # the first is 308, changed


def test_facts_worked_out_before_are_taken_as_they_are() -> None:
    client = _client(logs=(_done(7, 3),))
    facts = facts_of(client, date.max, RULES)

    assert rounds_breaches(client, [_draft(1, 4)], TODAY, RULES, facts=facts) == []
    assert (
        len(rounds_breaches(_client(), [_draft(1, 4)], TODAY, RULES, facts=facts_of(_client(), date.max, RULES))) == 1
    )
