"""The month: counts, shares, hard work against the ceiling, and what is not defined."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Talk
from app.coaching.month import MonthSummary, month_summary, practice_month
from app.coaching.month_words import month_sentence
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from tests import factories as make

RULES = Rules()
#: October 2026 begins on a Thursday; its Mondays are the 5th, 12th, 19th and 26th.
AFTER = date(2026, 11, 9)


def _oct(day: int) -> date:
    return date(2026, 10, 1) + timedelta(days=day - 1)


def _month(*, today: date = AFTER, **records: Any) -> MonthSummary:
    given = {"client": make.client(regularly_active_confirmed_on=date(2026, 1, 1))}
    return month_summary(make.history(**(given | records)), "2026-10", today, RULES)


def _pair(day: int, **log: Any) -> dict[str, tuple[Any, ...]]:
    entry = make.log(**({"id": day, "planned_session_id": day, "done_on": _oct(day)} | log))
    return {"planned": (make.planned(id=day, planned_on=_oct(day)),), "logs": (entry,)}


def _hard(*days: int) -> tuple[Any, ...]:
    return tuple(make.log(id=n + 100, done_on=_oct(n), talk=Talk.FEW_WORDS, minutes=30.0) for n in days)


def test_planned_and_done_are_counted_by_their_own_days() -> None:
    counts = _month(**_pair(6, minutes=40.0)).counts

    assert (counts.planned_sessions, counts.done_sessions) == (1, 1)
    assert (counts.planned_minutes, counts.done_minutes) == (45, 40.0)


def test_the_edges_of_the_month_are_days_and_not_weeks() -> None:
    logs = tuple(make.log(id=n, done_on=_oct(n)) for n in (0, 1, 31, 32))

    assert _month(logs=logs).counts.done_sessions == 2


def test_each_way_a_session_can_go_is_counted_apart() -> None:
    planned = tuple(make.planned(id=n, planned_on=_oct(n)) for n in (5, 13, 20, 27))
    logs = (
        make.log(id=1, planned_session_id=5, done_on=_oct(5), answer=Answer.NOT_DONE, minutes=None),
        make.log(id=2, planned_session_id=13, done_on=_oct(15)),
        make.log(id=3, planned_session_id=20, done_on=_oct(20), answer=Answer.EASY_VERSION, minutes=30.0),
        make.log(id=4, done_on=_oct(22), kind=SessionKind.RACE, from_memory=True),
    )

    counts = _month(planned=planned, logs=logs).counts

    assert (counts.missed, counts.moved, counts.kept_as_agreed, counts.extra) == (1, 1, 1, 1)
    assert (counts.not_logged, counts.from_memory) == (1, 1)


def test_history_brought_in_without_its_plan_is_neither_planned_nor_extra() -> None:
    brought_in = tuple(make.log(id=n, done_on=_oct(n), origin=Origin.FILE, minutes=40.0) for n in (6, 8))
    own = (make.log(id=20, done_on=_oct(9), minutes=30.0),)

    summary = _month(logs=brought_in + own)

    counts = summary.counts
    assert (counts.done_sessions, counts.without_plan, counts.extra) == (3, 2, 1)
    assert (counts.compared_sessions, counts.without_plan_minutes, counts.compared_minutes) == (1, 80.0, 30.0)
    assert (summary.adherence.fraction, summary.adherence.not_defined) == (None, "no plan is kept here")
    assert "no plan kept here" in month_sentence(summary)


def test_what_was_brought_in_beside_a_plan_that_is_kept_here_is_extra() -> None:
    log = make.log(id=30, done_on=_oct(8), origin=Origin.FILE, planned_session_id=None, kind=SessionKind.RACE)
    given = _pair(6)

    counts = _month(planned=given["planned"], logs=(*given["logs"], log)).counts

    assert (counts.without_plan, counts.extra) == (0, 1)


def test_a_distance_from_a_file_is_nobodys_words() -> None:
    note = "4 km\nEffort 13 on the 6-20 scale.\nWindy."

    said = [make.log(note=text, origin=Origin.FILE).own_words for text in (note, "6.44 km (4 miles)", None)]

    assert said == ["Windy.", None, None]
    assert make.log(note="4 km").own_words == "4 km"


def test_paused_sessions_are_not_asked_for() -> None:
    leave = make.leave(from_on=_oct(5), until_on=_oct(11))
    session = make.planned(planned_on=_oct(6))

    counts = _month(planned=(session,), leaves=(leave,)).counts

    assert (counts.planned_sessions, counts.paused) == (0, 1)


def test_strength_stands_apart() -> None:
    session = make.planned(planned_on=_oct(6), kind=SessionKind.STRENGTH)
    entry = make.log(planned_session_id=1, done_on=_oct(6), kind=SessionKind.STRENGTH)

    counts = _month(planned=(session,), logs=(entry,)).counts

    assert (counts.planned_sessions, counts.done_minutes) == (0, 0)
    assert (counts.strength_planned, counts.strength_done) == (1, 1)


def test_a_month_that_is_not_over_stops_today_and_asks_nothing_ahead() -> None:
    planned = tuple(make.planned(id=n, planned_on=_oct(n)) for n in (6, 20))

    summary = _month(today=_oct(14), planned=planned)

    assert not summary.is_over
    assert summary.until_on == _oct(14)
    assert summary.counts.planned_sessions == 1


def test_the_easy_share_comes_from_minutes() -> None:
    logs = (make.log(id=1, done_on=_oct(6), minutes=90.0), *_hard(8))

    # 90 easy of 120 known
    assert _month(logs=logs).easy_share.fraction == pytest.approx(0.75)


def test_an_easy_share_with_too_much_unknown_is_not_defined_and_says_why() -> None:
    logs = (
        make.log(id=1, done_on=_oct(6), minutes=70.0),
        make.log(id=2, done_on=_oct(8), minutes=30.0, talk=None, effort=None),
    )

    share = _month(logs=logs).easy_share

    assert share.fraction is None
    assert share.not_defined == "effort unknown for 30 % of the minutes"


def test_adherence_without_a_plan_is_not_defined() -> None:
    assert _month(logs=(make.log(done_on=_oct(6)),)).adherence.not_defined == "nothing was planned"


def test_adherence_is_capped_week_by_week() -> None:
    planned = (make.planned(id=6, planned_on=_oct(6)), make.planned(id=13, planned_on=_oct(13)))
    logs = (make.log(id=1, planned_session_id=6, done_on=_oct(6), minutes=100.0),)

    # 45 of 45 in the first week, 0 of 45 in the second
    assert _month(planned=planned, logs=logs).adherence.fraction == pytest.approx(0.5)


def test_hard_sessions_are_held_against_the_fullest_fortnight() -> None:
    decision = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_TWO, since_on=date(2026, 6, 1))

    summary = _month(logs=_hard(6, 8, 11, 13, 16, 18), decisions=(decision,))

    assert summary.hard_sessions == 6
    assert summary.fullest is not None
    assert (summary.fullest.count, summary.ceiling, summary.is_over_ceiling) == (6, 5, True)


def test_a_fortnight_across_the_edge_of_the_month_is_seen() -> None:
    logs = tuple(make.log(id=n, done_on=_oct(1) - timedelta(days=n), talk=Talk.FEW_WORDS) for n in (1, 5))

    summary = _month(logs=(*logs, *_hard(3)))

    assert summary.hard_sessions == 1
    assert summary.fullest is not None
    assert summary.fullest.count == 3


def test_no_hard_session_leaves_no_fortnight() -> None:
    summary = _month()

    assert summary.fullest is None
    assert not summary.is_over_ceiling


def test_held_weeks_are_those_that_begin_in_the_month() -> None:
    logs = make.base_weeks(8, before=AFTER)

    summary = _month(logs=logs)

    assert [week.monday for week in summary.weeks] == [_oct(5), _oct(12), _oct(19), _oct(26)]
    assert summary.held_weeks == 4


def test_what_happened_in_the_month_is_listed() -> None:
    decisions = (make.decision(id=1), make.decision(id=2, phase=Phase.INTERVAL_ONE, since_on=_oct(12)))
    holds = (
        make.hold(id=1, began_on=_oct(-9), lifted_at=make.at(_oct(1))),
        make.hold(id=2, began_on=_oct(-9), lifted_at=make.at(_oct(2))),
        make.hold(id=3, began_on=_oct(40)),
    )

    summary = _month(decisions=decisions, holds=holds, tests=(make.standard_loop(tested_on=_oct(31)),))

    assert [decision.id for decision in summary.decisions] == [2]
    assert [hold.id for hold in summary.holds] == [2]
    assert (len(summary.tests), summary.phase) == (1, Phase.INTERVAL_ONE)


def test_what_is_not_a_month_is_refused() -> None:
    with pytest.raises(ValueError, match="does not match"):
        month_summary(make.history(), "October", AFTER, RULES)


def _row(id_: int, name: str, **records: Any) -> MonthSummary:
    client = make.client(id=id_, name=name, regularly_active_confirmed_on=date(2026, 1, 1))
    return _month(client=client, **records)


def test_the_practice_adds_sums_and_never_averages_shares() -> None:
    long = (make.log(id=1, done_on=_oct(6), minutes=270.0),)

    practice = practice_month([_row(2, "Bo", logs=_hard(8)), _row(1, "Ada", logs=long)], "2026-10", RULES)

    # 270 easy of 300 known; the average of 100 and 0 % would be 50
    assert practice.easy_share.fraction == pytest.approx(0.9)
    assert [row.client.name for row in practice.rows] == ["Ada", "Bo"]
    assert (practice.clients, practice.counts.done_minutes, practice.hard_sessions) == (2, 300, 1)


def test_a_practice_without_plans_has_no_adherence() -> None:
    practice = practice_month([], "2026-10", RULES)

    assert practice.adherence.not_defined == "nothing was planned"
    assert practice.easy_share.not_defined == "no minutes logged"


def test_promotions_and_holds_are_counted_for_the_practice() -> None:
    decision = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=_oct(12))

    row = _row(1, "Ada", decisions=(decision,), holds=(make.hold(began_on=_oct(20)),))
    practice = practice_month([row], "2026-10", RULES)

    assert (practice.promotions, practice.on_hold, practice.over_ceiling) == (1, 1, 0)
