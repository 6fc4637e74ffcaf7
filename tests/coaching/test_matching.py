"""Planned against done: one to one, honest about moves, extras, partials and silence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.matching import EffortCompare, Pair, Status, WeekComparison, compare_week, compare_weeks
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, WhyNot
from tests import factories as make

MONDAY = make.TODAY
SUNDAY = MONDAY + timedelta(days=6)
AFTER = MONDAY + timedelta(days=7)
RULES = Rules()


def _compare(today: date = AFTER, **records: Any) -> WeekComparison:
    return compare_week(make.history(**records), MONDAY, today, RULES)


def _only(week: WeekComparison) -> Pair:
    assert len(week.pairs) == 1
    return week.pairs[0]


@pytest.mark.parametrize(
    ("minutes", "status"),
    [(100.0, Status.DONE), (85.0, Status.DONE), (84.9, Status.PARTLY), (25.0, Status.PARTLY), (24.9, Status.MISSED)],
)
def test_minutes_decide_between_done_partly_and_missed(minutes: float, status: Status) -> None:
    week = _compare(planned=(make.planned(minutes=100),), logs=(make.log(minutes=minutes),))

    assert _only(week).status is status


@pytest.mark.parametrize(("complete", "status"), [(4, Status.DONE), (3, Status.PARTLY), (1, Status.PARTLY)])
def test_rounds_count_as_much_as_minutes(complete: int, status: Status) -> None:
    rounds = tuple(make.work_round(number=n, is_complete=n <= complete) for n in range(1, 5))
    entry = make.log(kind=SessionKind.INTERVALS, minutes=57.0, rounds=rounds)

    week = _compare(planned=(make.planned_hard(),), logs=(entry,))

    assert _only(week).status is status
    assert _only(week).rounds_done == complete


def test_not_done_is_missed_with_its_reason() -> None:
    entry = make.log(planned_session_id=1, answer=Answer.NOT_DONE, minutes=None, why_not=WhyNot.TRAVEL)

    pair = _only(_compare(planned=(make.planned(),), logs=(entry,)))

    assert pair.status is Status.MISSED
    assert pair.log is not None
    assert pair.log.why_not is WhyNot.TRAVEL


def test_silence_about_the_past_is_not_logged_and_never_missed() -> None:
    week = _compare(planned=(make.planned(),))

    assert _only(week).status is Status.NOT_LOGGED
    assert week.not_logged_minutes == 45


def test_today_and_later_are_ahead() -> None:
    week = _compare(today=MONDAY, planned=(make.planned(),))

    assert _only(week).status is Status.AHEAD


def test_the_entrys_own_word_beats_the_day() -> None:
    first, second = make.planned(id=1), make.planned(id=2, planned_on=MONDAY + timedelta(days=2))
    entry = make.log(planned_session_id=1, done_on=MONDAY + timedelta(days=2))

    week = _compare(planned=(first, second), logs=(entry,))

    assert [(p.planned.id if p.planned else 0, p.status) for p in week.pairs] == [
        (1, Status.MOVED),
        (2, Status.NOT_LOGGED),
    ]


def test_same_kind_on_another_day_is_moved_and_keeps_where_it_came_from() -> None:
    pair = _only(_compare(planned=(make.planned(),), logs=(make.log(done_on=MONDAY + timedelta(days=3)),)))

    assert pair.status is Status.MOVED
    assert pair.moved_from == MONDAY
    assert pair.day == MONDAY + timedelta(days=3)


def test_another_kind_is_an_extra_and_leaves_the_plan_unanswered() -> None:
    entry = make.log(kind=SessionKind.RACE, done_on=MONDAY)

    week = _compare(planned=(make.planned(),), logs=(entry,))

    assert [pair.status for pair in week.pairs] == [Status.NOT_LOGGED, Status.EXTRA]


def test_a_session_still_ahead_is_not_used_up_by_an_extra_before_it() -> None:
    later = make.planned(planned_on=MONDAY + timedelta(days=4))

    week = _compare(today=MONDAY + timedelta(days=1), planned=(later,), logs=(make.log(done_on=MONDAY),))

    assert [pair.status for pair in week.pairs] == [Status.EXTRA, Status.AHEAD]


def test_work_in_another_week_does_not_answer_this_one() -> None:
    week = _compare(today=AFTER + timedelta(days=7), planned=(make.planned(),), logs=(make.log(done_on=AFTER),))

    assert _only(week).status is Status.NOT_LOGGED


def test_the_easy_version_is_kept_as_agreed() -> None:
    entry = make.log(planned_session_id=1, answer=Answer.EASY_VERSION, minutes=30.0)

    pair = _only(_compare(planned=(make.planned_hard(),), logs=(entry,)))

    assert pair.status is Status.KEPT_AS_AGREED
    assert pair.effort is EffortCompare.BELOW


@pytest.mark.parametrize(
    ("records", "is_hard"),
    [
        ({"holds": (make.hold(),)}, False),
        ({"holds": (make.hold(stops=Stops.HARD, kind=HoldKind.COACH),)}, True),
        ({"holds": (make.hold(stops=Stops.MODE_AND_HARD, mode=Mode.WALK, kind=HoldKind.INJURY),)}, False),
        ({"holds": (make.hold(stops=Stops.MODE_AND_HARD, mode=None, kind=HoldKind.INJURY),)}, False),
        ({"leaves": (make.leave(),)}, False),
    ],
)
def test_a_day_on_hold_or_leave_is_paused(records: dict[str, Any], is_hard: bool) -> None:
    session = make.planned_hard() if is_hard else make.planned()

    week = _compare(planned=(session,), **records)

    assert _only(week).status is Status.PAUSED
    assert week.planned_minutes == 0


@pytest.mark.parametrize(
    "hold",
    [
        make.hold(stops=Stops.HARD),
        make.hold(stops=Stops.MODE_AND_HARD, mode=Mode.RUN),
        make.hold(began_on=MONDAY + timedelta(days=1)),
        make.hold(began_on=MONDAY - timedelta(days=9), lifted_at=make.at(MONDAY)),
    ],
)
def test_a_hold_that_does_not_cover_the_session_leaves_it_as_it_is(hold: Any) -> None:
    assert _only(_compare(planned=(make.planned(),), holds=(hold,))).status is Status.NOT_LOGGED


@pytest.mark.parametrize(
    ("talk", "effort", "compared"),
    [
        (Talk.CHAT, 3.0, EffortCompare.SAME),
        (Talk.FEW_WORDS, 3.0, EffortCompare.ABOVE),
        (None, 5.0, EffortCompare.ABOVE),
        (None, None, None),
    ],
)
def test_effort_is_compared_by_band(talk: Talk | None, effort: float | None, compared: EffortCompare | None) -> None:
    week = _compare(planned=(make.planned(),), logs=(make.log(talk=talk, effort=effort),))

    assert _only(week).effort is compared


def test_strength_stands_apart_from_the_minutes() -> None:
    session = make.planned(id=2, kind=SessionKind.STRENGTH, minutes=30)
    entry = make.log(id=2, kind=SessionKind.STRENGTH, minutes=30.0)

    week = _compare(planned=(make.planned(), session), logs=(make.log(), entry))

    assert (week.planned_minutes, week.done_minutes) == (45, 45)
    assert (week.strength_planned, week.strength_done) == (1, 1)


def test_extras_count_in_the_weeks_minutes() -> None:
    week = _compare(planned=(make.planned(),), logs=(make.log(), make.log(id=2, done_on=SUNDAY, minutes=20.0)))

    assert (week.done_minutes, week.done_sessions, week.planned_sessions) == (65, 2, 1)


def test_weeks_come_in_the_order_asked_for() -> None:
    weeks = compare_weeks(make.history(), (AFTER, MONDAY), AFTER, RULES)

    assert [week.monday for week in weeks] == [AFTER, MONDAY]


KINDS = st.sampled_from((SessionKind.EASY, SessionKind.INTERVALS, SessionKind.STRENGTH))


@st.composite
def _weeks(draw: st.DrawFn) -> History:
    planned = tuple(
        make.planned(id=n, planned_on=MONDAY + timedelta(days=draw(st.integers(0, 6))), kind=draw(KINDS))
        for n in range(1, draw(st.integers(0, 6)) + 1)
    )
    logs = tuple(
        make.log(
            id=n,
            done_on=MONDAY + timedelta(days=draw(st.integers(0, 6))),
            kind=draw(KINDS),
            minutes=float(draw(st.integers(1, 90))),
            planned_session_id=draw(st.none() | st.integers(1, 7)),
            answer=draw(st.sampled_from(Answer)),
        )
        for n in range(1, draw(st.integers(0, 6)) + 1)
    )
    return make.history(planned=planned, logs=logs)


@settings(max_examples=80, deadline=None)
@given(history=_weeks(), randomly=st.randoms(use_true_random=False))
def test_order_does_not_matter_and_each_entry_is_used_once(history: History, randomly: Any) -> None:
    planned, logs = list(history.planned), list(history.logs)
    randomly.shuffle(planned)
    randomly.shuffle(logs)
    shuffled = replace(history, planned=tuple(planned), logs=tuple(logs))

    week = compare_week(history, MONDAY, AFTER, RULES)

    used = [pair.log.id for pair in week.pairs if pair.log is not None]
    assert compare_week(shuffled, MONDAY, AFTER, RULES) == week
    assert len(used) == len(set(used))
    assert sorted(p.planned.id for p in week.pairs if p.planned) == sorted(s.id for s in planned)
