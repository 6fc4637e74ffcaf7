"""Where a hard session should wait, Today offers its easy version first and folds the hard part away."""

from __future__ import annotations

from dataclasses import fields
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.protocols import protocol_of
from app.coaching.session_steps import steps_for
from app.coaching.session_target import target_to_json
from app.coaching.steps import to_json
from app.storage import prescriptions
from tests import factories, seed
from tests.coaching.test_session_target import POWER

FOLDED = "<summary>The hard part, for another day</summary>"
CHANGED_AIM = "Begin slower than you think."
CHANGE_WAITS = "Your coach changed the hard part; it is not for today."


@pytest.fixture
def hard_today(app, people):
    """Leave for hard work, and four hard rounds for today."""
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        return seed.add_planned_hard(db, client=people.client)


def add(app, people, write, **changes):
    with app.state.house.transaction(True) as db:
        return write(db, client=people.client, **changes)


def note_worse(app, people):
    """Three weeks of usual notes, and this morning three items far worse."""
    days = [(seed.TODAY - timedelta(days=n), 1 + n % 2) for n in range(1, 22)]
    worse = {"sleep": 6, "fatigue": 6, "soreness": 6}
    notes = [*({"noted_on": day, "sleep": sleep} for day, sleep in days), {"noted_on": seed.TODAY, **worse}]
    return [add(app, people, seed.add_readiness, **one) for one in notes]


def main_of(page) -> str:
    return page.text.split("<main", 1)[1].split("<dialog", 1)[0]


def test_as_planned_nothing_is_folded(client_phone, hard_today):
    page = main_of(client_phone.get("/me/today"))

    assert FOLDED not in page
    assert "Easy today" not in page


def test_a_worn_morning_offers_the_easy_version_first_in_plain_words(client_phone, app, people, hard_today):
    note_worse(app, people)

    page = main_of(client_phone.get("/me/today"))
    assert "<h1>Easy today, or rest</h1>" in page
    assert page.index("Today instead:") < page.index(FOLDED) < page.index('<ol class="steps">')
    assert page.count('<ol class="steps">') >= 1
    assert "you slept worse than usual; you are more tired than usual; your muscles are sorer than usual" in page
    assert "spread" not in page
    assert "give or take" not in page


def test_what_waits_says_so_first_and_leaves_nothing_to_the_warm_up(client_phone, app, people):
    nodes = steps_for(protocol_of("four_by_four"), mode=Mode.INDOOR_RIDE, rounds=4, age=63, first_of_phase=False)
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        seed.add_planned_hard(db, client=people.client, steps_json=to_json(nodes))
    assert "As usual: go on" in main_of(client_phone.get("/me/today"))
    note_worse(app, people)

    page = main_of(client_phone.get("/me/today"))
    waits = page.split(FOLDED)[1].split("</details>")[0]
    assert "As usual: go on" not in page
    assert "Bad night or heavy legs?" not in page
    assert (
        page.index(FOLDED) < page.index("<strong>Not today.</strong> Easy or rest today") < page.index("<ol class=")
    )
    assert "Not today." in waits


@pytest.mark.parametrize("days", [0, 1])
def test_hard_work_really_done_too_short_before_makes_it_wait(client_phone, app, people, hard_today, days):
    done_on = seed.TODAY - timedelta(days=days)
    add(
        app, people, seed.add_log, done_on=done_on, felt_all_out=True, effort=9.0, minutes=40, planned_session_id=None
    )

    page = main_of(client_phone.get("/me/today"))
    when = "today already" if days == 0 else "on Tuesday"
    assert f"You did hard work {when}, and" in page
    assert "this one waits until your coach has looked." in page
    assert "<h1>Easy today, or rest</h1>" in page
    assert page.index("Today instead:") < page.index(FOLDED)


def test_hard_work_long_enough_ago_makes_nothing_wait(client_phone, app, people, hard_today):
    four_days_ago = seed.TODAY - timedelta(days=4)
    add(app, people, seed.add_log, done_on=four_days_ago, felt_all_out=True, effort=9.0, planned_session_id=None)

    assert FOLDED not in main_of(client_phone.get("/me/today"))


def test_the_session_itself_once_entered_does_not_wait_for_itself(client_phone, app, people, hard_today):
    add(app, people, seed.add_log, planned_session_id=hard_today, felt_all_out=True, effort=9.0)

    page = main_of(client_phone.get("/me/today"))
    assert "You have entered this one." in page
    assert FOLDED not in page


def test_how_i_am_says_it_in_the_same_plain_words(client_phone, app, people, hard_today):
    note_worse(app, people)

    page = client_phone.get("/me/how-i-am").text
    assert "spread" not in page.split("<dialog", 1)[0]


def test_what_waits_shows_no_figures_to_hold_on_to(client_phone, app, people, hard_today):
    with app.state.house.transaction(True) as db:
        seed.add_planned_hard(db, client=people.client, target_json=target_to_json(POWER))
    assert " W" in main_of(client_phone.get("/me/today"))
    add(app, people, seed.add_log, done_on=seed.TODAY - timedelta(days=1), felt_all_out=True, planned_session_id=None)

    page = main_of(client_phone.get("/me/today"))
    assert page.count(FOLDED) == 2
    assert " W" not in page


def change_today(app, people, session_id):
    """The coach's newer version of the hard session, with why."""
    draft = {
        field.name: getattr(factories.planned_hard(), field.name) for field in fields(prescriptions.VersionDraft)
    }
    kept = {"planned_on": seed.TODAY, "target_json": target_to_json(POWER), "reason": CHANGED_AIM}
    version = prescriptions.VersionDraft(**(draft | kept))
    known = {"planned_session_id": session_id, "client_id": people.client.id, "person_id": people.coach.id}
    with app.state.house.transaction(True) as db:
        prescriptions.add_version(db, draft=version, at=seed.NOW, publish=True, **known)


def test_a_change_of_the_hard_part_is_no_advice_for_the_easy_version(client_phone, app, people, hard_today):
    change_today(app, people, hard_today)
    stands = main_of(client_phone.get("/me/today"))
    note_worse(app, people)

    page = main_of(client_phone.get("/me/today"))
    above, waits = page.split(FOLDED)
    assert CHANGED_AIM in stands
    assert CHANGE_WAITS not in stands
    assert CHANGE_WAITS in above
    assert CHANGED_AIM not in above
    assert CHANGED_AIM in waits


@pytest.mark.parametrize("is_held", [False, True])
def test_the_heading_and_its_mark_name_the_easy_day_also_under_a_hold(client_phone, app, people, hard_today, is_held):
    note_worse(app, people)
    if is_held:
        add(app, people, seed.add_hold, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD, cause="It was too hard")

    page = main_of(client_phone.get("/me/today"))
    assert '<h1>Easy today, or rest</h1><p class="effort">Easy</p>' in page
    assert "Rounds waits." in page


def test_under_a_hold_only_the_change_itself_is_told(client_phone, app, people, hard_today):
    change_today(app, people, hard_today)
    add(app, people, seed.add_hold, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD, cause="It was too hard")

    page = main_of(client_phone.get("/me/today"))
    assert CHANGE_WAITS in page
    assert CHANGED_AIM not in page
