"""An outing written down while all training is paused is answered with the stop's own words."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from tests import seed
from tests.web.test_today_easy_first import main_of

HARD = {"kind": "intervals", "mode": "run", "minutes": "40", "effort": "8"}
EASY = {"kind": "easy", "mode": "walk", "minutes": "30", "effort": "2"}


def kept_page(client_phone, **entry) -> str:
    kept = client_phone.send("/me/done", done_on=seed.TODAY.isoformat(), **entry)
    assert kept.status_code == 303
    return main_of(client_phone.get(kept.headers["location"]))


def add_hold(app, people, kind, **changes):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)
        began_on = seed.TODAY - timedelta(days=1)
        seed.add_hold(db, client=people.client, kind=kind, stops=Stops.ALL, began_on=began_on, **changes)


@pytest.mark.parametrize("entry", [HARD, EASY])
def test_after_chest_pain_it_says_no_training_at_all_and_whom_to_call(client_phone, app, people, entry):
    add_hold(app, people, HoldKind.SYMPTOM, cause="Chest pain")

    page = kept_page(client_phone, **entry)

    assert "All your training is paused, not cancelled. No easy outings either." in page
    assert "Do no training at all until that is settled" in page
    assert "a doctor has seen you and says in writing" in page
    assert "sit down and call" in page
    assert "nothing hard until" not in page


def test_with_fever_it_says_the_same_without_a_call_for_a_sign(client_phone, app, people):
    add_hold(app, people, HoldKind.ILLNESS, cause="Fever")

    page = kept_page(client_phone, **HARD)

    assert "No easy outings either." in page
    assert "In an emergency call" in page
    assert "sit down and call" not in page


def test_an_easy_outing_before_the_first_questions_is_not_held_against_anybody(client_phone):
    assert "No easy outings either." not in kept_page(client_phone, **EASY)
    assert "No easy outings either." in kept_page(client_phone, **HARD)
