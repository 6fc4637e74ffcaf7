"""The safety page over HTTP: holds, a clinician's papers, readings, consents, and who may do what."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.people import ClientState, Origin
from app.coaching.screening import ClearanceState, ConsentKind, YesNo
from app.storage import clients, safety
from app.storage.audit import trail_of
from tests import safety_scenes as scenes
from tests.conftest import Browser
from tests.seed import NOW, PASSWORD, TODAY, People

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


def papers(browser: Browser, client_id: int):
    with browser.db() as db:
        return safety.clearances_of(db, client_id=client_id)


def actions(browser: Browser, client_id: int) -> list[str]:
    with browser.db() as db:
        return [entry.action for entry in trail_of(db, client_id=client_id)]


def test_an_empty_page_teaches(coach: Browser, address: str) -> None:
    page = coach.get(address)

    assert page.status_code == 200
    assert "Light to moderate work" in page.text
    assert "No hold is open." in page.text
    assert "The health questions were never answered here. Added by hand" in page.text


def test_answers_are_shown_with_date_origin_and_branch(coach: Browser, people: People, address: str) -> None:
    with coach.db(write=True) as db:
        scenes.answer_questions(
            db,
            client=people.client,
            person_id=people.coach.id,
            disease=YesNo.YES,
            details_json='{"diabetes": "not_sure", "medicines": {"insulin": "yes"}}',
        )

    text = coach.get(address).text

    assert "13 November 2026, typed by the client" in text
    assert "(row" not in text
    assert "row of the table" in text
    assert "Do you have diabetes, type 1 or type 2? Not sure." in text
    assert "Doses are for the doctor, never the coach." in text


def test_a_symptom_shows_what_it_stops_and_what_would_lift_it(
    coach: Browser, address: str, symptom_hold: int
) -> None:
    text = coach.get(address).text

    assert "All training is paused." in text
    assert "Pressure in the chest on the hill" in text
    assert "a clinician&#39;s written clearance dated after the symptom; nobody can override it" in text
    assert f"/holds/{symptom_hold}/lift" in text


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"signer": ""}, "signer"),
        ({"profession": ""}, "profession"),
        ({"given_on": ""}, "given_on"),
        ({"given_on": "2027-01-01"}, "given_on"),
        ({"scope": None}, "scope"),
        ({"how_seen": None}, "how_seen"),
        ({"ends_on": "2029-01-01"}, "ends_on"),
        ({"own_password": ""}, "own_password"),
        ({"own_password": "something else entirely"}, "own_password"),
    ],
)
def test_an_incomplete_paper_is_refused_beside_its_field(
    coach: Browser, people: People, address: str, change: dict[str, str | None], field: str
) -> None:
    answer = coach.send(f"{address}/clearance", **(GRANTED | {"limits": "Nothing above 130 beats"} | change))

    assert answer.status_code == 422
    assert f'id="f-{field}-error"' in answer.text
    assert "Nothing above 130 beats" in answer.text
    assert papers(coach, people.client.id) == []


def test_an_empty_paper_names_each_field_and_calls_none_optional_that_is_asked(coach: Browser, address: str) -> None:
    form = coach.get(f"{address}/clearance").text
    nothing = coach.send(f"{address}/clearance")
    given = coach.send(f"{address}/clearance", state="granted", given_on="2027-01-01")

    assert form.count("(optional)") == 2
    assert "Say whether the clearance was given or refused." in nothing.text
    said = ("Say who signed", "Say the signer", "dated in the future", "Say what the clearance is for")
    assert [one in given.text for one in (*said, "Enter your own password again")] == [True] * 5
    assert "Please fill this in." not in given.text


def test_a_paper_for_somebody_who_waits_leads_on_to_the_start(coach: Browser, people: People, address: str) -> None:
    with coach.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.INTAKE)
    coach.send(f"{address}/request", requested_on=YESTERDAY, scope="vigorous")

    answer = coach.send(f"{address}/clearance", **GRANTED)

    assert answer.headers["location"] == f"/clients/{people.client.id}/start"


def test_missing_consents_say_what_waits_and_how_they_are_given(coach: Browser, address: str) -> None:
    page = coach.get(address).text

    assert page.count("Not given: the interval phase waits for it.") == 2
    assert f'href="{address}/consents"' in page
    assert f'href="{address.removesuffix("/safety")}/note?about=consents"' in page


def test_a_refused_form_does_not_repeat_what_was_said_before(coach: Browser, address: str) -> None:
    coach.send(f"{address}/consent", kind="coaching", method="from_paper", given_on=YESTERDAY)

    refused = coach.send(f"{address}/clearance")

    assert refused.status_code == 422
    assert "Kept: Being coached." not in refused.text


def test_a_paper_older_than_the_symptom_is_refused(
    coach: Browser, people: People, address: str, symptom_hold: int
) -> None:
    symptom_day = (TODAY - timedelta(days=3)).isoformat()

    answer = coach.send(f"{address}/clearance", **(GRANTED | {"given_on": symptom_day}))

    assert answer.status_code == 422
    assert "Something felt wrong on 22 November 2026" in answer.text


def test_a_granted_paper_ends_by_itself_after_the_practices_days(
    coach: Browser, people: People, address: str
) -> None:
    coach.send(f"{address}/clearance", **GRANTED)

    assert papers(coach, people.client.id)[0].ends_on == TODAY - timedelta(days=1) + timedelta(days=365)


def test_a_refusal_needs_no_password_and_stops_the_plan(coach: Browser, people: People, address: str) -> None:
    answer = coach.send(f"{address}/clearance", state="refused", given_on=YESTERDAY)

    assert answer.status_code == 303
    assert papers(coach, people.client.id)[0].state is ClearanceState.REFUSED
    assert "the whole plan is suspended" in coach.get(address).text


def test_a_request_makes_a_client_at_intake_wait(coach: Browser, people: People, address: str) -> None:
    with coach.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.INTAKE)

    answer = coach.send(f"{address}/request", requested_on="2026-11-16", scope="light_moderate")

    assert answer.status_code == 303
    assert "9 days waiting" in coach.get(address).text
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).state is ClientState.WAITING_FOR_CLEARANCE  # type: ignore[union-attr]


def test_the_letter_holds_no_answers_and_nothing_a_coach_wrote(
    coach: Browser, people: People, address: str, symptom_hold: int
) -> None:
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id, disease=YesNo.YES)

    page = coach.get(f"{address}/letter")

    assert page.status_code == 200
    assert "Ilse Brandt" in page.text
    assert "Pressure in the chest" not in page.text
    assert "disease" not in page.text


def test_the_letter_names_its_reason_where_the_coach_chooses_so(coach: Browser, people: People, address: str) -> None:
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id, disease=YesNo.YES)
    reading = {"measured_on": YESTERDAY, "systolic_mmhg": "178", "diastolic_mmhg": "101", "origin": "coach"}
    coach.send(f"{address}/pressure", **reading)

    plain, named = coach.get(f"{address}/letter").text, coach.get(f"{address}/letter?reason=yes").text

    assert ": a known disease</li>" in named
    assert "a blood pressure of 178/101 mmHg, measured on " in named
    assert "178/101" not in plain


def test_a_high_reading_says_plainly_what_it_stops(coach: Browser, people: People, address: str) -> None:
    reading = {"measured_on": YESTERDAY, "systolic_mmhg": "150", "diastolic_mmhg": "100", "origin": "coach"}

    answer = coach.send(f"{address}/pressure", **reading)

    assert answer.status_code == 303
    text = coach.get(address).text
    assert "All training is paused." in text
    assert "150 over 100 mmHg on 24 November 2026: no training" in text
    assert "Published limits differ" in text


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"systolic_mmhg": "nan"}, "systolic_mmhg"),
        ({"systolic_mmhg": "1280"}, "systolic_mmhg"),
        ({"systolic_mmhg": "78", "diastolic_mmhg": "128"}, "systolic_mmhg"),
        ({"diastolic_mmhg": "12"}, "diastolic_mmhg"),
        ({"measured_on": "2027-02-02"}, "measured_on"),
        ({"resting_heart_rate_bpm": "9"}, "resting_heart_rate_bpm"),
        ({"origin": "computed"}, "origin"),
    ],
)
def test_an_impossible_reading_is_refused_beside_its_field(
    coach: Browser, people: People, address: str, change: dict[str, str], field: str
) -> None:
    reading = {"measured_on": YESTERDAY, "systolic_mmhg": "128", "diastolic_mmhg": "78", "origin": "coach"}

    answer = coach.send(f"{address}/pressure", **(reading | change))

    assert answer.status_code == 422
    assert f'id="bp-{field}-error"' in answer.text
    with coach.db() as db:
        assert safety.pressures_of(db, client_id=people.client.id) == []


def test_the_form_of_a_consent_says_that_a_spoken_yes_does_not_count(coach: Browser, address: str) -> None:
    page = coach.get(address).text.split("Enter a consent given on paper", 1)[1]

    assert "A spoken yes by telephone does not count here: have it signed on paper" in page.split("</details>")[0]


def test_a_consent_on_paper_is_kept_with_its_text_and_taken_back(
    coach: Browser, people: People, address: str
) -> None:
    given = coach.send(f"{address}/consent", kind="interval_phase", method="from_paper", given_on=YESTERDAY)
    with coach.db() as db:
        kept = safety.consents_of(db, client_id=people.client.id)[0]
    taken = coach.send(f"{address}/consent/withdraw", kind="interval_phase")
    with coach.db() as db:
        later = safety.consents_of(db, client_id=people.client.id)[0]

    assert (given.status_code, taken.status_code) == (303, 303)
    assert (kept.kind, kept.method, len(kept.text_sha256)) == (ConsentKind.INTERVAL_PHASE, Origin.FROM_PAPER, 64)
    assert later.withdrawn_on == TODAY


def test_regularly_active_needs_answers_that_say_so(coach: Browser, people: People, address: str) -> None:
    unasked = coach.send(f"{address}/active", reason="She says so.")
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id, active=YesNo.NO)
    not_active = coach.send(f"{address}/active", reason="She says so.")
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id)
    active = coach.send(f"{address}/active", reason="Rows with a club, saw the logbook.")

    assert "Ask the screening questions first." in unasked.text
    assert "Neither the answers nor the entries" in not_active.text
    assert active.status_code == 303
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).regularly_active_confirmed_on == TODAY  # type: ignore[union-attr]
    assert actions(coach, people.client.id)[0] == "confirm_regularly_active"

    coach.send(f"{address}/active/take-back")

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).regularly_active_confirmed_on is None  # type: ignore[union-attr]


def test_base_weeks_from_sixty_lie_between_13_and_26(coach: Browser, people: People, address: str) -> None:
    low = coach.send(f"{address}/base-weeks", weeks="12", base_reason="Eager to begin soon.")
    fine = coach.send(f"{address}/base-weeks", weeks="20", base_reason="Walked daily for years.")

    assert low.status_code == 422
    assert "Between 13 and 26 weeks." in low.text
    assert fine.status_code == 303
    assert "20 held weeks before the first hard session" in coach.get(address).text


@pytest.mark.parametrize("path", ["", "/letter", "/consents", "/clearance"])
def test_strangers_find_nothing(other_coach: Browser, client_phone: Browser, address: str, path: str) -> None:
    assert other_coach.get(address + path).status_code == 404
    assert client_phone.get(address + path).status_code == 404


@pytest.mark.parametrize(
    "path", ["/request", "/clearance", "/pressure", "/consent", "/consent/withdraw", "/active", "/base-weeks"]
)
def test_strangers_change_nothing(other_coach: Browser, address: str, path: str) -> None:
    sent = GRANTED | {"requested_on": YESTERDAY, "measured_on": YESTERDAY, "kind": "coaching"}

    assert other_coach.send(address + path, **sent).status_code == 404


def test_a_stand_in_neither_records_papers_nor_confirms(stand_in: Browser, people: People) -> None:
    base = f"/clients/{people.handed_client.id}/safety"
    pressure = {"measured_on": YESTERDAY, "systolic_mmhg": "128", "diastolic_mmhg": "78", "origin": "coach"}
    consent = {"kind": "coaching", "method": "from_paper", "given_on": YESTERDAY}

    assert stand_in.get(base).status_code == 200
    assert stand_in.send(f"{base}/clearance", state="refused").status_code == 403
    assert stand_in.send(f"{base}/request", requested_on=YESTERDAY, scope="vigorous").status_code == 403
    assert stand_in.send(f"{base}/consent", **consent).status_code == 403
    assert stand_in.send(f"{base}/active", reason="So it is.").status_code == 403
    assert stand_in.send(f"{base}/pressure", **pressure).status_code == 303


def test_a_consent_on_paper_says_who_saw_it_given_and_in_which_language(
    coach: Browser, people: People, address: str
) -> None:
    form = {"kind": "coaching", "method": "from_paper", "given_on": YESTERDAY}

    answer = coach.send(f"{address}/consent", **form, witness="Ruben Oak")

    assert answer.status_code == 303
    with coach.db() as db:
        (kept,) = safety.consents_of(db, client_id=people.client.id)
    assert (kept.witness, kept.language, kept.recorded_at) == ("Ruben Oak", "en", NOW)
    assert "seen by Ruben Oak, text 2026-2 in English" in coach.get(address).text
