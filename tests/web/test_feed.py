"""The morning as an Atom feed: a secret address, revocable, with no name and no reason in it."""

from __future__ import annotations

import re
from html import unescape
from xml.etree import ElementTree

from app.coaching.readiness import Illness
from tests import seed

ATOM = "{http://www.w3.org/2005/Atom}"


def _address(coach) -> str:
    page = coach.send("/practice/feed")
    assert page.status_code == 200
    return re.search(r"/feeds/[\w-]+", unescape(page.text))[0]


def test_it_says_how_many_lines_wait_and_nothing_about_anybody(coach, nobody, app, people):
    with app.state.house.transaction(True) as db:
        seed.make_calm(db, client=people.client)
        seed.add_readiness(db, client=people.client, illness=Illness.FEVER_OR_BELOW)

    answer = nobody.get(_address(coach))

    assert answer.headers["content-type"].startswith("application/atom+xml")
    feed = ElementTree.fromstring(answer.text)
    assert feed.find(f"{ATOM}entry/{ATOM}title").text.startswith("1 line before anyone trains")
    assert people.client.name.split()[0] not in answer.text
    assert "fever" not in answer.text.lower()


def test_a_revoked_or_replaced_address_leads_nowhere(coach, nobody, people):
    first = _address(coach)
    second = _address(coach)

    assert nobody.get(first).status_code == 404
    assert nobody.get(second).status_code == 200
    coach.send("/practice/feed/revoke")
    assert nobody.get(second).status_code == 404


def test_a_guessed_address_leads_nowhere(nobody, people):
    assert nobody.get("/feeds/guessed").status_code == 404
