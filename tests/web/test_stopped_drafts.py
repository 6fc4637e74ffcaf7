"""What is stopped is not drafted either: each way says the same, and no advice leads round it."""

from __future__ import annotations

import pytest

from app.coaching.holds import HoldKind, Stops
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of
from tests.web.test_plan_blocks import HARD

SAYS = "No hard or middle work for {} now. Hard work is paused: "
ROUNDS = {"shape": "intervals", "mode": "indoor_ride", "protocol_key": "four_by_four", "rounds": "4"}


def test_every_way_of_drafting_hard_work_refuses_with_the_same_sentence(coach, people):
    client, monday = people.client, NEXT_MONDAY.isoformat()
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, client)
        scene.give_days(db, client)
        easy = f"/plan/sessions/{seed.add_planned(db, client=client, planned_on=NEXT_MONDAY, publish=False)}"
        hard = f"/plan/sessions/{seed.add_planned_hard(db, client=client, planned_on=NEXT_MONDAY, publish=False)}"
        gone = seed.add_planned_hard(db, client=client, planned_on=NEXT_MONDAY, publish=False, is_cancelled=True)
        seed.add_hold(db, client=client, kind=HoldKind.SYMPTOM, stops=Stops.HARD)
        before = scene.planned_of(db, client)

    answers = [
        coach.send(f"/clients/{client.id}/plan/add", planned_on=monday, **ROUNDS),
        coach.send(easy, **(form_of(coach.get(easy), easy) | ROUNDS)),
        coach.send(f"/plan/sessions/{gone}/restore", version="1"),
        coach.send(f"/clients/{client.id}/plan/copy-week", from_week=monday, to_week="2026-12-08"),
        coach.send(f"/clients/{client.id}/plan/intervals", **HARD, hard_0="yes"),
    ]

    assert [one.status_code for one in answers] == [422] * 5
    assert [SAYS.format(client.name) in words_of(one) for one in answers] == [True] * 5
    with coach.db() as db:
        assert scene.planned_of(db, client) == before
    # Less of what stands there may still be kept.
    shorter = coach.send(hard, **(form_of(coach.get(hard), hard) | {"rounds": "3", "protocol_key": "three_by_four"}))
    assert shorter.status_code == 303


@pytest.mark.parametrize(("stops", "is_all"), [(Stops.ALL, True), (Stops.HARD, False)])
def test_a_full_stop_sends_nobody_to_make_todays_session_easy(coach, people, stops, is_all):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_planned_hard(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.ILLNESS, stops=stops)

    said = words_of(coach.get(f"/clients/{people.client.id}/plan"))

    assert ("open the session to make it easy" in said) is not is_all
    assert ("nothing goes out, easy or moved, until what stops it is over" in said) is is_all
