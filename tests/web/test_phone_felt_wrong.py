"""Something felt wrong: the answer comes at once, the hold of its family with it."""

from __future__ import annotations

from uuid import uuid4

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.symptoms import SIGNS
from app.storage import audit, safety
from tests import seed

DAY = {"felt_on": "2026-11-25"}


def holds(browser, people):
    with browser.db() as db:
        return safety.holds_of(db, client_id=people.client.id)


def reports(browser, people):
    with browser.db() as db:
        return safety.symptoms_of(db, client_id=people.client.id)


def test_the_emergency_words_come_first_and_opening_raises_nothing(client_phone, people):
    page = client_phone.get("/me/felt-wrong").text

    assert page.index("Call your local emergency number") < page.index("What was it?")
    assert "your coach may not see this before their next morning" in page.lower()
    assert "Yes, tell my coach and pause my training" in page
    assert holds(client_phone, people) == []


def test_every_sign_can_be_chosen_once(client_phone):
    page = client_phone.get("/me/felt-wrong").text

    assert [page.count(f'value="{sign.key}"') for sign in SIGNS] == [1] * len(SIGNS)


@pytest.mark.parametrize(
    ("chosen", "raised", "said"),
    [
        ({"sign": "chest", "mode": ""}, (HoldKind.SYMPTOM, Stops.ALL, None), "a clinician can"),
        ({"sign": "fall_head", "mode": "walk"}, (HoldKind.SYMPTOM, Stops.ALL, None), "a clinician can"),
        ({"sign": "joint", "mode": "run"}, (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.RUN), "Stop using what hurts"),
        ({"sign": "joint", "mode": ""}, (HoldKind.INJURY, Stops.ALL, None), "Stop using what hurts"),
        ({"sign": "too_hard", "mode": ""}, (HoldKind.STOPPED_EARLY, Stops.HARD, None), "You did right to stop"),
    ],
)
def test_a_sign_raises_the_hold_of_its_family_and_says_what_to_do(client_phone, people, chosen, raised, said):
    answer = client_phone.send("/me/felt-wrong", text="on the hill", **chosen, **DAY)

    page = client_phone.get(answer.headers["location"]).text
    assert [(one.kind, one.stops, one.mode) for one in holds(client_phone, people)] == [raised]
    assert [(one.sign, one.text) for one in reports(client_phone, people)] == [(chosen["sign"], "on the hill")]
    assert said in page
    assert "may not see this before their next morning" in page


def test_the_report_and_its_hold_leave_traces(client_phone, people):
    client_phone.send("/me/felt-wrong", sign="chest", **DAY)

    with client_phone.db() as db:
        trail = audit.trail_of(db, client_id=people.client.id)
    assert [(one.action, one.subject) for one in trail[:2]] == [("reported", "symptom"), ("raised", "hold")]


@pytest.mark.parametrize("form", [{}, {"sign": "boredom"}, {"sign": "boredom", "felt_on": "2026-11-26"}])
def test_without_a_clear_choice_nothing_is_raised(client_phone, people, form):
    answer = client_phone.send("/me/felt-wrong", **(DAY | {"text": "kept words"} | form))

    assert answer.status_code == 422
    assert "kept words" in answer.text
    assert holds(client_phone, people) == []


@pytest.mark.parametrize("typed", ["2026-11-26", "", "yesterday", "2026-01-01"])
def test_no_day_holds_up_a_sign(client_phone, people, typed):
    answer = client_phone.send("/me/felt-wrong", sign="chest", felt_on=typed, text="Tight, on the hill.")

    assert answer.status_code == 303
    assert [one.began_on for one in holds(client_phone, people)] == [seed.TODAY]
    with client_phone.db() as db:
        report = safety.symptoms_of(db, client_id=people.client.id)[0]
    assert report.text == f"Tight, on the hill. (The day was typed as “{typed}” and counts as today.)"


def test_a_client_on_hold_may_report_more(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client)

    client_phone.send("/me/felt-wrong", sign="dizzy", **DAY)
    client_phone.send("/me/felt-wrong", sign="kit", **DAY)

    assert len(holds(client_phone, people)) == 3
    assert client_phone.get("/me/felt-wrong").text.count("What to do</a>") == 2


def test_the_same_report_sent_again_is_one(client_phone, people):
    form = DAY | {"sign": "chest", "request_id": str(uuid4())}

    client_phone.send("/me/felt-wrong", **form)
    client_phone.send("/me/felt-wrong", **form)

    assert len(holds(client_phone, people)) == 1


def test_it_cannot_be_withdrawn_by_the_client(client_phone, people):
    hold_id = client_phone.send("/me/felt-wrong", sign="chest", **DAY).headers["location"].rsplit("/", 1)[1]

    client_phone.send(f"/holds/{hold_id}/lift", because="It was nothing.")

    assert [one.lifted_at for one in holds(client_phone, people)] == [None]


def test_another_clients_report_does_not_exist(client_phone, other_coach, people):
    path = f"/clients/{people.other_client.id}/entry/felt-wrong"
    other_coach.send(path, sign="chest", origin="told_by_phone", **DAY)
    with other_coach.db() as db:
        hold_id = safety.holds_of(db, client_id=people.other_client.id)[0].id

    assert client_phone.get(f"/me/felt-wrong/{hold_id}").status_code == 404


def test_a_hold_without_a_report_has_no_answer_page(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        hold_id = seed.add_hold(db, client=people.client)

    assert client_phone.get(f"/me/felt-wrong/{hold_id}").status_code == 404
