"""The days to come on the phone: what the coach changed, what it was, and why."""

from __future__ import annotations

from datetime import timedelta

from app.storage import prescriptions
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

    assert "What your coach changed Fri 27 Nov, Easy walk, 30 min. It was: Fri 27 Nov, Easy walk, 45 min." in text
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
