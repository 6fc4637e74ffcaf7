"""After rounds that faded: the page of targets leads with the eased figure, and publishing asks above it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.people import Mode
from app.coaching.session_logs import Posture
from app.coaching.session_target import target_to_json
from tests import factories as make
from tests import plan_scenes as scene
from tests import seed
from tests.coaching.test_session_target import POWER
from tests.plan_scenes import form_of, words_of
from tests.seed import TODAY

AIMED = replace(POWER, value=253.0, low=243.0, high=254.0)
FADED = (258.0, 254.0, 249.0, 242.0)
FRIDAY, LAST_WEEK = TODAY + timedelta(days=2), TODAY - timedelta(days=7)


def _faded_then_drafted(browser, people, watts: float) -> int:
    """Rounds at 253 W that faded last week, and a draft for Friday at some power; returns the draft's identity."""
    with browser.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=12)
        seed.add_measured(db, client=people.client)
        done = seed.add_planned_hard(
            db, client=people.client, planned_on=LAST_WEEK, target_json=target_to_json(AIMED)
        )
        rounds = tuple(make.work_round(number=n, power_w=power) for n, power in enumerate(FADED, start=1))
        seed.add_log(
            db, client=people.client, planned_session_id=done, done_on=LAST_WEEK, kind="intervals",
            mode=Mode.INDOOR_RIDE, minutes=57.0, effort=7.0, posture=Posture.STOOD, rounds=rounds,
        )  # fmt: skip
        draft = replace(AIMED, value=watts, low=None, high=None)
        return seed.add_planned_hard(
            db, client=people.client, planned_on=FRIDAY, target_json=target_to_json(draft), publish=False
        )


def test_a_target_above_what_faded_rounds_ask_for_goes_out_with_a_reason_only(coach, people):
    draft_id = _faded_then_drafted(coach, people, 248.0)
    address = f"/clients/{people.client.id}/plan/publish"
    page = coach.get(f"{address}?week-{scene.THIS_MONDAY}=yes")
    form = form_of(page, address)

    unsaid = coach.send(address, **form)
    said = coach.send(address, **(form | {"reason": "The fan had stopped; she slept well since."}))

    assert "aims at 248 W; the last of these rounds asks for 240 W, 5 % lower after" in words_of(page)
    assert unsaid.status_code == 422
    assert said.status_code == 303
    with coach.db() as db:
        assert scene.versions(db, draft_id)[-1].published_at is not None


HELD, HOT_BY = (250.0, 250.0, 250.0, 250.0), 45.0


def _typed_even(browser, people, *, first_30_above_w: float) -> tuple[int, int]:
    """Rounds at 253 W typed as even last week beside a recording of them, and a draft as hard for Friday."""
    with browser.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=12)
        done = seed.add_planned_hard(
            db, client=people.client, planned_on=LAST_WEEK, target_json=target_to_json(AIMED)
        )
        rounds = tuple(make.work_round(number=n, duration_s=240, power_w=253.0, effort=7.0) for n in range(1, 5))
        log_id = seed.add_log(
            db, client=people.client, planned_session_id=done, done_on=LAST_WEEK, kind="intervals",
            mode=Mode.INDOOR_RIDE, minutes=57.0, effort=7.0, posture=Posture.STOOD, rounds=rounds,
        )  # fmt: skip
        seed.add_recording(db, client=people.client, log_id=log_id, levels=HELD, first_30_above_w=first_30_above_w)
        draft_id = seed.add_planned_hard(
            db, client=people.client, planned_on=FRIDAY, target_json=target_to_json(AIMED), publish=False
        )
        return log_id, draft_id


@pytest.mark.parametrize(("above_w", "asks"), [(HOT_BY, True), (0.0, False)])
def test_a_hot_start_only_the_recording_shows_is_weighed_wherever_the_plan_goes_out(coach, people, above_w, asks):
    log_id, draft_id = _typed_even(coach, people, first_30_above_w=above_w)
    client, week = f"/clients/{people.client.id}", scene.THIS_MONDAY
    session = words_of(coach.get(f"{client}/sessions/{log_id}"))

    pages = [
        coach.get(address)
        for address in (
            f"{client}/plan/publish?week-{week}=yes",
            f"/plan/publish-many?week={week}&weeks=1",
            f"/plan/board?week={week}",
            f"{client}/plan?week={week}",
            f"/plan/sessions/{draft_id}",
        )
    ]

    said = "asks for 240 W, 5 % lower after Wed 18 Nov (not held: started hot"
    assert ("Started hot" in session, "4 rounds at 240 W (-5 %)" in session) == (asks, asks)
    assert [said in words_of(page) for page in pages] == [asks] * 5


def test_what_the_recording_shows_asks_why_and_never_refuses(coach, people):
    _typed_even(coach, people, first_30_above_w=HOT_BY)
    address = f"/clients/{people.client.id}/plan/publish"
    form = form_of(coach.get(f"{address}?week-{scene.THIS_MONDAY}=yes"), address)

    unsaid = coach.send(address, **form)
    said = coach.send(address, **(form | {"reason": "The meter jumps at each start; she held it well."}))

    assert (unsaid.status_code, said.status_code) == (422, 303)


def test_the_eased_target_is_given_by_one_click_and_what_lies_above_it_asks_why(coach, people):
    address = f"/plan/sessions/{_faded_then_drafted(coach, people, 248.0)}"
    page = coach.get(f"{address}/target")
    form = form_of(page, f"{address}/target")

    above = coach.send(f"{address}/target", **(form | {"key": "power_curve"}))
    eased = coach.send(f"{address}/target", **(form | {"key": "eased"}))

    words = words_of(page)
    assert words.index("Eased, as the last session asks proposed") < words.index("Even power, from critical power")
    assert above.status_code == 422
    assert "Above what the last of these rounds asks for: 240 W" in words_of(above)
    assert eased.status_code == 303
    assert "Hold 240 W in each round" in words_of(coach.get(address))
