"""A symptom named in the intake counts from the moment it is kept, before anything is sent."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.screening import YesNo
from app.coaching.unsent_answers import named_diseases, named_unsent
from tests import factories, seed

CHEST_SAID = "Have you had pain, pressure or tightness in the chest"
STOPPED = "No training for now."


@pytest.fixture
def answered_before(app, people):
    """Harmless answers, twelve weeks old, and hard rounds for today."""
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        seed.add_planned_hard(db, client=people.client)


@pytest.mark.parametrize("reply", ["yes", "not_sure"])
def test_today_stops_at_once_for_a_newcomer(client_phone, reply):
    client_phone.send("/me/intake/chest", reply=reply)

    page = client_phone.get("/me/today").text
    assert STOPPED in page
    assert "do not train until a doctor has heard of it" in page
    assert "Everyday walking is fine meanwhile" not in page
    assert "Go on with the questions" in page


def test_today_stops_at_once_for_somebody_who_trained(client_phone, people, answered_before):
    before = client_phone.get("/me/today").text
    client_phone.send("/me/intake/heartbeat", reply="yes")

    page = client_phone.get("/me/today").text
    assert STOPPED not in before
    assert '<ol class="steps">' in before
    assert STOPPED in page
    assert '<ol class="steps">' not in page


def test_it_stays_stopped_however_long_the_answer_waits(client_phone, clock, answered_before):
    client_phone.send("/me/intake/chest", reply="yes")
    clock.move(days=20)

    assert STOPPED in client_phone.get("/me/today").text


def test_the_coachs_morning_has_it_before_it_is_sent(client_phone, coach, people, answered_before):
    client_phone.send("/me/intake/chest", reply="yes")

    morning = coach.get("/morning").text
    safety = coach.get(f"/clients/{people.client.id}/safety").text
    assert "Answered yes in questions not yet sent (Wed 25 Nov, 08:00)" in morning
    assert CHEST_SAID in morning
    assert "Named in questions not yet sent; it counts already." in safety
    assert "yes, 25 November 2026, 08:00." in safety


def test_yes_changed_to_no_leaves_both_with_their_times(client_phone, coach, clock, people, answered_before):
    client_phone.send("/me/intake/chest", reply="yes")
    clock.move(minutes=7)
    client_phone.send("/me/intake/chest", reply="no")

    safety = coach.get(f"/clients/{people.client.id}/safety").text
    assert "Answered otherwise before sending: ask which it is." in safety
    assert "yes, 25 November 2026, 08:00; then no, 25 November 2026, 08:07." in safety
    assert STOPPED not in client_phone.get("/me/today").text
    assert "Named in questions not yet sent" not in safety


def test_a_plain_no_leaves_nothing(client_phone, coach, people, answered_before):
    client_phone.send("/me/intake/chest", reply="no")

    assert STOPPED not in client_phone.get("/me/today").text
    assert "Answered otherwise" not in coach.get(f"/clients/{people.client.id}/safety").text
    assert "not yet sent" not in coach.get("/morning").text


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({}, True),
        ({"answer_json": '{"reply": "not_sure"}'}, True),
        ({"answer_json": '{"reply": "no"}'}, False),
        ({"answer_json": '["yes"]'}, False),
        ({"question": "heart"}, False),
        ({"question": "device_or_rhythm"}, False),
    ],
)
def test_only_a_sign_answered_yes_or_not_sure_is_named(changes, counts):
    assert bool(named_unsent((factories.unsent(**changes),))) is counts


@pytest.mark.parametrize(
    ("question", "reply", "counts"),
    [
        ("heart", "yes", True),
        ("kidney", "not_sure", True),
        ("diabetes", "yes", True),
        ("diabetes", "no", False),
        ("chest", "yes", False),
        ("insulin", "yes", False),
    ],
)
def test_a_disease_answered_yes_or_not_sure_is_named(question, reply, counts):
    answer = factories.unsent(question=question, answer_json=f'{{"reply": "{reply}"}}')

    assert bool(named_diseases((answer,))) is counts


def test_a_disease_named_stops_somebody_inactive_and_the_coach_has_it_before_it_is_sent(
    client_phone, coach, people, answered_before
):
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)
    client_phone.send("/me/intake/heart", reply="yes")

    today = client_phone.get("/me/today").text
    morning, safety = coach.get("/morning").text, coach.get(f"/clients/{people.client.id}/safety").text
    assert "You said that a doctor has found a heart or blood vessel disease, or a stroke. A doctor is" in today
    assert '<ol class="steps">' not in today
    assert "Answered yes in questions not yet sent (Wed 25 Nov, 08:00)" in morning
    assert "Training waits for a clinician&#39;s clearance." in morning
    assert "a stroke or a small stroke?” yes, 25 November 2026, 08:00." in safety


def test_not_sure_about_a_disease_names_none(client_phone, coach, people, answered_before):
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)
    client_phone.send("/me/intake/kidney", reply="not_sure")

    today = client_phone.get("/me/today").text
    assert "You were not sure whether you have a kidney disease. A doctor is asked about that first." in today
    assert "You named an illness" not in today
    assert "Nothing is sent yet" not in today


def test_a_disease_named_stops_the_hard_work_of_somebody_active(client_phone, coach, people, answered_before):
    client_phone.send("/me/intake/heart", reply="yes")

    assert "hard work waits for a doctor&#39;s paper that allows it" in client_phone.get("/me/today").text
    assert "Hard work waits for a clinician&#39;s clearance." in coach.get("/morning").text


def test_a_disease_named_and_taken_back_is_asked_about(client_phone, coach, people, clock, answered_before):
    client_phone.send("/me/intake/kidney", reply="not_sure")
    clock.move(minutes=7)
    client_phone.send("/me/intake/kidney", reply="no")

    safety = coach.get(f"/clients/{people.client.id}/safety").text
    assert "not sure, 25 November 2026, 08:00; then no, 25 November 2026, 08:07." in safety
    assert '<ol class="steps">' in client_phone.get("/me/today").text


def test_nobody_is_confirmed_as_active_who_has_named_a_disease(client_phone, coach, people, answered_before):
    client_phone.send("/me/intake/heart", reply="yes")

    answer = coach.send(f"/clients/{people.client.id}/safety/active", reason="I have seen the diary")

    assert answer.status_code == 422
    assert "Only who answers no to disease and symptoms" in answer.text
