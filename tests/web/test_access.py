"""Every route x role x foreign record, generated from the router: a new route cannot be forgotten."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from app.main import routed_app
from app.storage import accounts
from app.web.deps import CoachDesk, PublicDesk
from tests import seed
from tests.conftest import TOKENS, Browser, furnish_for_a_test
from tests.web.walk import Walk, bare_app, walks

#: Open to nobody in particular. Anything else that asks for no desk is an oversight.
PUBLIC = {
    "/",
    "/healthz",
    "/offline",
    "/offline-worker.js",
    "/sign-in",
    "/sign-out",
    "/sign-out/everywhere",
    "/set-up",
    "/join/{token}",
    "/feeds/{secret}",
}
#: Names that belong to a client's record. A route with one of them is walked with somebody else's.
RECORDS = {
    "client_id",
    "planned_session_id",
    "log_id",
    "hold_id",
    "note_id",
    "login_id",
    "handled_id",
    "clearance_id",
    "scan_id",
    "incident_id",
    "away_id",
    "measured_id",
    "request_id",
}
#: Names that do not.
OTHERS = {
    "hill_id": 1,
    "token": "no-such-link",
    "secret": "no-such-feed",
    "person_id": 2,
    "handover_id": 1,
    "template_id": 1,
    "protocol_key": "four_by_four",
    "setting": "base_weeks",
    "month": "2026-10",
    "question": "chest",
}
FEWEST_ROUTES = 130
#: What a stand-in may send about a client who was handed over: write down, contact, ease, move, raise holds and take
#: a mistaken lifting or easy version back. Everything else is the client's own coach's to decide.
STAND_IN_MAY = {
    "/clients/{client_id}/contact",
    "/clients/{client_id}/days-away",
    "/clients/{client_id}/days-away/{away_id}/back",
    "/clients/{client_id}/entry",
    "/clients/{client_id}/entry/check-in",
    "/clients/{client_id}/entry/felt-wrong",
    "/clients/{client_id}/entry/questions",
    "/clients/{client_id}/entry/readiness",
    "/clients/{client_id}/holds/new",
    "/clients/{client_id}/incidents/record",
    "/clients/{client_id}/incidents/{incident_id}/follow-up",
    "/clients/{client_id}/incidents/{incident_id}/reopen",
    "/clients/{client_id}/leave",
    "/clients/{client_id}/leave/back",
    "/clients/{client_id}/note",
    "/clients/{client_id}/requests",
    "/clients/{client_id}/requests/{request_id}/back",
    "/clients/{client_id}/safety/consent/withdraw",
    "/clients/{client_id}/safety/pressure",
    "/clients/{client_id}/sessions/{log_id}/recording",
    "/clients/{client_id}/sessions/{log_id}/recording/away",
    "/clients/{client_id}/sessions/{log_id}/recording/back",
    "/clients/{client_id}/sessions/{log_id}/recording/keep",
    "/clients/{client_id}/sessions/{log_id}/recording/places",
    "/clients/{client_id}/sessions/{log_id}/rounds",
    "/clients/{client_id}/tests",
    "/clients/{client_id}/tests/figures",
    "/clients/{client_id}/tests/figures/stretches",
    "/clients/{client_id}/tests/figures/trials",
    "/entry/logs/{log_id}/change",
    "/holds/{hold_id}/undo",
    "/morning/{client_id}/contact",
    "/morning/{client_id}/ease",
    "/morning/{client_id}/handled",
    "/morning/{client_id}/handled/{handled_id}/undo",
    "/morning/{client_id}/move",
    "/morning/{client_id}/note",
    "/morning/{client_id}/put-off",
    "/morning/{client_id}/questions",
    "/morning/{client_id}/swap",
    "/plan/sessions/{planned_session_id}/ease",
    "/plan/sessions/{planned_session_id}/move",
    "/plan/sessions/{planned_session_id}/take-back",
}
#: Good answers to the forms that are read before the record is opened, so that a refusal is the gate's.
FILLED_IN = {
    "because": "Enough done",
    "base_reason": "Long away from it all",
    "given_on": "2026-11-20",
    "kind": "health_data",
    "method": "from_paper",
    "move": "step_back",
    "reason": "Looks ready",
    "requested_on": "2026-11-20",
    "scope": "vigorous",
    "since_on": "2026-11-20",
    "weeks": "26",
}

ALL = walks(bare_app())
SIGNED_IN = [walk for walk in ALL if walk.audience != "public"]
COACHES = [walk for walk in ALL if walk.audience in ("coach", "head")]
HEADS = [walk for walk in ALL if walk.audience == "head"]
PHONES = [walk for walk in ALL if walk.audience == "client"]

CHANGING = [walk for walk in ALL if walk.method != "GET"]
ABOUT_RECORDS = [walk for walk in SIGNED_IN if RECORDS & set(walk.parameters)]
COACHES_RECORDS = [walk for walk in ABOUT_RECORDS if walk.audience == "coach"]
DECIDING = [walk for walk in COACHES_RECORDS if walk.method != "GET" and walk.path not in STAND_IN_MAY]
PHONES_RECORDS = [walk for walk in ABOUT_RECORDS if walk.audience == "client"]
INNER_RECORDS = [walk for walk in COACHES_RECORDS if len(RECORDS & set(walk.parameters)) > 1]


@dataclass
class House:
    """One running application for all walks: everything asked for here is refused, so nothing changes."""

    app: FastAPI
    browsers: dict[str, Browser]
    own: dict[str, object]
    foreign: dict[str, object]
    handed: dict[str, object]

    def go(self, who: str, walk: Walk, values: dict[str, object], **form: object) -> int:
        """Ask or send as somebody; the status."""
        address = walk.address(OTHERS | values)
        browser = self.browsers[who]
        return (browser.get(address) if walk.method == "GET" else browser.send(address, **form)).status_code


@pytest.fixture(scope="module")
def house(_ready_practice, tmp_path_factory) -> Iterator[House]:
    folder, people = _ready_practice
    desk_dir = shutil.copytree(folder, tmp_path_factory.mktemp("walk") / "desk")
    app = routed_app()
    furnish_for_a_test(app, desk_dir)
    with app.state.house.transaction(True) as db:
        own, foreign, handed = (
            _records(db, client) for client in (people.client, people.other_client, people.handed_client)
        )
    with TestClient(app, base_url="http://localhost", raise_server_exceptions=False) as running:
        browsers = {}
        for name in (*TOKENS, "nobody"):
            http = TestClient(app, base_url="http://localhost", follow_redirects=False, raise_server_exceptions=False)
            http.portal = running.portal
            browsers[name] = Browser(http, app.state.house, TOKENS.get(name, ""))
        yield House(app, browsers, own, foreign, handed)


def _records(db, client) -> dict[str, object]:
    person = seed.client_person(db, client)
    seed.add_login(db, person=person, token=f"another phone of {client.id}")
    clearance_id = seed.add_clearance(db, client=client)
    return {
        "clearance_id": clearance_id,
        "scan_id": seed.add_scan(db, client=client, clearance_id=clearance_id),
        "client_id": client.id,
        "planned_session_id": seed.add_planned(db, client=client),
        "log_id": seed.add_log(db, client=client),
        "hold_id": seed.add_hold(db, client=client),
        "incident_id": seed.add_incident(db, client=client),
        "note_id": seed.add_note(db, client=client),
        "handled_id": seed.add_handled(db, client=client),
        "away_id": seed.add_told_away(db, client=client),
        "request_id": seed.add_data_request(db, client=client),
        "measured_id": seed.add_measured(db, client=client),
        "login_id": accounts.logins_of(db, person_id=person.id, now=seed.NOW)[0].id,
    }


def test_the_walk_sees_the_whole_application(app):
    assert walks(app) == ALL
    assert len(ALL) >= FEWEST_ROUTES


def test_a_new_route_is_seen_with_all_it_lets_through():
    app = bare_app()

    @app.get("/clients/{client_id}/secret/{secret_id}")
    def secret(client_id: int, secret_id: int, desk: CoachDesk) -> None: ...

    @app.post("/left-open")
    def left_open(desk: PublicDesk) -> None: ...

    new = {str(walk): walk for walk in set(walks(app)) - set(ALL)}
    assert new["GET /clients/{client_id}/secret/{secret_id}"].audience == "coach"
    assert set(new["GET /clients/{client_id}/secret/{secret_id}"].parameters) - RECORDS - set(OTHERS) == {"secret_id"}
    assert new["POST /left-open"].audience == "public"


def test_only_known_routes_are_open_to_everybody():
    assert {walk.path for walk in ALL if walk.audience == "public"} == PUBLIC


@pytest.mark.parametrize("walk", ALL, ids=str)
def test_every_name_in_an_address_has_a_value_here(walk):
    unknown = set(walk.parameters) - RECORDS - set(OTHERS)

    assert not unknown, f"{walk}: say in RECORDS or OTHERS what {unknown} is"


@pytest.mark.parametrize("walk", SIGNED_IN, ids=str)
def test_addresses_below_me_are_the_clients_and_no_others(walk):
    assert (walk.audience == "client") == walk.path.startswith("/me/")


@pytest.mark.parametrize("walk", ABOUT_RECORDS, ids=str)
def test_there_are_two_peoples_records_to_walk_with(walk, house):
    names = RECORDS & set(walk.parameters)

    assert all(house.own[name] != house.foreign[name] for name in names)


@pytest.mark.parametrize("walk", SIGNED_IN, ids=str)
def test_nobody_is_led_to_the_sign_in_page(walk, house):
    address = walk.address(OTHERS | house.own)
    nobody = house.browsers["nobody"]

    page = nobody.get(address) if walk.method == "GET" else nobody.send(address)

    assert page.status_code == 303
    assert page.headers["location"].partition("?")[0] == "/sign-in"


@pytest.mark.parametrize("walk", COACHES, ids=str)
def test_a_client_finds_no_page_of_the_coaches(walk, house):
    assert house.go("client_phone", walk, house.own) == 404


@pytest.mark.parametrize("who", ["head", "coach", "stand_in"])
@pytest.mark.parametrize("walk", PHONES, ids=str)
def test_a_coach_finds_no_page_of_the_phone(walk, who, house):
    assert house.go(who, walk, house.own) == 404


@pytest.mark.parametrize("who", ["coach", "stand_in"])
@pytest.mark.parametrize("walk", HEADS, ids=str)
def test_what_is_the_head_coachs_is_refused_to_others(walk, who, house):
    assert house.go(who, walk, house.own) == 403


@pytest.mark.parametrize("walk", COACHES_RECORDS, ids=str)
def test_a_stranger_coach_finds_no_record(walk, house):
    assert house.go("coach", walk, house.foreign) == 404


@pytest.mark.parametrize("walk", COACHES_RECORDS, ids=str)
def test_a_stand_in_finds_no_record_that_was_not_handed_over(walk, house):
    assert house.go("stand_in", walk, house.foreign) == 404


@pytest.mark.parametrize("walk", INNER_RECORDS, ids=str)
def test_a_foreign_record_is_not_reached_through_an_own_client(walk, house):
    mixed = house.foreign | {"client_id": house.own["client_id"]}

    assert house.go("coach", walk, mixed) == 404


def test_what_a_stand_in_may_send_is_still_there():
    assert {walk.path for walk in CHANGING} >= STAND_IN_MAY


@pytest.mark.parametrize("walk", DECIDING, ids=str)
def test_a_stand_in_decides_nothing_about_a_client_who_was_handed_over(walk, house):
    assert house.go("stand_in", walk, house.handed, **FILLED_IN) == 403


@pytest.mark.parametrize("walk", PHONES_RECORDS, ids=str)
def test_a_client_finds_no_record_of_another(walk, house):
    assert house.go("client_phone", walk, house.foreign) == 404


@pytest.mark.parametrize("number", [999_999_999, -1, 10**30, "x"], ids=str)
@pytest.mark.parametrize("walk", COACHES_RECORDS, ids=str)
def test_a_record_that_never_was_is_not_found(walk, number, house):
    nowhere = dict.fromkeys(RECORDS, number)

    assert house.go("head", walk, nowhere) == 404


@pytest.mark.parametrize("walk", CHANGING, ids=str)
def test_a_form_without_its_token_is_refused(walk, house):
    who = "client_phone" if walk.audience == "client" else "head"

    assert house.go(who, walk, house.own, csrf_token=None) == 403


@pytest.mark.parametrize("walk", CHANGING, ids=str)
def test_a_form_with_anothers_token_is_refused(walk, house):
    who = "client_phone" if walk.audience == "client" else "head"

    assert house.go(who, walk, house.own, csrf_token="0" * 64) == 403


@pytest.mark.parametrize("headers", [{"Origin": "https://elsewhere.example"}, {"Origin": ""}], ids=str)
@pytest.mark.parametrize("walk", CHANGING, ids=str)
def test_a_form_from_another_site_is_refused(walk, headers, house):
    who = "client_phone" if walk.audience == "client" else "head"

    page = house.browsers[who].send(walk.address(OTHERS | house.own), headers=headers)

    assert page.status_code == 403


@pytest.mark.parametrize("walk", ALL, ids=str)
def test_a_wrong_method_is_refused(walk, house):
    address = walk.address(OTHERS | house.own)

    page = house.browsers["head"].http.request("DELETE", address, headers={"Origin": "http://localhost"})

    assert page.status_code == 405
