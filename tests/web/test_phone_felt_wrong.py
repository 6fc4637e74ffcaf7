"""Something felt wrong: the answer comes at once, the hold of its family with it."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from uuid import uuid4

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.symptoms import SIGNS, advice, emergency_text, hold_for
from app.storage import audit, requests, safety
from app.web.felt_wrong_form import GROUPS
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


def test_a_fall_on_blood_thinners_is_for_a_clinician_whichever_fall_was_chosen(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client, details_json=json.dumps({"medicines": {"blood_thinner": "yes"}}))

    answer = client_phone.send("/me/felt-wrong", sign="fall", mode="run", **DAY)

    assert [(one.kind, one.stops) for one in holds(client_phone, people)] == [(HoldKind.SYMPTOM, Stops.ALL)]
    assert "a clinician can" in client_phone.get(answer.headers["location"]).text


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


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("2026-11-24T19:30:00.000Z", datetime(2026, 11, 24, 19, 30, tzinfo=UTC)),
        ("2026-11-24T20:30:00+01:00", datetime(2026, 11, 24, 19, 30, tzinfo=UTC)),
        ("2026-10-26T10:00:00.000Z", datetime(2026, 10, 26, 10, tzinfo=UTC)),
        # A clock ahead of the desk's is cut to the desk's.
        ("2026-12-24T19:30:00.000Z", seed.NOW),
    ],
)
def test_a_kept_report_carries_when_it_was_entered_and_when_it_came(client_phone, people, said, kept):
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=f"{kept:%Y-%m-%d}", entered_at=said)

    [report] = reports(client_phone, people)
    assert (report.entered_at, report.received_at, report.text) == (kept, seed.NOW, None)


@pytest.mark.parametrize(
    "said", ["", "yesterday", "2026-11-24T19:30", "0001-01-01T00:00:00+14:00", "9999-12-31T23:59Z"]
)
def test_no_clock_holds_up_a_sign(client_phone, people, said):
    answer = client_phone.send("/me/felt-wrong", sign="chest", entered_at=said, **DAY)

    assert answer.status_code == 303
    assert [(one.entered_at, one.received_at) for one in reports(client_phone, people)] == [(seed.NOW, None)]


def test_the_day_of_a_kept_report_is_measured_against_the_day_it_was_entered(client_phone, people):
    entered = {"entered_at": "2026-11-05T10:00:00Z"}
    client_phone.send("/me/felt-wrong", sign="chest", felt_on="2026-10-10", **entered)
    client_phone.send("/me/felt-wrong", sign="dizzy", felt_on="2026-11-06", **entered)

    assert [f"{one.felt_on}" for one in reports(client_phone, people)] == ["2026-10-10", "2026-11-05"]
    assert [f"{one.began_on}" for one in holds(client_phone, people)] == ["2026-10-10", "2026-11-05"]


def test_a_report_said_to_be_over_30_days_old_is_kept_and_marked_and_pauses_from_today(client_phone, coach, people):
    form = {"felt_on": "2026-10-01", "entered_at": "2026-10-01T10:00:00Z"}
    answer = client_phone.send("/me/felt-wrong", sign="chest", **form)

    [report], [hold] = reports(client_phone, people), holds(client_phone, people)
    assert (report.felt_on, hold.began_on) == (seed.TODAY, seed.TODAY)
    assert report.text == "Said to be of 1 October 2026; counts as 25 November 2026."
    marked = "Entered on the phone 1 October 2026, 12:00; it came 25 November 2026, 08:00. Over 30 days lie between"
    assert marked in client_phone.get(answer.headers["location"]).text
    assert marked in coach.get(f"/clients/{people.client.id}/safety").text
    assert marked in coach.get("/morning").text


def test_a_report_sent_again_after_the_desk_forgot_the_form_is_still_one(client_phone, app, people):
    form = DAY | {"sign": "chest", "entered_at": "2026-11-25T06:00:00Z", "request_id": str(uuid4())}
    first = client_phone.send("/me/felt-wrong", **form)
    with app.state.house.transaction(True) as db:
        requests.forget_before(db, at=seed.NOW + timedelta(days=1))

    again = client_phone.send("/me/felt-wrong", **form)

    assert again.headers["location"] == first.headers["location"]
    assert (len(reports(client_phone, people)), len(holds(client_phone, people))) == (1, 1)


@pytest.mark.parametrize("path", ["/me/today", "/me/done", "/me/how-i-am", "/me/my-way", "/me/my-way/questions"])
def test_every_screen_carries_every_advice_and_the_emergency_words(client_phone, path):
    page = client_phone.get(path).text

    sentences = {words for sign in SIGNS for words in advice(sign)} | {emergency_text()}
    assert [words for words in sentences if words not in page] == []
    assert [sign.words for sign in SIGNS if f"<span>{sign.words}</span>" not in page] == []


def test_signs_of_one_group_have_one_advice_and_one_hold():
    found = [{(advice(one), hold_for(one, None), hold_for(one, Mode.RUN)) for one in group.signs} for group in GROUPS]

    assert [len(one) for one in found] == [1, 1, 1]
    assert [(group.stops, group.stops_in_a_mode) for group in GROUPS] == [
        (Stops.ALL, Stops.ALL),
        (Stops.ALL, Stops.MODE_AND_HARD),
        (Stops.HARD, Stops.HARD),
    ]


def open_holds(browser, people, *raised):
    """Other pauses that stand already."""
    with browser.db(write=True) as db:
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        return [seed.add_hold(db, client=people.client, **one) for one in raised]


ALL_PAUSED = "All your training is paused, not cancelled. No easy outings either."
FEVER = {"kind": HoldKind.ILLNESS, "stops": Stops.ALL, "mode": None, "cause": "fever"}
KNEE = {"kind": HoldKind.INJURY, "stops": Stops.MODE_AND_HARD, "mode": Mode.WALK, "cause": "New pain in a joint"}


@pytest.mark.parametrize(
    ("standing", "said", "unsaid"),
    [
        ((), "Hard work is paused. Easy outings go on.", "All your training"),
        ((FEVER,), ALL_PAUSED, "outings go on.</strong>"),
        ((FEVER, KNEE), ALL_PAUSED, "outings go on.</strong>"),
        ((KNEE,), "<span data-modes>Walking</span> and all hard work are paused.", "outings go on.</strong>"),
    ],
)
def test_the_answer_speaks_of_everything_in_force(client_phone, people, standing, said, unsaid):
    open_holds(client_phone, people, *standing)
    answer = client_phone.send("/me/felt-wrong", sign="too_hard", **DAY)

    page = client_phone.get(answer.headers["location"]).text.split("<dialog")[0]
    assert f"<strong>{said}" in page
    assert unsaid not in page
    assert "Easy outings are fine" not in page


def test_todays_page_names_every_pause_and_the_strictest_advice(client_phone, people):
    open_holds(client_phone, people, FEVER, KNEE)

    page = client_phone.get("/me/today").text.split("<dialog")[0]
    assert "Fever. Tell your coach when you are well" in page
    assert "Walking and all hard work are paused: you reported new pain in a joint" in page
    assert "Walking is paused too: no more of it than the day needs." in page
    assert "Everyday walking only if it feels right" not in page


def test_the_sheet_knows_what_is_in_force_without_a_connection(client_phone, people):
    open_holds(client_phone, people, FEVER, KNEE)

    assert 'data-stands="all" data-stands-in="walk"' in client_phone.get("/me/how-i-am").text


def test_the_same_reason_twice_is_one_pause_with_two_reports(client_phone, coach, people):
    first = client_phone.send("/me/felt-wrong", sign="too_hard", text="on the hill", **DAY)
    second = client_phone.send("/me/felt-wrong", sign="too_hard", text="on the flat", **DAY)
    client_phone.send("/me/felt-wrong", sign="kit", **DAY)

    assert second.headers["location"] == first.headers["location"]
    assert [one.cause for one in holds(client_phone, people)] == [
        "It was too hard",
        "Something broke or did not work",
    ]
    assert [one.text for one in reports(client_phone, people)] == ["on the hill", "on the flat", None]
    page = client_phone.get(first.headers["location"]).text
    assert page.index("on the hill") < page.index("on the flat")
    assert "“on the flat”" in coach.get(f"/clients/{people.client.id}/safety").text
    with client_phone.db() as db:
        trail = audit.trail_of(db, client_id=people.client.id)
    assert sum(one.subject == "symptom" for one in trail) == 3


def test_a_reason_whose_pause_was_lifted_raises_a_new_one(client_phone, app, people):
    client_phone.send("/me/felt-wrong", sign="too_hard", **DAY)
    with app.state.house.transaction(True) as db:
        [hold] = safety.holds_of(db, client_id=people.client.id)
        lifted = {"hold_id": hold.id, "because": "talked", "clearance_id": None}
        safety.lift_hold(db, person_id=people.coach.id, at=seed.NOW, **lifted)

    client_phone.send("/me/felt-wrong", sign="too_hard", **DAY)

    assert len(holds(client_phone, people)) == 2


@pytest.mark.parametrize("sign", ["", "boredom"])
def test_nothing_chosen_is_asked_for_in_plain_words(client_phone, sign):
    answer = client_phone.send("/me/felt-wrong", sign=sign, **DAY)

    assert answer.status_code == 422
    assert answer.text.split("<dialog")[0].count("Choose what it was.") == 2
    assert "Please fill this in." not in answer.text


def test_a_joint_with_the_way_left_open_says_why_everything_is_paused(client_phone, people):
    form = client_phone.get("/me/felt-wrong").text
    left_open = client_phone.send("/me/felt-wrong", sign="joint", **DAY)
    said = client_phone.send("/me/felt-wrong", sign="muscle", mode="run", **DAY)

    why = "This pauses all training because you did not say which way of moving it was."
    assert "If you leave open below how you were moving, it pauses all training." in form
    assert why in client_phone.get(left_open.headers["location"]).text.split("<dialog")[0]
    assert why not in client_phone.get(said.headers["location"]).text.split("<dialog")[0]
    assert "your coach allows that outing first, and until then there is none." in client_phone.get("/me/today").text
