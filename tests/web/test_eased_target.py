"""After rounds that faded: the page of targets leads with the eased figure, and publishing asks above it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

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
