"""Every "Why?" of the demo's pages: what was reckoned leads to its card, all else says where it is from."""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.coaching.access import Role
from app.coaching.catalogue import functions
from app.coaching.reasons import Provenance
from app.demo import CAST, build
from app.main import routed_app
from app.storage import accounts
from app.web.deps import LOGIN_COOKIE
from tests.conftest import furnish_for_a_test
from tests.seed import TODAY, add_login
from tests.web.walk import bare_app, walks

TOKEN = "token-of-the-demos-head"
#: Addresses whose names have a value here; the rest is for one session, entry, hold or person and shows no Why.
NAMES = {"client_id", "month"}
WHY = re.compile(r'<details class="why"[^>]*>(?P<inside>.*?)</details>', re.DOTALL)
ORIGIN = re.compile(r'<p class="provenance">(?P<text>.*?)</p>', re.DOTALL)
LINK = re.compile(r'href="(?P<address>/workings\?formula=[a-z0-9_]+#[^"]*)"')
WORDS = {one: f"{one.value[:1].upper()}{one.value[1:]}." for one in Provenance}
PUBLISHED = (Provenance.PUBLISHED_READ, Provenance.PUBLISHED_SECOND_HAND)
#: A list that opens too, says where it is from, and is no Why.
FOREIGN = "<summary>Published limits differ</summary>"
#: What says itself that nothing was published.
UNPUBLISHED = (Provenance.COMMON_PRACTICE, Provenance.HOUSE, Provenance.FROM_MEMORY)


@dataclass(frozen=True)
class Shown:
    """One Why as it stands on a page."""

    page: str
    inside: str

    @property
    def provenance(self) -> Provenance:
        """The words it says of itself."""
        return next(one for one, words in WORDS.items() if self.origin.startswith(words))

    @property
    def origin(self) -> str:
        """The line that says where it is from."""
        return next(iter(ORIGIN.findall(self.inside)))

    @property
    def source(self) -> str:
        """What stands behind the words."""
        return self.origin.removeprefix(WORDS[self.provenance]).strip(" .")

    @property
    def links(self) -> list[str]:
        """The addresses of its cards."""
        return [unescape(address) for address in LINK.findall(self.inside)]


@pytest.fixture(scope="module")
def pages(tmp_path_factory) -> dict[str, str]:
    """Every kind of page of every sixth client of the demo, those with a Why of every second, and the cards."""
    folder = tmp_path_factory.mktemp("whys") / "desk"
    build(folder, TODAY)
    app = routed_app()
    furnish_for_a_test(app, folder)
    with TestClient(app, base_url="http://localhost", follow_redirects=False) as http:
        with app.state.house.transaction(True) as db:
            head = next(one for one in accounts.coaches(db) if one.role is Role.HEAD_COACH)
            add_login(db, person=head, token=TOKEN)
        http.cookies.set(LOGIN_COOKIE, TOKEN, domain="localhost.local", path="/")
        known = range(1, len(CAST) + 1)
        looked = {walk: _asked(http, walk, known[::6]) for walk in _walks()}
        speaking = [walk for walk, texts in looked.items() if any(map(_whys, texts.values()))]
        found = dict(one for walk in _walks() for one in looked[walk].items())
        found |= dict(one for walk in speaking for one in _asked(http, walk, known[::2]).items())
        return found | {address: http.get(address).text for address in _linked(found.values())}


@pytest.fixture(scope="module")
def shown(pages) -> list[Shown]:
    """Every Why on them."""
    return [Shown(address, inside) for address, text in pages.items() for inside in _whys(text)]


def _walks():
    wanted = [one for one in walks(bare_app()) if one.method == "GET" and one.audience in ("coach", "head")]
    return [one for one in wanted if set(one.parameters) <= NAMES]


def _asked(http, walk, client_ids):
    """The texts of one kind of page by address."""
    addresses = {walk.address({"client_id": client_id, "month": "2026-11"}) for client_id in client_ids}
    return {address: http.get(address).text for address in sorted(addresses)}


def _whys(text):
    """What opens in a page and says where it is from; other things open too."""
    return [inside for inside in WHY.findall(text) if ORIGIN.search(inside) and FOREIGN not in inside]


def _linked(texts):
    """The addresses of the cards that any page leads to, as a browser asks for them."""
    return {unescape(address).partition("#")[0] for text in texts for address in LINK.findall(text)}


def test_there_are_whys_of_every_kind(shown):
    assert len(shown) > 200
    assert {one.provenance for one in shown} >= {*PUBLISHED, Provenance.COMMON_PRACTICE, Provenance.HOUSE}


def test_every_why_names_a_card_a_source_or_that_nothing_was_published(shown):
    silent = {
        (one.page, one.origin)
        for one in shown
        if not one.links and not one.source and one.provenance not in UNPUBLISHED
    }

    assert silent == set()


def test_every_link_leads_to_a_card_that_exists(shown):
    linked = {link for one in shown for link in one.links}

    assert linked
    assert {link for link in linked if link not in {f"/workings?formula={n}#{n}" for n in functions()}} == set()


def test_every_card_that_is_led_to_opens_ready_to_be_tried(shown, pages):
    names = {link.partition("#")[2] for one in shown for link in one.links}

    closed = {name for name in names if f'action="/workings#{name}"' not in pages[f"/workings?formula={name}"]}

    assert closed == set()


def test_whatever_the_screening_table_decided_leads_to_its_card(shown):
    of_table = [one for one in shown if re.search(r"row of the table|row \d+ of the table", one.inside)]

    assert of_table
    assert [one.page for one in of_table if "/workings?formula=screening_decision" not in " ".join(one.links)] == []


def test_a_vo2max_leads_to_its_equation(shown):
    of_tests = [one for one in shown if one.page.endswith("/tests") and "VO2max" in one.inside]

    assert of_tests
    assert [one.page for one in of_tests if not one.links] == []
