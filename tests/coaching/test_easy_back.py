"""An easy version is not taken back into anything that stops hard work today."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.easy_back import back_refused
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
