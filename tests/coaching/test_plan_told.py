"""What a client is told of a plan that changed: what it was, what it is, why, and only for a while."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.plan_told import ToldChange, told_changes
from app.coaching.prescriptions import PlannedSession
from tests import factories as make
from tests.factories import TODAY

THURSDAY, FRIDAY = TODAY + timedelta(days=3), TODAY + timedelta(days=4)


def version(number: int, on: date = THURSDAY, days_ago: int = 0, **changes: Any) -> PlannedSession:
    at = make.at(TODAY - timedelta(days=days_ago))
    return make.planned(version=number, version_id=number, planned_on=on, published_at=at, **changes)


def told(*versions: PlannedSession) -> list[ToldChange]:
    return list(told_changes([versions], today=TODAY, until=TODAY + timedelta(days=6), zone="Europe/Berlin"))


def test_a_shorter_session_says_what_it_was_and_why() -> None:
    (change,) = told(version(1, days_ago=6), version(2, minutes=30, reason="You slept badly."))

    assert change.words == "Thu 8 Oct, Easy walk, 30 min. It was: Easy walk, 45 min."
    assert change.now.reason == "You slept badly."
    assert change.changed_on == TODAY


def test_a_moved_session_is_told_by_both_days() -> None:
    (change,) = told(version(1, days_ago=6), version(2, on=FRIDAY))

    assert change.words == "Fri 9 Oct, Easy walk, 45 min. It was: Thu 8 Oct, Easy walk, 45 min."


def test_a_cancelled_session_says_so() -> None:
    (change,) = told(version(1, days_ago=6), version(2, is_cancelled=True))

    assert change.words == "Thu 8 Oct, Easy walk, 45 min: cancelled."


def test_the_version_the_client_had_is_compared_not_a_cancelled_one_between() -> None:
    assert told(version(1, days_ago=6), version(2, is_cancelled=True), version(3)) == []


def test_a_version_that_says_the_same_is_no_change() -> None:
    assert told(version(1, days_ago=6), version(2, reason="Sent again.")) == []


def test_a_session_sent_once_was_not_changed() -> None:
    assert told(version(1)) == []


@pytest.mark.parametrize(("days_ago", "count"), [(6, 1), (7, 0)])
def test_a_change_is_told_for_a_week(days_ago: int, count: int) -> None:
    assert len(told(version(1, days_ago=20), version(2, days_ago=days_ago, minutes=30))) == count


def test_what_was_or_is_today_is_told_beside_the_session() -> None:
    assert told(version(1, on=TODAY, days_ago=6), version(2, on=FRIDAY)) == []
    assert told(version(1, days_ago=6), version(2, on=TODAY)) == []


def test_what_lies_far_ahead_is_not_told_yet() -> None:
    far = TODAY + timedelta(days=9)

    assert told(version(1, on=far, days_ago=6), version(2, on=far, minutes=30)) == []


def test_changes_come_by_day() -> None:
    later = [version(1, on=FRIDAY, days_ago=6, id=1), version(2, on=FRIDAY, minutes=30, id=1)]
    sooner = [version(1, days_ago=6, id=2), version(2, minutes=30, id=2)]
    found = told_changes([later, sooner], today=TODAY, until=FRIDAY, zone="Europe/Berlin")

    assert [one.now.planned_on for one in found] == [THURSDAY, FRIDAY]
