"""The papers to chase over HTTP."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.screening import ClearanceState
from tests import seed
from tests.conftest import Browser
from tests.plan_scenes import words_of
from tests.seed import TODAY, People


def ask(browser: Browser, client, days: int) -> None:
    with browser.db(write=True) as db:
        seed.add_clearance(
            db,
            client=client,
            state=ClearanceState.REQUESTED,
            requested_on=TODAY - timedelta(days=days),
            given_on=None,
            signer=None,
            profession=None,
            how_seen=None,
        )


def test_the_list_is_empty_at_first_and_says_what_will_stand_there(coach: Browser) -> None:
    assert "No paper is missing or about to run out." in words_of(coach.get("/clearances"))


def test_a_waiting_client_is_named_with_the_days_and_the_ways_on(coach: Browser, people: People) -> None:
    ask(coach, people.client, 20)

    page = coach.get("/clearances")

    assert "Ilse Brandt . Asked for on Thu 5 Nov: 20 days without an answer. Ask after it." in words_of(page)
    for word in ("letter", "clearance"):
        assert f"/clients/{people.client.id}/safety/{word}" in page.text


def test_somebody_elses_client_is_not_on_it(coach: Browser, people: People) -> None:
    ask(coach, people.other_client, 20)

    assert "Ruben Castor" not in coach.get("/clearances").text
