"""Holds over HTTP: raised with words that name the consequence, lifted only on what each asks for, taken back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import Hold, HoldKind, Stops
from app.coaching.screening import YesNo
from app.coaching.weeks import day_words
from app.storage import safety
from app.storage.audit import trail_of, trail_of_practice
from tests import safety_scenes as scenes
from tests import seed
from tests.conftest import Browser
from tests.seed import PASSWORD, TODAY, People

YESTERDAY = (TODAY - timedelta(days=1)).isoformat()
GRANTED = {
    "state": "granted",
    "signer": "Dr. Amrei Sohl",
    "profession": "general practitioner",
    "given_on": YESTERDAY,
    "scope": "vigorous",
    "how_seen": "paper",
    "own_password": PASSWORD,
}


@pytest.fixture
def address(people: People) -> str:
    """The safety page of `people.client`."""
    return f"/clients/{people.client.id}/safety"


@pytest.fixture
def symptom_hold(coach: Browser, people: People) -> int:
    """An open symptom hold since three days ago."""
    with coach.db(write=True) as db:
        return scenes.hold_back(db, client=people.client, person_id=people.coach.id)


def holds(browser: Browser, client_id: int) -> list[Hold]:
    with browser.db() as db:
        return safety.holds_of(db, client_id=client_id)


def actions(browser: Browser, client_id: int) -> list[str]:
    with browser.db() as db:
        return [entry.action for entry in trail_of(db, client_id=client_id)]


def test_a_hold_is_raised_after_words_that_name_the_consequence(coach: Browser, people: People) -> None:
    form = f"/clients/{people.client.id}/holds/new"

    asked = coach.get(form)
    answer = coach.send(
        form, kind="injury", stops="mode_and_hard", mode="run", began_on=YESTERDAY, cause="Sore knee after the fall"
    )

    assert "This cannot be taken back." in asked.text
    assert answer.status_code == 303
    hold = holds(coach, people.client.id)[0]
    assert (hold.kind, hold.stops, hold.person_id) == (HoldKind.INJURY, Stops.MODE_AND_HARD, people.coach.id)
    assert actions(coach, people.client.id)[0] == "raise_hold"


def test_a_hold_that_stops_too_little_is_refused_beside_its_field(coach: Browser, people: People) -> None:
    form = f"/clients/{people.client.id}/holds/new"

    answer = coach.send(form, kind="symptom", stops="hard", began_on=YESTERDAY, cause="Dizzy at the gate")

    assert answer.status_code == 422
    assert 'id="f-stops-error"' in answer.text
    assert "Dizzy at the gate" in answer.text
    assert holds(coach, people.client.id) == []


def test_a_stand_in_raises_a_hold_but_does_not_lift_it(stand_in: Browser, people: People) -> None:
    client_id = people.handed_client.id

    raised = stand_in.send(
        f"/clients/{client_id}/holds/new", kind="coach", stops="hard", began_on=YESTERDAY, cause="Looks worn out"
    )
    hold_id = holds(stand_in, client_id)[0].id

    assert raised.status_code == 303
    assert stand_in.get(f"/holds/{hold_id}/lift").status_code == 403
    assert stand_in.send(f"/holds/{hold_id}/lift", because="Fine.").status_code == 403
    assert holds(stand_in, client_id)[0].lifted_at is None


@pytest.mark.parametrize("who", ["coach", "head"])
def test_no_role_lifts_a_symptom_hold_without_a_later_paper(
    who: str, people: People, symptom_hold: int, request: pytest.FixtureRequest
) -> None:
    browser: Browser = request.getfixturevalue(who)

    answer = browser.send(f"/holds/{symptom_hold}/lift", because="She is fine.", own_password=PASSWORD)

    assert answer.status_code == 422
    assert "Only this lifts it: a clinician" in answer.text
    assert holds(browser, people.client.id)[0].lifted_at is None


def test_a_paper_only_asked_for_lifts_nothing(
    coach: Browser, people: People, address: str, symptom_hold: int
) -> None:
    coach.send(f"{address}/request", requested_on=YESTERDAY, scope="vigorous")

    answer = coach.send(f"/holds/{symptom_hold}/lift", because="It is under way.", own_password=PASSWORD)

    assert answer.status_code == 422
    assert "One answer needs another look" in answer.text
    assert holds(coach, people.client.id)[0].lifted_at is None


def test_a_wrong_password_is_refused_and_counted(coach: Browser, people: People, symptom_hold: int) -> None:
    with coach.db(write=True) as db:
        scenes.clear(db, client=people.client, person_id=people.coach.id)

    answer = coach.send(f"/holds/{symptom_hold}/lift", because="The paper came.", own_password="not this one at all")

    assert answer.status_code == 422
    assert "This is not your password." in answer.text
    assert "not this one at all" not in answer.text
    assert holds(coach, people.client.id)[0].lifted_at is None
    with coach.db() as db:
        traced = trail_of_practice(db, most=1)[0]
    assert (traced.action, traced.person_name) == ("wrong password", people.coach.name)
    assert traced.subject.startswith("lift of a hold from ")


def test_many_wrong_passwords_make_the_right_one_wait(coach: Browser, people: People, symptom_hold: int) -> None:
    with coach.db(write=True) as db:
        scenes.clear(db, client=people.client, person_id=people.coach.id)
    wrong = [coach.send(f"/holds/{symptom_hold}/lift", because="x", own_password=f"wrong {n}") for n in range(5)]

    answer = coach.send(f"/holds/{symptom_hold}/lift", because="The paper came.", own_password=PASSWORD)

    assert {one.status_code for one in wrong} == {422}
    assert "Please wait" in answer.text
    assert holds(coach, people.client.id)[0].lifted_at is None


def test_a_paper_recorded_then_the_hold_lifted_then_the_lift_taken_back(
    coach: Browser, people: People, address: str, symptom_hold: int
) -> None:
    recorded = coach.send(f"{address}/clearance", **GRANTED)
    lifted = coach.send(f"/holds/{symptom_hold}/lift", because="Dr. Sohl agrees.", own_password=PASSWORD)

    assert (recorded.status_code, lifted.status_code) == (303, 303)
    assert holds(coach, people.client.id)[0].lifted_because == "Dr. Sohl agrees."
    assert "the hold is up again at once" in coach.get(address).text

    undone = coach.send(f"/holds/{symptom_hold}/undo")

    assert undone.status_code == 303
    assert [one.lifted_at is None for one in holds(coach, people.client.id)] == [False, True]
    assert actions(coach, people.client.id)[:3] == ["undo_lift", "lift_hold", "record_clearance"]


def test_after_the_lift_the_questions_are_asked_again_everywhere(
    coach: Browser, client_phone: Browser, people: People, address: str, symptom_hold: int
) -> None:
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id)
    coach.send(f"{address}/clearance", **GRANTED)

    coach.send(f"/holds/{symptom_hold}/lift", because="Read the paper.", own_password=PASSWORD)

    said = f"Something felt wrong on {day_words(TODAY - timedelta(days=3))}, after the last answers"
    assert said in coach.get("/morning").text
    assert said in coach.get(address).text
    assert "Some questions about your health are due." in client_phone.get("/me/today").text


def test_told_by_telephone_is_kept_but_lifts_nothing(
    coach: Browser, people: People, address: str, symptom_hold: int
) -> None:
    kept = coach.send(f"{address}/clearance", **(GRANTED | {"how_seen": "telephone"}))
    answer = coach.send(f"/holds/{symptom_hold}/lift", because="She rang.", own_password=PASSWORD)

    assert kept.status_code == 303
    assert answer.status_code == 422
    assert "A telephone call alone does not count" in answer.text
    assert "Does not count: A telephone call alone" in coach.get(address).text
    assert holds(coach, people.client.id)[0].lifted_at is None


def test_after_a_paper_the_form_leads_on_to_the_hold_it_answers(
    coach: Browser, address: str, symptom_hold: int
) -> None:
    answer = coach.send(f"{address}/clearance", **GRANTED)

    assert answer.headers["location"] == f"/holds/{symptom_hold}/lift"
    assert "is still open: lift it or leave it." in coach.get(answer.headers["location"]).text


def test_a_second_hold_that_adds_nothing_is_refused_and_the_open_one_shown(coach: Browser, people: People) -> None:
    form = f"/clients/{people.client.id}/holds/new"
    fever = {"kind": "illness", "stops": "all", "began_on": YESTERDAY, "cause": "Fever since the night"}
    coach.send(form, **fever)

    again = coach.send(form, **(fever | {"began_on": TODAY.isoformat(), "cause": "Still 38.5"}))

    assert again.status_code == 422
    assert "the way back counts from the newest ill day." in again.text
    assert "Still 38.5" in again.text
    assert "One hold is open already" in coach.get(form).text
    assert len(holds(coach, people.client.id)) == 1


def test_the_way_back_after_fever_stands_on_the_phone_with_its_dates(
    coach: Browser, client_phone: Browser, people: People
) -> None:
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, disease=YesNo.NO, heart_rate_medicine=YesNo.YES)
    began = (TODAY - timedelta(days=6)).isoformat()
    coach.send(f"/clients/{people.client.id}/holds/new", kind="illness", stops="all", began_on=began, cause="Fever")
    hold_id = holds(coach, people.client.id)[0].id
    well = (TODAY - timedelta(days=3)).isoformat()

    asked = coach.send(f"/holds/{hold_id}/lift", because="Well again.", well_since_on=well)
    lifted = coach.send(
        f"/holds/{hold_id}/lift",
        because="Well again.",
        well_since_on=well,
        advice_from="Dr. Sohl",
        advice_on=YESTERDAY,
    )

    assert asked.status_code == 422
    assert "Medical advice comes first here" in asked.text
    assert lifted.status_code == 303
    assert "Back after being ill, step by step." in client_phone.get("/me/today").text
    assert "Back after illness." in coach.get(f"/clients/{people.client.id}/safety").text
    assert "Back after illness, as the phone says it." in coach.get(f"/clients/{people.client.id}/plan").text


def test_a_renewed_fever_stands_where_its_hold_is_read_and_lifted(
    coach: Browser, client_phone: Browser, people: People, address: str
) -> None:
    began = (TODAY - timedelta(days=5)).isoformat()
    form = f"/clients/{people.client.id}/holds/new"
    coach.send(form, kind="illness", stops="all", began_on=began, cause="Fever")
    coach.send(
        f"/clients/{people.client.id}/entry/readiness",
        noted_on=YESTERDAY,
        illness="fever_or_below",
        origin="told_by_phone",
    )

    hold_id = holds(coach, people.client.id)[0].id
    said = day_words(TODAY - timedelta(days=1))
    assert len(holds(coach, people.client.id)) == 1
    assert f"ill again or still on {said}" in coach.get(address).text
    assert "Enter how they are now" in coach.get(form).text
    assert "The days well count from after it." in coach.get(f"/holds/{hold_id}/lift").text


def test_a_later_symptom_is_held_beside_the_open_one(coach: Browser, people: People, symptom_hold: int) -> None:
    answer = coach.send(
        f"/clients/{people.client.id}/holds/new", kind="symptom", stops="all", began_on=YESTERDAY, cause="Again"
    )

    assert answer.status_code == 303
    assert len(holds(coach, people.client.id)) == 2


def test_the_clients_own_words_stand_beside_the_hold(
    coach: Browser, client_phone: Browser, people: People, address: str
) -> None:
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=TODAY.isoformat(), text="Like a belt, on the hill.")
    hold_id = holds(coach, people.client.id)[0].id

    safety_page = coach.get(address).text
    lifting = coach.get(f"/holds/{hold_id}/lift").text

    assert '<p class="quote">“Like a belt, on the hill.”</p>' in safety_page[: safety_page.index("papers-title")]
    assert "“Like a belt, on the hill.”" in lifting


def test_the_letter_after_a_symptom_says_what_was_reported_and_when(
    coach: Browser, client_phone: Browser, people: People, address: str
) -> None:
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=YESTERDAY, text="Like a belt, on the hill.")

    letter = coach.get(f"{address}/letter").text

    said = f"{day_words(TODAY - timedelta(days=1))}, chosen from our list: “Pain, pressure or tightness in the chest"
    assert said in letter
    assert "in their own words: “Like a belt, on the hill.”" in letter
    assert "The answers led us to ask" not in letter


def test_the_letter_leaves_room_for_the_words_where_a_coach_raised_the_hold(
    coach: Browser, address: str, symptom_hold: int
) -> None:
    letter = coach.get(f"{address}/letter").text

    assert f"{day_words(TODAY - timedelta(days=3))}, told to the coach, in these words:" in letter
    assert "Pressure in the chest on the hill" not in letter


def test_a_letter_without_a_symptom_names_none(coach: Browser, address: str) -> None:
    letter = coach.get(f"{address}/letter").text

    assert "The answers led us to ask you first." in letter
    assert "What was reported to us" not in letter


def test_a_strangers_hold_is_not_there(other_coach: Browser, people: People, symptom_hold: int) -> None:
    assert other_coach.get(f"/holds/{symptom_hold}/lift").status_code == 404
    assert other_coach.send(f"/holds/{symptom_hold}/lift", because="Mine.").status_code == 404
    assert other_coach.send(f"/holds/{symptom_hold}/undo").status_code == 404
    assert other_coach.get(f"/clients/{people.client.id}/holds/new").status_code == 404
