"""The intake on the phone: one question a screen, kept at once, resumed anywhere, looked over, sent once."""

from __future__ import annotations

import json
from datetime import date
from uuid import uuid4

import pytest

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.holds import HoldKind, Stops
from app.coaching.intake import ASKED_AT_INTAKE, Sort, intake_questions
from app.coaching.people import Origin
from app.coaching.questions import MEDICINE_GROUPS, SYMPTOM_QUESTIONS
from app.coaching.screening import ConsentKind, YesNo
from app.physiology.values import Sex
from app.storage import clients, intake, safety
from app.storage.audit import trail_of
from tests import seed

READING = {
    "known": "yes",
    "systolic_mmhg": "128",
    "diastolic_mmhg": "78",
    "resting_heart_rate_bpm": "",
    "measured_on": "2026-11-20",
}
CONTACT = {"emergency_contact": "Jonas Brandt, husband", "emergency_phone": "0151 000 0001"}
REPLIES = (Sort.REPLY, Sort.MEDICINE, Sort.ANY_MEDICINE)
NO = {
    **{sort: {"reply": "no"} for sort in REPLIES},
    Sort.MEDICINES: {"none": "yes"},
    Sort.PRESSURE: READING,
    Sort.CONTACT: CONTACT,
}
TAKES_SOME = {"any_medicine": {"reply": "yes"}}
LAST = "consent_health_data"


@pytest.fixture
def people(people, app):
    """The client is a woman of 41, who is asked everything."""
    with app.state.house.transaction(True) as db:
        clients.change(db, client_id=people.client.id, revision=1, values={"born_on": date(1985, 4, 2)})
    return people


def questions(browser, people, **given):
    """The screens as they stand, with some answers beside those that wait."""
    with browser.db() as db:
        client = clients.one(db, client_id=people.client.id)
        consents = safety.consents_of(db, client_id=people.client.id)
        past = safety.screening_of(db, client_id=people.client.id)
    known = waiting(browser, people) | given
    return intake_questions(client, past=past, consents=consents, today=seed.TODAY, answers=known)


def answer_for(one):
    version = CONSENT_TEXTS[one.consent].version if one.consent else None
    return NO.get(one.sort) or {"agreed": "yes", "text_version": version}


def fill(browser, people, *, leaving_out=(), **changed):
    """Answer every screen: no to all, a reading, a contact, both consents; some changed by key."""
    asked = [one for one in questions(browser, people, **changed) if one.key not in leaving_out]
    for one in asked:
        answer = browser.send(f"/me/intake/{one.key}", **(answer_for(one) | changed.get(one.key, {})))
        assert answer.status_code == 303, (one.key, answer.text)


def waiting(browser, people):
    with browser.db() as db:
        return {one.question: one.answer for one in intake.waiting(db, client_id=people.client.id)}


def answers(browser, people):
    with browser.db() as db:
        return safety.screening_of(db, client_id=people.client.id)


def holds(browser, people):
    with browser.db() as db:
        return [(one.kind, one.stops) for one in safety.holds_of(db, client_id=people.client.id)]


# Which questions, and how one goes through them


def test_a_woman_is_asked_20_questions_and_a_man_one_less(client_phone, people):
    with client_phone.db() as db:
        client = clients.one(db, client_id=people.client.id)
    asked = questions(client_phone, people)

    assert len(asked) == 1 + 3 + 9 + 2 + 1 + 1 + 1 + len(ASKED_AT_INTAKE)
    assert client.sex is not Sex.MALE
    assert "pregnant" in [one.key for one in asked]


def test_a_man_is_not_asked_about_pregnancy(client_phone, people):
    with client_phone.db(write=True) as db:
        clients.change(db, client_id=people.client.id, revision=2, values={"sex": Sex.MALE})

    assert "pregnant" not in [one.key for one in questions(client_phone, people)]
    assert client_phone.get("/me/intake/pregnant").status_code == 404
    assert client_phone.send("/me/intake/pregnant", reply="no").status_code == 404


def test_pregnancy_is_not_asked_past_55_and_can_be_said_all_the_same(client_phone, people):
    with client_phone.db(write=True) as db:
        clients.change(db, client_id=people.client.id, revision=2, values={"born_on": date(1959, 3, 1)})
    fill(client_phone, people)

    look_over = client_phone.get("/me/intake-look-over").text
    client_phone.send("/me/intake/pregnant", reply="yes", **{"from": "look_over"})
    client_phone.send("/me/intake-look-over")

    assert "Are you pregnant" not in look_over.split("Something that was not asked")[0]
    assert 'href="/me/intake/pregnant?from=look_over"' in look_over
    assert answers(client_phone, people)[0].pregnant is YesNo.YES
    assert holds(client_phone, people) == [(HoldKind.PREGNANCY, Stops.HARD)]


def test_every_screen_has_a_way_back_on_top_and_a_way_to_go_on_later(client_phone, people):
    pages = [client_phone.get(f"/me/intake/{one.key}").text for one in questions(client_phone, people)]

    ways = [text.split('class="way-out"', 1)[1].split("</nav>", 1)[0] for text in pages]
    assert [way.count("Back</a>") for way in ways] == [1] * len(ways)
    assert [way.count('<a href="/me/today">Later</a>') for way in ways] == [1] * len(ways)
    assert all(text.index('class="way-out"') < text.index("<h1") for text in pages)


def test_every_screen_asks_one_question_and_says_how_far_it_is(client_phone, people):
    asked = questions(client_phone, people)

    pages = [client_phone.get(f"/me/intake/{one.key}").text for one in asked]

    total = len(asked)
    assert all(f"<strong>{number} of {total}</strong>" in text for number, text in enumerate(pages, 1))
    assert [text.count("<h1") for text in pages] == [1] * total
    assert [text.count('form="the-answer"') for text in pages] == [1] * total
    assert all('class="felt-wrong"' in text for text in pages)


def test_an_answer_is_kept_and_leads_to_the_next_question(client_phone, people):
    answer = client_phone.send("/me/intake/active", reply="yes")

    assert (answer.status_code, answer.headers["location"]) == (303, "/me/intake/heart")
    assert waiting(client_phone, people) == {"active": {"reply": "yes"}}
    assert answers(client_phone, people) == []


def test_going_back_shows_the_answer_that_was_given(client_phone):
    client_phone.send("/me/intake/active", reply="not_sure")

    text = client_phone.get("/me/intake/heart").text
    assert '<a href="/me/intake/active"><span aria-hidden="true">‹</span> Back</a>' in text
    before = client_phone.get("/me/intake/active").text
    assert 'value="not_sure" required checked' in before
    assert before.count(" checked") == 1


def test_the_intake_is_taken_up_where_it_was_left_on_any_phone(client_phone, people, app):
    for key in ("active", "heart", "diabetes"):
        client_phone.send(f"/me/intake/{key}", reply="no")
    second = type(client_phone)(client_phone.http, app.state.house)

    begin = second.get("/me/intake").text

    assert "3 of 20 answered." in begin
    assert '<a class="main-button" href="/me/intake/kidney">Go on</a>' in begin


def test_before_the_first_answer_it_says_what_it_is_for(client_phone):
    begin = client_phone.get("/me/intake").text

    assert "They do not replace a medical check." in begin
    assert '<a class="main-button" href="/me/intake/active">Begin</a>' in begin


def test_an_answer_can_be_changed_and_the_last_word_counts(client_phone, people):
    client_phone.send("/me/intake/chest", reply="yes")
    client_phone.send("/me/intake/chest", reply="no")

    assert waiting(client_phone, people)["chest"] == {"reply": "no"}


def test_an_answer_two_weeks_old_is_asked_again(client_phone, people, clock):
    client_phone.send("/me/intake/active", reply="no")
    clock.move(days=14, minutes=1)
    client_phone.send("/me/intake/heart", reply="no")

    begin = client_phone.get("/me/intake").text

    assert "1 of 20 answered." in begin
    assert 'href="/me/intake/active">Go on</a>' in begin


# Medicines: whether any, then which, in everyday words


def test_who_takes_none_is_asked_no_more_and_every_group_is_answered_no(client_phone, people):
    fill(client_phone, people)

    client_phone.send("/me/intake-look-over")

    [kept] = answers(client_phone, people)
    assert json.loads(kept.details_json)["medicines"] == {group.key: "no" for group in MEDICINE_GROUPS}
    assert kept.heart_rate_medicine is YesNo.NO


def test_a_pacemaker_is_asked_about_whether_or_not_any_medicine_is_taken(client_phone, people):
    fill(client_phone, people, device_or_rhythm={"reply": "yes"})

    client_phone.send("/me/intake-look-over")

    [kept] = answers(client_phone, people)
    assert json.loads(kept.details_json)["medicines"]["device_or_rhythm"] == "yes"
    assert kept.heart_rate_medicine is YesNo.YES


@pytest.mark.parametrize("reply", ["yes", "not_sure"])
def test_who_takes_some_or_is_not_sure_ticks_them_in_everyday_words(client_phone, people, reply):
    answer = client_phone.send("/me/intake/any_medicine", reply=reply)

    text = client_phone.get(answer.headers["location"]).text

    assert answer.headers["location"] == "/me/intake/medicines_heart"
    assert "16 of 24" in text
    assert "bisoprolol" in text
    assert "Tick all that you take." in text
    assert "Not sure about one of these" in text


def test_what_was_ticked_is_kept_by_group_and_shown_again(client_phone, people):
    client_phone.send("/me/intake/any_medicine", reply="yes")

    client_phone.send("/me/intake/medicines_heart", rhythm="yes")

    assert waiting(client_phone, people)["medicines_heart"] == {
        "beta_blocker": "no",
        "rhythm": "yes",
        "nitrates": "no",
    }
    text = client_phone.get("/me/intake/medicines_heart").text
    assert text.count(" checked") == 1
    assert 'name="rhythm" value="yes" checked' in text


@pytest.mark.parametrize(
    ("ticked", "sentence"),
    [({}, "Tick what you take"), ({"none": "yes", "rhythm": "yes"}, "leave only what is right")],
)
def test_nothing_ticked_or_none_beside_a_medicine_is_asked_again(client_phone, people, ticked, sentence):
    client_phone.send("/me/intake/any_medicine", reply="yes")

    answer = client_phone.send("/me/intake/medicines_heart", **ticked)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert "medicines_heart" not in waiting(client_phone, people)


def test_ticks_do_not_count_once_no_medicine_is_taken_after_all(client_phone, people):
    fill(client_phone, people, **TAKES_SOME, medicines_heart={"none": "", "rhythm": "yes"})
    client_phone.send("/me/intake/any_medicine", reply="no")

    client_phone.send("/me/intake-look-over")

    [kept] = answers(client_phone, people)
    assert set(json.loads(kept.details_json)["medicines"].values()) == {"no"}


# What cannot be kept comes back with what was typed


@pytest.mark.parametrize("reply", [None, "", "perhaps"])
def test_a_question_without_an_answer_is_asked_again(client_phone, people, reply):
    answer = client_phone.send("/me/intake/chest", reply=reply)

    assert answer.status_code == 422
    assert "Choose one of the answers." in answer.text
    assert waiting(client_phone, people) == {}


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"systolic_mmhg": "78", "diastolic_mmhg": "128"}, "Perhaps they were swapped?"),
        ({"systolic_mmhg": "1280"}, "between 60 and 300"),
        ({"diastolic_mmhg": "nan"}, "whole number"),
        ({"measured_on": "2026-11-26"}, "This day has not come yet."),
        ({"measured_on": "2025-11-20"}, "older than a year"),
        ({"systolic_mmhg": ""}, "Please fill this in."),
        ({"resting_heart_rate_bpm": "900"}, "between 25 and 240"),
    ],
)
def test_an_unlikely_reading_is_not_kept_and_what_was_typed_stays(client_phone, people, changed, sentence):
    typed = READING | {"resting_heart_rate_bpm": "66"} | changed

    answer = client_phone.send("/me/intake/blood_pressure", **typed)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert all(f'value="{value}"' in answer.text for value in typed.values() if value)
    assert waiting(client_phone, people) == {}


def test_words_are_no_telephone_number_and_the_name_stays(client_phone, people):
    answer = client_phone.send(
        "/me/intake/emergency_contact", emergency_contact="Mira Toll", emergency_phone="next door"
    )

    assert answer.status_code == 422
    assert 'value="Mira Toll"' in answer.text
    assert 'value="next door"' in answer.text
    assert waiting(client_phone, people) == {}


def test_the_contact_on_record_is_filled_in_and_health_never_is(client_phone, people):
    fill(client_phone, people)
    client_phone.send("/me/intake-look-over")

    assert 'value="Jonas Brandt, husband"' in client_phone.get("/me/intake/emergency_contact").text
    assert " checked" not in client_phone.get("/me/intake/chest").text


def test_a_question_that_does_not_exist_is_not_found(client_phone):
    assert client_phone.get("/me/intake/shoe-size").status_code == 404
    assert client_phone.send("/me/intake/shoe-size", reply="yes").status_code == 404


def test_the_intake_of_a_client_is_no_page_of_a_coach(coach):
    assert coach.get("/me/intake").status_code == 404
    assert coach.send("/me/intake/chest", reply="no").status_code == 404
    assert coach.send("/me/intake-look-over").status_code == 404


def test_an_answer_is_kept_in_the_senders_own_intake_only(client_phone, people):
    client_phone.send("/me/intake/chest", reply="yes", client_id=people.other_client.id)

    with client_phone.db() as db:
        assert intake.waiting(db, client_id=people.other_client.id) == []
    assert set(waiting(client_phone, people)) == {"chest"}


# What is said at once


@pytest.mark.parametrize("key", [one.key for one in SYMPTOM_QUESTIONS])
def test_each_symptom_carries_its_advice_before_anything_is_sent(client_phone, key):
    text = client_phone.get(f"/me/intake/{key}").text

    assert "Do not train until a doctor has heard of this" in text
    assert "Your coach must hear it too" in text
    assert "Your coach may not see this before their next morning." in text


@pytest.mark.parametrize("key", ["chest", "breath", "dizzy", "flat", "heartbeat"])
def test_signs_that_are_a_matter_of_minutes_carry_the_emergency_words(client_phone, key):
    text = client_phone.get(f"/me/intake/{key}").text

    assert "If you have it now: stop what you are doing, rest, and do not be alone." in text
    assert "now if it does not settle within a few minutes of rest" in text


@pytest.mark.parametrize("key", ["murmur", "tired", "calves", "active", "any_medicine"])
def test_other_questions_do_not_alarm(client_phone, key):
    assert "do not be alone" not in client_phone.get(f"/me/intake/{key}").text


def test_one_swollen_leg_is_for_a_doctor_today(client_phone):
    assert "see a doctor today" in client_phone.get("/me/intake/ankles").text


# The last look-over


def test_the_look_over_names_what_is_open_and_sends_nothing(client_phone, people):
    fill(client_phone, people, leaving_out=("dizzy", "any_medicine"))

    text = client_phone.get("/me/intake-look-over").text
    answer = client_phone.send("/me/intake-look-over")

    assert "2 of 20 are still open." in text
    assert 'href="/me/intake/dizzy">Go on</a>' in text
    assert "Send it</button>" not in text
    assert answer.status_code == 422
    assert "Some questions are still open" in answer.text
    assert answers(client_phone, people) == []
    assert len(waiting(client_phone, people)) == 18


def test_the_look_over_shows_every_answer_and_leads_back_after_a_change(client_phone, people):
    fill(client_phone, people, kidney={"reply": "not_sure"})

    text = client_phone.get("/me/intake-look-over").text
    changed = client_phone.send("/me/intake/kidney", reply="no", **{"from": "look_over"})

    assert [text.count(f"/me/intake/{one.key}?from=look_over") for one in questions(client_phone, people)] == [1] * 20
    assert text.count("<strong>Not sure</strong>") == 1
    assert "<strong>128 over 78, on 20 November 2026</strong>" in text
    assert "<strong>Jonas Brandt, husband, 0151 000 0001</strong>" in text
    assert changed.headers["location"] == "/me/intake-look-over"


def test_a_named_symptom_stands_on_top_of_the_look_over(client_phone, people):
    fill(client_phone, people, chest={"reply": "not_sure"})

    text = client_phone.get("/me/intake-look-over").text

    assert "Your coach must hear of this before you train" in text
    assert "if you cannot get your breath" in text


# Sending


def test_sending_keeps_one_set_of_answers_a_reading_the_contact_and_the_consents(client_phone, people):
    fill(
        client_phone,
        people,
        active={"reply": "yes"},
        **TAKES_SOME,
        medicines_blood={"none": "", "not_sure": "yes", "statin": "yes"},
    )

    answer = client_phone.send("/me/intake-look-over")

    assert (answer.status_code, answer.headers["location"]) == (303, "/me/intake-sent")
    [kept] = answers(client_phone, people)
    details = json.loads(kept.details_json)
    assert (kept.active, kept.disease, kept.symptoms, kept.pregnant) == (YesNo.YES, YesNo.NO, YesNo.NO, YesNo.NO)
    assert (kept.origin, kept.answered_on) == (Origin.CLIENT, seed.TODAY)
    assert {key: reply for key, reply in details["medicines"].items() if reply != "no"} == {
        "pressure": "not_sure",
        "blood_thinner": "not_sure",
        "statin": "yes",
    }
    assert details["medicines"].keys() == {group.key for group in MEDICINE_GROUPS}
    with client_phone.db() as db:
        [reading] = safety.pressures_of(db, client_id=people.client.id)
        client = clients.one(db, client_id=people.client.id)
    assert (reading.systolic_mmhg, reading.diastolic_mmhg, reading.origin) == (128, 78, Origin.CLIENT)
    assert reading.resting_heart_rate_bpm is None
    assert (client.emergency_contact, client.emergency_confirmed_on) == ("Jonas Brandt, husband", seed.TODAY)
    assert waiting(client_phone, people) == {}


def test_consents_are_kept_with_the_text_as_shown(client_phone, people):
    fill(client_phone, people)

    client_phone.send("/me/intake-look-over")

    with client_phone.db() as db:
        given = safety.consents_of(db, client_id=people.client.id)
        trail = [one for one in trail_of(db, client_id=people.client.id) if one.subject == "consent"]
    assert [one.kind for one in given] == list(ASKED_AT_INTAKE)
    assert [one.text_sha256 for one in given] == [CONSENT_TEXTS[kind].sha256 for kind in ASKED_AT_INTAKE]
    assert {(one.method, one.given_on) for one in given} == {(Origin.CLIENT, seed.TODAY)}
    assert {one.at for one in trail} == {seed.NOW}


def test_not_yet_is_a_full_answer_and_no_consent(client_phone, people):
    fill(client_phone, people, **{LAST: {"agreed": "not_yet"}})

    client_phone.send("/me/intake-look-over")

    with client_phone.db() as db:
        kinds = [one.kind for one in safety.consents_of(db, client_id=people.client.id)]
    assert kinds == [ConsentKind.COACHING]
    assert len(answers(client_phone, people)) == 1


def test_who_wants_to_ask_first_reads_that_the_coach_talks_it_over(client_phone, people):
    fill(client_phone, people, **{LAST: {"agreed": "not_yet"}})
    client_phone.send("/me/intake-look-over")

    sent = client_phone.get("/me/intake-sent").text

    assert "“Keeping your health answers”: your coach sees that it is open and talks it over with you" in sent
    assert "before more of your health answers are kept." in sent
    assert "“Being coached”" not in sent
    assert 'href="/me/my-way#consents"' in sent


def test_a_not_yet_is_answered_later_by_itself_from_the_page_of_the_answers(client_phone, people):
    before = client_phone.get("/me/intake").text
    fill(client_phone, people, **{LAST: {"agreed": "not_yet"}})
    client_phone.send("/me/intake-look-over")

    after = client_phone.get("/me/intake").text
    text = CONSENT_TEXTS[ConsentKind.HEALTH_DATA]
    client_phone.send("/me/my-way/consents", kind=text.kind.value, text_version=text.version)

    assert "Not agreed to yet" not in before
    assert "Not agreed to yet: Keeping your health answers." in after
    assert 'href="/me/my-way#consents"' in after
    assert "Not agreed to yet" not in client_phone.get("/me/intake").text


def test_who_has_not_agreed_to_being_coached_is_not_sent_on_as_planned(client_phone, people):
    fill(client_phone, people, consent_coaching={"agreed": "not_yet"})
    client_phone.send("/me/intake-look-over")

    sent = client_phone.get("/me/intake-sent").text

    assert "Sent. Your coach talks with you first" in sent
    assert "training begins or goes on once you have agreed." in sent
    assert "You can go on as planned" not in sent


def test_a_consent_to_an_old_text_is_refused(client_phone, people):
    answer = client_phone.send(f"/me/intake/{LAST}", agreed="yes", text_version="1900-1")

    assert answer.status_code == 409
    assert waiting(client_phone, people) == {}


def test_no_reading_is_kept_when_it_is_not_known(client_phone, people):
    fill(client_phone, people, blood_pressure={"known": "no"})

    client_phone.send("/me/intake-look-over")

    with client_phone.db() as db:
        assert safety.pressures_of(db, client_id=people.client.id) == []


def test_the_same_press_of_send_counts_once(client_phone, people):
    fill(client_phone, people)
    press = {"request_id": str(uuid4())}

    first = client_phone.send("/me/intake-look-over", **press)
    again = client_phone.send("/me/intake-look-over", **press)
    from_elsewhere = client_phone.send("/me/intake-look-over")

    assert [one.headers["location"] for one in (first, again, from_elsewhere)] == ["/me/intake-sent"] * 3
    assert len(answers(client_phone, people)) == 1
    with client_phone.db() as db:
        assert len(safety.pressures_of(db, client_id=people.client.id)) == 1


def test_a_part_that_is_refused_keeps_nothing_of_the_rest(client_phone, people):
    fill(client_phone, people)
    swapped = READING | {"systolic_mmhg": "78", "diastolic_mmhg": "128"}
    with client_phone.db(write=True) as db:
        intake.keep(db, client_id=people.client.id, question="blood_pressure", answer=swapped, at=seed.NOW)

    answer = client_phone.send("/me/intake-look-over")

    assert answer.status_code == 422
    assert answers(client_phone, people) == []
    assert len(waiting(client_phone, people)) == 20


def test_a_symptom_pauses_everything_as_soon_as_it_is_sent(client_phone, people):
    fill(client_phone, people, murmur={"reply": "not_sure"})

    client_phone.send("/me/intake-look-over")

    assert answers(client_phone, people)[0].symptoms is YesNo.YES
    assert "Your training is paused" in client_phone.get("/me/today").text


def test_pregnancy_pauses_hard_work(client_phone, people):
    fill(client_phone, people, pregnant={"reply": "yes"})

    client_phone.send("/me/intake-look-over")

    assert holds(client_phone, people) == [(HoldKind.PREGNANCY, Stops.HARD)]


def test_a_new_heart_medicine_pauses_hard_work_at_the_second_intake(client_phone, people):
    with client_phone.db(write=True) as db:
        seed.add_answers(db, client=people.client)
    fill(client_phone, people, **TAKES_SOME, medicines_heart={"none": "", "beta_blocker": "yes"})

    client_phone.send("/me/intake-look-over")

    assert holds(client_phone, people) == [(HoldKind.MEDICINE_CHANGE, Stops.HARD)]


def test_the_second_time_asks_for_news_and_not_for_consents_in_force(client_phone, people):
    fill(client_phone, people)
    client_phone.send("/me/intake-look-over")

    keys = [one.key for one in questions(client_phone, people)]

    assert "news" in keys
    assert LAST not in keys
    assert "of 19</strong>" in client_phone.get("/me/intake/news").text


# The receipt


def receipt_of(client_phone, people, **changed):
    fill(client_phone, people, **changed)
    client_phone.send("/me/intake-look-over")
    return client_phone.get("/me/intake-sent").text


def test_the_summary_of_one_question_does_not_repeat_it(client_phone):
    page = client_phone.send("/me/intake/chest").text.partition("data-error-summary")[2].partition("</div>")[0]

    assert ">Please fill this in.</a>" in page


def test_who_may_begin_easy_reads_so(client_phone, people):
    text = receipt_of(client_phone, people)

    assert "Your coach reads it and tells you what comes first" in text
    assert "Easy work now" not in text
    assert "stops easy work" not in text
    assert "as planned" not in text


def test_the_active_without_anything_goes_on(client_phone, people):
    text = receipt_of(client_phone, people, active={"reply": "yes"})

    assert "You can go on as planned" in text
    assert "This is no medical check" in text


def test_a_disease_waits_for_a_doctors_word_paused_not_cancelled(client_phone, people):
    text = receipt_of(client_phone, people, heart={"reply": "yes"})

    assert "A doctor&#39;s word comes first" in text
    assert "Your plan is paused, not cancelled." in text
    assert "The doctor decides; your coach cannot." in text
    assert "You named a sign" not in text


def test_an_active_client_with_a_disease_goes_on_easy(client_phone, people):
    text = receipt_of(client_phone, people, active={"reply": "yes"}, diabetes={"reply": "not_sure"})

    assert "Your coach reads it and tells you what comes first" in text
    assert "Before anything hard we need a doctor&#39;s word first" in text


def test_the_receipt_names_the_answer_that_asks_for_a_doctor(client_phone, people):
    text = receipt_of(client_phone, people, kidney={"reply": "yes"})

    assert "A doctor is asked because you said that you have a kidney disease." in text


def test_the_receipt_names_each_of_several_answers_and_a_doubt_as_a_doubt(client_phone, people):
    text = receipt_of(client_phone, people, murmur={"reply": "not_sure"}, diabetes={"reply": "yes"})

    assert "<li>you said that you have diabetes</li>" in text
    assert "<li>you were not sure whether somebody told you of a heart murmur</li>" in text


def test_without_such_an_answer_no_doctor_is_named(client_phone, people):
    assert "A doctor is asked" not in receipt_of(client_phone, people)


def test_a_symptom_reads_the_emergency_words_on_the_receipt_too(client_phone, people):
    text = receipt_of(client_phone, people, chest={"reply": "yes"})

    assert "do not train until it is settled" in text
    assert "if speech is slurred" in text
    assert "Your plan is paused, not cancelled." in text


def test_a_high_reading_pauses_and_says_why(client_phone, people):
    text = receipt_of(client_phone, people, blood_pressure={"systolic_mmhg": "192", "diastolic_mmhg": "96"})

    assert "Training waits for now" in text
    assert "192 over 96 mmHg" in text


@pytest.mark.parametrize("changed", [{}, {"chest": {"reply": "yes"}}, {"heart": {"reply": "yes"}}])
def test_no_receipt_claims_to_clear_or_to_diagnose(client_phone, people, changed):
    text = receipt_of(client_phone, people, **changed).lower()

    assert "you are cleared" not in text
    assert "cleared:" not in text
    assert "diagnos" not in text


def test_before_anything_was_sent_the_receipt_says_so(client_phone):
    text = client_phone.get("/me/intake-sent").text

    assert "Nothing sent yet" in text
    assert 'href="/me/intake">Questions</a>' in text


def test_today_and_my_way_lead_here_while_questions_are_due(client_phone, people):
    assert 'href="/me/intake"' in client_phone.get("/me/today").text
    assert 'href="/me/intake"' in client_phone.get("/me/my-way").text
