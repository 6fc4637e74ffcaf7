"""A client without much of a history: where they begin, and what asks for a reason.

Source: common practice, no published source.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.effort import Talk
from app.coaching.entry_ramp import doing_now
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.planner import BaseWishes, base_block
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import SHORTEST_OUTING_MIN
from tests import factories as make

RULES = Rules()
TODAY = make.TODAY
MONDAY = TODAY + timedelta(days=7 - TODAY.weekday())


def _newcomer(active: YesNo = YesNo.NO, **records: Any) -> History:
    given: dict[str, Any] = {
        "client": make.client(born_on=date(1959, 3, 2), regularly_active_confirmed_on=None),
        "screening": (make.answers(active=active),),
    }
    return make.history(**(given | records))


def _walks(*minutes: int, monday: date = MONDAY) -> tuple[PlannedSession, ...]:
    """One easy walk a day from a Monday on; 0 is a free day."""
    return tuple(
        make.planned(id=200 + n, planned_on=monday + timedelta(days=n), minutes=length, published_at=None)
        for n, length in enumerate(minutes)
        if length
    )


def _found(history: History, drafts: tuple[PlannedSession, ...], kind: str) -> list[Breach]:
    return [one for one in breaches(history, drafts, TODAY, RULES) if one.kind == kind]


def test_ten_hours_for_somebody_who_never_trained_ask_for_a_reason_with_their_numbers() -> None:
    found = _found(_newcomer(), _walks(86, 86, 86, 86, 86, 86, 84), "step")

    assert [one.level for one in found] == [Level.ASKS]
    assert "600 min" in found[0].sentence
    assert "0 min a week over the last 4 weeks" in found[0].sentence
    assert "30 is the most" in found[0].sentence


@pytest.mark.parametrize(("minutes", "count"), [((30,), 0), ((31,), 1), ((15, 0, 15), 0), ((20, 0, 20), 1)])
def test_a_first_week_may_hold_half_an_hour(minutes: tuple[int, ...], count: int) -> None:
    assert len(_found(_newcomer(), _walks(*minutes), "step")) == count


@pytest.mark.parametrize(("minutes", "count"), [(30, 0), (31, 1)])
def test_a_first_outing_may_take_half_an_hour(minutes: int, count: int) -> None:
    assert len(_found(_newcomer(), _walks(minutes), "longest")) == count


@pytest.mark.parametrize(("minutes", "count"), [(120, 0), (121, 1)])
def test_who_answered_active_begins_from_the_least_that_means(minutes: int, count: int) -> None:
    # 30 min on 3 days are active; 30 min more are the ramp
    assert len(_found(_newcomer(YesNo.YES), _walks(minutes), "step")) == count


def test_what_was_done_lately_is_where_the_ramp_begins() -> None:
    logs = (make.log(id=1, done_on=MONDAY - timedelta(days=14), minutes=40, talk=Talk.SING),)
    history = _newcomer(logs=logs)

    # 40 min in one of the last four complete weeks; 40 and 15 more are above 10 and 30
    assert doing_now(history, TODAY).first_week_min == pytest.approx(40)
    assert _found(history, _walks(30, 0, 25), "step") == []
    assert len(_found(history, _walks(30, 0, 26), "step")) == 1


def test_a_base_brought_in_and_confirmed_is_a_history() -> None:
    brought = make.decision(kind=DecisionKind.BROUGHT_IN, phase=Phase.AEROBIC_BASE, confirmed_at=make.at(TODAY))

    assert _found(_newcomer(decisions=(brought,)), _walks(60, 0, 60), "step") == []


@pytest.mark.parametrize(("before", "minutes", "count"), [(20, 30, 0), (20, 31, 1), (40, 44, 0), (40, 45, 1)])
def test_an_outing_of_half_an_hour_is_where_everybody_may_begin(before: int, minutes: int, count: int) -> None:
    logs = (make.log(id=1, done_on=TODAY - timedelta(days=3), minutes=before, talk=Talk.SING),)

    assert len(_found(_newcomer(logs=logs), _walks(minutes), "longest")) == count


def test_a_week_without_a_day_of_rest_is_said() -> None:
    found = _found(_newcomer(), _walks(10, 10, 10, 10, 10, 10, 10), "rest")

    assert [one.level for one in found] == [Level.SAYS]
    assert "no day of rest" in found[0].sentence
    assert _found(_newcomer(), _walks(10, 10, 10, 10, 10, 10), "rest") == []


def _sessions(weeks: tuple[WeekDraft, ...]) -> tuple[PlannedSession, ...]:
    drafts = [(week, one) for week in weeks for one in week.outings]
    return tuple(
        make.planned(
            id=500 + number,
            planned_on=week.starts_on + timedelta(days=one.weekday),
            minutes=one.minutes,
            mode=one.mode,
            published_at=None,
        )
        for number, (week, one) in enumerate(drafts)
    )


@settings(max_examples=60, deadline=None)
@given(
    slots=st.dictionaries(st.integers(0, 6), st.integers(SHORTEST_OUTING_MIN, 180), min_size=1),
    start=st.integers(10, 30),
    target=st.integers(30, 300),
    weeks=st.integers(2, 12),
    every=st.integers(2, 6),
)
def test_a_base_block_from_nothing_never_breaks_the_rules_it_is_held_against(
    slots: dict[int, int], start: int, target: int, weeks: int, every: int
) -> None:
    wishes = BaseWishes(start, target, weeks, every, MONDAY, Mode.WALK, longest_before_min=0)
    days = tuple(AvailableDay(make.CLIENT_ID, day, minutes, None, None) for day, minutes in slots.items())

    sessions = _sessions(base_block(wishes, days=days, rules=RULES))

    found = breaches(_newcomer(), sessions, TODAY, RULES)
    assert [one.sentence for one in found if one.level is Level.ASKS] == []
