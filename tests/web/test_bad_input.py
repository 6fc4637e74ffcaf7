"""Hostile values in every field of every form of the application, walked from the router.

The forms are found by opening every page; the fields are read from them. A new route with a new form is walked
without anybody writing a test for it.
"""

from __future__ import annotations

import inspect
import os
import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from itertools import cycle, islice
from uuid import uuid4

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from app.coaching.phases import DecisionKind
from app.main import routed_app
from app.storage import accounts, conversations
from app.web.routes import ROUTERS
from app.web.security import csrf_token, token_sha256
from app.web.sent import LARGEST_FIELD
from tests import seed
from tests.conftest import Browser, furnish_for_a_test
from tests.pages import Form, FormField, Page
from tests.web.walk import Walk, bare_app, walks

SCRIPT = '"><script>alert(7)</script>'
#: By name, so that a failure says which.
HOSTILE = {
    "not a number": "NaN",
    "infinity": "inf",
    "minus infinity": "-Infinity",
    "beyond all numbers": "1e309",
    "an underscore": "1_000",
    "arabic-indic digits": "٤٥",
    "45 hours for 45 minutes": "45h",
    "45 hours as minutes": "2700",
    "a negative": "-1",
    "over 64 bits": "9223372036854775808",
    "thirty digits": "9" * 30,
    "five thousand digits": "9" * 5000,
    "tiny": "0." + "0" * 400 + "1",
    "far ahead": "2099-01-01",
    "long ago": "1890-01-01",
    "no leap day": "2025-02-29",
    "month thirteen": "2026-13-40",
    "the last day there is": "9999-12-31",
    "the first day there is": "0001-01-01",
    "garbage": "three weeks on Sunday",
    "five thousand letters": "long " * 1000,
    "control characters": "a\x00b\x07c\x1b[31m\x7f",
    "nothing but spaces": " \u00a0\u200b ",
    "emoji": "\U0001f9d7\U0001f3fd\u200d\u2640\ufe0f",
    "right to left": "abc\u202ecba",
    "combining marks": "e" + "\u0301" * 200,
    "a script": SCRIPT,
    "an attribute": "' onfocus='alert(7)' x='",
    "a template": "{{ 7 * 7 }}{% raw %}",
    "a formula": '=HYPERLINK("http://example.org";"x")',
    "a query": "'; DROP TABLE clients; --",
    "many lines": "one\ntwo\nthree",
}
WALKED = [walk for walk in walks(bare_app()) if walk.method == "POST"]
#: What an answer to nonsense may be.
FINE = {200, 204, 303, 400, 403, 404, 409, 413, 422, 429}
#: Shown again as typed; a choice shows only what it offers, and a password is never shown.
TYPED = {"text", "textarea", "date", "email", "tel", "number", "search", "time", "url"}
FILL = {"date": seed.TODAY.isoformat(), "textarea": "words", "email": "ann@example.org", "tel": "+44 7700 900123"}
EACH_BY_ITSELF = 1
AT_ONCE = ("five thousand digits", "the first day there is", "control characters", "a script", "not a number")
TAKES_ALL = os.environ.get("FOOTHILL_HOSTILE") == "all"
HIDDEN = ("csrf_token", "request_id")


@dataclass
class Rooms:
    """One application with something in every drawer, and every form found in it."""

    app: object
    running: TestClient
    own: dict[str, object]
    people: dict[str, object]
    forms: dict[str, Form] = field(default_factory=dict)

    def browser(self, audience: str) -> Browser:
        """A freshly signed-in browser: the walk signs people out, switches them off and changes passwords."""
        name = "client_phone" if audience == "client" else "head"
        token = f"{name} {uuid4().hex}"
        house = self.app.state.house
        if audience == "public":
            return self._http(house, "")
        with house.transaction(True) as db:
            person = self.people[name]
            accounts.set_active(db, person_id=person.id, is_active=True)
            seed.add_login(db, person=person, token=token)
        return self._http(house, token)

    def _http(self, house: object, token: str) -> Browser:
        http = TestClient(
            self.app, base_url="http://localhost", follow_redirects=False, raise_server_exceptions=False
        )
        http.portal = self.running.portal
        return Browser(http, house, token)

    def find_forms(self, token: str) -> None:
        """Open every page there is and keep the forms on it."""
        monday = seed.TODAY - timedelta(days=seed.TODAY.weekday())
        more = {
            "/clients/{client_id}/plan/publish": f"?week-{monday}=yes",
            "/clients/{client_id}/entry": f"?session={self.own['planned_session_id']}",
            "/plan/lay": f"?client={self.own['client_id']}&week={monday}",
            "/me/done": f"?session={self.own['planned_session_id']}",
        }
        of_many = f"?signal=contact_overdue&of={self.own['overdue_id']}"
        more |= {f"/together/{word}": of_many for word in ("handled", "put-off", "contact")}
        opened = [walk for walk in walks(self.app) if walk.method == "GET" and "csv" not in walk.path]
        for audience in ("client", "coach", "public"):
            browser = self.browser(audience)
            for walk in opened:
                if walk.path.startswith("/me/") is not (audience == "client"):
                    continue
                for values in self.drawers(walk):
                    address = walk.address(values | {"token": token}) + more.get(walk.path, "")
                    for form in read(browser.get(address), address).forms:
                        if form.method == "post":
                            self.keep(form)

    def drawers(self, walk: Walk) -> Iterator[dict[str, object]]:
        """What an address is filled with; also a hard session to come, and an entry with a recording."""
        yield self.own
        if walk.path.startswith("/plan/sessions/{planned_session_id}"):
            yield self.own | {"planned_session_id": self.own["later_session_id"]}
        if "log_id" in walk.parameters:
            yield self.own | {"log_id": self.own["recorded_log_id"]}

    def keep(self, form: Form) -> None:
        """Keep a form under its route; of several on one page all fields together."""
        for walk in WALKED:
            if re.fullmatch(re.sub(r"\{\w+(?::\w+)?\}", "[^/]+", walk.path), form.action.partition("?")[0]):
                known = self.forms.setdefault(walk.path, form)
                known.fields = {**form.fields, **known.fields}
                return


def read(answer: object, path: str) -> Page:
    return Page(path, answer.status_code, dict(answer.headers), answer.content)


@pytest.fixture(scope="module")
def rooms(_ready_practice, tmp_path_factory) -> Iterator[Rooms]:
    folder, people = _ready_practice
    desk_dir = shutil.copytree(folder, tmp_path_factory.mktemp("hostile") / "desk")
    app = routed_app()
    furnish_for_a_test(app, desk_dir)
    with app.state.house.transaction(True) as db:
        own = fill_drawers(db, people)
        phone = seed.client_person(db, people.client)
    with TestClient(app, base_url="http://localhost", raise_server_exceptions=False) as running:
        found = Rooms(app, running, own, {"head": people.head, "client_phone": phone})
        sent = found.browser("head").send(
            "/practice/import", files={"clients": ("people.csv", b"Name;Born\nAnn Example;1970-01-01\n", "text/csv")}
        )
        token = sent.headers["location"].rpartition("/")[2]
        own["token"] = token
        found.find_forms(token)
        yield found


def fill_drawers(db, people) -> dict[str, object]:
    client = people.client
    seed.add_base_weeks(db, client=client, count=2)
    seed.add_phase(db, client=client)
    seed.add_phase(db, client=client, kind=DecisionKind.BROUGHT_IN, attested_by="a diary", confirmed_at=None)
    seed.add_answers(db, client=client)
    seed.add_contact(db, client=client)
    person = seed.client_person(db, client)
    seed.add_login(db, person=person, token=f"another phone of {client.id}")
    conversations.add_feed(db, person_id=people.head.id, token_sha256=token_sha256("a feed"), at=seed.NOW)
    tomorrow = seed.TODAY + timedelta(days=1)
    clearance_id = seed.add_clearance(db, client=client)
    recorded_log_id = seed.add_log(db, client=client)
    seed.add_recording(db, client=client, log_id=recorded_log_id, levels=(240, 245))
    overdue = seed.add_calm_client(db, coach_id=client.coach_id, name="Odo Marsh", spoken_days_ago=20)
    return {
        "overdue_id": overdue.id,
        "recorded_log_id": recorded_log_id,
        "clearance_id": clearance_id,
        "scan_id": seed.add_scan(db, client=client, clearance_id=clearance_id),
        "incident_id": seed.add_incident(db, client=client),
        "client_id": client.id,
        "planned_session_id": seed.add_planned(db, client=client),
        "later_session_id": seed.add_planned_hard(db, client=client, publish=False, planned_on=tomorrow),
        "log_id": seed.add_log(db, client=client),
        "hold_id": seed.add_hold(db, client=client),
        "note_id": seed.add_note(db, client=client),
        "handled_id": seed.add_handled(db, client=client),
        "away_id": seed.add_told_away(db, client=client),
        "request_id": seed.add_data_request(db, client=client),
        "measured_id": seed.add_measured(db, client=client),
        "login_id": accounts.logins_of(db, person_id=person.id, now=seed.NOW)[0].id,
        "person_id": people.other_coach.id,
        "handover_id": 1,
        "template_id": seed.add_template(db, client=client),
        "hill_id": seed.add_hill(db, person_id=client.coach_id),
        "protocol_key": seed.add_own_protocol(db, client=client),
        "secret": "a feed",
        "setting": "base_weeks",
        "month": "2026-10",
        "question": "chest",
    }


def names_in_code(walk: Walk) -> list[str]:
    """The field names the module of a route asks for; for routes whose form stands on no page as it is now."""
    endpoint = next(
        route.endpoint
        for router in ROUTERS
        for route in router.routes
        if isinstance(route, APIRoute) and route.path == walk.path and walk.method in route.methods
    )
    source = inspect.getsource(inspect.getmodule(endpoint))
    found = re.findall(r'(?:fields|Fields\(desk\.form\))\.\w+\(\s*"(\w+)"|form\.get\("(\w+)"', source)
    return [one or other for one, other in found]


def form_for(rooms: Rooms, walk: Walk) -> Form:
    known = rooms.forms.get(walk.path)
    if known is not None:
        return known
    return Form(walk.path, "post", {name: FormField(name, "text") for name in names_in_code(walk)})


def first_values(form: Form) -> dict[str, str]:
    """The form filled in so that it could be taken: what it holds, else something of the field's kind."""
    values = {}
    for name, one in form.fields.items():
        if name in HIDDEN or one.kind == "file":
            continue
        choices = [option for option in one.options if option]
        if one.is_set and one.value:
            values[name] = one.value
        elif one.kind in ("select", "radio") and choices:
            values[name] = choices[0]
        elif one.kind != "checkbox":
            values[name] = FILL.get(one.kind, "5")
    return values


def cases(names: list[str], good: dict[str, str], *, start: int) -> Iterator[tuple[str, dict[str, str]]]:
    """All fields at once, then each by itself among good ones, which gets past the first look.

    Here with some of the hostile values by turns, so that the walk stays short; `make prove` takes all of them.
    """
    for what in HOSTILE if TAKES_ALL else AT_ONCE:
        yield what, dict.fromkeys(names, HOSTILE[what])
    turns = islice(cycle(HOSTILE), start, None)
    for name in names:
        for what in HOSTILE if TAKES_ALL else islice(turns, EACH_BY_ITSELF):
            yield f"{name}: {what}", good | {name: HOSTILE[what]}


@pytest.mark.parametrize("walk", WALKED, ids=str)
def test_no_field_of_any_form_breaks_the_desk(rooms, walk):
    form = form_for(rooms, walk)
    names = [name for name, one in form.fields.items() if name not in HIDDEN and one.kind != "file"]
    good = first_values(form)
    browser = rooms.browser(walk.audience)
    for what, sent in cases(names, good, start=WALKED.index(walk)):
        address = walk.address(rooms.own)
        answer = browser.send(address, **sent)
        if answer.status_code == 303 and "/sign-in" in answer.headers["location"]:
            browser = rooms.browser(walk.audience)
        check(read(answer, address), what, sent)


def check(page: Page, what: str, sent: dict[str, str]) -> None:
    """A refusal in words, nothing run, and what was typed still there."""
    where = f"{page.path}, {what}"
    assert page.status in FINE, f"{where}: {page.status}\n{page.words[:300]}"
    assert "<script>alert" not in page.text, where
    assert not page.runs_inline, where
    if page.status in (400, 403, 404, 409, 413, 422, 429):
        assert page.words or page.text, where
    if page.status == 422:
        kept_as_typed(page, where, sent)


def kept_as_typed(page: Page, where: str, sent: dict[str, str]) -> None:
    """Every typed field of the form that came back shows what was typed."""
    mine = [form for form in page.forms if form.action.partition("?")[0] == page.path]
    shown = [form for form in mine if set(form.fields) - set(HIDDEN) <= set(sent)] or mine
    if not shown:
        return
    for name, value in sent.items():
        fields = [form.fields[name] for form in shown if name in form.fields and form.fields[name].kind in TYPED]
        if fields:
            assert value in [one.value for one in fields], f"{where}: {name} lost what was typed"


def test_most_routes_are_walked_with_the_form_a_person_sees(rooms):
    """Guards the walk itself: fields come from pages, or at least from what the route's own module asks for."""
    seen = {walk.path for walk in WALKED} & set(rooms.forms)

    assert len(seen) > 0.7 * len(WALKED), sorted({walk.path for walk in WALKED} - seen)
    assert sum(len(form.fields) for form in rooms.forms.values()) > 250


@pytest.mark.parametrize("value", ["\ud800", "x" * (LARGEST_FIELD + 1), "a" * 100_000])
def test_a_note_beyond_all_measure_is_refused(rooms, value):
    browser = rooms.browser("coach")
    body = value.encode("utf-8", "surrogatepass")
    answer = browser.http.post(
        f"/clients/{rooms.own['client_id']}/note",
        content=b"visibility=private&text=" + b"".join(b"%%%02x" % one for one in body),
        headers={
            "Content-Type": "application/x-www-form-urlencoded",
            "Origin": "http://localhost",
            "X-CSRF-Token": csrf_token(browser.token),
        },
    )

    assert answer.status_code in (303, 400, 413, 422), answer.status_code
