"""The practice's hills over HTTP: kept and taken out of use, held against a client's rounds, chosen and read."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.rules import Rules
from app.coaching.session_target import target_to_json
from app.coaching.typed_content import typed_content
from app.coaching.typed_session import parse_day
from app.storage import hills
from app.storage.audit import trail_of, trail_of_practice
from tests import plan_scenes as scene
from tests import safety_scenes, seed
from tests.coaching.test_session_target import POWER
from tests.plan_scenes import words_of
from tests.seed import TODAY

HILL = {
    "name": "Quarry hill",
    "length_m": "1250",
    "slope_percent": "6,2",
    "climb_m": "",
    "surface": "ordinary",
    "for_riding": "yes",
    "for_walking": "yes",
    "has_room_to_turn": "yes",
    "note": "Turn in the yard.",
}
RIDER = {
    "body_mass_kg": "74",
    "body_mass_on": TODAY.isoformat(),
    "bike_mass_kg": "9.5",
    "front_teeth": "34",
    "rear_teeth": "34",
    "wheel_circumference_m": "2.11",
}


def _hills(browser):
    with browser.db() as db:
        return hills.every(db)


def _newest(browser, session_id):
    with browser.db() as db:
        return scene.versions(db, session_id)[-1]


@pytest.fixture
def hill_id(coach):
    coach.send("/hills", **HILL)
    return _hills(coach)[0].id


@pytest.fixture
def ride_id(coach, people):
    """Four rounds on a bicycle in ten days, published."""
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        return seed.add_planned_hard(
            db, client=people.client, planned_on=TODAY + timedelta(days=10), mode=Mode.RIDE, place="the usual road"
        )


def test_a_hill_is_added_changed_taken_out_of_use_and_back(coach, hill_id):
    coach.send(f"/hills/{hill_id}", **HILL | {"length_m": "1200", "revision": 1})
    coach.send(f"/hills/{hill_id}/retire")
    out = words_of(coach.get("/hills"))
    coach.send(f"/hills/{hill_id}/restore")

    kept = _hills(coach)[0]
    assert (kept.length_m, kept.slope_fraction, kept.retired_at) == (1200.0, pytest.approx(0.062), None)
    assert "Out of use" in out
    assert "Quarry hill" in words_of(coach.get("/practice/hills/print"))
    with coach.db() as db:
        actions = [one.action for one in trail_of_practice(db) if one.subject == "hill"]
    assert actions == ["restored", "retired", "changed", "added"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"name": "QUARRY hill"}, "A hill is called QUARRY hill already"),
        ({"name": "Other", "slope_percent": ""}, "Give the grade, or the height climbed."),
        ({"name": "Other", "slope_percent": "", "climb_m": "900"}, "That makes 72.0 %"),
        ({"name": "Other", "climb_m": "120"}, "1250 m at 6.2 % climb about 78 m, not 120."),
        ({"name": "Other", "for_riding": "", "for_walking": ""}, "Tick at least one"),
        ({"name": "Other", "length_m": "nan"}, "number"),
    ],
)
def test_what_is_wrong_is_said_beside_the_field_and_kept(coach, hill_id, changes, words):
    answer = coach.send("/hills", **HILL | changes)

    assert answer.status_code == 422
    assert words in words_of(answer)
    assert "Turn in the yard." in answer.text
    assert len(_hills(coach)) == 1


def test_the_height_climbed_stands_for_the_grade(coach):
    coach.send("/hills", **HILL | {"slope_percent": "", "climb_m": "75", "length_m": "1250"})

    assert _hills(coach)[0].slope_fraction == pytest.approx(0.06)


def test_grade_and_height_that_agree_to_a_tenth_are_kept(coach):
    # 6.2 % of 1250 m are 77.5 m; 85 are within a tenth of it, 86 are not.
    assert coach.send("/hills", **HILL | {"climb_m": "86"}).status_code == 422
    assert coach.send("/hills", **HILL | {"climb_m": "85"}).status_code == 303

    assert _hills(coach)[0].slope_fraction == pytest.approx(0.062)


def test_the_hills_page_opens_on_the_clients_own_way_of_moving(coach, people, hill_id):
    with coach.db(write=True) as db:
        seed.add_log(db, client=people.client, done_on=TODAY, mode=Mode.RUN)

    page = words_of(coach.get(f"/clients/{people.client.id}/hills"))

    assert "Pace of a round on the flat" in page
    assert "Power of a round" not in page


def test_the_session_and_the_clients_page_reckon_with_the_same_target(coach, people, hill_id, ride_id):
    coach.send(f"/clients/{people.client.id}/rider", **RIDER)
    with coach.db(write=True) as db:
        target = target_to_json(replace(POWER, value=231.0, low=None, high=None))
        seed.add_planned_hard(
            db, client=people.client, planned_on=TODAY + timedelta(days=3), mode=Mode.RIDE, target_json=target
        )

    addresses = (f"/clients/{people.client.id}/hills", f"/plan/sessions/{ride_id}/hill")
    both = [words_of(coach.get(one)) for one in addresses]

    assert all("231 W, the target of" in text for text in both)


def test_somebody_faster_is_named_and_nothing_is_lost(coach, hill_id):
    coach.send(f"/hills/{hill_id}", **HILL | {"length_m": "1100", "revision": 1})

    late = coach.send(f"/hills/{hill_id}", **HILL | {"length_m": "1000", "revision": 1})

    assert late.status_code == 409
    assert 'value="1000"' in late.text
    assert _hills(coach)[0].length_m == 1100.0


def test_a_stand_in_reads_the_list_and_changes_nothing(stand_in, coach, hill_id):
    assert "Add a hill" not in words_of(stand_in.get("/hills"))
    assert stand_in.send("/hills", **HILL | {"name": "Other"}).status_code == 403
    assert stand_in.send(f"/hills/{hill_id}/retire").status_code == 403


def test_what_a_client_rides_is_kept_with_its_trail(coach, people):
    address = f"/clients/{people.client.id}/rider"
    half = coach.send(address, **RIDER | {"rear_teeth": "", "body_mass_on": ""})
    kept = coach.send(address, **RIDER)

    assert half.status_code == 422
    assert "The lowest gear needs both." in words_of(half)
    assert "When was it weighed?" in words_of(half)
    assert kept.status_code == 303
    with coach.db() as db:
        rider = hills.rider(db, client_id=people.client.id)
        assert (rider.body_mass_kg, rider.rear_teeth, rider.wheel_circumference_m) == (74.0, 34, 2.11)
        assert trail_of(db, client_id=people.client.id)[0].action == "change_rider"


def test_the_hills_are_held_against_a_clients_rounds(coach, people, hill_id):
    coach.send(f"/clients/{people.client.id}/rider", **RIDER)
    address = f"/clients/{people.client.id}/hills"

    strong = words_of(coach.get(f"{address}?mode=ride&power_w=268"))
    weak = words_of(coach.get(f"{address}?mode=ride&power_w=60"))
    unknown = words_of(coach.get(f"{address}?mode=walk"))
    wrong = coach.get(f"{address}?mode=ride&power_w=5000")

    assert "Quarry hill : fits." in strong
    assert "seated up to" in strong
    assert "None fits. Indoors: at this power no hill of 3 %" in weak
    assert "By trial: go up once" in unknown
    assert wrong.status_code == 422


def test_a_hill_is_chosen_for_a_session_as_its_next_draft(coach, people, hill_id, ride_id):
    address = f"/plan/sessions/{ride_id}/hill"

    chosen = coach.send(address, version=1, hill_id=hill_id)
    stale = coach.send(address, version=1, hill_id=hill_id)

    newest = _newest(coach, ride_id)
    assert (chosen.status_code, stale.status_code) == (303, 409)
    assert (newest.hill_id, newest.place, newest.published_at) == (hill_id, "uphill on Quarry hill", None)
    assert "The hill: Quarry hill" in words_of(coach.get(f"/plan/sessions/{ride_id}"))
    assert "Sessions to come on it" in words_of(coach.get(f"/hills/{hill_id}"))
    coach.send(address, version=2)
    assert (_newest(coach, ride_id).hill_id, _newest(coach, ride_id).place) == (None, None)


def test_steps_say_where_the_recovery_is_taken_while_a_hill_is_given(coach, people, hill_id, ride_id):
    content = typed_content(parse_day("4 x 4 min hard, 4 easy, ride")[0], age=40, first_of_phase=False, rules=Rules())
    with coach.db(write=True) as db:
        planned_on = TODAY + timedelta(days=3)
        session_id = seed.add_planned_hard(
            db, client=people.client, planned_on=planned_on, mode=Mode.RIDE, steps_json=content.steps_json
        )
    address = f"/plan/sessions/{session_id}/hill"

    coach.send(address, version=1, hill_id=hill_id)
    assert "roll back to where it began" in _newest(coach, session_id).steps_json

    coach.send(address, version=2)
    assert _newest(coach, session_id).steps_json == content.steps_json


def test_a_hill_out_of_use_or_without_room_is_not_given_to_a_rider(coach, hill_id, ride_id):
    address = f"/plan/sessions/{ride_id}/hill"
    coach.send(f"/hills/{hill_id}", **HILL | {"has_room_to_turn": "", "revision": 1})
    no_room = coach.send(address, version=1, hill_id=hill_id)
    coach.send(f"/hills/{hill_id}/retire")
    out = coach.send(address, version=1, hill_id=hill_id)

    assert (no_room.status_code, out.status_code) == (422, 422)
    assert "has no room to turn" in words_of(no_room)
    assert "is out of use" in words_of(out)


def test_a_session_without_rounds_asks_for_none(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=TODAY + timedelta(days=3))

    assert "this session has none" in words_of(coach.get(f"/plan/sessions/{session_id}/hill"))


@pytest.fixture
def today_id(coach, people, hill_id):
    """Today's four rounds on the hill, published."""
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        return seed.add_planned_hard(
            db, client=people.client, mode=Mode.RIDE, place="uphill on Quarry hill", hill_id=hill_id
        )


def _allow(coach, people):
    with coach.db(write=True) as db:
        person_id = people.coach.id
        for make in (safety_scenes.measure, safety_scenes.agree, safety_scenes.clear):
            make(db, client=people.client, person_id=person_id)


def test_the_phone_and_the_fridge_say_the_hill_and_how_it_is_done_safely(coach, client_phone, people, today_id):
    _allow(coach, people)

    phone = words_of(client_phone.get("/me/today"))
    paper = words_of(coach.get(f"/clients/{people.client.id}/plan/print?week={TODAY.isoformat()}"))

    for page in (phone, paper):
        assert "Quarry hill: 1250 m at 6.2 %, ordinary road." in page
        assert "Turn in the yard." in page
        assert "Only in daylight, on a dry road, where there is room to turn." in page
        assert "Never stand still after the last round" in page


def test_a_hill_out_of_use_is_said_on_the_phone(coach, client_phone, people, today_id, hill_id):
    _allow(coach, people)
    coach.send(f"/hills/{hill_id}/retire")

    phone = words_of(client_phone.get("/me/today"))

    assert "Quarry hill is out of use for now. Ask your coach before you go" in phone
    assert "Turn in the yard." not in phone


def test_somebody_held_is_sent_up_no_hill(coach, client_phone, people, today_id):
    _allow(coach, people)
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

    assert "1250 m at 6.2 %" not in words_of(client_phone.get("/me/today"))
    assert "1250 m at 6.2 %" not in words_of(coach.get(f"/clients/{people.client.id}/plan/print"))
    assert "No hard work now." in words_of(coach.get(f"/plan/sessions/{today_id}/hill"))


def test_todays_session_changes_its_hill_with_a_reason_the_client_reads(coach, people, today_id):
    _allow(coach, people)
    address = f"/plan/sessions/{today_id}/hill"

    silent = coach.send(address, version=1)
    said = coach.send(address, version=1, reason="Ice at the gate.")

    assert (silent.status_code, said.status_code) == (422, 303)
    newest = _newest(coach, today_id)
    assert (newest.hill_id, newest.reason) == (None, "Ice at the gate.")
    assert newest.published_at is not None
