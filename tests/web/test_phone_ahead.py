"""What a client cannot write down yet, and which round an error is about."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.storage import session_logs
from tests import seed

WELL = {"answer": "as_planned", "done_on": seed.TODAY.isoformat(), "talk": "chat", "effort": "3"}


@pytest.fixture
def rounds_id(app, people):
    with app.state.house.transaction(True) as db:
        return seed.add_planned_hard(db, client=people.client)


def logs(browser, people):
    with browser.db() as db:
        return session_logs.between(db, client_ids=[people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)


def test_a_session_of_a_later_week_is_not_kept_as_todays(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        far = seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=14))
        near = seed.add_planned(db, client=people.client, planned_on=seed.TODAY + timedelta(days=2))

    refused = [
        client_phone.get(f"/me/done?session={far}"),
        client_phone.send("/me/done", planned_session_id=far, **WELL),
    ]
    ahead = client_phone.get(f"/me/done?session={near}")

    assert [one.status_code for one in refused] == [422, 422]
    assert all("in a week that has not begun" in one.text for one in refused)
    assert logs(client_phone, people) == []
    assert "which is still to come. Write it down only if it is done already" in ahead.text


def test_an_error_in_a_rounds_figures_names_the_round(client_phone, rounds_id):
    figures = {"round_3_done": "whole", "round_3_power": "9999", "round_3_effort": "12", "round_3_time": "soon"}

    page = client_phone.send("/me/done", planned_session_id=rounds_id, minutes="44", **figures, **WELL).text

    assert page.count("Round 3: This should be between 0 and") >= 2
    assert "Round 3: " in page
    assert ">This should be between" not in page
