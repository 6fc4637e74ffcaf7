"""How I am on the phone: a note, and what fever, a changed medicine or a fall pauses at once."""

from __future__ import annotations

import json
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.screening import YesNo
from app.storage import audit, history, safety
from tests import factories, seed
from tests.web.test_today_easy_first import main_of

DAY = {"noted_on": "2026-11-25"}


def notes(browser, people):
    with browser.db() as db:
        return history.load(
            db, client_ids=[people.client.id], from_on=seed.TODAY - timedelta(days=60), until_on=seed.TODAY
        )[0].readiness


def holds(browser, people):
    with browser.db() as db:
        return safety.holds_of(db, client_id=people.client.id)


def test_a_note_is_kept_with_what_was_answered_only(client_phone, people):
    answer = client_phone.send("/me/how-i-am", sleep=5, mood=2, slept_h="6,5", **DAY)

    kept = notes(client_phone, people)[0]
    assert answer.status_code == 303
    assert (kept.sleep, kept.fatigue, kept.mood, kept.slept_h, kept.noted_on) == (5, None, 2, 6.5, seed.TODAY)
    assert holds(client_phone, people) == []


def test_nothing_at_all_is_refused(client_phone, people):
    answer = client_phone.send("/me/how-i-am", **DAY)

    assert answer.status_code == 422
    assert "Answer at least one" in answer.text
    assert notes(client_phone, people) == ()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"slept_h": "nan"}, "Write a number"),
        ({"slept_h": "25"}, "between 0 and 24"),
        ({"sleep": "8"}, "between 1 and 7"),
        ({"resting_heart_rate_bpm": "400"}, "between 25 and 240"),
        ({"noted_on": "2026-11-26"}, "has not come yet"),
        ({"noted_on": "2026-10-01"}, "over 30 days back"),
        ({"illness": "plague"}, "Choose one of the answers"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(client_phone, people, typed, sentence):
    answer = client_phone.send("/me/how-i-am", **(DAY | {"fatigue": "3", "text": "kept words"} | typed))

    assert answer.status_code == 422
    assert sentence in answer.text
    assert "kept words" in answer.text
    assert notes(client_phone, people) == ()


@pytest.mark.parametrize(
    "typed", [{"resting_heart_rate_bpm": "7 hundred"}, {"slept_h": "nan"}, {"noted_on": "2026-11-26"}]
)
def test_no_number_beside_it_holds_up_a_fever(client_phone, people, typed):
    answer = client_phone.send("/me/how-i-am", **(DAY | {"illness": "fever_or_below", "text": "Shivers."} | typed))

    kept = notes(client_phone, people)[0]
    assert answer.status_code == 303
    assert [one.stops for one in holds(client_phone, people)] == [Stops.ALL]
    assert kept.noted_on == seed.TODAY
    assert str(kept.text).startswith("Shivers. (not understood: ")
    assert next(iter(typed.values())) in str(kept.text)


def test_fever_pauses_everything_at_once_and_shows_the_way_back(client_phone, people):
    client_phone.send("/me/how-i-am", illness="fever_or_below", **DAY)

    page = client_phone.get("/me/how-i-am").text
    assert [(one.kind, one.stops, one.began_on) for one in holds(client_phone, people)] == [
        (HoldKind.ILLNESS, Stops.ALL, seed.TODAY)
    ]
    assert "3 full days" in page
    assert "before 7 days" in page
    assert "Your training is paused" in client_phone.get("/me/today").text


def test_a_cold_pauses_hard_work_only_and_fever_after_it_everything(client_phone, people):
    client_phone.send("/me/how-i-am", illness="above_neck", **DAY)
    client_phone.send("/me/how-i-am", illness="above_neck", **DAY)
    client_phone.send("/me/how-i-am", illness="fever_or_below", **DAY)

    assert [one.stops for one in holds(client_phone, people)] == [Stops.HARD, Stops.ALL]


def test_a_changed_medicine_pauses_hard_work_once(client_phone, people):
    client_phone.send("/me/how-i-am", medicine_changed="yes", **DAY)
    client_phone.send("/me/how-i-am", medicine_changed="yes", **DAY)

    assert [(one.kind, one.stops) for one in holds(client_phone, people)] == [(HoldKind.MEDICINE_CHANGE, Stops.HARD)]


def test_a_fall_raises_the_injury_talk(client_phone, people):
    client_phone.send("/me/how-i-am", fall="yes", fall_mode="ride", **DAY)

    with client_phone.db() as db:
        reports = safety.symptoms_of(db, client_id=people.client.id)
    assert [(one.kind, one.stops, one.mode) for one in holds(client_phone, people)] == [
        (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.RIDE)
    ]
    assert [(one.sign, one.family.value) for one in reports] == [("fall", "b")]


def test_a_fall_on_blood_thinners_is_for_a_clinician(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        safety.add_screening(
            db,
            client_id=people.client.id,
            answered_on=seed.TODAY - timedelta(days=5),
            active=YesNo.YES,
            disease=YesNo.NO,
            symptoms=YesNo.NO,
            pregnant=YesNo.NO,
            heart_rate_medicine=YesNo.NO,
            details_json=json.dumps({"medicines": {"blood_thinner": "yes"}}),
            origin=factories.Origin.CLIENT,
            person_id=people.coach.id,
            at=seed.NOW,
        )

    client_phone.send("/me/how-i-am", fall="yes", fall_mode="ride", **DAY)

    assert [(one.kind, one.stops) for one in holds(client_phone, people)] == [(HoldKind.SYMPTOM, Stops.ALL)]


def test_each_pause_leaves_its_trace(client_phone, people):
    client_phone.send("/me/how-i-am", illness="fever_or_below", **DAY)

    with client_phone.db() as db:
        trail = audit.trail_of(db, client_id=people.client.id)
    assert [(one.action, one.subject) for one in trail[:2]] == [("raised", "hold"), ("noted", "readiness note")]


def test_nothing_is_asked_twice_on_one_day(client_phone):
    client_phone.send("/me/how-i-am", sleep=2, **DAY)

    page = client_phone.get("/me/how-i-am").text

    assert "You have told us today." in page
    assert "<summary>Something changed since</summary>" in page


def test_a_short_night_lets_the_warm_up_decide_a_hard_day(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_planned_hard(db, client=people.client)

    client_phone.send("/me/how-i-am", slept_h="4", **DAY)

    assert "Let the warm-up decide today: you slept 4 h." in client_phone.get("/me/how-i-am").text


def test_beside_fever_the_lesser_pause_of_the_cold_before_it_is_not_told(client_phone, people):
    client_phone.send("/me/how-i-am", illness="above_neck", **DAY)
    client_phone.send("/me/how-i-am", illness="fever_or_below", **DAY)

    for address in ("/me/how-i-am", "/me/today", "/me/days-away", "/me/my-way"):
        page = main_of(client_phone.get(address))
        assert "ill above the neck only" not in page.lower()
        assert "fever" in page.lower()


def test_well_again_is_acknowledged_and_the_pause_stands(client_phone, people):
    assert "opens the way back with you" not in _after(client_phone, illness="none")
    client_phone.send("/me/how-i-am", illness="fever_or_below", **DAY)

    page = _after(client_phone, illness="none", text="Well since this evening")

    assert "Kept: not ill today. Your coach reads it and opens the way back with you." in page
    assert [one.stops for one in holds(client_phone, people)] == [Stops.ALL]


def _after(client_phone, **entry) -> str:
    return client_phone.get(client_phone.send("/me/how-i-am", **DAY, **entry).headers["location"]).text
