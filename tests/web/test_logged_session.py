"""One logged session: planned beside done, rounds, versions, corrections, notes."""

from __future__ import annotations

from datetime import timedelta
from html import unescape

import pytest

from app.coaching.people import Visibility
from app.coaching.session_target import target_to_json
from app.storage import prescriptions
from tests import factories, seed
from tests.coaching.test_session_target import POWER


def address(client, log_id) -> str:
    return f"/clients/{client.id}/sessions/{log_id}"


@pytest.fixture
def intervals(coach, people):
    """Ilse's four rounds of today, three of them in full."""
    rounds = tuple(
        factories.work_round(number=number, duration_s=240, is_complete=number < 4, power_w=150.0 + number)
        for number in range(1, 5)
    )
    with coach.db(write=True) as db:
        planned = seed.add_planned_hard(db, client=people.client, title="Four on the hill")
        log_id = seed.add_log(
            db, client=people.client, planned_session_id=planned, kind="intervals", rounds=rounds, entered_at=seed.NOW
        )
    return planned, log_id


def test_planned_stands_beside_done_with_each_round(coach, people, intervals):
    text = unescape(coach.get(address(people.client, intervals[1])).text)

    assert "Four on the hill" in text
    assert '<td class="num" data-label="Power, W">151</td>' in text
    assert text.count('<td data-label="In full">yes</td>') == 3


def test_the_target_that_was_planned_stands_beside_what_was_done(coach, people):
    with coach.db(write=True) as db:
        planned = seed.add_planned_hard(db, client=people.client, target_json=target_to_json(POWER))
        log_id = seed.add_log(
            db, client=people.client, planned_session_id=planned, kind="intervals", rounds=(factories.work_round(),)
        )

    assert "Hold 260 W in each round" in coach.get(address(people.client, log_id)).text


def test_a_version_published_after_the_entry_is_listed_but_not_compared_with(coach, people, intervals):
    with coach.db(write=True) as db:
        newest = prescriptions.newest(db, planned_session_id=intervals[0])
        draft = prescriptions.VersionDraft(
            **{name: getattr(newest, name) for name in prescriptions.VersionDraft.__slots__}
        )
        prescriptions.add_version(
            db,
            planned_session_id=intervals[0],
            client_id=people.client.id,
            draft=draft,
            person_id=people.coach.id,
            at=seed.NOW + timedelta(hours=3),
            publish=True,
        )

    text = coach.get(address(people.client, intervals[1])).text

    assert "Version 2" in text
    assert text.count("compared with this one") == 1
    assert text.index("Version 1") < text.index("compared with this one") < text.index("Version 2")


def test_an_extra_answers_to_no_plan(coach, people):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client)

    assert "nothing planned answers to it" in coach.get(address(people.client, log_id)).text


def test_a_stranger_finds_nothing(other_coach, people, intervals):
    assert other_coach.get(address(people.client, intervals[1])).status_code == 404


def test_an_entry_of_another_client_is_not_found_under_this_one(head, people, intervals):
    assert head.get(address(people.other_client, intervals[1])).status_code == 404


def test_an_entry_that_never_was_is_not_found(coach, people):
    assert coach.get(address(people.client, 99_999)).status_code == 404


def test_a_stand_in_does_not_see_private_notes_of_these_days(stand_in, head, people):
    with head.db(write=True) as db:
        log_id = seed.add_log(db, client=people.handed_client)
        seed.add_note(db, client=people.handed_client, text="Sounded low.")
        seed.add_note(db, client=people.handed_client, visibility=Visibility.CLINIC, text="Calf settled.")

    seen = stand_in.get(address(people.handed_client, log_id)).text

    assert "Sounded low." not in seen
    assert "Calf settled." in seen
    assert "Sounded low." in head.get(address(people.handed_client, log_id)).text
