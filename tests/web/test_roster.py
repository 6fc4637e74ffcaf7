"""The roster: who is on it, search, filters, order, pages, and a new client."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest
from sqlalchemy import event

from app.coaching.access import Actor
from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phases import Phase
from app.coaching.rules import Rules
from app.storage import clients
from app.storage.audit import trail_of
from app.storage.tables.people import ClientRow, GoalRow
from app.usecases.roster import RosterWish, roster
from tests import seed


def names_on(page) -> list[str]:
    """The names on a roster, in order."""
    return [unescape(name) for name in re.findall(r'<th scope="row"><a href="/clients/\d+">([^<]*)</a>', page.text)]


def test_the_head_coach_sees_everybody_in_order_of_names(head):
    page = head.get("/roster")

    assert page.status_code == 200
    assert names_on(page) == ["Hanne Weidel", "Ilse Brandt", "Ruben Castor"]


def test_a_coach_sees_only_the_own_clients(coach):
    assert names_on(coach.get("/roster")) == ["Ilse Brandt"]


def test_a_stand_in_sees_the_clients_handed_over(stand_in):
    assert names_on(stand_in.get("/roster")) == ["Hanne Weidel"]


def test_a_handover_that_has_ended_leaves_the_roster(stand_in, clock):
    clock.move(days=14)
    with stand_in.db(write=True) as db:
        seed.add_login(
            db,
            person=seed.accounts.person_by_email(db, email="piet@birchway.example"),
            token="x" * 20,
            now=clock.now(),
        )
    stand_in.http.cookies.clear()
    stand_in.http.cookies.set("foothill_login", "x" * 20, domain="localhost.local", path="/")

    page = stand_in.get("/roster")

    assert page.status_code == 200
    assert names_on(page) == []


def test_a_client_has_no_roster(client_phone):
    assert client_phone.get("/roster").status_code == 404


def test_nobody_signed_in_is_led_to_sign_in(nobody):
    answer = nobody.get("/roster")

    assert answer.status_code == 303
    assert answer.headers["location"].startswith("/sign-in")


def test_the_line_says_phase_state_entry_and_weekly_time(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, since_on=seed.TODAY - timedelta(days=15))
        seed.add_base_weeks(db, client=people.client, count=4, minutes=40)

    text = coach.get("/roster").text

    assert "aerobic base, week 3" in text
    assert "2 h" in text
    assert "none kept" in text
    assert "days with training" in text


def test_search_finds_part_of_a_name_whatever_the_capitals(head):
    assert names_on(head.get("/roster?q=CAST")) == ["Ruben Castor"]


def test_search_without_a_match_says_so(head):
    page = head.get("/roster?q=nobody%20like%20that")

    assert names_on(page) == []
    assert "0 clients of 3 fit." in page.text


def test_search_words_come_back_as_text_never_as_markup(head):
    page = head.get("/roster?q=%3Cscript%3Ealert(1)%3C/script%3E")

    assert "<script>alert" not in page.text
    assert "&lt;script&gt;alert(1)" in page.text


@pytest.mark.parametrize(
    "query", ["state=nonsense", "page=0", "page=-3", "page=99", "page=NaN", "phase=%00", "sort=x"]
)
def test_odd_addresses_still_show_the_roster(head, query):
    assert len(names_on(head.get(f"/roster?{query}"))) == 3


def test_the_list_alone_is_sent_for_a_swap(head):
    part = head.get("/roster?q=ilse", hx_request="true").text

    assert part.startswith('<div id="roster-list">')
    assert "<html" not in part


def test_filter_by_state_and_left_clients_are_hidden_until_asked_for(head, people):
    with head.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.LEFT)

    assert "Ilse Brandt" not in names_on(head.get("/roster"))
    assert names_on(head.get("/roster?state=left")) == ["Ilse Brandt"]


def test_filter_by_phase(head, people):
    with head.db(write=True) as db:
        seed.add_phase(db, client=people.other_client, phase=Phase.KEEPING)

    assert names_on(head.get("/roster?phase=keeping")) == ["Ruben Castor"]


def test_filter_on_hold(head, people):
    with head.db(write=True) as db:
        seed.add_hold(db, client=people.client, stops=Stops.ALL)

    page = head.get("/roster?hold=yes")

    assert names_on(page) == ["Ilse Brandt"]
    assert "on hold" in page.text


def test_filter_quiet_leaves_out_those_heard_from(head, people):
    with head.db(write=True) as db:
        seed.add_log(db, client=people.client)

    assert names_on(head.get("/roster?quiet=yes")) == ["Hanne Weidel", "Ruben Castor"]


def test_sort_by_last_entry_puts_the_silent_first_and_turns_round(head, people):
    with head.db(write=True) as db:
        seed.add_log(db, client=people.client, done_on=seed.TODAY - timedelta(days=2), entered_at=seed.NOW)
        seed.add_log(db, client=people.other_client, done_on=seed.TODAY - timedelta(days=9), origin="file")

    assert names_on(head.get("/roster?sort=last_entry")) == ["Hanne Weidel", "Ruben Castor", "Ilse Brandt"]
    assert names_on(head.get("/roster?sort=last_entry&order=down")) == ["Ilse Brandt", "Ruben Castor", "Hanne Weidel"]


def test_a_hundred_and_five_clients_come_in_two_pages(head, people):
    with head.db(write=True) as db:
        for number in range(102):
            seed.add_client(db, coach_id=people.head.id, name=f"Walker {number:03}")

    first, second = head.get("/roster"), head.get("/roster?page=2")

    assert len(names_on(first)) == 100
    assert "Page 1 of 2" in first.text
    assert len(names_on(second)) == 5


def queries_for(browser, people) -> int:
    seen: list[str] = []

    def note(*given):
        seen.append(given[2])

    with browser.db() as db:
        engine = db.get_bind()
        event.listen(engine, "before_cursor_execute", note)
        actor = Actor(people.coach.id, people.coach.name, people.coach.role, None)
        roster(db, actor=actor, wish=RosterWish(), rules=Rules(), now=seed.NOW)
        event.remove(engine, "before_cursor_execute", note)
    return len(seen)


def test_queries_do_not_grow_with_clients(coach, people):
    with_one = queries_for(coach, people)
    with coach.db(write=True) as db:
        for number in range(12):
            one = seed.add_client(db, coach_id=people.coach.id, name=f"Walker {number:03}")
            seed.add_log(db, client=one)

    with_thirteen = queries_for(coach, people)

    assert 0 < with_thirteen == with_one


def test_an_empty_practice_teaches_the_next_step(coach, people):
    with coach.db(write=True) as db:
        db.get_one(ClientRow, people.client.id).coach_id = people.head.id

    page = coach.get("/roster")

    assert 'href="/practice/import"' in page.text
    assert 'href="/clients/new"' in page.text


# A new client

NEW = {"name": "Orla Finch", "zone": "Europe/Berlin", "state": "intake", "has_phone": "yes"}


def test_a_new_client_is_on_the_roster_with_goal_and_trace(coach, people):
    answer = coach.send("/clients/new", **NEW, born_on="1958-02-28", goal="Walk the ridge with Jo")

    assert answer.status_code == 303
    client_id = int(answer.headers["location"].rsplit("/", 1)[1])
    with coach.db() as db:
        kept = clients.one(db, client_id=client_id)
        assert (kept.name, kept.coach_id, kept.state, kept.has_phone) == (
            "Orla Finch",
            people.coach.id,
            "intake",
            True,
        )
        assert [goal.text for goal in clients.goals(db, client_id=client_id)] == ["Walk the ridge with Jo"]
        assert [entry.action for entry in trail_of(db, client_id=client_id)] == ["add_client"]


def test_the_same_form_sent_twice_adds_one_client(coach):
    sent = NEW | {"request_id": "3f0e7a52-7d0a-4c1e-9b3c-0a1b2c3d4e5f"}

    first, second = coach.send("/clients/new", **sent), coach.send("/clients/new", **sent)

    assert first.headers["location"] == second.headers["location"]


def test_a_stand_in_takes_on_nobody(stand_in):
    assert "does not take on new ones" in stand_in.get("/clients/new").text
    assert stand_in.send("/clients/new", **NEW).status_code == 403


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("name", "", "Please fill this in."),
        ("name", "\u200b\x00\x07", "nothing that can be read"),
        ("name", "x" * 201, "under 200 characters"),
        ("born_on", "1890-05-01", "Check the year"),
        ("born_on", "2031-01-01", "adults"),
        ("born_on", "2010-01-01", "adults"),
        ("born_on", "NaN", "year-month-day"),
        ("born_on", "2001-02-30", "year-month-day"),
        ("zone", "Middle/Earth", "time zone"),
        ("email", "not an address", "e-mail"),
        ("state", "promoted", "Choose one"),
        ("sex", "X", "Choose one"),
        ("goal", "g" * 2001, "under 2000 characters"),
    ],
)
def test_a_bad_field_gets_a_sentence_and_keeps_what_was_typed(coach, field, typed, says):
    with coach.db() as db:
        before = db.query(ClientRow).count()

    answer = coach.send("/clients/new", **(NEW | {"phone": "0170 555", field: typed}))

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert 'value="0170 555"' in answer.text
    with coach.db() as db:
        assert db.query(ClientRow).count() == before
        assert db.query(GoalRow).count() == 0


def test_a_note_of_ten_megabytes_is_cut_off(coach):
    answer = coach.send("/clients/new", **(NEW | {"goal": "g" * 10_000_000}))

    assert answer.status_code == 413
    with coach.db() as db:
        assert db.query(GoalRow).count() == 0


@pytest.mark.parametrize("name", ["<script>alert(1)</script>", "=1+1", "Zoë 🏔 O’Dell"])
def test_strange_names_are_kept_and_shown_as_text(coach, name):
    coach.send("/clients/new", **(NEW | {"name": name}))

    page = coach.get("/roster")

    assert name in names_on(page)
    assert "<script>alert" not in page.text


def test_a_second_client_of_the_same_name_is_asked_about_once(coach):
    first = coach.send("/clients/new", **(NEW | {"name": "ilse  brandt"}))
    second = coach.send("/clients/new", **(NEW | {"name": "ilse  brandt", "another_person": "yes"}))

    assert first.status_code == 422
    assert "on the roster already" in first.text
    assert second.status_code == 303


def test_who_left_is_neither_counted_nor_offered_for_a_handover(head, people):
    with head.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.LEFT)

    everybody = head.get("/roster").text
    nobody_quiet = head.get("/roster?state=paused").text
    handover = head.get("/practice/handovers/new").text

    assert "2 clients." in everybody
    assert "0 clients of 2 fit." in nobody_quiet
    assert f'<option value="{people.client.id}"' not in handover
    assert f'<option value="{people.other_client.id}"' in handover
