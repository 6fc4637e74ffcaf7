"""The library of hard sessions: read, copied, changed, retired, and laid side by side."""

from __future__ import annotations

import json

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState
from app.coaching.protocol_library import own_draft
from app.coaching.protocols import PROTOCOLS, protocol_of
from app.storage import clients, prescriptions, protocols
from app.storage.audit import trail_of_practice
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of
from tests.seed import NOW

LIBRARY = "/plan/library"


def _copy_form(browser, key="four_by_four"):
    return form_of(browser.get(f"{LIBRARY}-new?copy={key}"), f"{LIBRARY}-new")


def _keep(browser, **changes):
    return browser.send(f"{LIBRARY}-new", **(_copy_form(browser) | changes))


@pytest.fixture
def own(coach) -> str:
    return _keep(coach, name="Mill lane fours").headers["location"].rpartition("/")[2]


def test_every_entry_stands_in_the_list_and_has_a_card(coach):
    listed = coach.get(LIBRARY).text
    cards = {key: words_of(coach.get(f"{LIBRARY}/{key}")) for key in ("short_fifteen", "thirty_fifteen_sets")}

    assert [key for key in PROTOCOLS if f'href="{LIBRARY}/{key}"' not in listed] == []
    assert "Helgerud et al. 2007 (published, read)" in cards["short_fifteen"]
    assert "24 times in all" in cards["thirty_fifteen_sets"]
    assert "Rest between sets 3 min, after every 13 rounds" in cards["thirty_fifteen_sets"]


def test_an_unknown_entry_is_not_found(coach):
    assert [
        coach.get(f"{LIBRARY}/{key}{end}").status_code for key, end in (("x", ""), ("four_by_four", "/change"))
    ] == [
        404,
        404,
    ]


def test_a_copy_is_the_practices_own_without_the_evidence_of_its_origin(coach, own):
    card = words_of(coach.get(f"{LIBRARY}/{own}"))

    assert "begun as a copy of 4 × 4 min, 4 min off" in card
    assert "Common practice, no published source." in card
    assert "Helgerud" not in card


def test_what_is_wrong_is_said_beside_its_field_and_what_was_typed_stays(coach):
    refused = _keep(coach, name="Mile rounds", work="4", recovery="20 s", also_words="The last all out.")
    bounds = _keep(coach, name="Mile rounds", recovery="20 s", also_words="The last all out.")

    assert (refused.status_code, bounds.status_code) == (422, 422)
    assert "Write it as 30 s, 4 min or 1:30." in words_of(refused)
    shown = words_of(bounds)
    assert "The library has a session called Mile rounds already" in shown
    assert "At least 1 min are easy after such a round" in shown
    assert "so that nobody goes all out" in shown
    assert "The last all out." in bounds.text
    with coach.db() as db:
        assert protocols.library(db).own == ()


def test_no_way_ticked_is_said(coach):
    none = {name: None for name in _copy_form(coach) if name.startswith("mode_")}

    refused = _keep(coach, name="Nobody's", **none)

    assert refused.status_code == 422
    assert "Tick at least one way it is done." in words_of(refused)


def test_a_change_is_kept_with_what_it_was_and_an_older_page_is_refused(coach, own):
    address = f"{LIBRARY}/{own}/change"
    form = form_of(coach.get(address), address)

    kept = coach.send(address, **form | {"rounds": "3"})
    stale = coach.send(address, **form | {"rounds": "2"})

    assert (kept.status_code, stale.status_code) == (303, 409)
    with coach.db() as db:
        assert protocols.library(db).of(own).rounds == 3
        [change, _kept] = [one for one in trail_of_practice(db) if one.subject == "own protocol"]
    said = json.loads(change.change_json)
    assert (change.action, said["before"]["rounds"], said["after"]["rounds"]) == ("changed", 4, 3)


def test_a_retired_session_is_chosen_nowhere_and_can_be_brought_back(coach, people, own):
    choose = f"/clients/{people.client.id}/plan/add"
    offered = coach.get(choose).text

    coach.send(f"{LIBRARY}/{own}/retire")
    gone, listed = coach.get(choose).text, words_of(coach.get(LIBRARY))
    twice = coach.send(f"{LIBRARY}/{own}/retire")
    coach.send(f"{LIBRARY}/{own}/restore")

    assert (own in offered, own in gone, own in coach.get(choose).text) == (True, False, True)
    assert "Retired" in listed
    assert twice.status_code == 409


def test_a_stand_in_reads_and_writes_nothing(stand_in, coach, own):
    assert stand_in.get(LIBRARY).status_code == 200
    assert "Copy it into our own" not in stand_in.get(f"{LIBRARY}/{own}").text
    assert stand_in.get(f"{LIBRARY}-new").status_code == 403
    assert [stand_in.send(f"{LIBRARY}/{own}/{act}").status_code for act in ("change", "retire", "restore")] == [
        403
    ] * 3


# Planned from it


def test_a_session_of_the_practices_own_is_planned_like_any_other_and_held_to_the_first_rounds(coach, people):
    own = _keep(coach, name="6 × 3 min, 2 min off", work="3 min", recovery="2 min", rounds="6", rounds_most="6")
    key = own.headers["location"].rpartition("/")[2]
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)

    coach.send(
        f"/clients/{people.client.id}/plan/add",
        planned_on=NEXT_MONDAY,
        shape="intervals",
        mode="indoor_ride",
        protocol_key=key,
        rounds="6",
    )

    with coach.db() as db:
        [session] = scene.planned_of(db, people.client)
    assert (session.title, session.rounds, session.hard_minutes) == ("6 × 3 min, 2 min off", 6, 18)
    shown = words_of(coach.get(f"/plan/sessions/{session.id}"))
    assert "6 rounds; the practice begins with 2" in shown


def test_a_block_looked_at_before_the_session_was_changed_is_not_kept(coach, people, own):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
    address = f"/clients/{people.client.id}/plan/intervals"
    form = form_of(coach.get(address), address) | {"protocol_key": own, "hard_2": "yes", "day_2": "75", "day_5": "60"}
    looked = form_of(coach.send(address, **form, step="preview"), address)
    with coach.db(write=True) as db:
        changed = own_draft(protocol_of("three_minutes"), name="Mill lane fours")
        protocols.change(db, own_protocol_id=int(own.removeprefix("own_")), draft=changed)

    answer = coach.send(address, **looked, step="keep")

    assert looked["protocol_key"] == own
    assert answer.status_code == 409
    with coach.db() as db:
        assert (
            prescriptions.newest_between(db, client_ids=[people.client.id], from_on=NEXT_MONDAY, until_on=NEXT_MONDAY)
            == []
        )


# Side by side


def test_two_sessions_stand_side_by_side_with_what_is_assumed(coach):
    shown = words_of(coach.get("/plan/side-by-side?p=four_by_four&p=short_thirty"))

    assert "Hard work 16 min 10 min" in shown
    assert "Expected above 90 % of VO2max about" in shown
    assert "26.6 s, as measured in people older, recreationally active" in shown


def test_for_a_client_the_table_says_what_may_be_done_and_nothing_to_who_is_held(coach, people):
    address = f"/plan/side-by-side?p1=two_by_four&p2=four_by_four&client={people.client.id}&mode=indoor_ride"
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
    free = words_of(coach.get(address))
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD, raised_at=NOW)

    held = words_of(coach.get(address))

    assert "2 rounds: nothing of the first-rounds rule stands against it" in free
    assert "the practice begins with 2" in free
    assert "Proposed none while it is not done none while it is not done" in held


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("p1=nothing", "Choose one of the library."),
        ("p1=four_by_four&reserve=99", "This should be between 5 and 80 %."),
        ("p=four_by_four&p=keeping&p=half_dose&p=two_by_four&p=short_thirty", "Four fit side by side"),
    ],
)
def test_what_cannot_be_compared_is_said(coach, query, words):
    page = coach.get(f"/plan/side-by-side?{query}")

    assert page.status_code == 422
    assert words in words_of(page)


def test_side_by_side_names_nobody_who_has_left(coach, people):
    assert people.client.name in coach.get("/plan/side-by-side").text
    with coach.db(write=True) as db:
        now = clients.one(db, client_id=people.client.id)
        clients.change(db, client_id=now.id, revision=now.revision, values={"state": ClientState.LEFT})

    assert people.client.name not in coach.get("/plan/side-by-side").text


def test_another_coachs_client_is_not_found(coach, people):
    address = f"/plan/side-by-side?p1=four_by_four&client={people.other_client.id}&mode=walk"

    assert coach.get(address).status_code == 404
