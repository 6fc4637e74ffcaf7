"""Today's session exchanged with another: two new published versions, the look ahead first, and one way back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.phases import Phase
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.storage.audit import trail_of
from app.usecases.gate import NotYours
from app.usecases.plan_sessions.swapping import look_at_swap, seen_of, swap, swapped_today, take_swap_back
from tests import plan_scenes as scene
from tests import seed

RULES = Rules()
FRIDAY = seed.TODAY + timedelta(days=2)
SUNDAY = seed.TODAY + timedelta(days=4)


def ids(db, people, *, hard_on=seed.TODAY, easy_on=FRIDAY) -> tuple[int, int]:
    """A hard and an easy session of somebody with nothing in the way of hard work."""
    scene.may_do_hard_work(db, people.client, phase=Phase.INTERVAL_TWO)
    hard_id = seed.add_planned_hard(db, client=people.client, planned_on=hard_on)
    return hard_id, seed.add_planned(db, client=people.client, planned_on=easy_on)


def look(db, people, session_id, *, who=None):
    return look_at_swap(
        db,
        actor=scene.actor_of(who or people.coach),
        client_id=people.client.id,
        planned_session_id=session_id,
        rules=RULES,
        now=seed.NOW,
    )


def do(db, people, session_id, other_id, *, despite="", seen=None, reason="Slept four hours."):
    found = look(db, people, session_id)
    other = next((one.session for one in found.options if one.session.id == other_id), found.session)
    return swap(
        db,
        actor=scene.actor_of(people.coach),
        client_id=people.client.id,
        planned_session_id=session_id,
        other_id=other_id,
        seen=seen_of(found.session, other) if seen is None else seen,
        reason=reason,
        reason_of_other="Changed places.",
        despite=despite,
        rules=RULES,
        now=seed.NOW,
    )


def done(db, people):
    return swapped_today(db, actor=scene.actor_of(people.coach), zone=seed.ZONE, now=seed.NOW)


def back(db, people, *, who=None, entry_id=None, now=seed.NOW):
    return take_swap_back(
        db,
        actor=scene.actor_of(who or people.coach),
        entry_id=entry_id or done(db, people)[0].entry_id,
        zone=seed.ZONE,
        rules=RULES,
        now=now,
    )


def days(db, *session_ids):
    return [scene.versions(db, one)[-1].planned_on for one in session_ids]


def test_both_change_days_at_once_as_new_versions_with_the_reason(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people)

        do(db, people, hard_id, easy_id)

        assert days(db, hard_id, easy_id) == [FRIDAY, seed.TODAY]
        newest = [scene.versions(db, one)[-1] for one in (hard_id, easy_id)]
        assert [(one.version, one.reason, one.published_at) for one in newest] == [
            (2, "Slept four hours.", seed.NOW),
            (2, "Changed places.", seed.NOW),
        ]
        assert [scene.versions(db, one)[0].planned_on for one in (hard_id, easy_id)] == [seed.TODAY, FRIDAY]
        assert [one.action for one in trail_of(db, client_id=people.client.id)[:2]] == ["swapped"] * 2


def test_what_the_look_ahead_asks_is_answered_before_anything_is_done(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people)
        seed.add_planned_hard(db, client=people.client, planned_on=FRIDAY + timedelta(days=1))

        with pytest.raises(ReasonNeeded) as problem:
            do(db, people, hard_id, easy_id)

        with pytest.raises(ReasonNeeded):
            do(db, people, hard_id, easy_id, despite="x")

        assert "spacing" in {one.kind for one in problem.value.found}
        assert days(db, hard_id, easy_id) == [seed.TODAY, FRIDAY]
        do(db, people, hard_id, easy_id, despite="A race on Saturday was cancelled.")
        assert days(db, hard_id, easy_id) == [FRIDAY, seed.TODAY]


def test_a_hold_refuses_whatever_is_written(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people, hard_on=FRIDAY, easy_on=seed.TODAY)
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

        with pytest.raises(Refused, match="paused"):
            do(db, people, easy_id, hard_id, despite="The coach wants it so badly.")

        assert days(db, hard_id, easy_id) == [FRIDAY, seed.TODAY]


def test_only_todays_published_unentered_session_is_swapped(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people)

        with pytest.raises(Refused, match="Only today's"):
            look(db, people, easy_id)
        scene.add_draft(db, hard_id, minutes=50)
        with pytest.raises(Refused, match="waits unpublished"):
            look(db, people, hard_id)
        other_id = seed.add_planned(db, client=people.client)
        seed.add_log(db, client=people.client, planned_session_id=other_id)
        with pytest.raises(Refused, match="entered already"):
            look(db, people, other_id)


def test_a_session_that_changed_since_it_was_shown_is_not_swapped(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people)

        with pytest.raises(StaleEdit, match="Nothing was swapped"):
            do(db, people, hard_id, easy_id, seen=f"{hard_id}.1-{easy_id}.9")
        scene.add_draft(db, easy_id, minutes=50)
        with pytest.raises(StaleEdit, match="Nothing was swapped"):
            do(db, people, hard_id, easy_id)

        assert days(db, hard_id, easy_id) == [seed.TODAY, FRIDAY]


def test_nobody_elses_sessions_are_swapped(coach, people):
    with coach.db(write=True) as db:
        hard_id, _easy_id = ids(db, people)

        with pytest.raises(NotYours):
            look(db, people, hard_id, who=people.other_coach)


def test_taking_it_back_is_one_press_where_today_gets_less_work(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people, hard_on=FRIDAY, easy_on=seed.TODAY)
        do(db, people, easy_id, hard_id)
        assert days(db, hard_id, easy_id) == [seed.TODAY, FRIDAY]
        assert not done(db, people)[0].brings_more

        with pytest.raises(NotYours):
            back(db, people, who=people.head)
        entry_id = done(db, people)[0].entry_id
        back(db, people)

        assert days(db, hard_id, easy_id) == [FRIDAY, seed.TODAY]
        assert done(db, people) == ()
        with pytest.raises(NotYours):
            back(db, people, entry_id=entry_id)


def test_hard_work_does_not_come_back_to_today_by_one_press_but_by_swapping_again(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people)
        do(db, people, hard_id, easy_id)
        assert done(db, people)[0].brings_more

        with pytest.raises(Refused, match="swap it again"):
            back(db, people)
        do(db, people, easy_id, hard_id, reason="They slept well after all.")

        assert days(db, hard_id, easy_id) == [seed.TODAY, FRIDAY]


def test_what_was_changed_or_entered_since_is_not_taken_back(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people, hard_on=FRIDAY, easy_on=seed.TODAY)
        do(db, people, easy_id, hard_id)
        scene.add_draft(db, easy_id, minutes=50)

        with pytest.raises(StaleEdit, match="changed since"):
            back(db, people)


def test_what_is_entered_meanwhile_stays_as_it_was_done(coach, people):
    with coach.db(write=True) as db:
        hard_id, easy_id = ids(db, people, hard_on=FRIDAY, easy_on=seed.TODAY)
        do(db, people, easy_id, hard_id)
        seed.add_log(db, client=people.client, planned_session_id=hard_id)

        with pytest.raises(Refused, match="entered already"):
            back(db, people)
