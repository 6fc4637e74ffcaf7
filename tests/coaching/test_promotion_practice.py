"""Each practice condition on the way to hard work: at its limit, just beside it, unknown, and in its own words."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.condition import Condition, State
from app.coaching.effort import Talk
from app.coaching.facts import facts_of
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import HeartRateUse, Mode, Origin
from app.coaching.prescriptions import SessionKind
from app.coaching.promotion_practice import conditions_beside_weeks, practice_conditions
from app.coaching.readiness_rules import is_down
from app.coaching.reasons import Provenance
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer
from app.coaching.training_weeks import week_facts
from app.coaching.weeks import day_words
from tests.factories import (
    TODAY,
    base_week,
    base_weeks,
    client,
    decision,
    history,
    hold,
    leave,
    log,
    planned,
    readiness,
    standard_loop,
    symptom,
    told_away,
)

RULES = Rules()
MET, NOT_MET, UNKNOWN = State.MET, State.NOT_MET, State.UNKNOWN
# TODAY is a Monday; base weeks hold three outings of 45 min each, so 135 min a week.


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def monday(weeks: int) -> date:
    return TODAY - timedelta(weeks=weeks)


def found(key: str, **records: object) -> Condition:
    known = history(**({"decisions": (decision(),)} | records))
    return next(one for one in practice_conditions(known, TODAY, RULES) if one.key == key)


def figures(one: Condition) -> list[tuple[str, str]]:
    return [(figure.name, figure.text) for figure in one.why.figures]


def said(one: Condition) -> tuple[object, ...]:
    """All that a condition says beside its figures."""
    return one.state, one.value, one.would_change, one.short_fraction, one.short_weeks


def outings(*days_ago: int, **changes: object) -> tuple[SessionLog, ...]:
    return tuple(log(id=1000 - days, done_on=ago(days), **changes) for days in days_ago)


def short_week(weeks: int) -> tuple[SessionLog, ...]:
    """One outing of ten minutes: a week that is not held."""
    return base_week(monday(weeks), minutes=10, days=(0,))


# Weeks in base.


def base_figures(looked: int, held: int, unknown: int, owed: int) -> list[tuple[str, str]]:
    return [
        ("weeks looked at", str(looked)),
        ("held", str(held)),
        ("unknown", str(unknown)),
        ("brought in from a file", "0"),
        ("held weeks before the count goes on", str(owed)),
    ]


def test_twenty_six_held_weeks_are_the_base() -> None:
    one = found("base_weeks", logs=base_weeks(26))

    assert said(one) == (MET, "26 held weeks", None, None, None)
    assert figures(one) == base_figures(26, 26, 0, 0)
    assert (one.limit, one.why.provenance) == ("26 held weeks", Provenance.COMMON_PRACTICE)


def test_one_week_short_says_one_more() -> None:
    assert said(found("base_weeks", logs=base_weeks(25))) == (NOT_MET, "25 held weeks", "1 more held week.", None, 1)


def test_a_week_nothing_is_known_of_could_be_the_missing_one() -> None:
    logs = (*base_weeks(5, before=monday(21)), *base_weeks(20))

    one = found("base_weeks", logs=logs)

    assert said(one) == (UNKNOWN, "25 held weeks", "1 more held week.", None, 1)
    assert figures(one) == base_figures(26, 25, 1, 0)


def test_after_three_weeks_not_held_two_come_before_the_count_goes_on() -> None:
    weeks = [week for n in (3, 2, 1) for week in short_week(n)]

    one = found("base_weeks", logs=(*base_weeks(25, before=monday(3)), *weeks))

    assert said(one) == (NOT_MET, "25 held weeks", "3 more held weeks.", None, 3)
    assert figures(one) == base_figures(28, 25, 0, 2)


def test_with_nothing_held_none_is_said() -> None:
    one = found("base_weeks", logs=short_week(1))

    assert said(one) == (NOT_MET, "none held yet", "26 more held weeks.", None, 26)


# Held weeks of the last eight.


def test_of_nine_held_weeks_the_last_eight_are_looked_at() -> None:
    one = found("held_of_eight", logs=base_weeks(9))

    assert said(one) == (MET, "8 of 8", None, None, None)
    assert [name for name, _ in figures(one)] == [f"week of {day_words(monday(n))}" for n in range(8, 0, -1)]
    assert {text for _, text in figures(one)} == {"held; nothing was planned here; judged on what was done"}


def test_a_week_not_held_says_why() -> None:
    records = {"decisions": (decision(),), "logs": (*base_weeks(5, before=monday(1)), *short_week(1))}
    because = week_facts(history(**records), monday(1), TODAY, RULES).because

    one = found("held_of_eight", **records)

    assert said(one) == (NOT_MET, "5 of 6", "1 more held week.", None, 1)
    assert because
    assert figures(one)[-1] == (f"week of {day_words(monday(1))}", "; ".join(("not held", *because)))


def test_a_week_nothing_is_known_of_could_be_the_sixth() -> None:
    one = found("held_of_eight", logs=(*base_weeks(2, before=monday(4)), *base_weeks(3)))

    assert said(one) == (UNKNOWN, "5 of 6", "1 more held week.", None, 1)


def test_a_week_away_is_passed_over() -> None:
    away = leave(from_on=monday(3), until_on=monday(3) + timedelta(days=6))
    logs = (*base_weeks(7, before=monday(3)), *base_weeks(2))

    one = found("held_of_eight", logs=logs, leaves=(away,))

    assert said(one) == (MET, "8 of 8", None, None, None)
    assert figures(one)[0][0] == f"week of {day_words(monday(9))}"


# The last four weeks.


def test_four_weeks_of_three_days_and_two_hours_are_enough() -> None:
    one = found("recent_weeks", logs=base_weeks(5, minutes=40))

    assert said(one) == (MET, "at least 3 days, 120 min on average", None, None, None)
    assert figures(one) == [(f"week of {day_words(monday(n))}", "3 days, 120 min") for n in (4, 3, 2, 1)]


@pytest.mark.parametrize(("weeks", "value"), [(3, "only 3 weeks logged"), (1, "only 1 week logged")])
def test_fewer_than_four_weeks_are_unknown(weeks: int, value: str) -> None:
    assert said(found("recent_weeks", logs=base_weeks(weeks))) == (UNKNOWN, value, "Four whole weeks.", None, None)


def test_without_any_week_none_is_said() -> None:
    assert found("recent_weeks").value == "no week logged yet"


@pytest.mark.parametrize(
    ("first", "value", "short"),
    [
        (base_week(monday(4), minutes=60, days=(0, 2)), "at least 2 days, 131 min on average", 1 / 3),
        (base_week(monday(4), minutes=60, days=(0,)), "at least 1 day, 116 min on average", 2 / 3),
    ],
    ids=["two days", "one day"],
)
def test_one_week_on_too_few_days_is_short_by_its_days(first, value: str, short: float) -> None:
    one = found("recent_weeks", logs=(*first, *base_weeks(3)))

    assert (one.state, one.value) == (NOT_MET, value)
    assert one.short_fraction == pytest.approx(short)
    assert one.would_change == "Outings on more days, or longer ones."


def test_too_few_minutes_are_short_by_their_share() -> None:
    one = found("recent_weeks", logs=base_weeks(4, minutes=30))

    assert (one.state, one.value) == (NOT_MET, "at least 3 days, 90 min on average")
    assert one.short_fraction == pytest.approx(0.25)


def test_a_week_without_an_outing_says_so() -> None:
    one = found("recent_weeks", logs=(*base_weeks(3, before=monday(1)), *base_week(TODAY)))

    assert (one.state, one.value) == (NOT_MET, "no outing in one of them, 101 min on average")


def test_four_planned_weeks_without_an_entry_are_unknown() -> None:
    plans = tuple(planned(id=n, planned_on=monday(n)) for n in (1, 2, 3, 4))

    one = found("recent_weeks", planned=plans)

    assert (one.state, one.value) == (UNKNOWN, "no outing yet")


def test_one_week_with_something_not_logged_leaves_it_open() -> None:
    days = [monday(1) + timedelta(days=n) for n in (0, 2, 4, 5)]
    plans = tuple(planned(id=day.toordinal(), planned_on=day) for day in days)

    assert found("recent_weeks", logs=base_weeks(4, minutes=39), planned=plans[1:]).state is NOT_MET
    assert found("recent_weeks", logs=base_weeks(4, minutes=39), planned=plans).state is UNKNOWN


# No long gap in six weeks.


@pytest.mark.parametrize(
    ("logs", "state", "value", "count"),
    [
        (outings(42, 30, 18, 6), MET, "longest 12 days", 4),
        (outings(43, 41, 30, 18, 6), MET, "longest 12 days", 4),
        (outings(40, 30, 20, 10, 0), MET, "longest 10 days", 5),
        (outings(39, 26, 13), MET, "longest 13 days", 3),
        (outings(42, 28, 14, 0), NOT_MET, "longest 14 days", 4),
        (outings(20), NOT_MET, "longest 22 days", 1),
        (outings(41, 28, 15), NOT_MET, "longest 15 days", 3),
        ((*outings(20), *outings(10, kind=SessionKind.STRENGTH)), NOT_MET, "longest 22 days", 1),
        ((*outings(20), *outings(10, mode=Mode.STRENGTH)), NOT_MET, "longest 22 days", 1),
        ((*outings(20), *outings(10, answer=Answer.NOT_DONE)), NOT_MET, "longest 22 days", 1),
        ((*outings(20), *outings(10, minutes=1.0)), NOT_MET, "longest 22 days", 2),
    ],
)
def test_the_longest_gap_of_six_weeks_stays_under_two(logs, state: State, value: str, count: int) -> None:
    one = found("no_gap", logs=logs)

    assert (one.state, one.value) == (state, value)
    assert figures(one)[0] == ("outings in six weeks", str(count))
    assert one.would_change == (None if one.is_met else "Six weeks without a long gap.")


def test_the_last_outing_is_named() -> None:
    assert figures(found("no_gap", logs=outings(20, 6)))[1] == ("last outing", day_words(ago(6)))


@pytest.mark.parametrize("logs", [(), outings(43), outings(-1)], ids=["none", "before", "ahead"])
def test_without_an_outing_in_six_weeks_nothing_is_known(logs) -> None:
    one = found("no_gap", logs=logs)

    assert said(one) == (UNKNOWN, "no outing logged in six weeks", "Log the outings.", None, None)
    assert figures(one) == []


# 14 days and more off: base only (common practice, no published source); as told, whatever is logged.
def told_off(days: int, *, ended_ago: int = 5, **changes: object):
    return told_away(**({"from_on": ago(ended_ago + days - 1), "until_on": ago(ended_ago)} | changes))


OFTEN = outings(*range(0, 43, 3))


@pytest.mark.parametrize(
    ("told", "state", "value"),
    [
        (told_off(13), MET, "longest 3 days"),
        (told_off(14), NOT_MET, "14 days off, as told"),
        (told_off(15), NOT_MET, "15 days off, as told"),
        (told_off(14, answer=AwayAnswer.DECLINED), NOT_MET, "14 days off, as told"),
        (told_off(14, answer=AwayAnswer.TAKEN_BACK), MET, "longest 3 days"),
        (told_off(14, possible=Possible.WALKING), MET, "longest 3 days"),
        (told_off(60, ended_ago=29), NOT_MET, "14 days off, as told"),
        (told_off(60, ended_ago=30), MET, "longest 3 days"),
        (told_off(30, ended_ago=-16), NOT_MET, "14 days off, as told"),
        (told_off(30, ended_ago=-17), MET, "longest 3 days"),
    ],
)
def test_days_off_that_were_told_are_a_gap_whatever_is_logged(told, state: State, value: str) -> None:
    one = found("no_gap", logs=OFTEN, told_away=(told,))

    assert (one.state, one.value) == (state, value)
    assert one.would_change == (None if one.is_met else "Six weeks without a long gap.")


@pytest.mark.parametrize(
    ("told", "shown"),
    [
        ((told_off(13),), ["13 days"]),
        ((told_off(60, ended_ago=42),), ["1 day"]),
        ((told_off(60, ended_ago=43),), []),
        ((told_off(4, ended_ago=30), told_off(3, ended_ago=10, id=2)), ["4 days"]),
        ((), []),
    ],
)
def test_the_longest_days_off_told_in_six_weeks_are_among_the_figures(told, shown: list[str]) -> None:
    one = found("no_gap", logs=OFTEN, told_away=told)

    assert [text for name, text in figures(one) if name == "longest days off as told"] == shown


def test_days_off_told_are_known_though_nothing_is_logged() -> None:
    assert found("no_gap", told_away=(told_off(14),)).state is NOT_MET
    assert figures(found("no_gap", told_away=(told_off(14),))) == [("longest days off as told", "14 days")]
    assert figures(found("no_gap", told_away=(told_off(13),))) == [("longest days off as told", "13 days")]


# Easy share over four weeks.


def harder(count: int, weeks: int = 4, days: tuple[int, ...] = (0, 1, 2, 3, 4)) -> tuple[SessionLog, ...]:
    """Some weeks of outings, the first of them felt in the middle band."""
    logs = [one for n in range(weeks, 0, -1) for one in base_week(monday(n), days=days)]
    middle = [replace(one, talk=None, effort=6.0) for one in logs[:count]]
    return (*middle, *logs[count:])


def test_four_fifths_easy_is_enough_and_one_more_is_not() -> None:
    enough, less = found("easy_share", logs=harder(4)), found("easy_share", logs=harder(5))

    assert said(enough) == (MET, "80 %", None, None, None)
    assert (less.state, less.value, less.would_change) == (NOT_MET, "75 %", "More of the week at easy effort.")
    assert less.short_fraction == pytest.approx((0.8 - 0.75) / 0.8)
    assert figures(enough)[0] == ("unknown effort", "0 %")
    assert figures(enough)[1] == (f"week of {day_words(monday(4))}", "easy 45, middle 180, hard 0, unknown 0 min")
    assert figures(enough)[2] == (f"week of {day_words(monday(3))}", "easy 225, middle 0, hard 0, unknown 0 min")


def test_only_the_last_four_weeks_are_asked() -> None:
    assert found("easy_share", logs=harder(5, weeks=5)).value == "100 %"


def test_without_a_word_about_effort_the_share_is_not_defined() -> None:
    unsaid = tuple(replace(one, talk=None, effort=None) for one in base_weeks(4))

    one = found("easy_share", logs=unsaid)

    assert said(one) == (
        UNKNOWN,
        "effort unknown for 100 % of the minutes",
        "Talk answers or effort in the logs.",
        None,
        None,
    )
    assert figures(one)[0] == ("unknown effort", "100 %")


# Done against planned over eight weeks.


def kept_plan(minutes: float = 45.0, *, left_open: int = 0, missed: int = 0, weeks: int = 8) -> dict[str, object]:
    """Three planned sessions a week; the first ones missed, the next not logged, the rest done for some minutes."""
    logs = base_weeks(weeks)
    plans = tuple(planned(id=one.id, planned_on=one.done_on) for one in logs)
    answered = [replace(one, planned_session_id=one.id, minutes=minutes) for one in logs]
    not_done = [replace(one, answer=Answer.NOT_DONE, minutes=None) for one in answered[:missed]]
    return {"planned": plans, "logs": (*not_done, *answered[missed + left_open :])}


def test_three_quarters_of_the_plan_are_enough() -> None:
    one = found("adherence", **kept_plan(33.75))

    assert said(one) == (MET, "75 %", None, None, None)
    assert figures(one) == [("planned", "1080 min"), ("done", "810 min"), ("planned, not logged", "0 min")]


def test_less_is_short_by_its_share() -> None:
    one = found("adherence", **kept_plan(30.0))

    assert (one.state, one.value) == (NOT_MET, "67 %")
    assert one.short_fraction == pytest.approx((0.75 - 30 / 45) / 0.75)
    assert one.would_change == "More of the plan done, or a plan that fits the real week."


def test_what_is_not_logged_could_make_it_enough() -> None:
    one = found("adherence", **kept_plan(left_open=6, missed=6))

    assert (one.state, one.value) == (UNKNOWN, "50 %")
    assert figures(one)[2] == ("planned, not logged", "270 min")
    assert found("adherence", **kept_plan(left_open=5, missed=7)).state is NOT_MET


def test_with_everything_missed_it_is_not_met() -> None:
    one = found("adherence", **kept_plan(missed=24))

    assert (one.state, one.value, one.short_fraction) == (NOT_MET, "0 %", 1.0)


def test_only_eight_weeks_are_looked_at() -> None:
    assert figures(found("adherence", **kept_plan(weeks=9)))[0] == ("planned", "1080 min")


def test_with_nothing_planned_it_is_unknown() -> None:
    one = found("adherence", logs=base_weeks(8))

    assert said(one) == (UNKNOWN, "nothing planned", "Weeks planned here and logged.", None, None)


def test_facts_worked_out_before_are_used() -> None:
    known = history(decisions=(decision(),), **kept_plan())
    unanswered = facts_of(replace(known, logs=()), TODAY, RULES)

    one = next(one for one in practice_conditions(known, TODAY, RULES, facts=unanswered) if one.key == "adherence")

    assert figures(one)[2] == ("planned, not logged", "1080 min")


# 45 min easy without distress.


@pytest.mark.parametrize(
    ("logs", "state", "value", "looked"),
    [
        (outings(10), MET, "45 min", 1),
        (outings(42), MET, "45 min", 1),
        (outings(0), MET, "45 min", 1),
        (outings(43), UNKNOWN, "0 min", 0),
        (outings(-1), UNKNOWN, "0 min", 0),
        ((), UNKNOWN, "0 min", 0),
        (outings(10, minutes=44.0), NOT_MET, "44 min", 1),
        (outings(10, 9, minutes=30.0), NOT_MET, "30 min", 2),
        (outings(10, talk=None, effort=6.0), NOT_MET, "0 min", 1),
        (outings(10, talk=None, effort=None), UNKNOWN, "0 min", 1),
        (outings(10, talk=None, effort=None, minutes=44.0), NOT_MET, "0 min", 1),
        (outings(10, kind=SessionKind.STRENGTH), UNKNOWN, "0 min", 0),
        ((*outings(10, minutes=30.0), *outings(9, talk=None, effort=None)), UNKNOWN, "30 min", 2),
    ],
)
def test_one_easy_outing_of_three_quarters_of_an_hour(logs, state: State, value: str, looked: int) -> None:
    one = found("easy_outing", logs=logs)

    assert (one.state, one.value) == (state, value)
    assert figures(one) == [("longest easy outing", value), ("outings looked at", str(looked))]


def test_a_shorter_one_is_short_by_its_share() -> None:
    one = found("easy_outing", logs=outings(10, minutes=30.0))

    assert (one.short_fraction, one.would_change) == (pytest.approx(1 / 3), "One easy outing that long.")


@pytest.mark.parametrize(("talk", "effort", "state"), [(Talk.CHAT, 3.0, NOT_MET), (None, None, NOT_MET)])
def test_an_outing_with_a_symptom_shows_nothing(talk, effort, state: State) -> None:
    records = {"logs": outings(10, talk=talk, effort=effort), "symptoms": (symptom(felt_on=ago(10)),)}

    assert found("easy_outing", **records).state is state
    assert found("easy_outing", logs=outings(10), symptoms=(symptom(felt_on=ago(11)),)).state is MET


def test_speech_in_sentences_is_easy_once_the_transition_is_over() -> None:
    brief = outings(1, talk=Talk.SENTENCES, effort=None)
    before = base_weeks(13, minutes=30)

    assert found("easy_outing", logs=brief).state is NOT_MET
    assert found("easy_outing", logs=(*before, *brief)).state is MET


# Readiness.


@pytest.mark.parametrize(
    ("notes", "state", "value"),
    [
        ((readiness(noted_on=ago(1)),), MET, "usual"),
        ((readiness(not_right_today=True),), NOT_MET, "down"),
        ((), UNKNOWN, "unknown"),
    ],
)
def test_readiness_as_it_is_judged(notes, state: State, value: str) -> None:
    judged = is_down(notes, TODAY, RULES)

    one = found("readiness", readiness=notes)

    assert (one.state, one.value, one.why.figures, one.why.rule) == (
        state,
        value,
        judged.why.figures,
        judged.why.rule,
    )
    assert one.would_change == (None if state is MET else "The next notes, as usual.")


# The standard loop.
ASKED = "A standard loop, same route, same talk (every 4 weeks)."


def loop(days: int, **changes: object):
    return standard_loop(**({"id": 500 - days, "tested_on": ago(days)} | changes))


@pytest.mark.parametrize(
    ("earlier", "later", "state", "value"),
    [
        ({}, {}, MET, "steady or better"),
        ({}, {"heart_rate_bpm": 123}, MET, "steady or better"),
        ({}, {"heart_rate_bpm": 124}, NOT_MET, "worse"),
        ({}, {"heart_rate_bpm": 124, "duration_s": 2699.0}, MET, "steady or better"),
        ({}, {"duration_s": 2835.0}, MET, "steady or better"),
        ({}, {"duration_s": 2836.0}, NOT_MET, "worse"),
        ({}, {"duration_s": None}, UNKNOWN, "time or heart rate missing"),
        ({"duration_s": None}, {}, UNKNOWN, "time or heart rate missing"),
        ({}, {"heart_rate_bpm": None}, UNKNOWN, "time or heart rate missing"),
        ({"heart_rate_bpm": None}, {}, UNKNOWN, "time or heart rate missing"),
        ({}, {"distance_m": 4081.0}, MET, "steady or better"),
        ({}, {"distance_m": 4082.0}, UNKNOWN, "fewer than two alike"),
        ({"distance_m": 4080.0}, {}, MET, "steady or better"),
        ({"distance_m": 3920.0}, {}, MET, "steady or better"),
        ({"distance_m": 4080.5}, {}, UNKNOWN, "fewer than two alike"),
        ({"distance_m": 3919.5}, {}, UNKNOWN, "fewer than two alike"),
        ({"distance_m": None}, {}, UNKNOWN, "fewer than two alike"),
        ({}, {"distance_m": None}, UNKNOWN, "fewer than two alike"),
        ({"distance_m": None}, {"distance_m": None}, MET, "steady or better"),
        ({"mode": Mode.RIDE}, {}, UNKNOWN, "fewer than two alike"),
    ],
)
def test_the_last_loop_against_the_one_before(earlier, later, state: State, value: str) -> None:
    one = found("standard_loop", tests=(loop(40, **earlier), loop(5, **later)))

    assert said(one) == (state, value, None if state is MET else ASKED, None, None)


@pytest.mark.parametrize(("days", "state"), [(56, MET), (57, UNKNOWN)])
def test_a_loop_older_than_two_rounds_of_weeks_is_unknown(days: int, state: State) -> None:
    assert found("standard_loop", tests=(loop(90), loop(days))).state is state


def test_how_old_the_last_loop_is_is_said() -> None:
    assert found("standard_loop", tests=(loop(90), loop(63))).value == "the last is 9 weeks old"


def test_the_newest_like_the_last_is_compared_and_two_are_shown() -> None:
    tests = (loop(80, heart_rate_bpm=140), loop(40), loop(20, mode=Mode.RIDE), loop(5, heart_rate_bpm=124))

    one = found("standard_loop", tests=tests)

    assert one.state is NOT_MET
    assert figures(one) == [
        (day_words(ago(20)), "45.0 min, 118 bpm, typed by the client"),
        (day_words(ago(5)), "45.0 min, 124 bpm, typed by the client"),
    ]


def test_a_loop_says_what_it_lacks_and_where_it_comes_from() -> None:
    bare = loop(5, duration_s=None, heart_rate_bpm=None, origin=Origin.COACH)

    assert figures(found("standard_loop", tests=(bare,))) == [
        (day_words(ago(5)), "no time, no heart rate, measured by the coach")
    ]


def test_loops_of_other_days_tests_and_order() -> None:
    ahead, same_day = loop(-1), loop(5, id=900, heart_rate_bpm=124)
    other = replace(loop(3), protocol=next(one for one in type(ahead.protocol) if one is not ahead.protocol))

    assert found("standard_loop", tests=(loop(5), ahead)).value == "fewer than two alike"
    assert found("standard_loop", tests=(loop(5), other)).value == "fewer than two alike"
    assert found("standard_loop", tests=(same_day, loop(5))).state is NOT_MET
    assert found("standard_loop", tests=(loop(5), loop(0))).state is MET
    later_entered = loop(40, id=901, heart_rate_bpm=140)
    assert found("standard_loop", tests=(later_entered, loop(5))).state is MET


def test_a_heart_rate_that_is_not_reliable_is_passed_over_and_marked() -> None:
    off = client(heart_rate_use=HeartRateUse.NOT_RELIABLE)

    one = found("standard_loop", client=off, tests=(loop(40), loop(5, heart_rate_bpm=150)))

    assert one.state is MET
    assert figures(one)[1][1].startswith("45.0 min, 150 bpm (")


# How effort is steered.


@pytest.mark.parametrize(
    ("changes", "state", "value"),
    [
        ({}, MET, "reliable"),
        ({"heart_rate_source": None}, NOT_MET, "reliable, nothing written beside it"),
        ({"heart_rate_source": " ", "effort_plan": "By talk."}, NOT_MET, "reliable, nothing written beside it"),
        ({"heart_rate_use": HeartRateUse.UNKNOWN}, UNKNOWN, "not recorded"),
        ({"heart_rate_use": HeartRateUse.NOT_RELIABLE}, NOT_MET, "not reliable, nothing written beside it"),
        ({"heart_rate_use": HeartRateUse.NOT_RELIABLE, "effort_plan": "By talk."}, MET, "not reliable"),
    ],
)
def test_effort_is_steered_by_a_known_source_or_a_written_plan(changes, state: State, value: str) -> None:
    person = client(**changes)

    one = found("heart_rate", client=person)

    change = "Record the source, or write how effort is steered without it."
    assert said(one) == (state, value, None if state is MET else change, None, None)
    assert figures(one)[:3] == [
        ("heart rate", person.heart_rate_use.value.replace("_", " ")),
        ("source", person.heart_rate_source or "not recorded"),
        ("effort plan", person.effort_plan or "none"),
    ]


def test_why_heart_rate_is_off_is_named() -> None:
    change = hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, began_on=ago(3), lifted_at=None)

    one = found("heart_rate", holds=(change,))

    assert one.state is NOT_MET
    assert [name for name, _ in figures(one)][3:] == ["because"]


def test_conditions_looked_at_already_are_taken_as_they_are() -> None:
    known = history()
    beside = conditions_beside_weeks(known, TODAY, RULES)
    before = tuple(replace(one, value="as looked at before") for one in beside)
    found = practice_conditions(known, TODAY, RULES, beside=before)

    assert set(beside) < set(practice_conditions(known, TODAY, RULES))
    assert [one for one in found if one.value == "as looked at before"] == list(before)
