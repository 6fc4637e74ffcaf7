"""The first wording of a message that goes along with a published plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from app.coaching.plan_message import plan_message
from app.coaching.plan_weeks import PlanEntry, entries_of
from tests import factories as make


def _draft(days: int, *, is_hard: bool = False) -> PlanEntry:
    one = (make.planned_hard if is_hard else make.planned)(
        id=days, planned_on=make.TODAY + timedelta(days=days), published_at=None
    )
    return entries_of([one], [])[0]


def test_it_says_from_when_and_what_is_new() -> None:
    said = plan_message("Ilse Brandt", [_draft(5), _draft(7, is_hard=True)])

    assert said == (
        "Hello Ilse, your plan from Sat 10 Oct to Mon 12 Oct is there. It begins with: Easy walk, 45 min. "
        "New: 2 sessions, hard on Mon 12 Oct. Tell me if a day does not fit."
    )


def test_many_hard_days_are_counted() -> None:
    said = plan_message("Ilse Brandt", [_draft(days, is_hard=True) for days in (3, 10, 17, 24)])

    assert "New: 4 sessions, hard on 4 days, the first" in said


def test_what_is_taken_away_is_named_by_the_day_the_client_was_given() -> None:
    given = make.planned(planned_on=make.TODAY + timedelta(days=2))
    gone = replace(given, version=2, version_id=2, is_cancelled=True, published_at=None)

    said = plan_message("Ilse Brandt", entries_of([gone], [given]))

    assert "your plan has changed. No longer planned: " in said


def _taken_away(days: int) -> PlanEntry:
    given = make.planned(id=100 + days, version_id=100 + days, planned_on=make.TODAY + timedelta(days=days))
    gone = replace(given, version=2, version_id=200 + days, is_cancelled=True, published_at=None)
    return entries_of([gone], [given])[0]


def _changed(days: int) -> PlanEntry:
    given = make.planned(id=300 + days, version_id=300 + days, planned_on=make.TODAY + timedelta(days=days))
    shorter = replace(given, version=2, version_id=400 + days, minutes=30, published_at=None)
    return entries_of([shorter], [given])[0]


def test_a_day_that_holds_another_session_is_replaced_and_not_said_to_be_empty() -> None:
    changed = _changed(4)
    moved_there = replace(changed, session=replace(changed.session, planned_on=make.TODAY + timedelta(days=3)))

    said = plan_message("Ilse Brandt", [_taken_away(1), _draft(1), _taken_away(3), moved_there, _taken_away(5)])

    assert "Replaced: Tue 6 Oct, Thu 8 Oct. No longer planned: Sat 10 Oct." in said


def test_a_day_that_keeps_one_of_its_sessions_has_one_less() -> None:
    entries = [_taken_away(1), _changed(1), _taken_away(2)]

    said = plan_message("Ilse Brandt", entries, standing_on=(make.TODAY + timedelta(days=2),))

    assert "One session less: Tue 6 Oct, Wed 7 Oct." in said
    assert "No longer planned" not in said


def test_many_days_taken_away_are_counted() -> None:
    said = plan_message("Ilse Brandt", [_taken_away(days) for days in range(1, 9)])

    assert "No longer planned: 8 days from Tue 6 Oct to Tue 13 Oct." in said


def test_nothing_sent_says_nothing() -> None:
    assert plan_message("Ilse Brandt", []) == ""
