"""Easing and moving one session: a new published version, and never against the rules."""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.coaching.holds import Stops
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import Refused
from app.storage.audit import trail_of
from app.usecases.gate import NotYours
from app.usecases.plan_today import ReasonNeeded, ease_today, move_session
from tests import plan_scenes as scene
from tests import seed

FRIDAY = seed.TODAY + timedelta(days=2)


def _ease(db, people, session_id, *, reason="Slept four hours.", who=None):
    return ease_today(
        db,
        actor=scene.actor_of(who or people.coach),
        client_id=people.client.id,
        planned_session_id=session_id,
        reason=reason,
        now=seed.NOW,
    )


def _move(db, people, session_id, to_on, *, reason="Travels that day.", who=None):
    return move_session(
        db,
        actor=scene.actor_of(who or people.coach),
        client_id=people.client.id,
        planned_session_id=session_id,
        to_on=to_on,
        reason=reason,
        now=seed.NOW,
    )


def test_easing_publishes_an_easy_version_and_keeps_the_hard_one(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client)

        number = _ease(db, people, session_id)

        hard, easy = scene.versions(db, session_id)
        assert (number, hard.is_hard, easy.is_hard, easy.kind) == (2, True, False, SessionKind.EASY)
        assert (easy.minutes, easy.reason, easy.published_at) == (30, "Slept four hours.", seed.NOW)
        assert trail_of(db, client_id=people.client.id)[0].action == "eased"


def test_easing_asks_for_a_reason(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client)

        with pytest.raises(ReasonNeeded):
            _ease(db, people, session_id, reason="  ")


def test_an_easy_session_is_not_eased(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client)

        with pytest.raises(Refused, match="easy already"):
            _ease(db, people, session_id)


def test_only_todays_session_is_eased(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=FRIDAY)

        with pytest.raises(Refused, match="Only today's"):
            _ease(db, people, session_id)


def test_nothing_is_eased_while_all_training_is_paused(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client)
        seed.add_hold(db, client=people.client, stops=Stops.ALL)

        with pytest.raises(Refused, match="paused"):
            _ease(db, people, session_id)


def test_an_entered_session_is_neither_eased_nor_moved(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client)
        seed.add_log(db, client=people.client, planned_session_id=session_id)

        with pytest.raises(Refused, match="entered already"):
            _move(db, people, session_id, FRIDAY)


def test_moving_a_published_session_is_seen_at_once(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client)

        _move(db, people, session_id, FRIDAY)

        first, second = scene.versions(db, session_id)
        assert (first.planned_on, second.planned_on) == (seed.TODAY, FRIDAY)
        assert (second.published_at, second.reason) == (seed.NOW, "Travels that day.")
        assert trail_of(db, client_id=people.client.id)[0].action == "moved"


def test_moving_a_draft_keeps_it_a_draft_and_needs_no_reason(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, publish=False)

        _move(db, people, session_id, FRIDAY, reason="")

        assert [one.published_at for one in scene.versions(db, session_id)] == [None, None]


def test_a_published_session_moves_only_with_a_reason(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client)

        with pytest.raises(ReasonNeeded):
            _move(db, people, session_id, FRIDAY, reason="")


def _content(db, people):
    """Everything of the plan but the days, the versions and the reasons."""
    going = scene.planned_of(db, people.client)
    return sorted((one.id, one.title, one.minutes, one.rounds, one.steps_json, one.easy_version) for one in going)


@settings(max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(moves=st.lists(st.tuples(st.integers(0, 3), st.integers(0, 20)), min_size=1, max_size=6))
def test_moving_days_about_loses_no_minutes(coach, people, moves):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        ids = [
            seed.add_planned(db, client=people.client, planned_on=FRIDAY + timedelta(days=n), publish=n % 2 == 0)
            for n in range(4)
        ]
        before = _content(db, people)

        for which, days in moves:
            with suppress(Refused):  # to the day it is on already
                _move(db, people, ids[which], FRIDAY + timedelta(days=days))

        assert _content(db, people) == before
        db.rollback()


@pytest.mark.parametrize("days", [-1, 0, 90])
def test_a_session_moves_neither_into_the_past_nor_nowhere_nor_far_away(coach, people, days):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client)

        with pytest.raises(Refused):
            _move(db, people, session_id, seed.TODAY + timedelta(days=days))


def test_a_day_that_is_over_is_frozen(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=1))

        with pytest.raises(Refused, match="is over"):
            _move(db, people, session_id, FRIDAY)


def test_hard_work_is_not_moved_by_somebody_out_of_a_hard_work_phase(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client)

        with pytest.raises(Refused, match="is in: aerobic base"):
            _move(db, people, session_id, FRIDAY)


def test_moving_onto_a_day_that_holds_something_keeps_both_with_their_minutes(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client)
        other_id = seed.add_planned(db, client=people.client, planned_on=FRIDAY)
        before = sorted((one.id, one.minutes) for one in scene.planned_of(db, people.client))

        moved = _move(db, people, session_id, FRIDAY)

        after = scene.planned_of(db, people.client)
        assert sorted((one.id, one.minutes) for one in after) == before
        assert {one.planned_on for one in after} == {FRIDAY}
        assert [one.id for one in moved.beside] == [other_id]
        assert moved.also_there.endswith("stays there too")


def test_a_stand_in_moves_and_eases(stand_in, people):
    with stand_in.db(write=True) as db:
        scene.in_base(db, people.handed_client)
        session_id = seed.add_planned(db, client=people.handed_client)

        move_session(
            db,
            actor=scene.actor_of(people.stand_in),
            client_id=people.handed_client.id,
            planned_session_id=session_id,
            to_on=FRIDAY,
            reason="Asked for it.",
            now=seed.NOW,
        )

        assert scene.versions(db, session_id)[-1].person_id == people.stand_in.id


def test_a_stranger_finds_no_session(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client)

        with pytest.raises(NotYours):
            _move(db, people, session_id, FRIDAY, who=people.other_coach)
