"""Taking back goes towards less work only: the earlier version, or the day without it; all else is left."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from app.coaching.taking_back import taken_back
from tests import factories
from tests.factories import TODAY, at

TOMORROW = TODAY + timedelta(days=1)
SENT_AT = at(TODAY)
BEFORE = factories.planned(planned_on=TOMORROW, minutes=40)


def _sent(**changes):
    return replace(BEFORE, **({"version_id": 2, "version": 2, "published_at": SENT_AT} | changes))


def test_a_session_the_client_never_had_is_taken_away():
    found = taken_back([_sent(version=1)], SENT_AT, TODAY)

    assert found.change is not None
    assert found.change.after.is_cancelled


def test_an_earlier_version_of_less_work_comes_back_on_top_of_the_newest():
    found = taken_back([BEFORE, _sent(minutes=60)], SENT_AT, TODAY)

    assert found.change is not None
    assert (found.change.after.minutes, found.change.before) == (40, _sent(minutes=60))


def test_an_earlier_version_of_more_minutes_or_more_effort_stays_away():
    longer = taken_back([BEFORE, _sent(minutes=39)], SENT_AT, TODAY)
    harder = taken_back([factories.planned_hard(planned_on=TOMORROW, minutes=40), _sent(minutes=60)], SENT_AT, TODAY)

    assert (longer.change, harder.change) == (None, None)
    assert "more work" in longer.left_because


def test_what_was_taken_away_stays_away():
    found = taken_back([BEFORE, _sent(is_cancelled=True)], SENT_AT, TODAY)

    assert found.change is None
    assert "bringing work back" in found.left_because


def test_an_earlier_cancelling_comes_back_as_a_cancelling():
    found = taken_back([BEFORE, replace(BEFORE, version=2, is_cancelled=True), _sent(version=3)], SENT_AT, TODAY)

    assert found.change is not None
    assert found.change.after.is_cancelled


def test_a_later_change_and_a_day_that_is_over_are_left():
    later = taken_back([BEFORE, _sent(minutes=60), _sent(version=3, published_at=None)], SENT_AT, TODAY)
    over = taken_back([replace(BEFORE, planned_on=TODAY - timedelta(days=1)), _sent(minutes=60)], SENT_AT, TODAY)

    assert later.left_because == "it was changed since."
    assert over.left_because.endswith("is over.")
