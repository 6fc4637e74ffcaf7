"""An easy version is not taken back into anything that stops hard work today."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.easy_back import back_asks, back_refused
from app.coaching.effort import Talk
from app.coaching.holds import HoldKind, Stops
from app.coaching.phases import Phase
from app.coaching.rules import Rules
from tests import factories as make

RULES = Rules()
HARD = make.planned_hard(planned_on=make.TODAY)
FREE = make.history(
    logs=make.base_weeks(30),
    screening=(make.answers(answered_on=make.TODAY),),
    decisions=(make.decision(phase=Phase.INTERVAL_ONE, since_on=make.TODAY - timedelta(weeks=20)),),
)


def test_nothing_stands_against_it_where_hard_work_is_free():
    assert back_refused(FREE, HARD, make.TODAY, RULES) == ()


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"holds": (make.hold(kind=HoldKind.SYMPTOM, stops=Stops.ALL),)}, "paused since"),
        ({"holds": (make.hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD),)}, "paused since"),
        # Days off under two weeks stop no publishing; until they are answered the day itself is easy.
        ({"told_away": (make.told_away(),)}, "8 days off were told"),
    ],
    ids=["all training", "hard work", "days off not answered"],
)
def test_whatever_stops_hard_work_today_stands_against_it(changes, says):
    [said] = back_refused(replace(FREE, **changes), HARD, make.TODAY, RULES)

    assert says in said
    assert "your coach" not in said


def test_what_asks_for_a_reason_is_asked_again_though_it_was_sent_before():
    sent = replace(HARD, published_at=make.at(make.TODAY - timedelta(days=3)))
    done_yesterday = make.log(
        id=900, done_on=make.TODAY - timedelta(days=1), effort=8.0, talk=Talk.FEW_WORDS, minutes=50
    )
    worked = replace(FREE, logs=(*FREE.logs, done_yesterday))

    assert "24 h apart, 72 h are needed" in " ".join(
        one.sentence for one in back_asks(worked, sent, make.TODAY, RULES)
    )
