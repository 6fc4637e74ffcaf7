"""A clinician's two numbers over HTTP: from a signed paper, with the password, counted at once, taken back."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.people import Origin
from app.storage import pressure_limits, safety
from app.storage.audit import trail_of
from tests.conftest import Browser
from tests.seed import NOW, PASSWORD, TODAY, People

GIVEN = {
    "systolic_mmhg": "180",
    "diastolic_mmhg": "110",
    "signer": "Dr. Amrei Sohl",
    "profession": "general practitioner",
    "given_on": (TODAY - timedelta(days=4)).isoformat(),
    "how_seen": "paper",
    "own_password": PASSWORD,
}


@pytest.fixture
def address(coach: Browser, people: People) -> str:
    """The safety page of a client whose last reading is 150 over 104."""
    with coach.db(write=True) as db:
        safety.add_pressure(
            db,
            client_id=people.client.id,
            measured_on=TODAY,
            systolic_mmhg=150,
            diastolic_mmhg=104,
            resting_heart_rate_bpm=None,
            origin=Origin.COACH,
            person_id=people.coach.id,
            at=NOW,
        )
    return f"/clients/{people.client.id}/safety"


def kept(browser: Browser, people: People):
    with browser.db() as db:
        return pressure_limits.of_client(db, client_id=people.client.id)


def test_two_numbers_of_a_clinician_count_at_once(coach, people, address) -> None:
    before = coach.get(address).text
    coach.send(f"{address}/pressure-limits", **GIVEN)
    after = coach.get(address).text

    assert "Blood pressure was 150 over 104 mmHg on 25 November 2026: no training." in before
    assert "Blood pressure was 150 over 104 mmHg on 25 November 2026: no hard work." in after
    assert "Dr. Amrei Sohl, general practitioner" in after
    assert "No training from 180 over, or 110 under; no hard work from 160 or 100." in after


def test_they_reach_the_phone_and_the_conditions(coach, client_phone, people, address) -> None:
    assert "no training" in client_phone.get("/me/today").text
    coach.send(f"{address}/pressure-limits", **(GIVEN | {"systolic_mmhg": "150", "diastolic_mmhg": "106"}))

    assert "under 150 over 100 mmHg" in coach.get(f"/clients/{people.client.id}/promotion").text


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"systolic_mmhg": "210"}, "between 100 and 200 mmHg"),
        ({"diastolic_mmhg": "115"}, "between 60 and 110 mmHg"),
        ({"how_seen": "telephone"}, "A telephone call alone does not count"),
        ({"given_on": (TODAY + timedelta(days=1)).isoformat()}, "This day has not come yet."),
        ({"signer": ""}, "Please fill this in."),
        ({"own_password": ""}, "Enter your own password again"),
        ({"own_password": "something else entirely"}, "This is not your password."),
    ],
)
def test_a_paper_that_is_not_sound_changes_nothing(coach, people, address, changes, sentence) -> None:
    answer = coach.send(f"{address}/pressure-limits", **(GIVEN | changes))

    assert answer.status_code == 422
    assert sentence in answer.text
    assert kept(coach, people) == []


def test_taken_back_the_practices_limits_count_again(coach, people, address) -> None:
    coach.send(f"{address}/pressure-limits", **GIVEN)
    coach.send(f"{address}/pressure-limits/take-back")

    assert "no training." in coach.get(address).text
    assert [one.taken_back_by for one in kept(coach, people)] == [people.coach.id]
    with coach.db() as db:
        actions = [entry.action for entry in trail_of(db, client_id=people.client.id)][:2]
    assert actions == ["take_pressure_limits_back", "set_pressure_limits"]


def test_the_published_limits_stand_beside_the_setting(head) -> None:
    assert (
        "No high-intensity exercise until controlled (ESC 2020)"
        in head.get("/practice/rules/pressure_systolic_hard").text
    )
    assert "ESC 2020" not in head.get("/practice/rules/base_weeks").text


def test_a_stand_in_sets_no_numbers(stand_in, people) -> None:
    base = f"/clients/{people.handed_client.id}/safety/pressure-limits"

    assert stand_in.get(base).status_code == 403
    assert stand_in.send(base, **GIVEN).status_code == 403
