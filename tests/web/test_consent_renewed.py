"""A text that changed after somebody agreed to it: hard work waits for the new one, easy work and the phase go on."""

from __future__ import annotations

import pytest
from sqlalchemy import update

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.screening import ConsentKind
from app.storage.tables.safety import ConsentRow
from tests import seed
from tests.browser import stage

WAITS = "has changed since it was agreed to. Hard work waits until the new one is read and agreed to"
GROUP = "One client agreed to a text about hard work that has changed since."


@pytest.fixture
def agreed_to_an_earlier_text(app, people):
    """Four hard rounds stand today, an easy walk tomorrow; both texts were another version when agreed to."""
    with app.state.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, people)
        db.execute(update(ConsentRow).values(text_version="2025-9"))


def test_hard_work_waits_and_phone_and_coach_are_told_so(client_phone, coach, people, agreed_to_an_earlier_text):
    today, morning = client_phone.get("/me/today").text, coach.get("/morning").text

    assert WAITS in today
    assert '<ol class="steps">' not in today
    assert "30 min easy instead." in today
    assert GROUP in morning
    assert f'<a href="/clients/{people.client.id}/safety">{people.client.name}</a>' in morning
    assert "To be agreed again: “" not in morning
    assert WAITS in coach.get(f"/clients/{people.client.id}").text


def test_agreed_to_anew_it_goes_on(client_phone, coach, agreed_to_an_earlier_text):
    for kind in (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS):
        client_phone.send("/me/my-way/consents", kind=kind.value, text_version=CONSENT_TEXTS[kind].version)

    assert '<ol class="steps">' in client_phone.get("/me/today").text
    assert GROUP not in coach.get("/morning").text


def test_easy_work_is_not_touched(client_phone, app, people, agreed_to_an_earlier_text):
    with app.state.house.transaction(True) as db:
        seed.add_planned(db, client=people.client, title="Round the pond")

    today = client_phone.get("/me/today").text
    assert "Round the pond" in today
    assert "No training for now." not in today
