"""One session's steps for the coach: a table, text to paste, a file; no text for what is not to be done."""

from __future__ import annotations

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.steps import from_json, total_seconds
from tests import seed
from tests.factories import interval_steps
from tests.plan_scenes import words_of


@pytest.fixture
def address(app, people) -> str:
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        return f"/plan/sessions/{seed.add_planned_hard(db, client=people.client)}"


def test_the_file_read_again_is_the_session(coach, address):
    answer = coach.get(f"{address}/steps.json")

    assert answer.headers["content-type"] == "application/json"
    assert "attachment" in answer.headers["content-disposition"]
    assert from_json(answer.text) == interval_steps()


def test_the_table_and_both_texts_stand_on_the_page(coach, address):
    shown = words_of(coach.get(f"{address}/steps"))
    minutes = total_seconds(interval_steps()) // 60

    assert f"{minutes}:00 from the first step to the last, 4 rounds." in shown
    assert "As a message Rounds, 57 min" in shown
    assert "round 4 of 4, hard, 4 min" in shown
    assert f'href="{address}/steps"' in coach.get(address).text


def test_no_text_is_offered_for_what_is_paused(coach, people, address):
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

    shown = words_of(coach.get(f"{address}/steps"))

    assert "Not to be done as it stands." in shown
    assert "As a message" not in shown


def test_steps_that_cannot_be_read_are_said_to_be_so(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, steps_json='[{"part":"main"}]')

    assert "cannot be read" in words_of(coach.get(f"/plan/sessions/{session_id}/steps"))


def test_steps_that_cannot_be_read_give_no_file(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, steps_json="[7]")

    assert coach.get(f"/plan/sessions/{session_id}/steps.json").status_code == 422
