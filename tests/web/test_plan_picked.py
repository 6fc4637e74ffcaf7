"""A session is picked up on the plan and put on another day without a script; stale moves tell what changed."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import form_of, words_of
from tests.web.test_plan import _at

ON, TO = seed.TODAY + timedelta(days=5), seed.TODAY + timedelta(days=7)


@pytest.fixture
def draft(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        return seed.add_planned(db, client=people.client, planned_on=ON, publish=False)


def _pick(coach, people, word: str, session_id: int):
    return coach.get(_at(people, f"?{word}={session_id}"))


def _days(coach, people) -> list[str]:
    with coach.db() as db:
        return [one.planned_on.isoformat() for one in scene.planned_of(db, people.client)]


def test_a_picked_up_session_names_itself_and_each_day_has_a_button(coach, people, draft):
    page = _pick(coach, people, "moving", draft)

    assert "Moving Easy walk, Mon 30 Nov." in words_of(page)
    assert f'form="put" name="to_on" value="{TO.isoformat()}"' in page.text
    assert f'name="to_on" value="{ON.isoformat()}"' not in page.text
    assert f'name="to_on" value="{(seed.TODAY - timedelta(days=1)).isoformat()}"' not in page.text


def test_it_is_put_down_by_the_form_and_the_plan_is_shown_again(coach, people, draft):
    action = f"/plan/sessions/{draft}/move"
    form = form_of(_pick(coach, people, "moving", draft), action)

    answer = coach.send(action, **form, to_on=TO.isoformat())

    assert answer.headers["location"] == _at(people, "?week=2026-11-30")
    assert _days(coach, people) == [TO.isoformat()]


def test_a_copy_is_put_down_beside(coach, people, draft):
    action = f"/plan/sessions/{draft}/copy"
    form = form_of(_pick(coach, people, "copying", draft), action)

    coach.send(action, **form, to_on=TO.isoformat())

    assert _days(coach, people) == [ON.isoformat(), TO.isoformat()]


def test_what_the_client_has_is_moved_with_a_reason(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=ON)
    action = f"/plan/sessions/{session_id}/move"
    form = form_of(_pick(coach, people, "moving", session_id), action)

    bare = coach.send(action, **form, to_on=TO.isoformat())
    told = coach.send(action, **(form | {"reason": "The park is closed."}), to_on=TO.isoformat())

    assert (bare.status_code, told.status_code) == (422, 303)
    assert TO.isoformat() in bare.text
    assert _days(coach, people) == [TO.isoformat()]


@pytest.mark.parametrize("query", ["?moving=999999", "?moving=heaven", "?copying="])
def test_what_is_not_there_is_not_picked_up(coach, people, draft, query):
    assert "Each day it may go to" not in words_of(coach.get(_at(people, query)))


def test_moving_what_was_changed_meanwhile_shows_both_and_moves_nothing(coach, people, draft):
    form = form_of(_pick(coach, people, "moving", draft), f"/plan/sessions/{draft}/move")
    with coach.db(write=True) as db:
        scene.add_draft(db, draft, title="Walk with the club", planned_on=ON + timedelta(days=1))

    answer = coach.send(f"/plan/sessions/{draft}/move", **form, to_on=TO.isoformat())
    text = words_of(answer)

    assert answer.status_code == 409
    assert "Title Easy walk Walk with the club" in text
    assert f'value="{TO.isoformat()}"' in answer.text
    assert _days(coach, people) == [(ON + timedelta(days=1)).isoformat()]


def test_cancelling_what_was_changed_meanwhile_shows_both(coach, people, draft):
    with coach.db(write=True) as db:
        scene.add_draft(db, draft, title="Walk with the club")

    answer = coach.send(f"/plan/sessions/{draft}/cancel", version="1", reason="Rain.")

    assert answer.status_code == 409
    assert "Title Easy walk Walk with the club" in words_of(answer)


def test_easier_begins_the_form_with_an_easy_session_of_the_same_minutes(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=ON, publish=False)

    plan = coach.get(_at(people))
    page = coach.get(f"/plan/sessions/{session_id}?easier=yes")
    form = form_of(page, f"/plan/sessions/{session_id}")
    coach.send(f"/plan/sessions/{session_id}", **form)

    assert f"/plan/sessions/{session_id}?easier=yes#change" in plan.text
    with coach.db() as db:
        (kept,) = scene.planned_of(db, people.client)
    assert (kept.is_hard, kept.minutes, kept.title) == (False, 57, "Easy indoor ride")
