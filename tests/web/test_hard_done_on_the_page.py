"""A hard entry of today reaches the client's page at once: the words of the week, today, and the morning's line."""

from __future__ import annotations

from html import unescape

import pytest

from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from tests import seed


@pytest.fixture
def raced_today(coach, people):
    """A client in base who ran a race today that was not planned."""
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_log(
            db,
            client=people.client,
            done_on=seed.TODAY,
            kind=SessionKind.RACE,
            mode=Mode.RUN,
            minutes=180,
            planned_session_id=None,
        )
    return people.client


def test_the_race_of_today_is_named_as_hard(coach, raced_today):
    page = unescape(coach.get(f"/clients/{raced_today.id}").text)

    assert "Done today: 180 min, hard." in page
    assert "<b>Done today, not planned</b>" in page
    assert "nothing is planned" not in page


def test_what_the_morning_asks_stands_on_top(coach, raced_today):
    page = unescape(coach.get(f"/clients/{raced_today.id}").text)

    assert "<b>The morning asks</b>: Race, not planned, on " in page
    assert page.index("The morning asks") < page.index("Planned and done</h2>")
