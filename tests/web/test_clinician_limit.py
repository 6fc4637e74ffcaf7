"""A limit a clinician set stands wherever training is planned, printed or read."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest

from app.coaching.people import HeartRateUse
from app.coaching.screening import ClearanceState
from app.coaching.weeks import day_words, week_start
from app.storage.tables.people import ClientRow
from tests import factories as make
from tests import seed

LIMIT = "Pulse not above 120; no work above the shoulders."


@pytest.fixture
def limited(coach, people):
    """A client whose clearance names a limit."""
    with coach.db(write=True) as db:
        seed.add_clearance(db, client=people.client, limits=LIMIT)
    return people.client


@pytest.mark.parametrize("word", ["", "/plan", "/weeks"])
def test_the_coach_reads_it_where_plans_are_made(coach, limited, word):
    page = unescape(coach.get(f"/clients/{limited.id}{word}").text)

    assert f"Limit set by Dr. Amrei Sohl on {day_words(make.TODAY - timedelta(days=5))}: {LIMIT}" in page


def test_it_is_on_the_printed_week(coach, limited):
    week = f"/clients/{limited.id}/plan/print?week={week_start(seed.TODAY).isoformat()}"

    assert f"Your doctor's limit: {LIMIT}" in unescape(coach.get(week).text)


def test_the_client_reads_it_on_today(client_phone, coach, limited):
    with coach.db(write=True) as db:
        seed.add_answers(db, client=limited)

    assert f"Your doctor's limit: {LIMIT}" in unescape(client_phone.get("/me/today").text)


def test_it_stays_where_heart_rate_is_not_reliable(coach, limited):
    with coach.db(write=True) as db:
        db.get_one(ClientRow, limited.id).heart_rate_use = HeartRateUse.NOT_RELIABLE

    assert LIMIT in coach.get(f"/clients/{limited.id}/plan").text


def test_a_newer_paper_replaces_it(coach, limited):
    with coach.db(write=True) as db:
        seed.add_clearance(db, client=limited, given_on=seed.TODAY - timedelta(days=1))

    assert LIMIT not in coach.get(f"/clients/{limited.id}/plan").text


def test_a_request_for_a_paper_leaves_it(coach, limited):
    with coach.db(write=True) as db:
        seed.add_clearance(db, client=limited, state=ClearanceState.REQUESTED, given_on=None, signer=None)

    assert LIMIT in coach.get(f"/clients/{limited.id}/plan").text
