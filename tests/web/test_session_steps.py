"""One session's steps for the coach: a table, text to paste, a file; no text for what is not to be done."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.effort import Band
from app.coaching.holds import HoldKind, Stops
from app.coaching.screening import YesNo
from app.coaching.session_target import TargetForm, target_from_json, target_to_json
from app.coaching.steps import Part, Repeat, Step, from_json, to_json, total_seconds
from tests import seed
from tests.coaching.test_session_target import POWER
from tests.factories import interval_steps
from tests.plan_scenes import words_of


@pytest.fixture
def address(app, people) -> str:
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        planned_id = seed.add_planned_hard(db, client=people.client, target_json=target_to_json(POWER))
        return f"/plan/sessions/{planned_id}"


def test_the_file_read_again_is_the_session(coach, address):
    answer = coach.get(f"{address}/steps.json")

    assert answer.headers["content-type"] == "application/json"
    assert "attachment" in answer.headers["content-disposition"]
    assert from_json(json.dumps(answer.json()["steps"])) == interval_steps()
    assert target_from_json(json.dumps(answer.json()["target"])) == POWER


def test_the_table_and_both_texts_stand_on_the_page(coach, address):
    shown = words_of(coach.get(f"{address}/steps"))
    minutes = total_seconds(interval_steps()) // 60

    assert f"{minutes}:00 from the first step to the last, 4 rounds." in shown
    assert "As a message Rounds, 57 min" in shown
    assert "round 4 of 4, hard, 4 min: Hold 260 W." in shown
    assert shown.count("Hold 260 W in each round") == 3
    assert f'href="{address}/steps"' in coach.get(address).text


def test_on_a_hot_day_text_file_and_paper_go_by_effort_alone(coach, people, address):
    coach.send("/heat", temperature_c="31", humidity_percent="", wbgt_c="")
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, phase="interval_one", since_on=seed.TODAY - timedelta(days=20))

    page = words_of(coach.get(f"{address}/steps"))
    paper = words_of(coach.get(f"/clients/{people.client.id}/plan/print"))
    sheet = words_of(coach.get(f"/plan/group-sheet/print?day={seed.TODAY}&k{people.client.id}=yes"))

    message = page[page.index("As a message") :]
    assert "Heat. Hot today. Hard work goes indoors, early in the day, or becomes easy; by effort only." in message
    assert "260 W" not in message
    assert coach.get(f"{address}/steps.json").json()["target"] is None
    assert "Heat. Hot today." in paper
    assert "Hot today: by effort only" in sheet
    assert "260 W" not in paper + sheet


def test_no_text_is_offered_for_what_is_paused(coach, people, address):
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

    shown = words_of(coach.get(f"{address}/steps"))

    assert "Not to be done as it stands." in shown
    assert "As a message" not in shown
    assert "260 W" not in shown
    assert f"{address}/steps.json" not in coach.get(f"{address}/steps").text
    refused = coach.get(f"{address}/steps.json")
    assert refused.status_code == 422
    assert "No file of what is stopped" in refused.text


def test_the_session_page_says_what_stops_it_before_its_steps(coach, people, address):
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

    page = coach.get(address)
    shown = words_of(page)

    assert "Not to be done as it stands. The hard part is paused" in shown
    assert shown.index("Not to be done as it stands.") < shown.index("The steps as they were planned")
    assert "260 W" not in shown


def test_a_target_by_heart_rate_vanishes_from_every_way_once_it_is_not_reliable(coach, people, address):
    by_rate = replace(POWER, form=TargetForm.HEART_RATE, value=None, low=136.0, high=147.0)
    with coach.db(write=True) as db:
        planned_id = seed.add_planned_hard(
            db, client=people.client, planned_on=seed.TODAY, target_json=target_to_json(by_rate)
        )
    ways = (f"/plan/sessions/{planned_id}/steps", f"/plan/sessions/{planned_id}/steps.json")
    assert ["136" in coach.get(one).text for one in ways] == [True, True]

    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, heart_rate_medicine=YesNo.YES)

    assert ["136" in coach.get(one).text for one in ways] == [False, False]


def test_steps_that_cannot_be_read_are_said_to_be_so(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, steps_json='[{"part":"main"}]')

    assert "cannot be read" in words_of(coach.get(f"/plan/sessions/{session_id}/steps"))


def test_steps_that_cannot_be_read_give_no_file(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, steps_json="[7]")

    assert coach.get(f"/plan/sessions/{session_id}/steps.json").status_code == 422


def test_sets_within_sets_reach_phone_clock_paper_and_desk_whole(coach, client_phone, people):
    deep = (
        Repeat(2, (Repeat(3, (_step(30, "Alder"), _step(20, "Birch"))), _step(45, "Cedar"), _step(90, "Dogwood"))),
    )
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client)
        session_id = seed.add_planned(db, client=people.client, minutes=11, steps_json=to_json(deep))

    whole = {
        "phone": words_of(client_phone.get("/me/today")),
        "paper": words_of(coach.get(f"/clients/{people.client.id}/plan/print?week={seed.TODAY}")),
        "desk": words_of(coach.get(f"/plan/sessions/{session_id}/steps")),
        "entry": words_of(coach.get(f"/plan/sessions/{session_id}")),
    }
    clock = client_phone.get("/me/timer").text

    words = ("Alder", "Birch", "Cedar", "Dogwood", "2 times", "3 times")
    assert [(place, one) for place, text in whole.items() for one in words if one not in text] == []
    assert [clock.count(f"<span data-words>{one}</span>") for one in words[:4]] == [6, 6, 2, 2]


def _step(seconds: int, say: str) -> Step:
    return Step(Part.MAIN, seconds, Band.EASY, say)
