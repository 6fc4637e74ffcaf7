"""My week on the phone and entered by the coach, and the sheet before a talk."""

from __future__ import annotations

import pytest

from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.storage import safety
from tests import seed
from tests.plan_scenes import words_of
from tests.web.test_today_easy_first import main_of

WEEK = {
    "felt": "as_usual",
    "other_hard": "no",
    "medicine_changed": "no",
    "fall": "no",
    "barrier": "nothing",
    "confidence": "8",
    "text": "",
}


@pytest.fixture(autouse=True)
def training(app, people):
    with app.state.house.transaction(True) as db:
        seed.make_calm(db, client=people.client)


def _told(browser, answer):
    """The page an answer leads to, in words."""
    assert answer.status_code == 303, answer.text
    return words_of(browser.get(answer.headers["location"]))


def _open_holds(app, people):
    with app.state.house.transaction(False) as db:
        return [h.kind.value for h in safety.holds_of(db, client_id=people.client.id) if h.lifted_at is None]


def test_a_week_is_told_once_and_the_coach_reads_it(client_phone, coach, people):
    answer = client_phone.send("/me/check-in", **WEEK | {"barrier": "caring", "text": "Mother is ill."})

    assert "Told. Thank you." in _told(client_phone, answer)
    assert "You have told this week." in words_of(client_phone.get("/me/check-in"))
    assert client_phone.send("/me/check-in", **WEEK).status_code == 422
    sheet = words_of(coach.get(f"/clients/{people.client.id}/conversation"))
    assert "in the way: caring for somebody; sure of next week 8 of 10. Mother is ill." in sheet
    assert "Caring for somebody once, in eight weeks." in sheet


def test_on_wednesday_the_week_before_is_asked_about(client_phone):
    assert "Mon 16 November to Sun 22 November" in words_of(client_phone.get("/me/check-in"))


def test_today_asks_for_the_week_until_it_is_told(client_phone):
    assert "Tell of your week" in words_of(client_phone.get("/me/today"))
    client_phone.send("/me/check-in", **WEEK)
    assert "Tell of your week" not in words_of(client_phone.get("/me/today"))


def test_a_stopped_client_is_not_asked_for_the_week(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, stops=Stops.ALL)

    assert "Tell of your week" not in words_of(client_phone.get("/me/today"))


def test_on_thursday_nothing_is_asked(client_phone, clock):
    clock.move(days=1)

    assert "Nothing is asked today." in words_of(client_phone.get("/me/check-in"))
    assert "Tell of your week" not in words_of(client_phone.get("/me/today"))
    assert client_phone.send("/me/check-in", **WEEK).status_code == 422


def test_a_changed_tablet_pauses_hard_work_at_once(client_phone, app, people):
    answer = client_phone.send("/me/check-in", **WEEK | {"medicine_changed": "yes"})

    assert "Hard work is paused" in _told(client_phone, answer)
    assert _open_holds(app, people) == ["medicine_change"]


@pytest.mark.parametrize("fall", ["yes", "head_or_thinners"])
def test_a_fall_leads_to_what_to_do_now(client_phone, app, people, fall):
    answer = client_phone.send("/me/check-in", **WEEK | {"fall": fall})

    assert "Read what to do now." in _told(client_phone, answer)
    assert len(_open_holds(app, people)) == 1


@pytest.mark.parametrize("address", ["/me/check-in", "/me/how-i-am"])
def test_a_fall_asks_about_blood_thinners_and_not_sure_counts_as_yes(client_phone, address):
    page = words_of(client_phone.get(address)).lower()

    assert "with a knock to the head, or while on blood thinners not sure counts as this" in page
    assert page.count("head not knocked, and no blood thinners") == 1


def test_what_is_left_open_is_asked_for_and_the_rest_kept(client_phone):
    answer = client_phone.send("/me/check-in", **WEEK | {"felt": "", "text": "Windy."})

    assert answer.status_code == 422
    assert "Windy." in answer.text


def test_a_week_told_by_telephone_is_entered_by_the_coach(coach, people):
    answer = coach.send(f"/clients/{people.client.id}/entry/check-in", **WEEK | {"origin": "told_by_phone"})

    assert "The week is kept." in _told(coach, answer)
    assert "Told already." in words_of(coach.get(f"/clients/{people.client.id}/entry/check-in"))


def test_somebody_who_paused_is_asked_nothing(coach, app, people):
    with app.state.house.transaction(True) as db:
        other = seed.add_client(db, coach_id=people.coach.id, state=ClientState.PAUSED)

    assert "by somebody who trains here now" in words_of(coach.get(f"/clients/{other.id}/entry/check-in"))


def test_the_sheet_prints_with_room_to_write(coach, people):
    page = coach.get(f"/clients/{people.client.id}/conversation/print")

    assert "What went well since we last spoke?" in words_of(page)
    assert "Agreed, and by when" in words_of(page)


def test_a_stranger_finds_no_sheet(other_coach, people):
    assert other_coach.get(f"/clients/{people.client.id}/conversation").status_code == 404
    assert other_coach.get(f"/clients/{people.client.id}/entry/check-in").status_code == 404


NO_EASY = "No training at all, not even easy, until you have spoken"


@pytest.mark.parametrize(
    ("mode", "stops", "says"),
    [
        ("", Stops.ALL, (NO_EASY, "No hard work until")),
        ("ride", Stops.MODE_AND_HARD, ("No hard work until", NO_EASY)),
    ],
)
def test_a_fall_is_answered_with_one_rule_by_how_the_client_was_moving(client_phone, people, mode, stops, says):
    answer = client_phone.send("/me/check-in", **WEEK | {"fall": "yes", "fall_mode": mode})
    page = main_of(client_phone.get(answer.headers["location"]))

    with client_phone.db() as db:
        [raised] = safety.holds_of(db, client_id=people.client.id)
    assert (raised.stops, raised.mode or "") == (stops, mode)
    assert says[0] in page
    assert says[1] not in page
