"""The days to come on the phone: what the coach changed, what it was, and why."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.holds import HoldKind, Stops
from app.storage import prescriptions
from tests import factories as make
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import words_of

FRIDAY = seed.TODAY + timedelta(days=2)


def _changed(app, people, **changes) -> None:
    with app.state.house.transaction(True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=FRIDAY)
        prescriptions.add_version(
            db,
            planned_session_id=session_id,
            client_id=people.client.id,
            draft=prescriptions.draft_from(scene.versions(db, session_id)[-1], **changes),
            person_id=people.coach.id,
            at=seed.NOW,
            publish=True,
        )


def test_a_change_of_the_days_to_come_is_told_with_its_reason(client_phone, app, people):
    _changed(app, people, minutes=30, reason="You slept badly.")

    text = words_of(client_phone.get("/me/today"))

    assert "What your coach changed Fri 27 Nov, Easy walk, 30 min. It was: Easy walk, 45 min." in text
    assert "Why: You slept badly. Changed Wed 25 November." in text


def test_a_cancelled_session_to_come_does_not_just_vanish(client_phone, app, people):
    _changed(app, people, is_cancelled=True, reason="The park is closed.")

    text = words_of(client_phone.get("/me/today"))

    assert "Fri 27 Nov, Easy walk, 45 min: cancelled. Why: The park is closed." in text


def test_nothing_is_said_of_a_plan_that_stayed_as_it_was(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=FRIDAY)

    assert "What your coach changed" not in words_of(client_phone.get("/me/today"))


def test_a_change_of_work_that_is_paused_is_not_told_as_if_it_stood(client_phone, app, people):
    hard = make.planned_hard()
    _changed(app, people, kind=hard.kind, title="Four rounds uphill", steps_json=hard.steps_json, is_hard=True)
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    assert "What your coach changed" not in words_of(client_phone.get("/me/today"))
