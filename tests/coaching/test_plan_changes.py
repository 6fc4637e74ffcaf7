"""What a typed day makes of a session that stands there: its place stays with the way of moving."""

from __future__ import annotations

import pytest

from app.coaching.people import Mode
from app.coaching.plan_changes import day_changes
from app.coaching.prescriptions import PlannedSession
from app.coaching.typed_session import Typed, parse_day
from tests import factories as make


@pytest.mark.parametrize(
    ("words", "place"),
    [
        ("30 easy swim", "town pool, lane two"),
        ("45 easy ride", None),
        ("45 easy uphill walk", "uphill"),
    ],
)
def test_a_place_stays_only_for_the_same_way_of_moving(words: str, place: str | None) -> None:
    swim = make.planned(mode=Mode.SWIM, title="Easy swim", minutes=45, place="town pool, lane two")

    def made(typed: Typed) -> PlannedSession:
        return make.planned(id=-1, mode=typed.mode, place="uphill" if typed.is_uphill else None)

    (change,) = day_changes([(parse_day("45 easy swim")[0], swim)], parse_day(words), made)

    assert (change.after.id, change.after.place) == (swim.id, place)
