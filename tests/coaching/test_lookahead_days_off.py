"""Hard work planned too soon after days off is asked about, and no mend puts any there.

Common practice, no published source: after 5 to 9 days off two easy sessions come first, after 10 to 13 an easy week.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.history import History
from app.coaching.lookahead import breaches
from app.coaching.lookahead_days_off import days_off_breaches
from app.coaching.lookahead_gathered import as_it_stands, gathered
from app.coaching.lookahead_mend_values import Way, ahead_of
from app.coaching.lookahead_mends import mends
from app.coaching.lookahead_values import DAYS_OFF, Level
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.steps import to_json
from app.coaching.told_away import AwayAnswer, ToldAway
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
ALL_WEEK = tuple(make.available(weekday=n, minutes=90) for n in range(7))


def on(days: int) -> date:
    return TODAY + timedelta(days=days)


def off(days: int, until: int = -1, **changes: Any) -> ToldAway:
    """So many days off, the last of them on a day counted from today, a Monday."""
    given: dict[str, Any] = {"from_on": on(until + 1 - days), "until_on": on(until), "answer": AwayAnswer.ACCEPTED}
    return make.told_away(**(given | changes))


def hard(day: int) -> PlannedSession:
    two = to_json(make.interval_steps(2))
    return make.planned_hard(
        id=100 + day, version_id=100 + day, planned_on=on(day), published_at=None, rounds=2, steps_json=two
    )


def easy(day: int) -> PlannedSession:
    return make.planned(id=200 + day, version_id=200 + day, planned_on=on(day))


def asked(history: History, *drafts: PlannedSession, standing: tuple[PlannedSession, ...] = ()) -> list[int]:
    found = days_off_breaches(history, standing, drafts)
    assert all((one.level, one.kind) == (Level.ASKS, DAYS_OFF) for one in found)
    return [(one.on - TODAY).days for one in found]


@pytest.mark.parametrize(
    ("days", "until", "too_soon"),
    [
        (4, -1, []),
        (9, -1, [0]),  # two easy sessions first; they stand on the second and the fourth day
        (10, -1, [0, 3]),  # back on a Monday: this week is the easy one
        (13, -1, [0, 3]),
        (10, 0, [3]),  # back on a Tuesday
        (10, 1, [3, 10]),  # back on a Wednesday: the next week is easy too
        (14, -1, []),  # stops hard work by itself, said there
    ],
)
def test_hard_work_too_soon_after_days_off_asks_for_a_reason(days, until, too_soon):
    history = make.history(told_away=(off(days, until),))

    found = asked(history, hard(0), hard(3), hard(10), standing=(easy(1), easy(2)))

    assert [day for day in found if day > until] == too_soon


@pytest.mark.parametrize(
    ("planned", "done", "is_asked"),
    [
        ((), (), True),
        ((1,), (), True),
        ((1, 2), (), False),
        ((2,), (1,), False),
        ((), (1, 2), False),
        ((3, 4), (), True),
    ],
)
def test_two_easy_sessions_come_first_planned_or_done(planned, done, is_asked):
    logs = tuple(make.log(id=500 + day, done_on=on(day)) for day in done)
    history = make.history(told_away=(off(6),), logs=logs)

    assert asked(history, hard(3), standing=tuple(easy(day) for day in planned)) == [3] * is_asked


def strength(day: int) -> PlannedSession:
    return replace(easy(day), kind=SessionKind.STRENGTH, mode=Mode.STRENGTH)


@pytest.mark.parametrize(
    ("before", "is_asked"),
    [
        ((easy(0), easy(1)), False),  # the first day back counts
        ((easy(-1), easy(1)), True),  # a day before it does not
        ((easy(1), easy(3)), True),  # nor does the day itself
        ((easy(1), strength(2)), True),
        ((easy(1), hard(2)), True),
    ],
)
def test_only_easy_sessions_between_them_count(before, is_asked):
    history = make.history(told_away=(off(6),))

    assert (3 in asked(history, *before, hard(3))) is is_asked


@pytest.mark.parametrize(
    ("entered", "is_asked"),
    [
        ({"minutes": 1}, False),
        ({"minutes": None, "answer": Answer.NOT_DONE}, True),
        ({"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH}, True),
    ],
)
def test_only_endurance_that_was_done_counts(entered, is_asked):
    logs = (make.log(id=501, done_on=on(1)), make.log(id=502, done_on=on(2), **entered))

    assert asked(make.history(told_away=(off(6),), logs=logs), hard(3)) == [3] * is_asked


@pytest.mark.parametrize(("day", "is_asked"), [(13, True), (14, False)])
def test_easy_sessions_are_waited_for_two_weeks(day, is_asked):
    assert asked(make.history(told_away=(off(6),)), hard(day)) == [day] * is_asked


def test_a_day_off_since_then_takes_nothing_back():
    history = make.history(told_away=(off(11), off(1, 1, id=2)))

    assert asked(history, easy(2), hard(3)) == [3]


@pytest.mark.parametrize("answer", list(AwayAnswer))
def test_what_was_declined_or_taken_back_asks_nothing_and_what_waits_does(answer):
    counts = answer in (AwayAnswer.OPEN, AwayAnswer.ACCEPTED)

    assert asked(make.history(told_away=(off(11, answer=answer),)), hard(1)) == [1] * counts


def test_agreed_leave_asks_the_same_and_easy_work_is_never_asked_about():
    history = make.history(leaves=(make.leave(from_on=on(-11), until_on=on(-1)),))

    assert asked(history, hard(1), easy(2)) == [1]


def _somebody(*, told: ToldAway, **records: Any) -> History:
    given: dict[str, Any] = {
        "client": make.client(born_on=date(1985, 10, 7), regularly_active_confirmed_on=on(-280)),
        "decisions": (make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=on(-140)),),
        "screening": (make.answers(),),
        "available": ALL_WEEK,
        "told_away": (told,),
        "until_on": on(60),
    }
    return make.history(**(given | records))


def test_the_days_off_explain_the_gap_and_no_mend_puts_hard_work_into_the_easy_week():
    sessions = tuple(make.planned(id=300 + day, planned_on=on(day), minutes=45) for day in (0, 2, 4))
    rounds = tuple(make.planned_hard(id=400 + day, planned_on=on(day)) for day in (-18, 9))
    history = _somebody(told=off(11), planned=(*sessions, *rounds))

    kinds = {one.kind for one in as_it_stands(history, TODAY, RULES)}

    assert not kinds & {"gap", DAYS_OFF}


def test_hard_work_in_the_easy_week_is_mended_by_making_it_easy_or_moving_it_behind():
    logs = make.base_weeks(6, minutes=60)
    history = _somebody(told=off(10), drafts=(hard(1), hard(10)), logs=logs)
    plan = ahead_of(history, frozenset(one.id for one in history.drafts), TODAY, RULES)
    whole = plan.found()

    groups = [one.of for one in gathered(whole, 2) if one.kind == DAYS_OFF]

    assert [[one.on for one in group] for group in groups] == [[on(1)]]
    made = [mend for group in groups for mend in mends(plan, group, whole)]
    assert {mend.way for mend in made} == {Way.MOVE, Way.EASE}
    assert all(DAYS_OFF not in {b.kind for b in plan.changed(mend.changes).found()} for mend in made)


def test_the_look_ahead_says_which_days_were_off_and_what_comes_first():
    (found,) = (b for b in breaches(_somebody(told=off(11)), [hard(1)], TODAY, RULES) if b.kind == DAYS_OFF)

    assert found.sentence == (
        "Rounds on Tue 6 Oct: after 11 days off, Thu 24 Sep to Sun 4 Oct, an easy week comes first, "
        "75 % of the last full one."
    )
    assert [(one.name, one.text) for one in found.why.figures] == [
        ("days off", "11, Thu 24 Sep to Sun 4 Oct"),
        ("planned", "Rounds, Tue 6 Oct"),
    ]
    assert found.shared == found.sentence.removeprefix("Rounds on Tue 6 Oct: ")
    assert found.why.provenance.value == "common practice, no published source"
