"""The group sheet entered afterwards: rounds per person, done, stopped and not begun."""

from __future__ import annotations

import pytest

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.session_logs import Posture
from app.coaching.steps import Part, Repeat, Step, to_json
from app.storage import session_logs
from tests import seed
from tests.plan_scenes import words_of

DAY = {"day": seed.TODAY.isoformat(), "origin": "from_paper"}
STEPS = to_json(
    (
        Repeat(3, (Step(Part.WORK, 240, Band.HARD, "On."), Step(Part.RECOVERY, 240, Band.EASY, "Off."))),
        Step(Part.WORK, 240, Band.HARD, "The last."),
    )
)


@pytest.fixture
def at(coach, people):
    """What the fields of a client with four planned rounds begin with."""
    with coach.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, mode=Mode.WALK, rounds=4, steps_json=STEPS)
    return f"c{people.client.id}_"


def _logs(browser, people):
    with browser.db() as db:
        return session_logs.between(db, client_ids=[people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)


def test_each_round_is_kept_as_it_stood_on_the_sheet(coach, people, at):
    rounds = {f"{at}round_1": "6", f"{at}round_2": "done", f"{at}round_3": "2:30", f"{at}round_4": ""}

    answer = coach.send(
        "/entry/group", **DAY, **{f"{at}answer": "partly", f"{at}minutes": "40", f"{at}posture": "stood"}, **rounds
    )

    [log] = _logs(coach, people)
    assert log.first_30_hurt is None
    assert answer.status_code == 303
    assert [(one.number, one.duration_s, one.is_complete, one.effort) for one in log.rounds] == [
        (1, 240, True, 6.0),
        (2, 240, True, None),
        (3, 150, False, None),
    ]
    assert log.posture is Posture.STOOD


def test_a_session_without_rounds_has_no_fields_for_them(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client)

    page = coach.get(f"/entry/group?day={seed.TODAY}")

    assert "round_1" not in page.text


@pytest.mark.parametrize(
    ("typed", "says"),
    [("11", "between 0 and 10"), ("x", "Write a number"), ("9:00", "between 5 and 240 seconds"), ("2:75", "5:12")],
)
def test_a_round_that_is_not_understood_is_said_beside_it_and_kept_as_typed(coach, people, at, typed, says):
    sent = {f"{at}answer": "partly", f"{at}minutes": "40", f"{at}round_2": typed}

    answer = coach.send("/entry/group", **DAY, **sent)

    assert answer.status_code == 422
    assert says in words_of(answer)
    assert f'value="{typed}"' in answer.text
    assert _logs(coach, people) == []


@pytest.mark.parametrize("chosen", ["not_done", "easy_version"])
def test_rounds_do_not_go_with_an_answer_that_has_none(coach, people, at, chosen):
    sent = {f"{at}answer": chosen, f"{at}minutes": "30", f"{at}round_1": "6"}

    answer = coach.send("/entry/group", **DAY, **sent)

    assert answer.status_code == 422
    assert "No rounds belong to this answer" in words_of(answer)


def test_rounds_alone_ask_for_the_answer(coach, people, at):
    answer = coach.send("/entry/group", **DAY, **{f"{at}round_1": "6"})

    assert answer.status_code == 422
    assert _logs(coach, people) == []


def test_whether_the_first_half_minute_hurt_is_asked_of_a_group_and_told_on_the_session(coach, people, at):
    asked = coach.get(f"/entry/group?day={seed.TODAY}").text
    said = {f"{at}answer": "as_planned", f"{at}effort": "8", f"{at}first_30_hurt": "yes"}

    answer = coach.send("/entry/group", **DAY, **said, **{f"{at}round_{n}": "8" for n in range(1, 5)})

    [log] = _logs(coach, people)
    page = words_of(coach.get(f"/clients/{people.client.id}/sessions/{log.id}"))
    assert "First 30 s hardly hurt" in asked
    assert answer.status_code == 303
    assert log.first_30_hurt is True
    assert "First half minute of a round hurt" in page
