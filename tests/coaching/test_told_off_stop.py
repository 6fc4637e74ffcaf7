"""Days off that a client tells make hard work wait at once, until the coach has answered."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.asked_afresh import questions_stop
from app.coaching.gap_rules import Gap
from app.coaching.hold_rules import Answer
from app.coaching.leave_to_train import computed_stops, may_train_now, stopped_beside_holds
from app.coaching.lookahead import breaches
from app.coaching.phases import Phase
from app.coaching.retests import gap_to_retest
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.screening_decision import screening_overdue
from app.coaching.signals import signals
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind
from app.coaching.told_off_stop import told_gap
from tests.factories import (
    TODAY,
    answers,
    base_weeks,
    decision,
    history,
    leave,
    log,
    planned,
    planned_hard,
    told_away,
)

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
@pytest.mark.parametrize("days", [8, 13])
def test_once_answered_or_taken_back_it_is_the_plan_that_counts(days, answer):
    assert answer_of(known(off(days, answer=answer))) is Answer.AS_PLANNED


ANSWERED = [AwayAnswer.ACCEPTED, AwayAnswer.DECLINED]


@pytest.mark.parametrize("answer", ANSWERED)
def test_from_two_weeks_on_no_answer_brings_hard_work_back_before_weeks_are_held(answer):
    given = known(off(14, answer=answer))

    assert answer_of(given) is Answer.EASY_ONLY
    assert answer_of(given, planned()) is Answer.AS_PLANNED
    assert "stopped" in {one.kind for one in breaches(given, [planned_hard(planned_on=TODAY)], TODAY, RULES)}
    [stop] = computed_stops(given, TODAY, RULES)
    assert stop.sentence == (
        "14 days off were told, until 5 October 2026: easy work only until 2 weeks are held (none so far)."
    )


def test_taking_it_back_says_that_nobody_was_off():
    assert computed_stops(known(off(21, answer=AwayAnswer.TAKEN_BACK)), TODAY, RULES) == ()


# Days off (common practice, no published source): 14-27 two held weeks, 28 and more at least four.
@pytest.mark.parametrize("answer", ANSWERED)
@pytest.mark.parametrize(
    ("days", "weeks_back", "waits"), [(14, 1, True), (14, 2, False), (27, 2, False), (28, 3, True), (28, 4, False)]
)
def test_held_weeks_after_the_return_end_the_wait(days, weeks_back, waits, answer):
    # TODAY is a Monday: the return fell on a Monday too.
    given = known(off(days, ended_ago=7 * weeks_back + 1, answer=answer))

    assert bool(computed_stops(given, TODAY, RULES)) is waits


@pytest.mark.parametrize("answer", ANSWERED)
def test_days_off_that_go_on_wait_whatever_was_answered(answer):
    running = told_away(from_on=TODAY - timedelta(days=13), until_on=TODAY + timedelta(days=9), answer=answer)

    [stop] = computed_stops(known(running), TODAY, RULES)
    assert stop.sentence == (
        "14 days off were told, still going on: easy work only until 2 weeks are held (none so far)."
    )


def test_while_fourteen_days_wait_for_their_answer_that_is_what_is_said_and_once():
    given = known(off(14))

    [stop] = computed_stops(given, TODAY, RULES)
    assert stop.sentence == (
        "14 days off were told, Mon 21 Sep to Sun 4 Oct: easy work only until your coach has answered."
    )
    assert stopped_beside_holds(given, TODAY, RULES).hard_because == (stop.sentence,)


@pytest.mark.parametrize("answer", [AwayAnswer.OPEN, *ANSWERED])
@pytest.mark.parametrize(("begins_in", "waits"), [(0, True), (1, False)])
def test_days_that_have_not_begun_join_no_leave_before_them(begins_in, waits, answer):
    agreed = leave(from_on=TODAY - timedelta(days=14), until_on=TODAY - timedelta(days=1 - begins_in))
    ahead = told_away(from_on=TODAY + timedelta(days=begins_in), until_on=TODAY + timedelta(days=9), answer=answer)

    assert bool(computed_stops(known(ahead, leaves=(agreed,)), TODAY, RULES)) is waits


@pytest.mark.parametrize(("begins_in", "expected"), [(0, Answer.EASY_ONLY), (1, Answer.AS_PLANNED)])
def test_a_few_days_count_from_the_day_they_begin(begins_in, expected):
    agreed = leave(from_on=TODAY - timedelta(days=5), until_on=TODAY - timedelta(days=1 - begins_in))
    ahead = told_away(from_on=TODAY + timedelta(days=begins_in), until_on=TODAY + timedelta(days=9))

    assert answer_of(known(ahead, leaves=(agreed,))) is expected


@pytest.mark.parametrize("swapped", [False, True])
def test_the_last_of_two_long_stretches_counts_not_the_longer_one(swapped):
    earlier = off(40, ended_ago=60, answer=AwayAnswer.ACCEPTED)
    later = off(14, ended_ago=1, id=2, answer=AwayAnswer.DECLINED)
    told = (later, earlier) if swapped else (earlier, later)

    assert told_gap(known(*told), TODAY) == Gap(TODAY - timedelta(days=15), TODAY, 14)


@pytest.mark.parametrize("swapped", [False, True])
def test_of_two_that_wait_for_an_answer_the_longer_is_said_and_of_equals_the_later(swapped):
    def said(*told) -> str:
        waiting = known(*(reversed(told) if swapped else told))
        return may_train_now(waiting, planned_hard(), TODAY, RULES).sentence

    short, long = off(5, ended_ago=1), off(9, ended_ago=12, id=2)
    same = off(5, ended_ago=8, id=3)

    assert "9 days off were told" in said(short, long)
    assert "9 days off were told" in said(off(6, ended_ago=12, id=4), off(9, ended_ago=1, id=5))
    assert "5 days off were told, Wed 30 Sep to Sun 4 Oct" in said(short, same)


def test_what_ended_before_the_days_looked_at_is_not_judged_by_them():
    told = off(30, ended_ago=10, answer=AwayAnswer.ACCEPTED)

    def seen_from(days_ago: int) -> Gap | None:
        return told_gap(replace(known(told), from_on=TODAY - timedelta(days=days_ago)), TODAY)

    assert seen_from(9) is None
    assert seen_from(10) is not None


def test_a_declined_stretch_and_the_one_beside_it_are_one_run():
    first = off(8, ended_ago=8, answer=AwayAnswer.DECLINED)
    second = off(7, ended_ago=1, id=2, answer=AwayAnswer.ACCEPTED)

    assert "15 days off were told" in computed_stops(known(first, second), TODAY, RULES)[0].sentence
    taken_back = off(8, ended_ago=8, answer=AwayAnswer.TAKEN_BACK)
    assert computed_stops(known(taken_back, second), TODAY, RULES) == ()


def test_the_gap_in_the_log_says_it_once_where_both_see_it():
    given = replace(
        known(off(20, answer=AwayAnswer.ACCEPTED)), logs=base_weeks(20, before=TODAY - timedelta(days=21))
    )

    [stop] = computed_stops(given, TODAY, RULES)
    assert "no outing is logged since" in stop.sentence


# The health questions come again after a gap, as logged or as told (house choice).
@pytest.mark.parametrize("answer", [AwayAnswer.OPEN, *ANSWERED])
@pytest.mark.parametrize(("answered_ago", "is_due"), [(30, True), (9, True), (8, False), (1, False)])
def test_the_questions_come_again_after_two_weeks_told_though_a_session_is_logged(answer, answered_ago, is_due):
    # Off from 21 days ago to the day before yesterday: the fourteenth day off lies eight days back.
    asked = (answers(answered_on=TODAY - timedelta(days=answered_ago)),)
    given = replace(known(off(20, ended_ago=2, answer=answer)), screening=asked)

    said = screening_overdue(given, TODAY, RULES)
    assert said == ("After 20 days off, as told, the questions are asked again." if is_due else None)
    assert (questions_stop(given, TODAY, RULES) is not None) is is_due


def test_thirteen_days_told_and_those_taken_back_ask_nothing():
    asked = (answers(answered_on=TODAY - timedelta(days=60)),)

    for told in (off(13), off(21, answer=AwayAnswer.TAKEN_BACK)):
        assert screening_overdue(replace(known(told), screening=asked), TODAY, RULES) is None


def test_answers_early_in_a_long_gap_of_the_log_are_asked_again_at_the_return():
    # Out until 60 days back, and again from today on; asked two weeks into it, and a day before the return.
    before = base_weeks(6, before=TODAY - timedelta(days=59))
    came_back = (*before, log(id=900, done_on=TODAY))

    def due(days_ago: int) -> str | None:
        asked = (answers(answered_on=TODAY - timedelta(days=days_ago)),)
        return screening_overdue(history(logs=came_back, screening=asked), TODAY, RULES)

    assert due(40) is not None
    assert due(14) is not None
    assert due(13) is None


def test_a_retest_is_due_after_four_weeks_told_and_held_weeks():
    given = known(off(28, ended_ago=29, answer=AwayAnswer.ACCEPTED))
    waiting = known(off(28, ended_ago=22, answer=AwayAnswer.ACCEPTED))

    gap = gap_to_retest(given, TODAY, RULES)
    assert gap is not None
    assert gap.days == 28
    assert gap_to_retest(waiting, TODAY, RULES) is None


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


# Over twelve weeks off: as new, transition again (common practice, no published source). Weeks held after it, 5.
@pytest.mark.parametrize(
    ("days", "expected"), [(84, Answer.AS_PLANNED), (85, Answer.EASY_ONLY), (86, Answer.EASY_ONLY)]
)
def test_over_twelve_weeks_told_off_hard_work_waits_for_the_transition_too(days, expected):
    began_inactive = (answers(answered_on=TODAY, active=YesNo.NO),)
    given = replace(known(off(days, ended_ago=36, answer=AwayAnswer.ACCEPTED)), screening=began_inactive)

    assert answer_of(given) is expected
