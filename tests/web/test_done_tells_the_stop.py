"""Writing a planned session down, the client reads first what Today stops of it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from tests import seed
from tests.web.test_today_easy_first import add, hard_today, main_of

__all__ = ["hard_today"]

MARK = '<p class="effort">Hard</p>'
EASY_LINE = "Easy today, or rest: the hard part waits. Write down here only what you did."


def hold(app, people, stops, mode=None):
    add(app, people, seed.add_hold, kind=HoldKind.COACH, stops=stops, mode=mode, began_on=seed.TODAY)


def test_a_session_that_stands_has_its_effort_and_no_line(client_phone, hard_today):
    page = main_of(client_phone.get("/me/done"))

    assert MARK in page
    assert "Write down here only what you did." not in page


@pytest.mark.parametrize(
    ("stop", "line"),
    [
        ((Stops.ALL, None), "Your training is paused. If you did something all the same"),
        ((Stops.HARD, None), EASY_LINE),
        ((Stops.MODE_AND_HARD, Mode.INDOOR_RIDE), "This session is paused. Write down here only what you did."),
    ],
)
def test_each_hold_is_told_above_the_form_which_stays(client_phone, app, people, stop, line):
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        seed.add_planned_hard(db, client=people.client, mode=Mode.INDOOR_RIDE)
    hold(app, people, *stop)

    page = main_of(client_phone.get("/me/done"))

    assert page.index(line) < page.index("How did it go?")
    assert MARK not in page


def test_hard_work_done_too_short_before_is_told_as_on_today(client_phone, app, people, hard_today):
    add(app, people, seed.add_log, done_on=seed.TODAY - timedelta(days=1), felt_all_out=True, planned_session_id=None)

    page = main_of(client_phone.get(f"/me/done?session={hard_today}"))

    assert EASY_LINE in page
    assert MARK not in page


def test_a_session_to_come_that_is_paused_is_told_too(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client, answered_on=seed.TODAY - timedelta(days=10))
        ahead = seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=2))
    hold(app, people, Stops.HARD)

    assert "This session is paused." in main_of(client_phone.get(f"/me/done?session={ahead}"))
    assert "Hard work is paused for you" in main_of(client_phone.get("/me/done?choose=true"))
