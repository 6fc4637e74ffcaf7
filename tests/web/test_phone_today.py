"""Today on the phone: what to do, what is paused, what was changed, and what is still unanswered."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Mode, Visibility
from app.coaching.return_steps import COLD_AT_MOST
from app.coaching.screening import YesNo
from app.storage import clients, practice, prescriptions, safety
from app.web.filters import sentence
from tests import factories, plan_scenes, seed
from tests.web.test_today_easy_first import main_of


@pytest.fixture
def cleared(app, people):
    """The client's screening is answered and harmless, so that hard work may be shown."""
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        answers = factories.answers()
        safety.add_screening(
            db,
            client_id=people.client.id,
            answered_on=seed.TODAY - timedelta(days=10),
            active=answers.active,
            disease=answers.disease,
            symptoms=answers.symptoms,
            pregnant=answers.pregnant,
            heart_rate_medicine=answers.heart_rate_medicine,
            details_json="{}",
            origin=answers.origin,
            person_id=people.coach.id,
            at=seed.NOW - timedelta(days=10),
        )


def test_a_plan_before_being_coached_is_agreed_to_says_so_and_how_to_agree(app, client_phone, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY)

    before = client_phone.get("/me/today").text
    with app.state.house.transaction(True) as db:
        plan_scenes.is_coached(db, people.client)
    after = client_phone.get("/me/today").text

    assert "“Being coached” is still open." in before
    assert 'href="/me/my-way#consents"' in before
    assert "“Being coached”" not in after


def plan_hard(app, people, **changes):
    with app.state.house.transaction(True) as db:
        return seed.add_planned_hard(db, client=people.client, **changes)


def hold(app, people, **changes):
    with app.state.house.transaction(True) as db:
        return seed.add_hold(db, client=people.client, **changes)


def test_a_day_without_a_session_in_a_plan_is_a_rest_day(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=2))
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=2))

    page = client_phone.get("/me/today")

    assert page.status_code == 200
    assert "<h1>A rest day</h1>" in page.text


@pytest.mark.usefixtures("cleared")
@pytest.mark.parametrize(
    ("days_ahead", "when"), [(1, "Thu 26 November"), (10, "Sat 5 December"), (60, "Sun 24 January")]
)
def test_a_plan_that_has_not_begun_says_when_it_does(client_phone, app, people, days_ahead, when):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days_ahead))

    page = client_phone.get("/me/today").text

    assert f"<h1>Your plan begins {when}</h1>" in page
    assert f"Your plan begins {when}: Easy walk, 45 min." in page
    assert f"<strong>{when}</strong> Easy walk" in page.partition("<h2>Next</h2>")[2]


def test_a_plan_that_goes_on_after_a_gap_says_when(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=20))
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=10))

    assert "<h1>Your plan goes on Sat 5 December</h1>" in client_phone.get("/me/today").text


def test_far_off_sessions_are_not_named_while_others_are_near(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client)
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=1))
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=20), title="Far walk")

    assert "Far walk" not in client_phone.get("/me/today").text


def test_without_any_plan_no_rest_is_praised(client_phone, cleared):
    page = client_phone.get("/me/today").text

    assert "<h1>No plan yet</h1>" in page
    assert "Rest is part of the plan" not in page


def test_a_paused_client_reads_what_may_be_done_instead(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.PAUSED)

    page = client_phone.get("/me/today").text

    assert "<h1>Your coaching is paused</h1>" in page
    assert "Move as you like, easy enough to chat. Nothing hard meanwhile." in page
    assert "Rest is part of the plan" not in page


def test_one_thing_is_to_be_done_first_and_nothing_says_otherwise(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=85))

    page = client_phone.get("/me/today").text

    assert "<h1>First some questions</h1>" in page
    assert page.count("Answer the questions</a>") == 1
    assert "nothing you have to do" not in page


def test_today_says_how_far_the_questions_are(client_phone):
    client_phone.send("/me/intake/active", reply="yes")
    client_phone.send("/me/intake/heart", reply="no")

    page = client_phone.get("/me/today").text

    assert "<strong>2 of 19 answered.</strong> Your answers are kept with your practice" in page
    assert '<a class="button" href="/me/intake">Go on with the questions</a>' in page


def test_a_doctors_word_is_asked_for_once(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO, disease=YesNo.YES)
    hold(app, people, kind=HoldKind.CLEARANCE, stops=Stops.ALL, cause="asked of the heart doctor")

    page = client_phone.get("/me/today").text

    assert page.count("It ends when your coach has the doctor&#39;s paper.") == 1
    assert "ask for a doctor" not in page


def test_the_stop_signs_stand_before_the_steps(client_phone, app, people, cleared):
    plan_hard(app, people)

    page = client_phone.get("/me/today").text

    assert page.count("<strong>Stop at once</strong>") == 1
    assert page.index("<strong>Stop at once</strong>") < page.index('<ol class="steps">')


def test_what_is_done_first_stands_before_what_is_looked_up(client_phone, app, people, cleared):
    plan_hard(app, people)

    page = client_phone.get("/me/today").text
    order = ("<strong>Stop at once</strong>", '<ol class="steps">', ">By the clock<", "Bad night or heavy legs?")
    places = [page.index(words) for words in order]

    assert places == sorted(places)


def test_a_session_already_entered_offers_nothing_more_to_do_when_a_pause_comes_after_it(
    client_phone, app, people, cleared
):
    session_id = plan_hard(app, people)
    with app.state.house.transaction(True) as db:
        seed.add_log(db, client=people.client, planned_session_id=session_id)
    hold(app, people, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="A medicine was changed")

    page = main_of(client_phone.get("/me/today"))

    assert "You have entered this one." in page
    assert "Only the easy way today" not in page
    assert "<strong>Instead:</strong>" not in page
    assert page.count("Hard work is paused: a medicine was changed.") == 1


def test_a_session_already_entered_folds_what_was_planned(client_phone, app, people, cleared):
    session_id = plan_hard(app, people)
    with app.state.house.transaction(True) as db:
        seed.add_log(db, client=people.client, planned_session_id=session_id)

    page = client_phone.get("/me/today").text

    assert page.index("<summary>What was planned</summary>") < page.index('<ol class="steps">')


@pytest.mark.parametrize("stops", [Stops.ALL, Stops.HARD])
def test_who_is_ill_finds_where_to_say_that_they_are_well(client_phone, app, people, cleared, stops):
    hold(app, people, kind=HoldKind.ILLNESS, stops=stops, cause="Fever")

    assert 'href="/me/how-i-am">Well again? Say since when' in client_phone.get("/me/today").text
    assert "Choose “Not ill” in the note of that day" in client_phone.get("/me/how-i-am").text


@pytest.mark.parametrize(
    ("written", "ends"),
    [("Rain tomorrow", "Rain tomorrow."), ("Why not?", "Why not?"), ("Cold. ", "Cold."), ("", "")],
)
def test_what_somebody_wrote_ends_before_the_next_sentence_begins(written, ends):
    assert sentence(written) == ends


def test_a_newcomer_is_asked_first_and_not_frightened(client_phone):
    page = client_phone.get("/me/today").text

    assert "<h1>First some questions</h1>" in page
    assert "Your health questions are not answered yet. Training begins once they are" in page
    assert "sit down and call" not in page
    assert "heart, metabolic and kidney disease" not in page


def test_a_newcomer_with_a_reported_sign_reads_the_stop(client_phone, app, people):
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=seed.TODAY.isoformat(), text="", mode="")

    page = client_phone.get("/me/today").text

    assert "<h1>Your training is paused</h1>" in page
    assert "If it gets worse or comes back: sit down and call" in page


def test_a_pause_is_told_on_a_day_without_a_session(client_phone, app, people, cleared):
    hold(app, people, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="A medicine was changed")

    page = client_phone.get("/me/today").text

    assert page.count("Hard work is paused: a medicine was changed. It ends when your coach has looked at it") == 1


def test_one_reason_for_many_paused_days_is_told_once(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        for days in (0, 1, 2):
            seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days))
    hold(app, people, kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.WALK, cause="New pain in a joint")

    page = client_phone.get("/me/today").text

    assert page.count('<span class="tag">paused</span>') == 2
    assert page.count("new pain in a joint") == 1


def test_the_emergency_number_can_be_tapped(client_phone, head, app, people, cleared):
    with app.state.house.transaction(True) as db:
        found = practice.found(db)
        assert found is not None
        practice.change(db, name=found.name, zone=found.zone, emergency_number="112", public_url=found.public_url)
    plan_hard(app, people)

    assert 'href="tel:112"' in client_phone.get("/me/today").text
    assert 'href="tel:112"' in client_phone.get("/me/felt-wrong").text


def test_a_session_says_what_why_how_hard_and_its_steps(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, place="river path")

    page = client_phone.get("/me/today").text

    assert "<h1>Easy walk</h1>" in page
    assert "45 min, river path" in page
    assert "Time on your feet." in page
    assert "you could chat in comfort" in page
    assert "Easy enough to chat." in page


def test_a_hard_session_carries_its_easy_version_and_stop_signs(client_phone, app, people, cleared):
    plan_hard(app, people)

    page = client_phone.get("/me/today").text

    assert "30 min easy instead." in page
    assert "Stop at once" in page
    assert "your local emergency number" in page


def test_hard_work_waits_until_the_questions_are_answered(client_phone, app, people):
    plan_hard(app, people)

    page = client_phone.get("/me/today").text

    assert "A few words by minute three." not in page
    assert "paused" in page


def test_due_questions_are_one_tap_away(client_phone):
    assert 'href="/me/intake"' in client_phone.get("/me/today").text


def test_a_hold_on_hard_work_shows_the_easy_way_why_and_who_lifts_it(client_phone, app, people, cleared):
    plan_hard(app, people)
    hold(app, people, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD, cause="It was too hard")

    page = client_phone.get("/me/today").text

    assert "Only the easy way today" in page
    assert "30 min easy instead." in page
    assert "you stopped early, it was too hard. It ends when you have spoken with your coach." in page
    assert "A few words by minute three." not in page


def test_a_hold_on_everything_shows_no_work(client_phone, app, people, cleared):
    plan_hard(app, people)
    hold(app, people)

    page = client_phone.get("/me/today").text

    assert "Your training is paused" in page
    assert "You reported chest discomfort" in page
    assert "Your coach cannot end it." in page
    assert "Warm up." not in page
    assert "Rounds" not in page


def test_opening_the_page_notes_the_version_as_seen(client_phone, app, people):
    session_id = plan_hard(app, people)

    client_phone.get("/me/today")

    with client_phone.db() as db:
        assert prescriptions.versions(db, planned_session_id=session_id)[0].seen_at == seed.NOW


def test_a_coach_looking_does_not_count_as_seen(coach, app, people):
    session_id = plan_hard(app, people)

    assert coach.get("/me/today").status_code == 404

    with coach.db() as db:
        assert prescriptions.versions(db, planned_session_id=session_id)[0].seen_at is None


def test_a_changed_session_says_why_and_what_it_was(client_phone, app, people, cleared):
    with app.state.house.transaction(True) as db:
        session_id = seed.add_planned(db, client=people.client)
        draft = prescriptions.VersionDraft(
            planned_on=seed.TODAY,
            kind=factories.SessionKind.EASY,
            mode=factories.Mode.WALK,
            title="Short walk",
            purpose="Keep moving.",
            minutes=20,
            hard_minutes=0,
            is_hard=False,
            rounds=0,
            steps_json=factories.to_json(factories.easy_steps(20)),
            easy_version=None,
            place=None,
            reason="You slept badly.",
        )
        prescriptions.add_version(
            db,
            planned_session_id=session_id,
            client_id=people.client.id,
            draft=draft,
            person_id=people.coach.id,
            at=seed.NOW,
            publish=True,
        )

    page = client_phone.get("/me/today").text

    assert "<h1>Short walk</h1>" in page
    assert "You slept badly." in page
    assert "It was: Easy walk, 45 min" in page


def test_a_draft_is_not_shown(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, publish=False)

    assert "Easy walk" not in client_phone.get("/me/today").text


def test_yesterday_without_an_answer_is_offered(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=1))

    page = client_phone.get("/me/today").text

    assert f'href="/me/done?session={session_id}"' in page


def test_an_answered_session_is_not_asked_again(client_phone, app, people):
    yesterday = seed.TODAY - timedelta(days=1)
    with app.state.house.transaction(True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=yesterday)
        seed.add_log(db, client=people.client, planned_session_id=session_id, done_on=yesterday)

    assert f"session={session_id}" not in client_phone.get("/me/today").text


def test_a_shared_note_is_shown_until_read_and_a_private_one_never(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        note_id = seed.add_note(db, client=people.client, visibility=Visibility.CLIENT, text="Well walked on Sunday.")
        seed.add_note(db, client=people.client, text="Worried about the knee.")

    before = client_phone.get("/me/today").text
    answer = client_phone.send(f"/me/today/notes/{note_id}/read")
    after = client_phone.get("/me/today").text

    assert "Well walked on Sunday." in before
    assert "Worried" not in before
    assert answer.status_code == 303
    assert "Well walked on Sunday." not in after


def test_another_clients_note_does_not_exist(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        note_id = seed.add_note(db, client=people.other_client, visibility=Visibility.CLIENT)

    assert client_phone.send(f"/me/today/notes/{note_id}/read").status_code == 404
    with client_phone.db() as db:
        assert clients.notes(db, client_id=people.other_client.id)[0].read_at is None


def test_a_private_note_cannot_be_marked_by_guessing(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        note_id = seed.add_note(db, client=people.client)

    assert client_phone.send(f"/me/today/notes/{note_id}/read").status_code == 404


def test_something_felt_wrong_is_on_every_screen(client_phone):
    places = ["/me/today", "/me/done", "/me/how-i-am", "/me/my-way", "/me/my-way/questions"]

    pages = [client_phone.get(place).text for place in places]

    assert [page.count('href="/me/felt-wrong"') for page in pages] == [1, 1, 1, 1, 1]


@pytest.mark.parametrize("path", ["/me/today", "/me/done?extra=true", "/me/how-i-am", "/me/my-way", "/me/intake"])
def test_every_page_of_the_phone_ends_with_the_emergency_number_to_tap(client_phone, app, path):
    with app.state.house.transaction(True) as db:
        practice.change(db, name="Birchway Endurance", zone=seed.ZONE, emergency_number="112", public_url=None)

    foot = client_phone.get(path).text.split('<footer class="foot">', 1)[1].split("</footer>", 1)[0]

    assert 'In an emergency call <a class="call" href="tel:112">112</a>.' in foot


def test_an_easy_session_says_when_to_stop_on_today_and_by_the_clock(app, client_phone, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY)

    for address in ("/me/today", "/me/timer"):
        page = client_phone.get(address).text
        assert "<strong>Stop at once</strong> with pain or pressure in chest" in page
        assert "All signs" in page


def test_a_cold_says_by_the_clock_of_an_easy_session_how_little_is_left(app, client_phone, people, cleared):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY)
    client_phone.send("/me/how-i-am", noted_on=seed.TODAY.isoformat(), illness="above_neck")

    assert COLD_AT_MOST in client_phone.get("/me/timer").text
    assert COLD_AT_MOST in client_phone.get("/me/today").text


def _beside(page, title):
    """The word that stands right behind a title."""
    return re.search(
        rf'{title}</h[12]><p class="effort">(\w+)</p>|{title} <span class="effort">(\w+)</span>', page.text
    )


@pytest.mark.usefixtures("cleared")
def test_the_effort_stands_beside_each_title_on_today_and_where_it_is_done(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        plan_scenes.is_coached(db, people.client)
        hidden = seed.add_planned(db, client=people.client, planned_on=seed.TODAY, title="Flat out")
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=2), title="A stroll")

    today, done = client_phone.get("/me/today"), client_phone.get(f"/me/done?session={hidden}")
    clock = client_phone.get("/me/timer")

    assert [_beside(page, "Flat out")[1] for page in (today, done, clock)] == ["Easy"] * 3
    assert _beside(today, "A stroll")[2] == "Hard"
