"""The morning page: who is on it, in which order, and the acts that finish a line without leaving it."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape
from uuid import uuid4

import pytest

from app.coaching.effort import Talk
from app.coaching.people import ClientState, Mode, Origin, Visibility
from app.coaching.phases import DecisionKind
from app.coaching.prescriptions import SessionKind
from app.coaching.readiness import Illness
from app.coaching.screening import YesNo
from app.storage import audit, clients, prescriptions
from app.storage.audit import trail_of
from app.storage.tables.people import ClientRow
from tests import factories, safety_scenes, seed

FRIDAY = seed.TODAY + timedelta(days=2)
NEXT_WEEK = seed.TODAY + timedelta(days=7)


@pytest.fixture
def calm(app, people):
    """Nothing waits for the coach's client: the morning of `coach` is empty."""
    with app.state.house.transaction(True) as db:
        day = seed.TODAY - timedelta(weeks=39)
        clients.change(db, client_id=people.client.id, revision=1, values={"regularly_active_confirmed_on": day})
        seed.make_calm(db, client=people.client)


@pytest.fixture
def worn(app, people, calm):
    """Hard rounds stand today and the client slept four hours; the session's number."""
    with app.state.house.transaction(True) as db:
        seed.add_readiness(db, client=people.client, slept_h=4.0)
        return seed.add_planned_hard(db, client=people.client, title="Two hill rounds", rounds=2)


@pytest.fixture
def ill(app, people, calm):
    """The client wrote of a fever."""
    with app.state.house.transaction(True) as db:
        seed.add_readiness(db, client=people.client, illness=Illness.FEVER_OR_BELOW)


@pytest.fixture
def silent(app, people):
    """The client has neither entered anything nor been spoken with for months."""
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)


def line_of(page, client) -> str:
    """One client's line as text; empty when there is none."""
    found = re.search(rf'<article class="line" id="line-{client.id}".*?</article>', page.text, re.DOTALL)
    return unescape(found[0]) if found else ""


def names_in_order(page) -> list[str]:
    return [unescape(name) for name in re.findall(r"data-walk-open>([^<]*)</a>", page.text)]


def hidden(text: str, name: str) -> str:
    """The value of a hidden field."""
    found = re.search(rf'name="{name}" value="([^"]*)"', text)
    assert found is not None, name
    return unescape(found[1])


def about(browser, client, word, signal) -> dict[str, str]:
    """What a small form carries about its line."""
    page = browser.get(f"/morning/{client.id}/{word}?signal={signal}")
    assert page.status_code == 200
    return {"signal": hidden(page.text, "signal"), "key": hidden(page.text, "key")}


def flash_after(browser, answer) -> str:
    """What the page says that an answer leads to."""
    assert answer.status_code == 303, answer.text
    found = re.search(r'<p class="flash">(.*?)</p>', browser.get(answer.headers["location"]).text)
    return unescape(found[1]) if found else ""


def test_an_empty_morning_says_so_and_thanks(coach, calm):
    page = coach.get("/morning")

    assert "<h1>Nobody waits for a decision this morning</h1>" in page.text
    assert "One client. One logged yesterday" in page.text
    assert "Thank you" in page.text


def test_an_empty_practice_teaches_what_will_stand_here(coach, people):
    with coach.db(write=True) as db:
        db.get_one(ClientRow, people.client.id).coach_id = people.head.id

    page = coach.get("/morning")

    assert "Nobody to look after yet" in page.text
    assert 'href="/roster"' in page.text


def test_a_symptom_raised_on_the_phone_tops_the_morning(client_phone, coach, people, worn):
    with coach.db(write=True) as db:
        other = seed.add_calm_client(db, coach_id=people.coach.id, name="Ansgar Vole")
        seed.add_readiness(db, client=other, slept_h=4.0)
        seed.add_planned_hard(db, client=other)
    before = names_in_order(coach.get("/morning"))

    client_phone.send("/me/felt-wrong", sign="chest", felt_on="2026-11-25", text="Tight on the hill.")

    page = coach.get("/morning")
    assert before == ["Ansgar Vole", "Ilse Brandt"]
    assert names_in_order(page) == ["Ilse Brandt", "Ansgar Vole"]
    assert "Reported on Wed 25 Nov" in line_of(page, people.client)
    assert "All training is paused" in line_of(page, people.client)
    assert '<p class="say alarm">' in line_of(page, people.client)


def test_a_line_says_who_why_and_how_much_more(coach, people, worn):
    page = coach.get("/morning")
    line = line_of(page, people.client)

    assert "<h1>One before anyone trains, nothing to plan</h1>" in page.text
    assert "Two hill rounds is planned today, but slept 4 h" in line
    assert "61, interval phase, one a week, week 3" in line
    assert "<summary>Why?" in line
    assert "<svg" in line


def test_what_clients_entered_since_yesterday_is_listed_with_links(coach, people, calm):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client, entered_at=seed.NOW, note="Lovely & calm.")

    page = unescape(coach.get("/morning").text)

    assert f'href="/clients/{people.client.id}/sessions/{log_id}"' in page
    assert "45 min; could chat in comfort; effort 3" in page
    assert "Lovely & calm." in page


def test_an_entry_that_was_a_race_says_so(coach, people, calm):
    race = {"kind": SessionKind.RACE, "mode": Mode.RUN, "minutes": 900}
    with coach.db(write=True) as db:
        seed.add_log(db, client=people.client, entered_at=seed.NOW, **race)

    page = unescape(coach.get("/morning").text)

    assert "Run, a race, a match or a class felt as one: not planned; 15 h" in page


def test_what_was_entered_for_a_client_is_listed_with_its_origin(coach, people, calm):
    with coach.db(write=True) as db:
        maud = seed.add_client(db, coach_id=people.coach.id, name="Maud Ellery")
        day = seed.TODAY - timedelta(days=1)
        told = {"done_on": day, "entered_at": seed.NOW, "origin": Origin.TOLD_BY_PHONE, "minutes": 52}
        seed.add_log(db, client=maud, **told)
        seed.add_log(db, client=maud, **told)

    page = unescape(coach.get("/morning").text)

    assert "Two logged yesterday (one of them entered by a coach)" in page
    assert page.count("told by phone, about Tue 24 November") == 2
    assert page.count("entered twice?") == 2


def test_easing_changes_todays_session_and_the_phone(coach, client_phone, people, worn):
    address = f"/morning/{people.client.id}/ease"
    assert f'href="{address}?signal=hard_today_in_doubt"' in line_of(coach.get("/morning"), people.client)
    form = coach.get(f"{address}?signal=hard_today_in_doubt").text
    reason = unescape(re.search(r'<textarea[^>]*name="reason"[^>]*>\s*([^<]*)', form)[1])

    empty = coach.send(address, planned_session_id=worn, signal="hard_today_in_doubt")
    assert empty.status_code == 422
    answer = coach.send(address, planned_session_id=worn, reason=reason)

    assert "easy version on Today now" in flash_after(coach, answer)
    assert line_of(coach.get("/morning"), people.client) == ""
    phone = client_phone.get("/me/today").text
    assert "instead of: Two hill rounds" in phone
    assert "You are more worn than usual" in phone


def test_an_easing_is_taken_back_at_the_foot_of_the_morning(coach, people, worn):
    coach.send(f"/morning/{people.client.id}/ease", planned_session_id=worn, reason="Slept four hours.")
    page = unescape(coach.get("/morning").text)
    assert "“Two hill rounds” is its easy version today." in page
    address = re.search(r'href="(/plan/sessions/\d+/take-back\?back=morning)"', page)[1]
    form = unescape(coach.get(address).text)

    answer = coach.send(
        f"/plan/sessions/{worn}/take-back",
        version=hidden(form, "version"),
        back=hidden(form, "back"),
        looked=hidden(form, "looked"),
        despite="Slept well after all; agreed with her.",
    )

    assert answer.headers["location"] == "/morning"
    assert "made easy today" not in coach.get("/morning").text
    with coach.db() as db:
        assert prescriptions.newest(db, planned_session_id=worn).title == "Two hill rounds"


def test_a_move_off_today_is_named_at_the_foot_with_the_way_to_move_it_again(coach, people, worn):
    coach.send(
        f"/morning/{people.client.id}/move", planned_session_id=worn, to_on=FRIDAY.isoformat(), reason="Slept badly."
    )

    foot = coach.get("/morning").text.partition("moved today")[2]

    assert "“Two hill rounds” is on Fri 27 November" in unescape(foot)
    assert f'href="/plan/sessions/{worn}">Move again' in foot


def test_a_session_that_is_not_todays_is_not_eased(coach, people, calm):
    with coach.db(write=True) as db:
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=FRIDAY)

    answer = coach.send(f"/morning/{people.client.id}/ease", planned_session_id=session_id, reason="Travel.")

    assert answer.status_code == 422
    assert "Only today" in unescape(answer.text)


def test_moving_puts_the_session_on_the_day_chosen(coach, people, worn):
    form = coach.get(f"/morning/{people.client.id}/move?signal=hard_today_in_doubt").text
    session_id = hidden(form, "planned_session_id")

    answer = coach.send(
        f"/morning/{people.client.id}/move", planned_session_id=session_id, to_on=FRIDAY, reason="Slept badly."
    )

    assert "is on Fri 27 November now" in flash_after(coach, answer)
    with coach.db() as db:
        newest = prescriptions.newest(db, planned_session_id=worn)
    assert (newest.planned_on, newest.reason) == (FRIDAY, "Slept badly.")
    assert line_of(coach.get("/morning"), people.client) == ""


def _hard_on(coach, people, *days_ago):
    with coach.db(write=True) as db:
        for ago in days_ago:
            day = seed.TODAY - timedelta(days=ago)
            entered = factories.at(day, 18)
            seed.add_log(db, client=people.client, done_on=day, entered_at=entered, talk=Talk.FEW_WORDS)


def test_moving_proposes_the_first_day_that_breaks_nothing(coach, people, worn):
    _hard_on(coach, people, 8, 11)

    form = coach.get(f"/morning/{people.client.id}/move?signal=hard_today_in_doubt").text

    assert 'value="2026-11-28"' in form
    assert "Sat 28 Nov breaks none of them" in form


def test_a_day_that_holds_a_session_is_named_and_not_the_one_proposed(coach, people, worn):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=FRIDAY)
    address = f"/morning/{people.client.id}/move"

    form = coach.get(f"{address}?signal=hard_today_in_doubt").text
    moved = coach.send(address, planned_session_id=worn, to_on=FRIDAY.isoformat(), reason="Slept badly.")

    assert re.search(r'name="to_on"[^>]*value="2026-11-28"', form)
    assert "<dt>Sat 28 Nov</dt><dd>Free.</dd>" in form
    assert "stays there too" in unescape(flash_after(coach, moved))


def test_where_no_day_is_free_the_two_may_change_places(coach, people, worn):
    with coach.db(write=True) as db:
        for n in range(1, 15):
            seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=n))

    form = coach.get(f"/morning/{people.client.id}/move?signal=hard_today_in_doubt").text

    assert "both would stand there" in form
    assert not re.search(r'name="to_on"[^>]*value="\d', form)
    assert f'href="/morning/{people.client.id}/swap?session={worn}">change places' in form


def test_a_move_past_the_personal_ceiling_asks_why_even_so(coach, people, worn):
    _hard_on(coach, people, 8, 11)
    sent = {"planned_session_id": worn, "to_on": FRIDAY, "reason": "Moved this morning, to come to it rested."}

    asked = coach.send(f"/morning/{people.client.id}/move", **sent)
    letter = coach.send(f"/morning/{people.client.id}/move", despite="x", **sent)
    with coach.db() as db:
        stays_on = prescriptions.newest(db, planned_session_id=worn).planned_on
    answer = coach.send(f"/morning/{people.client.id}/move", despite="Her last before the holidays.", **sent)

    assert (asked.status_code, letter.status_code) == (422, 422)
    assert "14 days with 4 hard sessions" in asked.text
    assert 'name="despite"' in asked.text
    assert stays_on == seed.TODAY
    assert answer.status_code == 303
    with coach.db() as db:
        assert trail_of(db, client_id=people.client.id)[0].reason.endswith("Even so: Her last before the holidays.")


def test_a_move_two_past_the_ceiling_is_refused_whatever_the_reason(coach, people, worn):
    _hard_on(coach, people, 7, 9, 11)

    answer = coach.send(
        f"/morning/{people.client.id}/move", planned_session_id=worn, to_on=FRIDAY, reason="So.", despite="So."
    )

    assert answer.status_code == 422
    assert "It is not published." in answer.text


def test_moving_into_the_past_keeps_what_was_typed(coach, people, worn):
    page = coach.send(
        f"/morning/{people.client.id}/move", planned_session_id=worn, to_on="2026-11-20", reason="A <b>reason</b>."
    )

    assert page.status_code == 422
    assert "A &lt;b&gt;reason&lt;/b&gt;." in page.text
    assert 'aria-invalid="true"' in page.text


def test_a_contact_clears_quiet(coach, people, silent):
    before = line_of(coach.get("/morning"), people.client)

    answer = coach.send(
        f"/morning/{people.client.id}/contact", kind="call", contact_on="2026-11-25", text="Back on Friday."
    )

    assert "Quiet for" in before
    assert "The contact with Ilse Brandt on Wed 25 November is kept." in flash_after(coach, answer)
    assert "Quiet for" not in line_of(coach.get("/morning"), people.client)
    with coach.db() as db:
        assert [one.text for one in clients.contacts(db, client_id=people.client.id)] == ["Back on Friday."]


def test_a_contact_can_settle_a_safety_line(coach, people, ill):
    line = about(coach, people.client, "contact", "illness")

    answer = coach.send(
        f"/morning/{people.client.id}/contact",
        kind="call",
        contact_on="2026-11-25",
        text="In bed, rests the week.",
        boxes="yes",
        settles_illness="yes",
        key_illness=line["key"],
        **line,
    )

    assert "The line is handled." in flash_after(coach, answer)
    assert "Fever" not in line_of(coach.get("/morning"), people.client)


def test_a_contact_to_come_is_refused_and_kept_in_the_form(coach, people, silent):
    page = coach.send(f"/morning/{people.client.id}/contact", kind="call", contact_on=FRIDAY, text="Will ring.")

    assert page.status_code == 422
    assert "This day has not come yet." in page.text
    assert "Will ring." in page.text


def test_a_note_appears_on_the_clients_today(coach, client_phone, people, silent):
    answer = coach.send(f"/morning/{people.client.id}/note", text="Shall we talk on Thursday?")

    assert "on Ilse Brandt's Today" in flash_after(coach, answer)
    assert "Shall we talk on Thursday?" in client_phone.get("/me/today").text


def test_handled_goes_and_comes_back_with_new_evidence(coach, people, ill, clock):
    line = about(coach, people.client, "handled", "illness")

    answer = coach.send(f"/morning/{people.client.id}/handled", done="Rests until Monday.", **line)

    assert "comes back with new evidence" in flash_after(coach, answer)
    assert "Fever" not in line_of(coach.get("/morning"), people.client)
    with coach.db(write=True) as db:
        seed.add_readiness(
            db, client=people.client, noted_on=seed.TODAY + timedelta(days=1), illness=Illness.FEVER_OR_BELOW
        )
    clock.move(hours=17)
    with coach.db(write=True) as db:
        seed.add_login(db, person=people.coach, token="the-next-morning", now=clock.now())
    coach.http.cookies.clear()
    coach.http.cookies.set("foothill_login", "the-next-morning", domain="localhost.local", path="/")
    line = line_of(coach.get("/morning"), people.client)
    assert "Fever or ill below the neck on Thu 26 Nov" in line
    assert "Back since you handled it on Wed 25 Nov: a new note says so, of today." in line
    assert "What it said then" in line


def test_a_safety_line_asks_what_was_done(coach, people, ill):
    line = about(coach, people.client, "handled", "illness")

    page = coach.send(f"/morning/{people.client.id}/handled", done=" ", **line)

    assert page.status_code == 422
    assert "Please fill this in." in page.text


def test_a_paper_recorded_while_the_hold_is_open_leads_to_lifting(coach, people, calm):
    with coach.db(write=True) as db:
        hold_id = seed.add_hold(db, client=people.client)
        safety_scenes.clear(db, client=people.client, person_id=people.coach.id, days_ago=0)

    line = line_of(coach.get("/morning"), people.client)

    assert "is on file; the hold of Tue 24 Nov" in line
    assert f'href="/holds/{hold_id}/lift"' in line


def test_what_was_told_by_telephone_is_asked_for_in_writing_also_where_it_is_folded(
    coach, client_phone, people, calm
):
    felt_on = seed.TODAY - timedelta(days=1)
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=felt_on.isoformat())
    told = {"signer": "Dr. Amrei Sohl", "profession": "general practitioner", "how_seen": "telephone"}
    granted = {"state": "granted", "scope": "vigorous", "given_on": seed.TODAY.isoformat()}
    coach.send(f"/clients/{people.client.id}/safety/clearance", **told, **granted, own_password=seed.PASSWORD)

    folded = line_of(coach.get("/morning"), people.client).split("more-reason", 1)[1]

    assert "A clearance told by telephone of 25 November 2026 by Dr. Amrei Sohl is on file" in folded
    assert "A telephone call alone does not count; ask for it in writing. It does not lift it." in folded
    assert f'href="/clients/{people.client.id}/safety/letter"' in folded
    assert "Ask for it in writing" in folded
    assert "Read it" not in folded


def test_a_folded_paper_keeps_its_link_to_the_hold(coach, client_phone, people, calm):
    felt_on = seed.TODAY - timedelta(days=1)
    client_phone.send("/me/felt-wrong", sign="chest", felt_on=felt_on.isoformat())
    seen = {"signer": "Dr. Amrei Sohl", "profession": "general practitioner", "how_seen": "paper"}
    refused = {"state": "refused", "given_on": seed.TODAY.isoformat()}
    coach.send(f"/clients/{people.client.id}/safety/clearance", **seen, **refused, own_password=seed.PASSWORD)

    folded = line_of(coach.get("/morning"), people.client).split("more-reason", 1)[1]

    assert "It does not lift it." in folded
    assert re.search(r'href="/holds/\d+/lift"', folded)
    assert "Read it and lift" not in folded


def test_somebody_asked_and_not_started_is_led_to_the_start(coach, people):
    with coach.db(write=True) as db:
        maud = seed.add_client(db, coach_id=people.coach.id, name="Maud Ellery")
        seed.add_answers(db, client=maud, active=YesNo.YES)

    line = line_of(coach.get("/morning"), maud)

    assert "start the aerobic base" in line
    assert f'href="/clients/{maud.id}/start"' in line


def test_a_line_of_one_reason_is_handled_by_one_press_and_can_be_taken_back(coach, people, calm):
    with coach.db(write=True) as db:
        maud = seed.add_calm_client(db, coach_id=people.coach.id, name="Maud Ellery", spoken_days_ago=20)
    line = line_of(coach.get("/morning"), maud)
    coach.send(f"/morning/{maud.id}/handled", signal="contact_overdue", key=hidden(line, "key"))
    page = coach.get("/morning")
    undo = re.search(r'action="(/morning/\d+/handled/\d+/undo)"', page.text)

    answer = coach.send(undo[1])

    assert line_of(page, maud) == ""
    assert "Put off and handled" in page.text
    assert flash_after(coach, answer) == "The line is back."
    assert "The last contact was on" in line_of(coach.get("/morning"), maud)


def test_all_reasons_of_a_client_are_settled_in_one_form(coach, people):
    with coach.db(write=True) as db:
        maud = seed.add_calm_client(db, coach_id=people.coach.id, name="Maud Ellery", spoken_days_ago=20)
        seed.add_readiness(db, client=maud, illness=Illness.FEVER_OR_BELOW)
    form = coach.get(f"/morning/{maud.id}/handled?signal=illness").text
    boxes = re.findall(r'type="checkbox" id="[^"]*" name="(settles_\w+)" value="yes"( checked)?', form)

    answer = coach.send(
        f"/morning/{maud.id}/handled",
        signal="illness",
        boxes="yes",
        settles_illness="yes",
        key_illness=hidden(form, "key_illness"),
        settles_contact_overdue="yes",
        key_contact_overdue=hidden(form, "key_contact_overdue"),
        done="Rang her, in bed until Monday.",
    )

    assert boxes == [("settles_illness", " checked"), ("settles_contact_overdue", " checked")]
    assert flash_after(coach, answer).startswith("Two of Maud Ellery's reasons are handled.")
    assert line_of(coach.get("/morning"), maud) == ""


def test_settling_needs_a_tick_and_for_safety_a_word(coach, people, ill):
    line = about(coach, people.client, "handled", "illness")

    none = coach.send(f"/morning/{people.client.id}/handled", boxes="yes", signal="illness", done="Rang.")
    wordless = coach.send(
        f"/morning/{people.client.id}/handled",
        boxes="yes",
        signal="illness",
        settles_illness="yes",
        key_illness=line["key"],
    )

    assert (none.status_code, wordless.status_code) == (422, 422)
    assert "Tick what was dealt with." in none.text
    assert "Fever" in line_of(coach.get("/morning"), people.client)


def test_a_talk_is_ticked_as_settling_what_it_settles(coach, people, ill):
    form = coach.get(f"/morning/{people.client.id}/contact?signal=illness").text

    assert re.search(r'name="settles_illness" value="yes" checked', form)


def test_put_off_past_today_is_refused_for_safety(coach, people, ill):
    line = about(coach, people.client, "put-off", "illness")

    page = coach.send(f"/morning/{people.client.id}/put-off", until_on=NEXT_WEEK, **line)

    assert page.status_code == 422
    assert "A line about safety cannot be put off past today" in page.text
    assert "Fever" in line_of(coach.get("/morning"), people.client)


def test_a_safety_line_offers_no_putting_off(coach, people, ill):
    assert "put-off?signal=illness" not in line_of(coach.get("/morning"), people.client)


def test_put_off_rests_until_its_day(coach, people, silent):
    line = about(coach, people.client, "put-off", "quiet")

    answer = coach.send(f"/morning/{people.client.id}/put-off", until_on=FRIDAY, **line)

    assert "put off until Fri 27 November" in flash_after(coach, answer)
    page = coach.get("/morning")
    assert "Quiet for" not in line_of(page, people.client)
    assert "put off until Fri 27 November" in page.text


def test_a_line_that_changed_meanwhile_answers_with_a_conflict(coach, people, silent):
    answer = coach.send(f"/morning/{people.client.id}/handled", signal="quiet", key="quiet:old:7")

    assert answer.status_code == 409
    assert "something new on this line" in answer.text


def test_a_form_of_a_line_that_is_gone_answers_with_a_conflict(coach, people, calm):
    assert coach.get(f"/morning/{people.client.id}/put-off?signal=quiet").status_code == 409


def test_the_same_form_sent_again_counts_once(coach, people, silent):
    same = {"request_id": str(uuid4()), "kind": "call", "contact_on": "2026-11-25", "text": "Spoke."}
    address = f"/morning/{people.client.id}/contact"

    answers = [coach.send(address, **same) for _ in range(3)]

    assert [one.status_code for one in answers] == [303, 303, 303]
    with coach.db() as db:
        assert len(clients.contacts(db, client_id=people.client.id)) == 1


def test_who_waits_for_questions_is_one_line_and_all_are_asked_at_once(coach, client_phone, people):
    with coach.db(write=True) as db:
        newcomer = seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", state=ClientState.INTAKE)
        seed.add_login(db, person=seed.client_person(db, newcomer), token="bruno")
    before = coach.get("/morning").text

    answer = coach.send("/morning/send-questions")

    assert "Two clients wait for the health questions. No training begins before they are answered." in before
    assert flash_after(coach, answer) == "2 have them on their phone now."
    assert "Waiting for questions" not in coach.get("/morning").text
    assert "Please answer the health questions" in client_phone.get("/me/today").text
    with coach.db() as db:
        assert len(clients.notes(db, client_id=newcomer.id)) == 1


def test_who_has_no_phone_signed_in_is_not_counted_as_asked_and_stays_in_the_line(coach, client_phone, people):
    with coach.db(write=True) as db:
        invited = seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", state=ClientState.INTAKE)

    answer = coach.send("/morning/send-questions")

    said = flash_after(coach, answer)
    assert said.startswith("1 has them on their phone now; the other one has no phone signed in: invite them")
    page = coach.get("/morning").text
    assert "One client waits for the health questions" in page
    assert f'href="/clients/{invited.id}/access"' in page
    assert f'href="/clients/{invited.id}/entry/questions"' in page
    assert 'action="/morning/send-questions"' not in page
    with coach.db() as db:
        assert clients.notes(db, client_id=invited.id) == []


def test_the_grouped_line_says_who_may_go_on_and_how_many_are_put_off(coach, client_phone, people):
    with coach.db(write=True) as db:
        brought_in = seed.add_client(db, coach_id=people.coach.id, name="Odile Brae", state=ClientState.ACTIVE)
        seed.add_phase(db, client=brought_in, kind=DecisionKind.BROUGHT_IN)
        seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", state=ClientState.INTAKE)

    coach.send(f"/morning/{people.client.id}/questions")

    page = coach.get("/morning").text
    assert "Two clients wait for the health questions. Until they are answered the easy plan of one stands" in page
    assert "for one of them no training begins before that. One more is put off." in page


def test_planning_lines_beyond_six_are_folded_under_their_names_but_never_one_about_safety(coach, people):
    names = ["Ada", "Bo", "Cy", "Di", "Ed", "Flo", "Gil", "Hanne", "Ivo"]
    with coach.db(write=True) as db:
        made = [seed.add_calm_client(db, coach_id=people.coach.id, name=name) for name in names]
        _ = [seed.add_log(db, client=one, done_on=seed.TODAY, note="Windy.", entered_at=seed.NOW) for one in made]
        seed.add_answers(db, client=made[-1], disease=YesNo.YES, active=YesNo.NO)

    open_part, folded = coach.get("/morning").text.split('class="fold later"')

    assert "Three more can wait: Flo, Gil, Hanne" in folded
    assert f'id="line-{made[-1].id}"' in open_part
    assert f'id="line-{made[6].id}"' not in open_part
    assert f'id="line-{made[6].id}"' in folded


def test_the_same_reason_for_three_is_one_line_with_one_message(coach, people, calm):
    with coach.db(write=True) as db:
        made = [
            seed.add_calm_client(db, coach_id=people.coach.id, name=name, spoken_days_ago=20)
            for name in ("Ada", "Bo", "Cy")
        ]

    page = coach.get("/morning").text

    assert "Nothing before anyone trains, one to plan" in page
    assert "Three clients have not been spoken with for too long." in page
    assert "When may I call you this week?" in page
    assert all(line_of(coach.get("/morning"), one) for one in made)


def test_what_came_in_is_marked_as_read_and_the_next_entry_is_not(coach, people, calm, clock):
    with coach.db(write=True) as db:
        seed.add_log(db, client=people.client, entered_at=seed.NOW, note="Lovely & calm.")
    until = hidden(coach.get("/morning").text, "until")

    assert coach.send("/morning/read", until=until).status_code == 303
    page = coach.get("/morning").text
    assert "Everything that came in is read." in page
    assert re.findall(r"<summary>(\d+) read already", page) == ["2"]

    clock.move(hours=1)
    with coach.db(write=True) as db:
        seed.add_log(db, client=people.client, done_on=seed.TODAY, entered_at=clock.now(), minutes=20)
    later = coach.get("/morning").text
    assert "All of it is read" in later
    assert re.findall(r"<summary>(\d+) read already", later) == ["2"]


@pytest.mark.parametrize("until", ["", "tomorrow", "2030-01-01T00:00:00+00:00"])
def test_nothing_is_read_before_it_is_written(coach, calm, until):
    assert coach.send("/morning/read", until=until).status_code in (409, 422)


def test_somebody_who_left_is_neither_counted_nor_offered_for_a_note(coach, people):
    with coach.db(write=True) as db:
        seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", state=ClientState.LEFT)

    page = coach.get("/morning").text

    assert "One client." in page
    assert "Bruno Keel" not in page


def test_who_has_no_phone_goes_on_waiting_and_is_asked_by_the_coach(coach, people):
    with coach.db(write=True) as db:
        paper = seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", has_phone=False)

    coach.send("/morning/send-questions")

    page = coach.get("/morning").text
    assert "One client waits for the health questions" in page
    assert f'href="/clients/{paper.id}/entry/questions"' in page
    assert "Send the questions to all" not in page
    assert coach.send(f"/morning/{paper.id}/questions").status_code == 422


def test_a_tick_that_settles_a_changed_line_keeps_what_was_typed(coach, people, silent):
    page = coach.send(
        f"/morning/{people.client.id}/note", text="Ring me?", boxes="yes", settles_quiet="yes", key_quiet="old"
    )

    assert page.status_code == 422
    assert "something new on this line" in page.text
    assert "Ring me?" in page.text
    with coach.db() as db:
        assert clients.notes(db, client_id=people.client.id) == []


def test_a_line_about_somebody_is_kept_from_the_top_of_the_page(coach, people, calm):
    answer = coach.send(
        "/morning/note", client_id=people.client.id, text="Daughter marries in May.", visibility="private"
    )

    assert "Only the coach reads it" in flash_after(coach, answer)
    with coach.db() as db:
        note = clients.notes(db, client_id=people.client.id)[0]
        assert (note.text, note.visibility) == ("Daughter marries in May.", Visibility.PRIVATE)
        assert trail_of(db, client_id=people.client.id)[0].action == "add_note"


def test_a_line_about_nobody_keeps_what_was_typed(coach, calm):
    page = coach.send("/morning/note", client_id="", text="About whom?", visibility="private")

    assert page.status_code == 422
    assert 'value="About whom?"' in page.text


def test_a_line_about_a_strangers_client_is_not_kept(coach, people, calm):
    answer = coach.send("/morning/note", client_id=people.other_client.id, text="Hello.", visibility="client")

    assert answer.status_code == 404


@pytest.mark.parametrize("client_id", ["NaN", "9" * 30, "-1", "1e3", "٣"])
def test_an_odd_client_number_is_refused(coach, client_id, calm):
    assert coach.send("/morning/note", client_id=client_id, text="x", visibility="client").status_code == 422


def test_a_small_form_opens_in_the_line_alone(coach, people, silent):
    part = coach.get(f"/morning/{people.client.id}/contact?signal=quiet", hx_request="true").text

    assert part.lstrip().startswith(f'<div id="desk-{people.client.id}"')
    assert "<html" not in part


def test_a_stand_in_sees_and_settles_only_who_was_handed_over(stand_in, people):
    page = stand_in.get("/morning")
    line = line_of(page, people.handed_client)

    answer = stand_in.send(
        f"/morning/{people.handed_client.id}/contact", kind="call", contact_on="2026-11-25", text="All well."
    )

    assert names_in_order(page) == ["Hanne Weidel"]
    assert "Quiet for" in line
    assert answer.status_code == 303
    assert stand_in.get(f"/morning/{people.client.id}/contact").status_code == 404


def test_a_stand_in_is_shown_no_act_of_deciding(stand_in, head, people):
    with head.db(write=True) as db:
        seed.make_calm(db, client=people.handed_client)
        seed.add_hold(db, client=people.handed_client)
        seed.add_planned(db, client=people.handed_client, planned_on=FRIDAY)

    mine = line_of(head.get("/morning"), people.handed_client)
    theirs = line_of(stand_in.get("/morning"), people.handed_client)

    assert f'href="/clients/{people.handed_client.id}/plan"' in mine
    assert f'href="/clients/{people.handed_client.id}/plan"' not in theirs


def test_a_stand_in_keeps_no_private_line(stand_in, people):
    page = stand_in.send("/morning/note", client_id=people.handed_client.id, text="Sounds low.", visibility="private")

    assert page.status_code == 422
    assert "Private notes on this client are not yours" in page.text


def test_a_client_has_no_morning(client_phone):
    assert client_phone.get("/morning").status_code == 404


def test_nobody_signed_in_is_led_to_sign_in(nobody):
    assert nobody.get("/morning").status_code == 303


def test_a_stranger_acts_on_nothing(other_coach, people, ill):
    base = f"/morning/{people.client.id}"

    found = [
        other_coach.send(f"{base}/handled", signal="illness", key="x", done="y").status_code,
        other_coach.send(f"{base}/put-off", signal="illness", key="x", until_on=FRIDAY).status_code,
        other_coach.send(f"{base}/contact", kind="call", contact_on="2026-11-25", text="x").status_code,
        other_coach.send(f"{base}/note", text="x").status_code,
        other_coach.send(f"{base}/questions").status_code,
    ]

    assert found == [404] * 5


def test_a_line_of_many_is_put_off_for_those_ticked_and_taken_back_by_one_press(coach, people, calm):
    with coach.db(write=True) as db:
        three = [
            seed.add_calm_client(db, coach_id=people.coach.id, name=f"Walker {n}", spoken_days_ago=20) for n in "ABC"
        ]
    group = re.search(
        r'<article class="line" id="group-contact-overdue".*?<details', coach.get("/morning").text, re.S
    )
    opened = coach.get(unescape(re.search(r'href="(/together/put-off\?[^"]+)"', group.group()).group(1))).text
    sent = {name: hidden(opened, name) for name in ("signal", "of", *(f"s{one.id}" for one in three))}
    ticked = {f"k{one.id}": "yes" for one in three}

    wrong = coach.send("/together/put-off", until_on="2027-03-01", **sent, **ticked)
    answer = coach.send("/together/put-off", until_on="2026-12-01", **sent, **ticked)

    assert wrong.status_code == 422
    assert all(one.name in wrong.text for one in three)
    assert "3 lines put off until Tue 1 December" in flash_after(coach, answer)
    page = coach.get("/morning").text
    assert not any(f'id="line-{one.id}"' in page for one in three)
    undo = re.search(r'action="(/together/undo\?of=\d+)"', page).group(1)
    assert page.count(undo) == 1
    assert "Taken back for 3 clients." in flash_after(coach, coach.send(undo))
    assert 'id="group-contact-overdue"' in coach.get("/morning").text


def test_todays_session_is_swapped_from_its_line_and_swapped_again(coach, client_phone, people, worn):
    with coach.db(write=True) as db:
        easy_id = seed.add_planned(db, client=people.client, planned_on=FRIDAY, title="Easy walk to the mill")
    address = f"/morning/{people.client.id}/swap"
    assert f'href="{address}?signal=hard_today_in_doubt"' in line_of(coach.get("/morning"), people.client)
    opened = coach.get(f"{address}?signal=hard_today_in_doubt").text
    assert "Fri 27 Nov: Easy walk to the mill, 45 min" in opened
    sent = {"planned_session_id": worn, f"seen{easy_id}": hidden(opened, f"seen{easy_id}")}

    unchosen = coach.send(address, reason="Slept badly.", **sent)
    stale = coach.send(address, other_id=easy_id, reason="Slept badly.", planned_session_id=worn)
    answer = coach.send(address, other_id=easy_id, reason="Slept badly.", **sent)

    assert (unchosen.status_code, stale.status_code) == (422, 422)
    assert "Slept badly." in unchosen.text
    assert "Nothing was swapped" in stale.text
    assert "“Easy walk to the mill” today" in flash_after(coach, answer)
    assert "Easy walk to the mill" in client_phone.get("/me/today").text
    page = coach.get("/morning").text
    again = unescape(re.search(rf'href="({address}\?session=\d+)"', page).group(1))
    assert "Two hill rounds, " in coach.get(again).text
    undo = coach.send(f"/swapped/undo?of={again_entry(coach)}")
    assert undo.status_code == 422
    assert "swap it again" in undo.text


def test_only_the_session_that_waits_is_said_to_be_come_to_rested(coach, people, worn):
    with coach.db(write=True) as db:
        easy_id = seed.add_planned(db, client=people.client, planned_on=FRIDAY, title="Easy walk to the mill")
    address = f"/morning/{people.client.id}/swap"
    opened = coach.get(f"{address}?signal=hard_today_in_doubt").text
    assert "Swapped this morning, to come to it rested." in opened
    sent = {"planned_session_id": worn, f"seen{easy_id}": hidden(opened, f"seen{easy_id}"), "other_id": easy_id}

    coach.send(address, reason="Swapped this morning, to come to it rested.", **sent)

    with coach.db() as db:
        told = [prescriptions.newest(db, planned_session_id=one).reason for one in (worn, easy_id)]
    assert told == ["Swapped this morning, to come to it rested.", "Changed places with “Two hill rounds”."]
    page = coach.get("/morning").text
    assert "“Easy walk to the mill” stands today, “Two hill rounds” on Fri 27 Nov." in page
    again = unescape(re.search(rf'href="({address}\?session=\d+)"', page).group(1))
    assert "to come to it rested" not in re.search(r"<textarea.*?</textarea>", coach.get(again).text, re.S).group()


def again_entry(coach) -> int:
    """The entry a swap left in the practice's trail."""
    with coach.db() as db:
        return audit.entries_on(db, subject="sessions swapped", since=seed.NOW)[0].id


def test_questions_that_are_due_for_many_go_to_all_phones_and_words_do_not_settle_them(coach, people, calm):
    with coach.db(write=True) as db:
        three = [seed.add_client(db, coach_id=people.coach.id, name=f"Asked {n}") for n in "ABC"]
        for one in three:
            seed.add_phase(db, client=one)
            seed.add_answers(db, client=one, answered_on=seed.TODAY - timedelta(days=90))
            seed.add_contact(db, client=one)
        seed.add_login(db, person=seed.client_person(db, three[0]), token="a phone of the first")
    group = re.search(r'<article class="line" id="group-questions-due".*?<details', coach.get("/morning").text, re.S)
    assert "/together/handled" not in group.group()
    assert "/together/put-off" in group.group()

    answer = coach.send("/together/questions", of=hidden(group.group(), "of"))

    assert "1 has them on their phone now; none of the other 2" in flash_after(coach, answer)
