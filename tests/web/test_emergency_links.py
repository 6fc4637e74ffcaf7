"""Wherever a red box says when to call, the number is something to tap."""

from __future__ import annotations

import re

import pytest

from app.coaching.holds import HoldKind, Stops
from app.storage import practice
from tests import seed

BOX = re.compile(r'<div class="[^"]*\bstop\b[^"]*".*?</div>', re.DOTALL)
CALL = '<a class="call-now" href="tel:112">Call 112</a>'


@pytest.fixture(autouse=True)
def number(app):
    with app.state.house.transaction(True) as db:
        practice.change(db, name="Birchway", zone=seed.ZONE, emergency_number="112", public_url=None)


def boxes_with(page: str, words: str) -> list[str]:
    """The red boxes of a page, the sheet left out, that say some words."""
    return [one for one in BOX.findall(page.split("<dialog", maxsplit=1)[0]) if words in one]


@pytest.mark.parametrize("question", ["chest", "breath", "dizzy", "flat", "heartbeat"])
def test_the_intakes_box_can_be_tapped(client_phone, question):
    [box] = boxes_with(client_phone.get(f"/me/intake/{question}").text, "If you have it now")

    assert CALL in box


def test_the_look_overs_box_can_be_tapped(client_phone):
    client_phone.send("/me/intake/chest", reply="yes")
    [box] = boxes_with(client_phone.get("/me/intake-look-over").text, "before you train")

    assert CALL in box


def test_the_paused_box_of_today_can_be_tapped_where_a_sign_was_named(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.SYMPTOM, stops=Stops.ALL)

    [box] = boxes_with(client_phone.get("/me/today").text, "No training for now.")

    assert CALL in box


def test_the_blood_pressure_screen_links_the_number(client_phone):
    page = client_phone.get("/me/intake/blood_pressure").text.split("<dialog")[0]

    assert 'unwell: call <a class="call" href="tel:112">112</a> now.' in page
