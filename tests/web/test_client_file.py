"""The client's page, the trail, the emergency card, and the small records around a client."""

from __future__ import annotations

import json
from datetime import timedelta
from html import unescape

import pytest

from app.coaching.people import ClientState, ContactKind, Visibility
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.storage import clients, phases, safety
from app.storage.audit import trail_of
from tests import factories, seed

#: Every page of a client that this file is about.
PAGES = (
    "",
    "/trail",
    "/card",
    "/edit",
    "/state",
    "/week",
    "/note",
    "/contact",
    "/goals",
    "/leave",
    "/start",
    "/tests",
)


def path_of(client, word: str = "") -> str:
    return f"/clients/{client.id}{word}"


@pytest.mark.parametrize("word", PAGES)
def test_the_own_coach_opens_every_page(coach, people, word):
    assert coach.get(path_of(people.client, word)).status_code == 200


@pytest.mark.parametrize("word", PAGES)
def test_to_another_coach_the_client_does_not_exist(other_coach, people, word):
    assert other_coach.get(path_of(people.client, word)).status_code == 404


@pytest.mark.parametrize("word", PAGES)
def test_to_a_client_the_coachs_pages_do_not_exist(client_phone, people, word):
    assert client_phone.get(path_of(people.client, word)).status_code == 404


@pytest.mark.parametrize("word", ["/edit", "/state", "/week", "/goals", "/start"])
def test_a_stand_in_may_not_decide(stand_in, people, word):
    assert stand_in.get(path_of(people.handed_client, word)).status_code == 403
    assert stand_in.send(path_of(people.handed_client, word)).status_code == 403


@pytest.mark.parametrize("word", ["", "/trail", "/card", "/note", "/contact", "/leave", "/tests"])
def test_a_stand_in_reads_speaks_and_enters(stand_in, people, word):
    assert stand_in.get(path_of(people.handed_client, word)).status_code == 200


def test_the_page_tells_the_story_the_state_and_what_is_planned(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(
            db, client=people.client, since_on=seed.TODAY - timedelta(days=15), reason="Never trained before."
        )
        seed.add_planned(db, client=people.client, title="Mill walk", planned_on=seed.TODAY + timedelta(days=1))
        seed.add_log(db, client=people.client, from_memory=True)

    text = unescape(coach.get(path_of(people.client)).text)

    assert "Aerobic base since 10 November 2026, week 3" in text
    assert "Coached by Jonah Pell" in text
    assert "Never trained before." in text
    assert "Mill walk" in text
    assert "from memory" in text
    assert "No block is planned." in text
    assert "No contact is kept yet." in text


def test_a_symptom_hold_is_said_in_a_sentence_and_shouts(coach, people):
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client)

    text = coach.get(path_of(people.client)).text

    assert '<p class="say alarm">On hold since Tue 24 Nov' in text
    assert "clinician" in text


def test_what_was_brought_in_waits_for_the_coachs_word(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(
            db, client=people.client, kind=DecisionKind.BROUGHT_IN, attested_by="the old diary", confirmed_at=None
        )

    text = coach.get(path_of(people.client)).text

    assert "waiting for your word" in text
    assert f'action="{path_of(people.client, "/brought-in")}"' in text


def bring_in(coach, client, **changes):
    with coach.db(write=True) as db:
        given = {"kind": DecisionKind.BROUGHT_IN, "attested_by": "file clients.csv, her diary", "confirmed_at": None}
        return seed.add_phase(
            db, client=client, evidence_json=json.dumps({"file": "clients.csv", "line": 7}), **(given | changes)
        )


def test_confirming_what_was_brought_in_is_the_main_button_beside_its_facts(coach, people):
    bring_in(coach, people.client)

    for word in ("", "/promotion"):
        text = coach.get(path_of(people.client, word)).text
        assert "clients.csv, row 7" in text
        assert "file clients.csv, her diary" in text
        assert '<button class="button" type="submit">Confirm as brought in</button>' in text
        assert f'href="{path_of(people.client, "/brought-in/correct")}"' in text
        assert f'<a class="button" href="{path_of(people.client, "/start")}"' not in text
        assert f'<a class="hint" href="{path_of(people.client, "/start")}"' in text


def test_what_was_brought_in_wrong_is_corrected_and_counts_at_once(coach, people):
    wrong_id = bring_in(coach, people.client)

    answer = coach.send(
        path_of(people.client, "/brought-in/correct"),
        phase="interval_one",
        since_on=(seed.TODAY - timedelta(weeks=9)).isoformat(),
        attested_by="her coach before",
        reason="The file was a year old.",
    )

    assert answer.status_code == 303
    with coach.db() as db:
        decisions = phases.of_client(db, client_id=people.client.id)
        now = current_phase(decisions)
        assert now is not None
        assert (now.phase, now.attested_by) == (Phase.INTERVAL_ONE, "her coach before")
        assert json.loads(now.evidence_json) == {"corrects": wrong_id}
        assert trail_of(db, client_id=people.client.id)[0].action == "correct_brought_in"
    text = coach.get(path_of(people.client)).text
    assert "waiting for your word" not in text
    assert 'id="brought-in"' not in text
    assert "Waits for confirmation" not in coach.get("/morning").text


def test_a_correction_that_says_the_same_or_a_day_to_come_is_refused(coach, people):
    bring_in(coach, people.client)
    address = path_of(people.client, "/brought-in/correct")
    with coach.db() as db:
        kept = phases.of_client(db, client_id=people.client.id)[-1]
    same = {"phase": kept.phase.value, "since_on": kept.since_on.isoformat(), "attested_by": kept.attested_by}

    again = coach.send(address, **same, reason="Hm.")
    ahead = coach.send(address, **(same | {"since_on": "2026-12-24"}), reason="Hm.")

    assert again.status_code == 422
    assert "This is what was brought in" in again.text
    assert ahead.status_code == 422


def test_nothing_waits_once_something_else_was_decided(coach, people):
    bring_in(coach, people.client)
    coach.send(
        path_of(people.client, "/start"), since_on=seed.TODAY.isoformat(), base_weeks_asked="26", reason="Afresh."
    )

    text = coach.get(path_of(people.client)).text

    assert "waiting for your word" not in text
    late = coach.get(path_of(people.client, "/brought-in/correct"))
    assert (late.status_code, late.headers["location"]) == (303, path_of(people.client))


def test_who_was_never_asked_is_said_with_the_ways_to_ask(coach, client_phone, people):
    text = coach.get(path_of(people.client)).text
    start = coach.get(path_of(people.client, "/start")).text

    for page in (text, start):
        assert "Added by hand, with no earlier training on record" in page
        assert f'href="{path_of(people.client, "/entry/questions")}"' in page
        assert f'href="{path_of(people.client, "/note?about=questions")}"' in page
    assert "Screening comes first" in start
    note = coach.get(path_of(people.client, "/note?about=questions")).text
    assert "Please answer the health questions" in note


def test_who_was_brought_in_with_training_goes_on_easy_and_the_page_says_why(coach, people):
    bring_in(coach, people.client)

    text = unescape(coach.get(path_of(people.client)).text)

    assert "Brought in with earlier training: easy work goes on, hard work waits" in text
    assert "Added by hand" not in text


def test_starting_somebody_unasked_says_once_more_what_waits(coach, people):
    answer = coach.send(
        path_of(people.client, "/start"), since_on=seed.TODAY.isoformat(), base_weeks_asked="26", reason="New."
    )

    page = coach.get(answer.headers["location"]).text

    flash = page[page.index('id="flash"') : page.index("<h1>")]
    assert "is in aerobic base. The health questions were never answered here." in flash


def test_nothing_about_screening_on_the_start_form_once_it_has_no_objection(coach, people):
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client)

    assert "Screening comes first" not in coach.get(path_of(people.client, "/start")).text


def test_missing_consents_say_what_waits_and_how_they_are_given(coach, people):
    text = coach.get(path_of(people.client)).text

    assert "Starting hard work and When to stop; the interval phase waits for it." in text
    assert f'href="{path_of(people.client, "/safety/consents")}"' in text


def test_todays_session_and_the_clients_own_words_stand_on_top(coach, client_phone, people):
    with coach.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY)
    client_phone.send(
        "/me/felt-wrong", sign="chest", felt_on=seed.TODAY.isoformat(), text="Like a belt, on the hill."
    )

    text = coach.get(path_of(people.client)).text

    top = text[: text.index('<div class="columns">')]
    assert '<blockquote class="quote">“Like a belt, on the hill.”</blockquote>' in top
    assert '<b>Today</b>: <a href="/plan/sessions/' in top
    assert "This session is paused" in top or "All training is paused" in top or "paused, not cancelled" in top


def test_private_notes_are_not_shown_to_a_stand_in_without_them(stand_in, head, people):
    with head.db(write=True) as db:
        seed.add_note(db, client=people.handed_client, text="Worries about his brother.")
        seed.add_note(db, client=people.handed_client, visibility=Visibility.CLIENT, text="Well walked on Sunday.")

    seen, owned = stand_in.get(path_of(people.handed_client)).text, head.get(path_of(people.handed_client)).text

    assert "Worries about his brother." not in seen
    assert "Well walked on Sunday." in seen
    assert "Worries about his brother." in owned


def test_the_trail_does_not_tell_what_a_private_note_says(stand_in, head, people):
    head.send(path_of(people.handed_client, "/note"), text="Worries about his brother.", visibility="private")

    trail = stand_in.get(path_of(people.handed_client, "/trail")).text

    assert "Add note" in trail
    assert "brother" not in trail


def test_a_stand_in_without_private_notes_writes_none(stand_in, people):
    assert 'value="private"' not in stand_in.get(path_of(people.handed_client, "/note")).text

    answer = stand_in.send(path_of(people.handed_client, "/note"), text="Quiet today.", visibility="private")

    assert answer.status_code == 403


def test_the_emergency_card_says_who_to_call_and_what_is_known_and_leaves_a_trace(coach, people):
    with coach.db(write=True) as db:
        asked = factories.answers(
            details_json=json.dumps({"diabetes": "yes", "heart": "no", "medicines": {"blood_thinner": "not_sure"}})
        )
        safety.add_screening(
            db,
            client_id=people.client.id,
            answered_on=seed.TODAY,
            active=asked.active,
            disease=asked.disease,
            symptoms=asked.symptoms,
            pregnant=asked.pregnant,
            heart_rate_medicine=asked.heart_rate_medicine,
            details_json=asked.details_json,
            origin=asked.origin,
            person_id=people.coach.id,
            at=seed.NOW,
        )

    text = unescape(coach.get(path_of(people.client, "/card")).text)

    assert people.client.emergency_contact in text
    assert "<li>diabetes</li><li>not everything was answered</li>" in text
    assert "Blood thinners (not sure)" in text
    assert "your local emergency number" in text
    with coach.db() as db:
        assert "open_emergency_card" in [entry.action for entry in trail_of(db, client_id=people.client.id)]


def test_on_the_card_what_was_never_asked_is_not_taken_for_no(coach, people):
    text = coach.get(path_of(people.client, "/card")).text

    assert text.count("not known, never asked") == 2
    assert "The questions were never answered." in text


# Notes and contacts


def test_a_note_to_the_client_is_kept_and_shown(coach, people):
    answer = coach.send(path_of(people.client, "/note"), text="Easy does it 🙂 =1+1 <b>", visibility="client")

    assert answer.status_code == 303
    with coach.db() as db:
        kept = clients.notes(db, client_id=people.client.id)[0]
        assert (kept.text, kept.visibility) == ("Easy does it 🙂 =1+1 <b>", Visibility.CLIENT)
    assert "Easy does it 🙂 =1+1 &lt;b&gt;" in coach.get(path_of(people.client)).text


@pytest.mark.parametrize(
    ("text", "says"), [("", "fill this in"), ("x" * 4001, "under 4000"), ("\x00\x07", "nothing that can be read")]
)
def test_a_bad_note_is_answered_beside_the_field(coach, people, text, says):
    answer = coach.send(path_of(people.client, "/note"), text=text, visibility="private")

    assert answer.status_code == 422
    assert says in answer.text
    assert answer.text.count(text[:50]) >= 1


def test_control_characters_are_taken_out_of_a_note(coach, people):
    coach.send(path_of(people.client, "/note"), text="Left\x07 knee\x00 fine", visibility="private")

    with coach.db() as db:
        assert clients.notes(db, client_id=people.client.id)[0].text == "Left knee fine"


def test_a_contact_counts_from_its_day(coach, people):
    day = seed.TODAY - timedelta(days=3)

    answer = coach.send(
        path_of(people.client, "/contact"), kind="call", contact_on=day, text="All well; ride on Friday."
    )

    assert answer.status_code == 303
    with coach.db() as db:
        kept = clients.contacts(db, client_id=people.client.id)[0]
        assert (kept.kind, kept.contact_on) == (ContactKind.CALL, day)
    assert "You last spoke 3 days ago." in coach.get(path_of(people.client)).text


@pytest.mark.parametrize("day", ["2026-11-27", "1890-01-01", "NaN", ""])
def test_a_contact_of_an_impossible_day_keeps_the_words(coach, people, day):
    answer = coach.send(path_of(people.client, "/contact"), kind="call", contact_on=day, text="All well.")

    assert answer.status_code == 422
    assert "All well." in answer.text
    with coach.db() as db:
        assert clients.contacts(db, client_id=people.client.id) == []


# Goals, leave and the start of the base


def test_a_goal_is_agreed_and_closed(coach, people):
    coach.send(path_of(people.client, "/goals"), text="Ridge walk with Jo", confidence="7", due_on="2027-06-01")
    with coach.db() as db:
        goal = clients.goals(db, client_id=people.client.id)[0]

    coach.send(path_of(people.client, "/goals/close"), goal_id=goal.id)

    with coach.db() as db:
        assert clients.goals(db, client_id=people.client.id)[0].closed_on == seed.TODAY
        assert {"add_goal", "close_goal"} <= {entry.action for entry in trail_of(db, client_id=people.client.id)}


def test_a_goal_of_another_client_cannot_be_closed_from_here(coach, head, people):
    head.send(path_of(people.other_client, "/goals"), text="Swim the bay")
    with head.db() as db:
        goal = clients.goals(db, client_id=people.other_client.id)[0]

    answer = coach.send(path_of(people.client, "/goals/close"), goal_id=goal.id)

    assert answer.status_code == 404


@pytest.mark.parametrize("confidence", ["11", "-1", "NaN", "１２", "1_0"])
def test_confidence_outside_the_scale_is_refused(coach, people, confidence):
    answer = coach.send(path_of(people.client, "/goals"), text="Ridge walk", confidence=confidence)

    assert answer.status_code == 422
    assert "Ridge walk" in answer.text


def test_leave_is_agreed_and_taken_back_with_a_trace(coach, people):
    coach.send(path_of(people.client, "/leave"), from_on="2026-12-20", until_on="2027-01-03", reason="Family")
    with coach.db() as db:
        leave = clients.leaves(db, client_id=people.client.id)[0]

    coach.send(path_of(people.client, "/leave/back"), leave_id=leave.id)

    with coach.db() as db:
        assert clients.leaves(db, client_id=people.client.id) == []
        taken_back = trail_of(db, client_id=people.client.id)[0]
        assert taken_back.action == "take_leave_back"
        assert json.loads(taken_back.change_json)["before"]["from_on"] == "2026-12-20"


@pytest.mark.parametrize(
    ("from_on", "until_on", "says"),
    [
        ("2026-12-20", "2026-12-10", "before the first"),
        ("2026-12-20", "2028-12-10", "over a year"),
        ("2026-11-20", "2026-11-26", "agreed already"),
    ],
)
def test_leave_that_cannot_be_is_refused_and_kept_typed(coach, people, from_on, until_on, says):
    coach.send(path_of(people.client, "/leave"), from_on="2026-11-25", until_on="2026-11-28", reason="Work")

    answer = coach.send(path_of(people.client, "/leave"), from_on=from_on, until_on=until_on, reason="Family")

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert f'value="{until_on}"' in answer.text


def test_the_base_is_started_with_the_weeks_asked_of_somebody_over_sixty(coach, people):
    answer = coach.send(
        path_of(people.client, "/start"), since_on=seed.TODAY, base_weeks_asked="18", reason="Walks to work."
    )

    assert answer.status_code == 303
    with coach.db() as db:
        decided = current_phase(phases.of_client(db, client_id=people.client.id))
        assert (decided.kind, decided.phase, decided.reason) == (
            DecisionKind.START,
            Phase.AEROBIC_BASE,
            "Walks to work.",
        )
        assert clients.one(db, client_id=people.client.id).base_weeks_asked == 18


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (ClientState.INTAKE, ClientState.ACTIVE),
        (ClientState.WAITING_FOR_CLEARANCE, ClientState.WAITING_FOR_CLEARANCE),
    ],
)
def test_intake_is_over_when_the_base_begins(coach, people, before, after):
    with coach.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=before)

    coach.send(path_of(people.client, "/start"), since_on=seed.TODAY, base_weeks_asked="26", reason="New.")

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).state is after


@pytest.mark.parametrize(
    ("weeks", "status"), [("12", 422), ("13", 303), ("26", 303), ("27", 422), ("NaN", 422), ("", 422)]
)
def test_thirteen_to_twenty_six_weeks_may_be_asked(coach, people, weeks, status):
    answer = coach.send(path_of(people.client, "/start"), since_on=seed.TODAY, base_weeks_asked=weeks, reason="New.")

    assert answer.status_code == status


def test_below_sixty_the_practices_weeks_stand(coach, people):
    with coach.db(write=True) as db:
        young = seed.add_client(db, coach_id=people.coach.id, name="Mio Tarn", born_on=seed.TODAY.replace(year=1990))

    coach.send(path_of(young, "/start"), since_on=seed.TODAY, base_weeks_asked="13", reason="New.")

    with coach.db() as db:
        assert clients.one(db, client_id=young.id).base_weeks_asked is None


def test_a_running_phase_is_not_started_again(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)

    answer = coach.send(path_of(people.client, "/start"), since_on=seed.TODAY, base_weeks_asked="26", reason="Again.")

    assert answer.status_code == 422
    assert "running already" in answer.text


def test_a_base_cannot_begin_before_joining_or_tomorrow(coach, people):
    early = coach.send(
        path_of(people.client, "/start"), since_on="2020-01-01", base_weeks_asked="26", reason="Long ago."
    )
    late = coach.send(
        path_of(people.client, "/start"), since_on="2026-11-26", base_weeks_asked="26", reason="Tomorrow."
    )

    assert (early.status_code, late.status_code) == (422, 422)
    assert "brought in and attested" in early.text
    assert "not come yet" in late.text


def test_pausing_asks_for_a_reason_and_keeps_it(coach, people):
    without = coach.send(path_of(people.client, "/state"), state="paused", reason="")
    with_reason = coach.send(path_of(people.client, "/state"), state="paused", reason="New job until spring.")

    assert without.status_code == 422
    assert "keep a reason" in without.text
    assert with_reason.status_code == 303
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).state is ClientState.PAUSED
        assert trail_of(db, client_id=people.client.id)[0].reason == "New job until spring."


def test_drafts_that_wait_are_said_where_nothing_is_published(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=3), publish=False)

    assert "1 draft waits on the plan, the first on Sat 28 Nov; the client does not see them." in unescape(
        coach.get(path_of(people.client)).text
    )
