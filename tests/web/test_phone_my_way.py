"""My way: the story, what comes next, consents, and the screening questions."""

from __future__ import annotations

import json
from datetime import timedelta
from html import unescape

import pytest

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Origin, Visibility
from app.coaching.phases import Phase
from app.coaching.questions import DISEASE_QUESTIONS, MEDICINE_GROUPS, SYMPTOM_QUESTIONS
from app.coaching.screening import ConsentKind, YesNo
from app.storage import clients, safety
from tests import seed

NO_TO_ALL = (
    {f"q_{one.key}": "no" for one in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS)}
    | {"q_active": "yes", "q_pregnant": "no"}
    | {f"m_{one.key}": "no" for one in MEDICINE_GROUPS}
    | {"emergency_contact": "Jonas Brandt, husband", "emergency_phone": "0151 000 0001"}
)
AGREE = {"kind": "interval_phase", "text_version": CONSENT_TEXTS[ConsentKind.INTERVAL_PHASE].version}


def holds(browser, people):
    with browser.db() as db:
        return [(one.kind, one.stops) for one in safety.holds_of(db, client_id=people.client.id)]


def consents(browser, people):
    with browser.db() as db:
        return safety.consents_of(db, client_id=people.client.id)


def answers(browser, people):
    with browser.db() as db:
        return safety.screening_of(db, client_id=people.client.id)


def test_the_story_and_what_is_missing_are_told(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_note(db, client=people.client, visibility=Visibility.CLIENT, text="Steady is good.")
        seed.add_note(db, client=people.client, text="Between us.")

    page = client_phone.get("/me/my-way").text

    assert "<strong>Building the base</strong>, began" in page
    assert "Yours to do" in page
    assert "you lose nothing by waiting" in page
    assert "Steady is good." in page
    assert "Between us." not in page


def test_after_the_questions_easy_weeks_are_the_wait_and_nothing_is_asked_of_the_client(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_active": "no"}))

    page = client_phone.get("/me/my-way").text

    assert "Hard work comes after 26 weeks of easy outings at the earliest, and only when your coach" in page
    assert "asked 0 days ago" not in page
    assert "gradual build-up" not in page
    assert "Answer them</a>" not in page


def test_answers_that_will_be_asked_again_later_are_not_put_on_the_client_now(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_base_weeks(db, client=people.client, count=13)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=35))

    page = client_phone.get("/me/my-way").text

    assert "You have answered them. Your coach asks once more shortly before hard work." in page
    assert "asked 35 days ago" not in page


def test_on_the_first_day_nothing_is_held_against_the_client_and_the_rest_is_folded(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_answers(db, client=people.client, active=YesNo.NO)

    page = client_phone.get("/me/my-way").text.partition("<h2>Before hard work</h2>")[2]

    assert "nothing planned was done" not in page
    assert "Nothing to count yet: nothing was planned. The aim later: at least 75 %." in page
    assert "That is the least for safety; your coach aims for more, below." in page
    assert page.index("Yours to do") < page.index("<summary>Your coach looks after these")
    assert "<summary>These come with the weeks" in page


def test_a_text_agreed_to_again_says_since_when(client_phone, app, people):
    text = CONSENT_TEXTS[ConsentKind.INTERVAL_PHASE]
    with app.state.house.transaction(True) as db:
        for days in (150, 70):
            safety.add_consent(
                db,
                client_id=people.client.id,
                kind=text.kind,
                text_version=text.version,
                text_sha256=text.sha256,
                text_as_shown=text.text,
                language=text.language,
                given_on=seed.TODAY - timedelta(days=days),
                method=Origin.CLIENT,
                witness=None,
                person_id=people.coach.id,
                at=seed.NOW - timedelta(days=days),
            )

    assert "agreed 16 September 2026, first 28 June 2026" in client_phone.get("/me/my-way").text


def test_texts_not_agreed_to_are_asked_for_on_top(client_phone):
    page = client_phone.get("/me/my-way").text
    on_questions = client_phone.get("/me/my-way/questions").text

    assert "Please read, and agree if you do: Being coached, Keeping your health answers." in page
    assert "not agreed to “Keeping your health answers” yet" in on_questions


def test_texts_agreed_to_are_not_asked_for_again(client_phone):
    for kind in (ConsentKind.COACHING, ConsentKind.HEALTH_DATA):
        client_phone.send("/me/my-way/consents", kind=kind.value, text_version=CONSENT_TEXTS[kind].version)

    assert "Please read, and agree if you do" not in client_phone.get("/me/my-way").text
    assert "Keeping your health answers” yet" not in client_phone.get("/me/my-way/questions").text


def test_in_the_interval_phase_the_texts_for_hard_work_are_asked_for_too(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE)

    assert "Keeping your health answers, Starting hard work, When to stop." in client_phone.get("/me/my-way").text


def test_a_newcomer_reads_no_emergency_and_no_contradiction(client_phone):
    page = client_phone.get("/me/my-way").text

    assert "First some questions about your health." in page
    assert "No training for now" not in page
    assert "easy work goes on" not in page
    assert "call" not in page.split("<h2", 1)[0].split("<h1", 1)[1].lower()


def test_a_pause_of_everything_is_told_once(client_phone, people):
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=seed.TODAY.isoformat(), text="", mode="")

    page = client_phone.get("/me/my-way").text.split("<main", 1)[1].split("</main>", 1)[0]

    assert page.count("pain, pressure or tightness in the chest") == 1
    assert page.count("cannot end it") == 1
    assert "Your coach cannot clear this" not in page
    assert "nobody can override" not in page


def test_before_the_start_the_page_says_so(client_phone):
    assert "Your way begins once" in client_phone.get("/me/my-way").text


def test_in_the_interval_phase_no_conditions_are_listed(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE)

    assert "Before hard work" not in client_phone.get("/me/my-way").text


def test_a_break_is_told_kindly_and_nothing_is_counted(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        clients.set_state(db, client_id=people.client.id, state=ClientState.PAUSED)

    page = client_phone.get("/me/my-way").text

    assert "you and your coach agreed on a break" in page
    assert "When you want to begin again, tell your coach." in page
    assert "Before hard work" not in page
    assert "So far" not in page


def test_while_everything_is_paused_no_weeks_are_counted(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="Fever")

    page = client_phone.get("/me/my-way").text

    assert "Until then there is nothing here you have to reach." in page
    assert "So far" not in page


def test_hard_weeks_are_marked_as_waiting_while_everything_is_paused(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_TWO)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
    before = client_phone.get("/me/my-way").text
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.ALL)

    held = client_phone.get("/me/my-way").text
    assert "Two hard sessions a week, everything else easy.</p>" in before
    assert 'Two hard sessions a week, everything else easy. <span class="tag">paused now</span></p>' in held
    assert held.count("paused now") == 2


def test_a_newcomer_reads_everyday_words_and_no_figures(client_phone):
    page = client_phone.get("/me/my-way").text

    assert "Later come many easy weeks." in page
    assert "So far" not in page
    assert "held" not in page


def test_what_is_counted_is_told_without_blame(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=9))
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    page = client_phone.get("/me/my-way").text

    assert "The aim: at least 6." in page
    assert "then the plan gets smaller, not you." in page
    assert "Asked: " not in page


def test_a_consent_is_kept_with_the_text_as_shown(client_phone, people):
    answer = client_phone.send("/me/my-way/consents", **AGREE)

    given = consents(client_phone, people)[0]
    assert answer.status_code == 303
    assert given.text_sha256 == CONSENT_TEXTS[ConsentKind.INTERVAL_PHASE].sha256
    assert (given.given_on, given.withdrawn_on) == (seed.TODAY, None)
    assert (given.language, given.recorded_at, given.witness) == ("en", seed.NOW, None)


def test_a_consent_is_taken_back_as_easily_as_given(client_phone, people):
    client_phone.send("/me/my-way/consents", **AGREE)

    answer = client_phone.send("/me/my-way/consents/take-back", kind="interval_phase")

    assert answer.status_code == 303
    taken_back = consents(client_phone, people)[0]
    assert (taken_back.withdrawn_on, taken_back.withdrawn_at) == (seed.TODAY, seed.NOW)
    assert holds(client_phone, people) == []


def test_taking_it_back_in_the_interval_phase_pauses_hard_work(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE)
    client_phone.send("/me/my-way/consents", **AGREE)

    client_phone.send("/me/my-way/consents/take-back", kind="interval_phase")

    assert holds(client_phone, people) == [(HoldKind.COACH, Stops.HARD)]


@pytest.mark.parametrize(
    ("path", "form", "status"),
    [
        ("/me/my-way/consents", AGREE | {"text_version": "1900-1"}, 409),
        ("/me/my-way/consents/take-back", {"kind": "coaching"}, 422),
    ],
)
def test_an_old_text_or_a_missing_consent_is_refused(client_phone, people, path, form, status):
    assert client_phone.send(path, **form).status_code == status
    assert consents(client_phone, people) == []


def test_the_questions_are_kept_with_every_single_answer(client_phone, people):
    answer = client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    kept = answers(client_phone, people)[0]
    with client_phone.db() as db:
        client = clients.one(db, client_id=people.client.id)
    assert answer.status_code == 303
    assert (kept.active, kept.disease, kept.symptoms) == (YesNo.YES, YesNo.NO, YesNo.NO)
    assert json.loads(kept.details_json)["medicines"]["blood_thinner"] == "no"
    assert client.emergency_confirmed_on == seed.TODAY


def test_not_sure_counts_as_yes(client_phone, people):
    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_murmur": "not_sure"}))

    assert answers(client_phone, people)[0].symptoms is YesNo.YES
    assert "Your training is paused" in client_phone.get("/me/today").text


def test_an_open_question_is_asked_again_and_the_rest_is_kept(client_phone, people):
    form = NO_TO_ALL | {"q_chest": None, "emergency_contact": "Mira Toll"}

    answer = client_phone.send("/me/my-way/questions", **form)

    assert answer.status_code == 422
    assert 'href="#f-q_chest"' in answer.text
    assert "Mira Toll" in answer.text
    assert answers(client_phone, people) == []


def test_pregnancy_and_a_new_heart_medicine_pause_hard_work(client_phone, people):
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)
    later = NO_TO_ALL | {"q_news": "no", "q_pregnant": "yes", "m_beta_blocker": "yes"}

    client_phone.send("/me/my-way/questions", **later)

    assert holds(client_phone, people) == [(HoldKind.PREGNANCY, Stops.HARD), (HoldKind.MEDICINE_CHANGE, Stops.HARD)]


@pytest.mark.parametrize("reply", ["yes", "not_sure"])
def test_news_without_a_paper_pause_hard_work_until_the_coach_has_looked(client_phone, people, reply):
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_news": reply}))
    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_news": reply}))

    assert holds(client_phone, people) == [(HoldKind.COACH, Stops.HARD)]
    assert "new since the last questions: a diagnosis" in client_phone.get("/me/my-way").text


def test_no_news_pause_nothing(client_phone, people):
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_news": "no"}))

    assert holds(client_phone, people) == []


def test_news_end_a_paper_on_file_instead(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=13)
        seed.add_clearance(db, client=people.client)
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    client_phone.send("/me/my-way/questions", **(NO_TO_ALL | {"q_news": "yes"}))

    assert holds(client_phone, people) == []
    assert "Hard work waits for a doctor's paper that allows it" in unescape(client_phone.get("/me/my-way").text)


def test_answers_are_never_filled_in_from_the_last_time(client_phone):
    client_phone.send("/me/my-way/questions", **NO_TO_ALL)

    page = client_phone.get("/me/my-way/questions").text

    assert " checked" not in page
    assert "Jonas Brandt, husband" in page


def test_many_missing_answers_are_counted_in_one_line(client_phone):
    page = client_phone.send("/me/my-way/questions", emergency_contact="", emergency_phone="").text
    summary = page.split("data-error-summary", 1)[1].split("</div>", 1)[0]

    assert summary.count("<li>") == 1
    assert "answers are missing; each is marked below" in summary
    assert 'href="#f-q_chest"' in summary
