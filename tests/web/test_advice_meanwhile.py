"""A sign that was named is answered at once, whatever else is wrong with the form, and on every page that follows."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ContactKind, Mode
from app.coaching.phases import Phase
from app.coaching.questions import DISEASE_QUESTIONS, MEDICINE_GROUPS, SYMPTOM_QUESTIONS
from app.coaching.readiness import Illness
from app.storage import clients, safety
from app.usecases import hold_desk
from app.usecases.hold_desk import LiftGiven
from tests import seed
from tests.safety_scenes import actor_of, agree
from tests.seed import NOW, TODAY

CALL = "Call your local emergency number"
NOT_READ = "may not see this before their next morning"
NO_TO_ALL = (
    {f"q_{one.key}": "no" for one in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS)}
    | {"q_active": "yes", "q_pregnant": "no"}
    | {f"m_{one.key}": "no" for one in MEDICINE_GROUPS}
    | {"emergency_contact": "Jonas Brandt, husband", "emergency_phone": "0151 000 0001"}
)


@pytest.fixture
def client_address(people):
    return f"/clients/{people.client.id}/entry"


def test_words_too_many_keep_the_sign_and_say_what_to_do(client_phone):
    words = "on the hill " * 400
    answer = client_phone.send("/me/felt-wrong", sign="chest", felt_on=TODAY.isoformat(), text=words, mode="")

    assert answer.status_code == 422
    assert "This is not kept yet" in answer.text
    assert CALL in answer.text.split("error", 1)[0]
    assert "Do not train again until a doctor has seen you" in answer.text
    assert 'value="chest" required checked' in answer.text
    assert "on the hill" in answer.text


def test_the_coach_reads_the_same_advice(coach, client_address):
    answer = coach.send(
        f"{client_address}/felt-wrong", sign="fainted", felt_on="2026-11-26", mode="", origin="told_by_phone"
    )

    assert answer.status_code == 422
    assert CALL in answer.text


def test_a_missing_name_is_said_to_be_that_of_the_emergency_contact(coach, client_address):
    told = NO_TO_ALL | {"emergency_contact": "", "origin": "told_by_phone", "answered_on": TODAY.isoformat()}

    answer = coach.send(f"{client_address}/questions", **told)

    assert answer.status_code == 422
    assert '#f-emergency_contact">Name of the emergency contact: Please fill this in.' in answer.text


@pytest.mark.parametrize(
    ("ticked", "said"),
    [
        ({"illness": "fever_or_below"}, "No training until you have had no fever"),
        ({"illness": "above_neck"}, "Hard work waits until you are well 7 days"),
        ({"fall": "yes"}, "Stop using what hurts"),
        ({"fall": "yes"}, "take blood thinners"),
        ({"fall": "head_or_thinners"}, CALL),
        ({"fall": "head_or_thinners"}, "until a doctor has seen you"),
        ({"medicine_changed": "yes"}, "no hard work until your coach has looked at it"),
    ],
)
def test_a_refused_note_says_at_once_what_is_to_be_done(client_phone, coach, client_address, ticked, said):
    refused = ticked | {"sleep": "9", "noted_on": TODAY.isoformat()}

    by_phone = client_phone.send("/me/how-i-am", **refused)
    by_coach = coach.send(f"{client_address}/readiness", origin="told_by_phone", **refused)

    for answer in (by_phone, by_coach):
        assert answer.status_code == 422
        assert "This is not kept yet" in answer.text
        assert said in answer.text.split("error-summary", 1)[0]


def test_a_refused_note_without_any_of_it_advises_nothing(client_phone):
    refused = client_phone.send("/me/how-i-am", illness="none", fall="no", slept_h="banana", noted_on="2026-11-25")

    assert refused.status_code == 422
    assert "This is not kept yet" not in refused.text


def test_without_a_sign_nothing_is_advised(client_phone):
    assert "This is not kept yet" not in client_phone.send("/me/felt-wrong", felt_on="2026-11-25").text


def test_a_symptom_in_unfinished_answers_is_answered_at_once(client_phone, coach, client_address):
    unfinished = NO_TO_ALL | {"q_chest": "not_sure", "q_heart": None}

    by_phone = client_phone.send("/me/my-way/questions", **unfinished)
    by_coach = coach.send(
        f"{client_address}/questions", answered_on="2026-11-25", origin="told_by_phone", **unfinished
    )

    assert (by_phone.status_code, by_coach.status_code) == (422, 422)
    assert CALL in by_phone.text
    assert CALL in by_coach.text


def test_a_symptom_in_kept_answers_shows_the_stop_and_whom_to_call(client_phone):
    kept = client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_chest": "yes"}))

    page = client_phone.get(kept.headers["location"]).text

    assert "No training for now." in page
    assert CALL in page
    assert NOT_READ in page


def test_a_fall_on_the_head_told_with_the_note_says_whom_to_call(client_phone):
    kept = client_phone.send("/me/how-i-am", noted_on="2026-11-25", fall="head_or_thinners")

    assert CALL in client_phone.get(kept.headers["location"]).text


def test_a_talk_before_the_report_is_no_talk_about_it(coach, people):
    with coach.db(write=True) as db:
        clients.add_contact(
            db,
            client_id=people.client.id,
            contact_on=TODAY - timedelta(days=2),
            kind=ContactKind.CALL,
            text="The holidays.",
            person_id=people.coach.id,
        )
        hold_id = seed.add_hold(
            db,
            client=people.client,
            kind=HoldKind.STOPPED_EARLY,
            stops=Stops.HARD,
            began_on=TODAY - timedelta(days=4),
            raised_at=NOW,
        )
        problems = hold_desk.lift(
            db, actor=actor_of(people.coach), hold_id=hold_id, given=LiftGiven(because="Fine again."), now=NOW
        )

    assert [field for field, _ in problems] == ["talk"]


def test_a_later_note_that_says_ill_keeps_the_illness_hold(coach, people):
    with coach.db(write=True) as db:
        hold_id = seed.add_hold(
            db,
            client=people.client,
            kind=HoldKind.ILLNESS,
            stops=Stops.ALL,
            began_on=TODAY - timedelta(days=20),
        )
        seed.add_readiness(
            db, client=people.client, noted_on=TODAY - timedelta(days=2), illness=Illness.FEVER_OR_BELOW
        )
        seed.add_answers(db, client=people.client)
        given = LiftGiven(because="Well again.", well_since_on=TODAY - timedelta(days=10))
        problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    assert [field for field, _ in problems] == ["well_since_on"]


def test_the_fridge_sheet_offers_the_easy_way_of_a_paused_session(coach, people):
    with coach.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD, mode=None)
        seed.add_planned_hard(db, client=people.client, planned_on=TODAY - timedelta(days=1))
        seed.add_planned(db, client=people.client, mode=Mode.WALK)

    page = coach.get(f"/clients/{people.client.id}/plan/print?week=2026-11-23").text

    assert "Instead: 30 min easy instead." in page
    assert "A few words by minute three." not in page
    assert "Easy enough to chat." in page


def test_a_consent_taken_back_at_the_coachs_desk_pauses_hard_work(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(days=30))
        agree(db, client=people.client, person_id=people.coach.id)

    coach.send(f"/clients/{people.client.id}/safety/consent/withdraw", kind="stop_signs")

    with coach.db() as db:
        found = safety.holds_of(db, client_id=people.client.id)
    assert [(one.stops, one.lifted_at) for one in found] == [(Stops.HARD, None)]


def test_the_coach_reads_the_same_stops_as_the_client(coach, people):
    with coach.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=TODAY - timedelta(days=100))

    assert "waiting for questions" in coach.get(f"/clients/{people.client.id}/safety").text.lower()
