"""What stops a client without a hold stands on top of the client's page and plan, and on the roster."""

from __future__ import annotations

from html import unescape

import pytest

from app.coaching.screening import YesNo
from tests import seed


@pytest.fixture
def waiting_for_paper(coach, people):
    """A client who named a heart disease and has no paper: all training waits, and nobody raised a hold."""
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO, disease=YesNo.YES, symptoms=YesNo.NO)
    return people.client


@pytest.mark.parametrize("word", ["", "/plan", "/weeks", "/weeks/eight", "/weeks/block"])
def test_a_missing_clearance_stands_above_everything_else(coach, waiting_for_paper, word):
    page = unescape(coach.get(f"/clients/{waiting_for_paper.id}{word}").text)

    assert 'class="say alarm">All training is stopped: ' in page
    assert page.index("All training is stopped: ") < (page.find("<h2") % len(page))


def test_today_does_not_read_as_a_day_off_while_all_training_is_stopped(coach, waiting_for_paper):
    assert "nothing is planned, and no training." in coach.get(f"/clients/{waiting_for_paper.id}").text


def test_the_roster_says_who_waits_for_a_paper(coach, waiting_for_paper):
    assert "training stopped: clearance missing" in coach.get("/roster").text


def test_the_banner_goes_with_the_paper(coach, waiting_for_paper):
    with coach.db(write=True) as db:
        seed.add_clearance(db, client=waiting_for_paper)

    assert "All training is stopped" not in coach.get(f"/clients/{waiting_for_paper.id}").text
    assert "training stopped" not in coach.get("/roster").text


def test_hard_work_that_nobody_means_to_do_has_no_banner(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)

    assert "Hard and middle work is stopped" not in coach.get(f"/clients/{people.client.id}").text


def test_planned_hard_work_that_waits_has_a_banner(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_answers(db, client=people.client, active=YesNo.NO, disease=YesNo.NO, symptoms=YesNo.NO)
        seed.add_planned_hard(db, client=people.client)

    assert "Hard and middle work is stopped: " in coach.get(f"/clients/{people.client.id}").text
