"""Incidents over HTTP: written down once, added to, closed by the coach, never changed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from app.coaching.holds import HoldKind, Stops
from app.coaching.incidents import IncidentWord
from app.coaching.people import Mode
from app.storage import incidents, safety
from app.storage.audit import trail_of
from tests import seed
from tests.conftest import Browser
from tests.seed import TODAY, People

GIVEN = {
    "happened_on": TODAY.isoformat(),
    "about_when": "about 18:40",
    "activity": "Third round on the hill",
    "place": "Quarry path",
    "symptoms": "Dizzy, had to hold the rail",
    "action_taken": "Sat down, Jonah stayed with her",
    "outcome": "Driven home by her husband",
    "sign": "dizzy",
}


def of(browser: Browser, client_id: int):
    with browser.db() as db:
        return incidents.of_clients(db, client_ids=[client_id])


def holds(browser: Browser, client_id: int):
    with browser.db() as db:
        return safety.holds_of(db, client_id=client_id)


@pytest.fixture
def address(people: People) -> str:
    return f"/clients/{people.client.id}/incidents"


@pytest.fixture
def on_record(coach: Browser, people: People) -> int:
    with coach.db(write=True) as db:
        return seed.add_incident(db, client=people.client, days_ago=3)


def test_an_incident_is_written_down_and_its_hold_works_at_once(coach, client_phone, people, address) -> None:
    answer = coach.send(f"{address}/record", **GIVEN)

    (kept,) = of(coach, people.client.id)
    (hold,) = holds(coach, people.client.id)
    assert answer.headers["location"] == f"{address}/{kept.id}/page"
    assert (hold.kind, hold.stops, kept.hold_id) == (HoldKind.SYMPTOM, Stops.ALL, hold.id)
    assert "paused" in client_phone.get("/me/today").text
    page = coach.get(answer.headers["location"]).text
    assert "Driven home by her husband" in page
    assert "by Jonah Pell" in page


def test_one_without_a_sign_of_the_body_pauses_nothing(coach, people, address) -> None:
    coach.send(f"{address}/record", **(GIVEN | {"sign": "none", "symptoms": "none", "activity": "Chain broke"}))

    assert [one.hold_id for one in of(coach, people.client.id)] == [None]
    assert holds(coach, people.client.id) == []


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"sign": ""}, "Please fill this in."),
        ({"sign": "hiccups"}, "Choose one of the answers."),
        ({"outcome": ""}, "Please fill this in."),
        ({"happened_on": (TODAY + timedelta(days=1)).isoformat()}, "This day has not come yet."),
        ({"happened_on": (TODAY - timedelta(days=500)).isoformat()}, "This is before"),
    ],
)
def test_a_bad_form_says_what_is_missing_and_keeps_the_rest(coach, people, address, changes, sentence) -> None:
    answer = coach.send(f"{address}/record", **(GIVEN | changes))

    assert answer.status_code == 422
    assert sentence in answer.text
    assert "Sat down, Jonah stayed with her" in answer.text
    assert (of(coach, people.client.id), holds(coach, people.client.id)) == ([], [])


def test_what_is_added_stands_beside_what_was_there(coach, people, address, on_record) -> None:
    coach.send(f"{address}/{on_record}/follow-up", word="follow_up", text="Swelling is gone.")
    coach.send(f"{address}/{on_record}/follow-up", word="correction", text="It was the left ankle.")

    page = coach.get(f"{address}/{on_record}/page").text
    assert "Turned an ankle, could walk on" in page
    assert page.index("Swelling is gone.") < page.index("It was the left ankle.")
    assert [one.word for one in of(coach, people.client.id)[0].entries] == [
        IncidentWord.FOLLOW_UP,
        IncidentWord.CORRECTION,
    ]


def test_the_coach_closes_it_and_it_can_be_opened_again(coach, people, address, on_record) -> None:
    coach.send(f"{address}/{on_record}/close", text="Healed; other shoes on that path.")
    assert not of(coach, people.client.id)[0].is_open
    again = coach.send(f"{address}/{on_record}/close", text="Once more")
    coach.send(f"{address}/{on_record}/reopen", text="It swells again.")

    assert (again.status_code, "closed already" in again.text) == (422, True)
    assert of(coach, people.client.id)[0].is_open


def test_a_stand_in_writes_and_adds_but_does_not_close(stand_in, people) -> None:
    address = f"/clients/{people.handed_client.id}/incidents"
    answer = stand_in.send(f"{address}/record", **(GIVEN | {"sign": "kit", "symptoms": "none"}))
    (kept,) = of(stand_in, people.handed_client.id)

    added = stand_in.send(f"{address}/{kept.id}/follow-up", word="follow_up", text="Called her.")
    closed = stand_in.send(f"{address}/{kept.id}/close", text="Done")

    assert (answer.status_code, added.status_code, closed.status_code) == (303, 303, 403)
    assert of(stand_in, people.handed_client.id)[0].is_open


@pytest.mark.parametrize("table", ["incidents", "incident_entries"])
def test_the_file_itself_refuses_a_change(coach, address, on_record, table) -> None:
    coach.send(f"{address}/{on_record}/follow-up", word="follow_up", text="Swelling is gone.")

    with pytest.raises(IntegrityError, match="added to, never changed"), coach.db(write=True) as db:
        db.execute(text(f"UPDATE {table} SET person_id = person_id"))


def test_every_step_leaves_a_trace(coach, people, address) -> None:
    coach.send(f"{address}/record", **GIVEN)
    incident_id = of(coach, people.client.id)[0].id
    coach.send(f"{address}/{incident_id}/close", text="Seen by her doctor.")

    with coach.db() as db:
        actions = [entry.action for entry in trail_of(db, client_id=people.client.id)]
    assert actions[:4] == ["add_to_incident", "record_incident", "reported", "raised"]


def test_the_practice_sees_open_ones_of_its_own_clients_only(head, coach, other_coach, people, on_record) -> None:
    assert people.client.name in head.get("/incidents").text
    assert people.client.name in coach.get("/incidents").text
    assert people.client.name not in other_coach.get("/incidents").text
    assert "No incident is open." in other_coach.get("/incidents").text


def test_a_closed_one_leaves_the_list_of_open_ones(coach, people, address, on_record) -> None:
    coach.send(f"{address}/{on_record}/close", text="Healed.")

    assert "No incident is open." in coach.get("/incidents").text
    assert "closed" in coach.get(address).text


def test_the_safety_page_and_the_practice_lead_there(coach, people, address, on_record) -> None:
    assert f'href="{address}"' in coach.get(f"/clients/{people.client.id}/safety").text
    assert "1 on record, 1 open." in coach.get(f"/clients/{people.client.id}/safety").text
    assert 'href="/incidents"' in coach.get("/practice").text


def test_it_prints_with_all_that_was_added(coach, address, on_record) -> None:
    coach.send(f"{address}/{on_record}/follow-up", word="follow_up", text="Swelling is gone.")

    sheet = coach.get(f"{address}/{on_record}/print").text

    assert "Turned an ankle" in sheet
    assert "Swelling is gone." in sheet
    assert "<form" not in sheet


@pytest.mark.parametrize(("days", "speaks"), [(6, False), (7, True)])
def test_seven_days_without_a_word_stand_in_the_morning(coach, people, address, days, speaks) -> None:
    with coach.db(write=True) as db:
        seed.add_incident(db, client=people.client, days_ago=days)

    page = coach.get("/morning").text

    assert ("for 7 days nobody wrote how it went on" in page) is speaks
    assert (f'href="{address}"' in page) is speaks


def test_an_empty_page_teaches(coach, address) -> None:
    assert "Nothing was written down." in coach.get(address).text


ON_ICE = GIVEN | {"symptoms": "Fell on ice, head knocked", "sign": "none"}


def test_a_fall_is_not_kept_before_it_is_said_whether_the_head_was_knocked(coach, people, address) -> None:
    asked = coach.send(f"{address}/record", **ON_ICE)

    assert asked.status_code == 422
    assert "Was the head knocked? Not sure counts as yes." in asked.text
    assert "Fell on ice, head knocked" in asked.text
    assert of(coach, people.client.id) == []


def test_a_knock_to_the_head_pauses_all_training_whatever_sign_was_chosen(coach, people, address) -> None:
    answer = coach.send(f"{address}/record", **(ON_ICE | {"head": "yes"}))

    (kept,) = of(coach, people.client.id)
    (hold,) = holds(coach, people.client.id)
    assert (hold.kind, hold.stops, kept.hold_id) == (HoldKind.SYMPTOM, Stops.ALL, hold.id)
    assert hold.cause.startswith("A fall with a knock to the head")
    assert "until a doctor has seen them and said so in writing" in coach.get(answer.headers["location"]).text


def test_a_fall_without_a_knock_pauses_as_an_injury_though_nothing_was_to_be_paused(coach, people, address) -> None:
    grazed = ON_ICE | {"symptoms": "Fell on ice, knee grazed", "head": "no", "mode": "run"}
    answer = coach.send(f"{address}/record", **grazed)

    (hold,) = holds(coach, people.client.id)
    assert (hold.kind, hold.stops, hold.mode) == (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.RUN)
    assert [one.hold_id for one in of(coach, people.client.id)] == [hold.id]
    assert "and all hard work" in coach.get(answer.headers["location"]).text


def test_chest_pain_with_nothing_paused_is_asked_about_and_a_no_needs_its_reason(coach, people, address) -> None:
    felt = GIVEN | {"symptoms": "Chest pain, gone after sitting", "sign": "none"}
    asked = coach.send(f"{address}/record", **felt)
    no_reason = coach.send(f"{address}/record", **(felt | {"pauses_all": "no", "goes_on_because": "no"}))

    assert (asked.status_code, no_reason.status_code) == (422, 422)
    question = (
        f"The words speak of the chest. Nothing is paused by this record. Pause all training of {people.client.name}?"
    )
    assert question in asked.text
    assert "Chest pain, gone after sitting" in asked.text
    assert "Say why training goes on." in no_reason.text
    assert of(coach, people.client.id) == []

    because = "The strap of the belt rubbed; no pain inside"
    kept = coach.send(f"{address}/record", **(felt | {"pauses_all": "no", "goes_on_because": because}))

    assert holds(coach, people.client.id) == []
    assert because in coach.get(kept.headers["location"]).text


def test_a_yes_pauses_all_training_until_a_clinician_has_cleared_it(coach, people, address) -> None:
    felt = GIVEN | {"symptoms": "Chest pain, gone after sitting", "sign": "none", "pauses_all": "yes"}
    coach.send(f"{address}/record", **felt)

    (kept,) = of(coach, people.client.id)
    (hold,) = holds(coach, people.client.id)
    assert (hold.kind, hold.stops, kept.hold_id) == (HoldKind.SYMPTOM, Stops.ALL, hold.id)
