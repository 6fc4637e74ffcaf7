"""A note to a client who is stopped: the pause stands beside the box it is written in, and beside it on the phone."""

from __future__ import annotations

from html import unescape

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Visibility
from tests import seed

WARM = "Good to hear you are better. Have a fine week."
STILL = "Hard work is still paused, whatever this note says."
PAUSED = "Hard work is paused: a medicine changed (A new tablet)."


@pytest.fixture
def paused(app, people):
    """A changed tablet pauses the client's hard work; the questions are answered."""
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="A new tablet")


def test_each_box_for_a_note_to_somebody_paused_says_so(coach, people, paused):
    own = unescape(coach.get(f"/clients/{people.client.id}/note").text)
    in_line = unescape(coach.get(f"/morning/{people.client.id}/note").text)
    morning = unescape(coach.get("/morning").text)

    for box in (own, in_line):
        assert f"<strong>{people.client.name} is paused.</strong> {PAUSED}" in box
        assert "A note lifts nothing" in box
    assert f"{people.client.name}, paused: hard work</option>" in morning


def test_a_line_kept_in_the_morning_answers_with_the_pause_and_the_phone_shows_it_beside_the_note(
    coach, client_phone, people, paused
):
    kept = coach.send("/morning/note", client_id=str(people.client.id), text=WARM, visibility=Visibility.CLIENT.value)
    today, way = client_phone.get("/me/today").text, client_phone.get("/me/my-way").text

    assert "Paused all the same, and said beside it: hard work." in coach.get(kept.headers["location"]).text
    for page in (today, way):
        assert page.index(WARM) < page.index(STILL)


def test_nothing_stands_beside_a_note_while_nothing_is_paused(coach, client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)
        seed.add_note(db, client=people.client, visibility=Visibility.CLIENT, text=WARM)

    assert "is paused.</strong>" not in coach.get(f"/clients/{people.client.id}/note").text
    assert WARM in client_phone.get("/me/today").text
    assert "whatever this note says" not in client_phone.get("/me/today").text
