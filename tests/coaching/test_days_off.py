"""The table of days off, row by row at its edges, and how days are counted.

Common practice, no published source; base only from 14 days on is a house choice.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.days_off import days_off_why, row_for, run_of
from app.coaching.reasons import Provenance
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind
from tests import factories as make
from tests.factories import TODAY


@pytest.mark.parametrize(
    ("days", "least", "shares", "rounds", "lower", "is_base_only"),
    [
        (5, 5, (), (), 0.0, False),
        (9, 5, (), (), 0.0, False),
        (10, 10, (0.75,), (2, 3), 0.05, False),
        (13, 10, (0.75,), (2, 3), 0.05, False),
        (14, 14, (0.5, 0.75), (2, 3, 4), 0.10, True),
        (27, 14, (0.5, 0.75), (2, 3, 4), 0.10, True),
        (28, 28, (0.5, 0.6, 0.75, 0.9), (), 0.0, True),
        (84, 28, (0.5, 0.6, 0.75, 0.9), (), 0.0, True),
        (85, 85, (0.5, 0.6, 0.75, 0.9), (), 0.0, True),
        (400, 85, (0.5, 0.6, 0.75, 0.9), (), 0.0, True),
    ],
)
def test_what_days_off_ask_for(days, least, shares, rounds, lower, is_base_only):  # noqa: PLR0917  # the table's columns
    """Common practice, no published source."""
    row = row_for(days)

    assert row is not None
    assert (row.least, row.shares, row.rounds, row.target_off) == (least, shares, rounds, lower)
    assert row.is_base_only is is_base_only


@pytest.mark.parametrize("days", [0, 1, 4])
def test_under_five_days_off_change_nothing(days):
    assert row_for(days) is None


def test_five_to_nine_days_ask_for_two_easy_sessions_and_one_round_fewer():
    row = row_for(7)

    assert row is not None
    assert (row.easy_first, row.fewer) == (2, 1)


def test_from_four_weeks_on_rounds_are_planned_afresh():
    assert [days for days in (27, 28, 84, 85) if (row := row_for(days)) and row.is_afresh] == [28, 84, 85]


def test_over_twelve_weeks_somebody_begins_as_new():
    row = row_for(85)

    assert row is not None
    assert row.to_do[0].startswith("As new")


def test_days_are_counted_with_both_ends():
    run = run_of(make.told_away(), (), ())

    assert run is not None
    assert (run.days, run.back_on) == (8, TODAY)


def test_what_adjoins_is_counted_along_and_makes_a_longer_row():
    before = make.told_away(id=2, from_on=TODAY - timedelta(days=15), until_on=TODAY - timedelta(days=9))
    leave = make.leave(from_on=TODAY - timedelta(days=18), until_on=TODAY - timedelta(days=16))

    run = run_of(make.told_away(), (before,), (leave,))

    assert run is not None
    assert run.days == 18


def test_a_day_between_parts_two_runs():
    before = make.told_away(id=2, from_on=TODAY - timedelta(days=15), until_on=TODAY - timedelta(days=10))

    run = run_of(make.told_away(), (before,), ())

    assert run is not None
    assert run.days == 8


@pytest.mark.parametrize(
    ("answer", "days"), [(AwayAnswer.TAKEN_BACK, 8), (AwayAnswer.DECLINED, 15), (AwayAnswer.ACCEPTED, 15)]
)
def test_days_taken_back_are_left_out_and_declined_ones_were_off_all_the_same(answer, days):
    before = make.told_away(
        id=2, from_on=TODAY - timedelta(days=15), until_on=TODAY - timedelta(days=9), answer=answer
    )

    run = run_of(make.told_away(), (before,), ())

    assert run is not None
    assert run.days == days


@pytest.mark.parametrize("possible", [Possible.WALKING, Possible.LESS])
def test_days_on_which_something_is_possible_are_no_days_off(possible):
    assert run_of(make.told_away(kind=AwayKind.TRAVEL, possible=possible), (), ()) is None


def test_the_reason_names_the_days_the_row_and_that_it_is_common_practice():
    run, row = run_of(make.told_away(from_on=TODAY - timedelta(days=16)), (), ()), row_for(16)
    assert run is not None
    assert row is not None

    why = days_off_why(run, row)

    assert why.provenance is Provenance.COMMON_PRACTICE
    assert [figure.text for figure in why.figures] == [
        "16, Sat 19 Sep to Sun 4 Oct", "14 to 27 days", "50 %, 75 %",
    ]  # fmt: skip
