"""An edit of a planned session that would be dropped without a word is said instead."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.words import short_day
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import form_of, words_of

ON = seed.TODAY + timedelta(days=5)


def _hard(coach, people) -> str:
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        return f"/plan/sessions/{seed.add_planned_hard(db, client=people.client, planned_on=ON)}"


def _edited(coach, address, **typed):
    return coach.send(address, **(form_of(coach.get(address), address) | typed))


def _count(coach, address) -> int:
    with coach.db() as db:
        return len(scene.versions(db, int(address.rsplit("/", 1)[1])))


def test_minutes_typed_for_rounds_are_said_to_follow_from_them(coach, people):
    address = _hard(coach, people)
    minutes = form_of(coach.get(address), address)["minutes"]

    answer = _edited(coach, address, minutes="50", reason="A shorter day.")

    assert answer.status_code == 422
    assert f"They follow from the rounds: {minutes} min." in words_of(answer)
    assert form_of(answer, address)["minutes"] == "50"
    assert _count(coach, address) == 1


def test_an_edit_of_nothing_makes_no_version(coach, people):
    address = _hard(coach, people)

    answer = _edited(coach, address, reason="Rain.")

    assert answer.status_code == 422
    assert "Nothing is different from how it stands" in words_of(answer)
    assert _count(coach, address) == 1


def test_a_stale_move_says_what_changed_in_days_people_read(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=ON)
    address = f"/plan/sessions/{session_id}"
    move = form_of(coach.get(address), f"{address}/move")
    coach.send(f"{address}/move", **(move | {"reason": "Rain.", "to_on": (ON + timedelta(days=1)).isoformat()}))

    answer = coach.send(f"{address}/move", **(move | {"reason": "Wind.", "shift": "after", "request_id": "x" * 32}))

    assert answer.status_code == 409
    text = words_of(answer)
    assert "Changed while you had it open" in text
    assert f"Day {short_day(ON)} {short_day(ON + timedelta(days=1))}" in text
