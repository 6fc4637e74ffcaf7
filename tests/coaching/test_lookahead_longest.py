"""What an outing's length is held against: what was done, and what stands for an earlier week, never its own week."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.lookahead_values import Breach
from app.coaching.lookahead_volume import volume_breaches
from app.coaching.rules import Rules
from app.coaching.weeks import week_start
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
NEXT_MONDAY = week_start(TODAY) + timedelta(weeks=1)


def outing(day: int, minutes: int, **changes):
    on = NEXT_MONDAY + timedelta(days=day)
    return make.planned(**({"id": 50 + day, "planned_on": on, "minutes": minutes, "published_at": None} | changes))


def found(history, *drafts, standing=()) -> list[Breach]:
    every = volume_breaches(history, standing, drafts, TODAY, RULES)
    return [one for one in every if one.kind == "longest"]


def test_an_outing_of_the_same_week_is_no_base_for_a_longer_one() -> None:
    history = make.history(logs=(make.log(done_on=TODAY - timedelta(days=3), minutes=40.0),))

    # A tenth on 40 is 44, whatever else is laid into that week.
    said = found(history, outing(0, 44), outing(2, 48), outing(4, 52))

    assert [one.on for one in said] == [NEXT_MONDAY + timedelta(days=2), NEXT_MONDAY + timedelta(days=4)]
    assert all("the longest in the 30 days before is 40, so 44 is the most" in one.sentence for one in said)


def test_who_did_nothing_is_not_told_that_a_draft_was_the_longest() -> None:
    said = found(make.history(), outing(0, 49), outing(2, 55))

    assert len(said) == 2
    assert all("nothing in the 30 days before, so 30 is the most" in one.sentence for one in said)


@pytest.mark.parametrize("is_sent", [True, False])
def test_what_stands_for_an_earlier_week_counts_for_a_later_one(is_sent: bool) -> None:
    history = make.history(logs=(make.log(done_on=TODAY - timedelta(days=3), minutes=40.0),))
    first = outing(1, 44)

    sent = found(history, outing(8, 48), standing=(first,)) if is_sent else found(history, first, outing(8, 48))

    assert sent == []


def test_who_is_active_by_their_answers_alone_is_told_that_nothing_compares() -> None:
    active = make.history(screening=(make.answers(),))

    assert found(active, outing(0, 49)) == []
    [said] = found(active, outing(0, 49), outing(2, 55))
    assert "nothing in the 30 days before to compare with, and the week begins with 49, so 53 is the most" in (
        said.sentence
    )
