"""The printed week says what it comes to."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.effort import Band
from app.coaching.holds import HoldKind, Stops
from app.coaching.steps import Part, Repeat, Step, to_json
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, words_of
from tests.web.test_plan import _at


def _sheet(coach, people) -> str:
    return words_of(coach.get(_at(people, f"/print?week={NEXT_MONDAY.isoformat()}")))


def test_a_printed_week_says_its_sessions_its_time_and_its_hard_day(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2))

    assert "2 sessions, 1 h 42 together; hard on Wed 2 Dec." in _sheet(coach, people)


def test_hard_work_that_stands_twice_has_its_steps_once_and_its_rules_twice(coach, people):
    rounds = Repeat(4, (Step(Part.WORK, 240, Band.HARD, "Up."), Step(Part.RECOVERY, 240, Band.EASY, "Down.")))
    steps = to_json((Step(Part.WARM_UP, 900, Band.EASY, "The warm-up decides."), rounds))
    words = {"steps_json": steps, "easy_version": "Walk easily."}
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        for day in (1, 4):
            seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=day), **words)

    sheet = _sheet(coach, people)

    assert sheet.count("Then step by step as on Tue 1 December.") == 1
    assert sheet.count("4 min: Up.") == 1
    assert [sheet.count(said) for said in ("The warm-up decides.", "Walk easily.")] == [2, 2]


def test_an_easy_week_says_so(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY)

    assert "1 session, 45 min together; none of it hard." in _sheet(coach, people)


def test_an_empty_week_comes_to_nothing(coach, people):
    assert "together" not in _sheet(coach, people)


def test_a_week_nothing_is_sent_for_is_no_week_of_rest_and_says_what_is_paused(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_hold(db, client=people.client, stops=Stops.ALL, kind=HoldKind.COACH, cause="A talk comes first")

    sheet = _sheet(coach, people)

    assert "Nothing is sent for this week yet" in sheet
    assert "All training is paused: a talk comes first." in sheet
    assert "Rest" not in sheet


def test_what_pauses_a_whole_week_is_said_once(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        for day in (0, 2, 5):
            seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=day))
        seed.add_hold(db, client=people.client, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="Fever")

    sheet = _sheet(coach, people)

    assert sheet.count("Tell your coach when you are well.") == 1
    assert sheet.count("Paused: Easy walk.") == 3
    assert sheet.count("Instead: ") == 1
