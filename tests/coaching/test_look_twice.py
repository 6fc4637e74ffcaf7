"""What is asked once more before an entry is kept, and what is kept at once."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.effort import Talk
from app.coaching.look_twice import doubt_key, doubts_about
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from tests import factories

BASE = (factories.decision(),)
INTERVALS = (*BASE, factories.decision(id=2, phase=Phase.INTERVAL_ONE, since_on=factories.TODAY - timedelta(weeks=4)))


def fields(decisions=BASE, earlier=(), planned=None, **said):
    log = factories.log(**({"id": 0} | said))
    client = factories.client(joined_on=factories.TODAY - timedelta(weeks=40))
    found = doubts_about(log, planned, client=client, earlier=earlier, decisions=decisions, rules=Rules())
    return [one.field for one in found]


def test_a_usual_walk_is_kept_at_once():
    assert fields() == []


@pytest.mark.parametrize(
    ("minutes", "longest", "asked"), [(360, 30, []), (361, 30, ["minutes"]), (400, 200, []), (400, 199, ["minutes"])]
)
def test_over_six_hours_is_asked_about_when_the_longest_is_under_half_of_it(minutes, longest, asked):
    earlier = (factories.log(id=2, done_on=factories.TODAY - timedelta(days=60), minutes=longest),)

    assert fields(minutes=minutes, earlier=earlier) == asked


def test_an_outing_over_sixty_days_back_says_nothing_about_today():
    earlier = (factories.log(id=2, done_on=factories.TODAY - timedelta(days=61), minutes=400),)

    assert fields(minutes=400, earlier=earlier) == ["minutes"]


@pytest.mark.parametrize(
    ("said", "asked"),
    [
        ({"kind": SessionKind.RACE}, ["kind"]),
        ({"kind": SessionKind.INTERVALS, "effort": None, "talk": None}, ["kind"]),
        ({"felt_all_out": True}, ["felt_all_out"]),
        ({"talk": Talk.FEW_WORDS, "effort": None}, ["talk"]),
        ({"effort": 7, "talk": None}, ["effort"]),
        ({"rounds": (factories.work_round(),)}, ["round_1_done"]),
        ({"effort": 6, "talk": None}, []),
    ],
)
def test_hard_work_in_base_is_asked_about_where_it_is_said(said, asked):
    assert fields(**said) == asked
    assert fields(INTERVALS, **said) == []


def test_hard_work_that_was_planned_is_no_surprise():
    assert fields(planned=factories.planned_hard(), kind=SessionKind.INTERVALS) == []


@pytest.mark.parametrize(("days_before", "asked"), [(0, []), (1, ["done_on"])])
def test_a_day_before_joining_is_asked_about(days_before, asked):
    day = factories.TODAY - timedelta(weeks=40, days=days_before)

    assert fields(done_on=day) == asked


def test_the_key_names_the_values_so_that_a_tick_is_for_them_alone():
    client = factories.client()
    keys = {
        doubt_key(
            doubts_about(
                factories.log(id=0, minutes=minutes),
                None,
                client=client,
                earlier=(),
                decisions=BASE,
                rules=Rules(),
            )
        )
        for minutes in (700, 900)
    }

    assert keys == {"minutes=700", "minutes=900"}
