"""Days off that a client tells make hard work wait at once, until the coach has answered."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.hold_rules import Answer
from app.coaching.leave_to_train import computed_stops, may_train_now, stopped_beside_holds
from app.coaching.lookahead import breaches
from app.coaching.phases import Phase
from app.coaching.rules import Rules
from app.coaching.signals import signals
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind
from tests.factories import TODAY, answers, base_weeks, decision, history, leave, planned, planned_hard, told_away

RULES = Rules()


def off(days: int, *, ended_ago: int = 1, **changes):
    until = TODAY - timedelta(days=ended_ago)
    return told_away(from_on=until - timedelta(days=days - 1), until_on=until, **changes)


def known(*told, **changes):
    """Somebody with leave for hard work whose log has no gap: entries stand in the days told as off too."""
    return history(
        logs=base_weeks(30),
        screening=(answers(answered_on=TODAY),),
        decisions=(decision(phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(weeks=20)),),
        told_away=told,
        **changes,
    )


def answer_of(given, session=None) -> Answer:
    return may_train_now(given, session or planned_hard(), TODAY, RULES).answer


def test_without_days_told_the_hard_session_stands():
    assert answer_of(known()) is Answer.AS_PLANNED


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (4, Answer.AS_PLANNED),
        (5, Answer.EASY_ONLY),
        (13, Answer.EASY_ONLY),
        (14, Answer.EASY_ONLY),
        (21, Answer.EASY_ONLY),
        (40, Answer.EASY_ONLY),
    ],
)
def test_days_off_leave_only_the_easy_way_though_entries_stand_in_them(days, expected):
    given = known(off(days))

    assert answer_of(given) is expected
    assert answer_of(given, planned()) is Answer.AS_PLANNED
    assert bool(stopped_beside_holds(given, TODAY, RULES).hard_because) is (expected is not Answer.AS_PLANNED)


def test_the_reason_names_the_days_and_who_answers():
    said = may_train_now(known(off(21)), planned_hard(), TODAY, RULES).sentence

    assert "21 days off were told" in said
    assert "until your coach has answered" in said


@pytest.mark.parametrize(("days", "is_stopped"), [(13, False), (14, True)])
def test_from_a_gap_on_nothing_hard_is_published_either(days, is_stopped):
    given = known(off(days))

    assert bool(computed_stops(given, TODAY, RULES)) is is_stopped
    kinds = {one.kind for one in breaches(given, [planned_hard(planned_on=TODAY)], TODAY, RULES)}
    assert ("stopped" in kinds) is is_stopped


@pytest.mark.parametrize("answer", [AwayAnswer.ACCEPTED, AwayAnswer.DECLINED, AwayAnswer.TAKEN_BACK])
@pytest.mark.parametrize("days", [8, 21])
def test_once_answered_or_taken_back_it_is_the_plan_that_counts(days, answer):
    assert answer_of(known(off(days, answer=answer))) is Answer.AS_PLANNED


def test_a_journey_with_something_possible_is_no_days_off():
    told = off(21, kind=AwayKind.TRAVEL, possible=Possible.WALKING)

    assert answer_of(known(told)) is Answer.AS_PLANNED


def test_days_still_ahead_are_none_yet_and_those_that_run_count_so_far():
    ahead = told_away(from_on=TODAY + timedelta(days=1), until_on=TODAY + timedelta(days=30))
    third = told_away(from_on=TODAY - timedelta(days=3), until_on=TODAY + timedelta(days=30))
    fifth = told_away(from_on=TODAY - timedelta(days=4), until_on=TODAY + timedelta(days=30))

    assert answer_of(known(ahead)) is Answer.AS_PLANNED
    assert answer_of(known(third)) is Answer.AS_PLANNED
    assert answer_of(known(fifth)) is Answer.EASY_ONLY


def test_agreed_leave_that_adjoins_is_counted_along():
    until = TODAY - timedelta(days=4)
    agreed = leave(from_on=until - timedelta(days=11), until_on=until)

    assert computed_stops(known(off(3), leaves=(agreed,)), TODAY, RULES)
    assert not computed_stops(known(leaves=(agreed,)), TODAY, RULES)


@pytest.mark.parametrize(
    ("days", "ended_ago", "expected"),
    [(8, 14, Answer.EASY_ONLY), (8, 15, Answer.AS_PLANNED), (21, 15, Answer.EASY_ONLY), (21, 60, Answer.EASY_ONLY)],
)
def test_a_few_days_lose_their_say_and_a_gap_waits_for_its_answer(days, ended_ago, expected):
    assert answer_of(known(off(days, ended_ago=ended_ago))) is expected


def test_the_morning_tells_the_coach_of_entries_in_the_days_told_as_off():
    given = known(off(21))

    [said] = [one for one in signals(given, TODAY, RULES) if one.name == "days_away_told"]
    assert "9 outing days entered in them all the same" in said.sentence
