"""Hard days done and ahead, and the fullest fortnight of some days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.effort import Talk
from app.coaching.facts import facts_of
from app.coaching.hard_work import fullest_fortnight, hard_ahead, hard_done, hard_lately
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.words import counted, ordinal, short_days
from tests import factories as make

TODAY = make.TODAY
RULES = Rules()


def _on(days: int) -> date:
    return TODAY + timedelta(days=days)


@pytest.mark.parametrize(("last", "count"), [(13, 2), (14, 1)])
def test_a_fortnight_is_fourteen_days_with_both_ends(last: int, count: int) -> None:
    fullest = fullest_fortnight([_on(0), _on(last)])

    assert fullest is not None
    assert fullest.count == count


def test_of_equally_full_fortnights_the_earliest_is_named() -> None:
    fullest = fullest_fortnight([_on(30), _on(0)])

    assert fullest is not None
    assert (fullest.first_on, fullest.last_on) == (_on(0), _on(13))


def test_no_hard_day_has_no_fortnight() -> None:
    assert fullest_fortnight([]) is None


@pytest.mark.parametrize(
    ("touching", "days"), [((_on(13), _on(20)), 3), ((_on(14), _on(20)), 2), ((_on(16), _on(20)), 1)]
)
def test_only_fortnights_that_share_a_day_are_looked_at(touching: tuple[date, date], days: int) -> None:
    fullest = fullest_fortnight([_on(0), _on(1), _on(2), _on(19)], touching=touching)

    assert fullest is not None
    assert fullest.count == days


@pytest.mark.parametrize(("touching", "is_one"), [((_on(-5), _on(0)), True), ((_on(-5), _on(-1)), False)])
def test_a_fortnight_that_begins_after_the_days_asked_for_is_not_theirs(
    touching: tuple[date, date], is_one: bool
) -> None:
    assert (fullest_fortnight([_on(0)], touching=touching) is not None) is is_one


@given(st.lists(st.integers(0, 60), min_size=1, max_size=20))
def test_no_fourteen_days_hold_more_than_the_fullest(days: list[int]) -> None:
    fullest = fullest_fortnight([_on(n) for n in days])

    assert fullest is not None
    assert fullest.count == max(sum(1 for n in days if first <= n <= first + 13) for first in range(-13, 61))


def test_an_entry_without_its_plans_number_is_judged_by_the_plan_of_its_day() -> None:
    entry = make.log(kind=SessionKind.INTERVALS, minutes=57.0, talk=None, effort=None)

    done = hard_done(make.history(planned=(make.planned_hard(),), logs=(entry,)), RULES)

    assert [(day.on, day.title) for day in done] == [(TODAY, "Rounds")]


def test_easy_work_and_days_before_the_asked_one_are_left_out() -> None:
    logs = (make.log(id=1), make.log(id=2, done_on=_on(-9), talk=Talk.FEW_WORDS))

    assert hard_done(make.history(logs=logs), RULES, since_on=_on(-8)) == ()


def test_hard_sessions_ahead_are_those_nobody_answered() -> None:
    planned = (*(make.planned_hard(id=n, planned_on=_on(n)) for n in (-1, 0, 1, 2)), make.planned(id=9))
    logs = (make.log(planned_session_id=1, done_on=TODAY, answer=Answer.NOT_DONE, minutes=None),)

    assert [day.record_id for day in hard_ahead(make.history(planned=planned, logs=logs), TODAY)] == [0, 2]


# Common practice: any 14 days, told up to a week after the newest of them, as the morning tells them.
@pytest.mark.parametrize(
    ("done", "inside"),
    [
        ([], []),
        ([0], [0]),
        ([-13, 0], [-13, 0]),
        ([-14, 0], [0]),
        ([-20, -19, -6], [-19, -6]),
        ([-20, -14, -13, -7], [-13, -7]),
        ([-30, -14], []),
        ([-1, 1], [-1]),
    ],
)
def test_lately_is_the_fortnight_up_to_the_newest_hard_day_of_the_last_week(
    done: list[int], inside: list[int]
) -> None:
    logs = tuple(make.log(id=n, done_on=_on(day), talk=Talk.FEW_WORDS) for n, day in enumerate(done))

    assert [day.on for day in hard_lately(make.history(logs=logs), TODAY, RULES)] == [_on(day) for day in inside]


def test_hard_days_done_come_in_order_and_say_that_they_are_done() -> None:
    days = ((4, _on(-2)), (3, _on(-2)), (1, _on(-1)), (9, _on(-8)))
    logs = tuple(make.log(id=n, done_on=day, talk=Talk.FEW_WORDS) for n, day in days)

    done = hard_done(make.history(logs=logs), RULES, since_on=_on(-8))

    assert [(day.record_id, day.on) for day in done] == [(9, _on(-8)), (3, _on(-2)), (4, _on(-2)), (1, _on(-1))]
    assert {(day.is_done, day.counts_for_progress, day.title) for day in done} == {(True, False, "easy")}


def test_facts_that_are_known_are_not_worked_out_again() -> None:
    hard = make.history(logs=(make.log(talk=Talk.FEW_WORDS),))

    assert hard_done(hard, RULES, facts=facts_of(make.history(), TODAY, RULES)) == ()


def test_hard_sessions_ahead_come_in_order_and_are_not_done() -> None:
    planned = tuple(make.planned_hard(id=n, planned_on=_on(day)) for n, day in ((1, 3), (5, 2), (4, 2)))

    ahead = hard_ahead(make.history(planned=planned), TODAY)

    assert [day.record_id for day in ahead] == [4, 5, 1]
    assert {(day.is_done, day.counts_for_progress) for day in ahead} == {(False, False)}


def test_a_cancelled_hard_session_is_not_ahead() -> None:
    assert hard_ahead(make.history(planned=(make.planned_hard(is_cancelled=True),)), TODAY) == ()


def test_an_entry_of_its_day_answers_a_session_of_monday() -> None:
    entry = make.log(kind=SessionKind.INTERVALS, minutes=57.0)

    assert hard_ahead(make.history(planned=(make.planned_hard(),), logs=(entry,)), TODAY) == ()


@pytest.mark.parametrize(("answer", "ahead"), [(Answer.AS_PLANNED, 0), (Answer.NOT_DONE, 1)])
def test_an_entry_of_the_week_before_answers_the_session_it_names_once_done(answer: Answer, ahead: int) -> None:
    early = make.log(planned_session_id=1, done_on=_on(-1), kind=SessionKind.INTERVALS, answer=answer)

    assert (
        len(hard_ahead(make.history(planned=(make.planned_hard(planned_on=_on(1)),), logs=(early,)), TODAY)) == ahead
    )


@pytest.mark.parametrize(
    ("number", "words"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th"), (21, "21st"), (112, "112th")],
)
def test_a_place_in_a_row_is_said(number: int, words: str) -> None:
    assert ordinal(number) == words


def test_counts_and_days_are_said() -> None:
    assert (counted(1, "day"), counted(0, "day"), counted(2, "day")) == ("1 day", "0 days", "2 days")
    assert short_days((date(2026, 10, 5), date(2026, 10, 31))) == "Mon 5 Oct, Sat 31 Oct"
