"""Days told as away in the look ahead and for the planner: what is planned there and does not fit."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.lookahead_away import away_breaches
from app.coaching.lookahead_values import Level
from app.coaching.people import Mode
from app.coaching.time_away import Possible, Stretch
from app.coaching.told_away import AwayAnswer, AwayKind, told_stretches
from tests import factories as make
from tests.factories import TODAY


def journey(possible: Possible, **changes):
    days = {"from_on": TODAY, "until_on": TODAY + timedelta(days=3)}
    return make.told_away(kind=AwayKind.TRAVEL, possible=possible, **(days | changes))


@pytest.mark.parametrize(
    ("possible", "session", "is_said"),
    [
        (Possible.NOTHING, make.planned(), True),
        (Possible.WALKING, make.planned(), False),
        (Possible.WALKING, make.planned(mode=Mode.RIDE), True),
        (Possible.WALKING, make.planned_hard(mode=Mode.WALK), True),
        (Possible.LESS, make.planned(mode=Mode.RIDE), False),
        (Possible.LESS, make.planned_hard(), True),
    ],
)
def test_what_does_not_fit_a_day_away_is_said(possible, session, is_said):
    found = away_breaches(make.history(told_away=(journey(possible),)), [session])

    assert [(one.level, one.kind) for one in found] == [(Level.SAYS, "away")] * is_said


@pytest.mark.parametrize("day", [-1, 4])
def test_the_days_beside_it_are_free(day):
    session = make.planned_hard(planned_on=TODAY + timedelta(days=day))

    assert away_breaches(make.history(told_away=(journey(Possible.NOTHING),)), [session]) == []


def test_agreed_time_off_is_not_said_twice():
    leave = make.leave(from_on=TODAY, until_on=TODAY)
    history = make.history(told_away=(journey(Possible.NOTHING),), leaves=(leave,))

    assert away_breaches(history, [make.planned()]) == []


@pytest.mark.parametrize("answer", [AwayAnswer.DECLINED, AwayAnswer.TAKEN_BACK])
def test_what_does_not_count_is_not_said_and_not_planned_round(answer):
    told = (journey(Possible.NOTHING, answer=answer),)

    assert away_breaches(make.history(told_away=told), [make.planned()]) == []
    assert told_stretches(told, TODAY) == ()


def test_the_planner_reads_the_days_that_are_not_over():
    told = (journey(Possible.WALKING), journey(Possible.LESS, id=2, from_on=TODAY, until_on=TODAY))

    assert told_stretches(told, TODAY + timedelta(days=1)) == (
        Stretch(TODAY, TODAY + timedelta(days=3), Possible.WALKING),
    )
