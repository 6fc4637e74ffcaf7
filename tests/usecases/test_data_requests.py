"""Requests about data: who may keep and answer them, their trail, and their line in the morning."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.data_requests import DataRequestKind
from app.coaching.people import ClientState, Origin
from app.coaching.practice import PracticeKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.signals import Shelf
from app.files import backup
from app.storage import clients, data_requests
from app.storage.audit import trail_of
from app.storage.tables.desk import PracticeRow
from app.usecases import data_requests as use
from app.usecases.gate import NotAllowed, NotYours, readable_clients
from app.usecases.morning.housekeeping import house_lines
from tests import plan_scenes as scene
from tests import seed

RULES = Rules()


def keep(db, people, *, kind=DataRequestKind.ACCESS, days_ago=0, who=None):
    return use.record(
        db,
        actor=scene.actor_of(who or people.coach),
        client_id=people.client.id,
        kind=kind,
        asked_on=seed.TODAY - timedelta(days=days_ago),
        text="All of it, please.",
        origin=Origin.FROM_PAPER,
        now=seed.NOW,
    )


def answer(db, people, request_id, *, who=None, days_ago=0):
    use.answer(
        db,
        actor=scene.actor_of(who or people.coach),
        client_id=people.client.id,
        request_id=request_id,
        done_on=seed.TODAY - timedelta(days=days_ago),
        how="Handed over on paper.",
        now=seed.NOW,
    )


def lines(db, person, folder, *, now=seed.NOW):
    actor = scene.actor_of(person)
    readable = readable_clients(db, actor=actor, now=now)
    return house_lines(db, actor=actor, clients=readable, data_dir=folder, rules=RULES, now=now)


def test_a_request_waits_in_the_morning_until_it_is_answered_and_again_when_opened(coach, people, tmp_path):
    with coach.db(write=True) as db:
        request_id = keep(db, people, days_ago=29)
        assert [(one.name, one.shelf) for one in lines(db, people.coach, tmp_path)] == [("request_due", Shelf.TODAY)]

        answer(db, people, request_id)
        assert lines(db, people.coach, tmp_path) == ()

        actor = scene.actor_of(people.coach)
        use.open_again(db, actor=actor, client_id=people.client.id, request_id=request_id, now=seed.NOW)
        assert [one.request_id for one in lines(db, people.coach, tmp_path)] == [request_id]
        actions = [one.action for one in trail_of(db, client_id=people.client.id) if "data" in one.subject]
        assert actions == ["opened again", "answered", "asked"]


def test_who_left_is_answered_as_well(coach, people, tmp_path):
    with coach.db(write=True) as db:
        keep(db, people, kind=DataRequestKind.CORRECTION)
        clients.set_state(db, client_id=people.client.id, state=ClientState.LEFT)

        assert len(lines(db, people.coach, tmp_path)) == 1
        assert lines(db, people.other_coach, tmp_path) == ()


def test_the_same_is_not_asked_twice_while_it_waits(coach, people):
    with coach.db(write=True) as db:
        request_id = keep(db, people)

        with pytest.raises(Refused, match="waits for its answer"):
            keep(db, people)
        answer(db, people, request_id)
        keep(db, people)

        assert len(data_requests.of_client(db, client_id=people.client.id)) == 2


@pytest.mark.parametrize("days_ago", [-1, 367])
def test_a_day_to_come_or_over_a_year_ago_is_refused(coach, people, days_ago):
    with coach.db(write=True) as db, pytest.raises(Refused):
        keep(db, people, days_ago=days_ago)


def test_erasure_is_answered_by_the_head_coach_alone(coach, people):
    with coach.db(write=True) as db:
        request_id = keep(db, people, kind=DataRequestKind.ERASURE)

        with pytest.raises(NotAllowed, match="head coach"):
            answer(db, people, request_id)
        answer(db, people, request_id, who=people.head)

        assert not data_requests.waiting(db)


def test_an_answer_is_neither_earlier_than_the_question_nor_given_twice(coach, people):
    with coach.db(write=True) as db:
        request_id = keep(db, people, days_ago=2)

        with pytest.raises(Refused, match="Choose a day"):
            answer(db, people, request_id, days_ago=3)
        answer(db, people, request_id, days_ago=2)
        with pytest.raises(StaleEdit, match="answered already"):
            answer(db, people, request_id)


def test_a_client_asks_and_takes_back_but_does_not_answer(coach, people):
    with coach.db(write=True) as db:
        client = seed.client_person(db, people.client)
        request_id = keep(db, people, who=client)

        with pytest.raises(NotAllowed):
            answer(db, people, request_id, who=client)
        use.take_back(
            db, actor=scene.actor_of(client), client_id=people.client.id, request_id=request_id, now=seed.NOW
        )

        assert data_requests.waiting(db) == []


def test_nobody_answers_about_somebody_elses_client(coach, people):
    with coach.db(write=True) as db:
        request_id = keep(db, people)

        with pytest.raises(NotYours):
            answer(db, people, request_id, who=people.other_coach)


def test_a_copy_too_old_is_the_head_coachs_line_and_goes_with_a_new_one(coach, people, tmp_path):
    later = seed.NOW + timedelta(days=60)
    with coach.db(write=True) as db:
        assert lines(db, people.head, tmp_path, now=later) == ()
        db.get_one(PracticeRow, 1).kind = PracticeKind.REAL
        assert [one.name for one in lines(db, people.head, tmp_path, now=later)] == ["backup_stale"]
        assert lines(db, people.coach, tmp_path, now=later) == ()

        folder = tmp_path / backup.FOLDER
        folder.mkdir()
        (folder / f"foothill-{later:%Y%m%dT%H%M%S}.sqlite3").write_bytes(b"")

        assert lines(db, people.head, tmp_path, now=later) == ()
        assert len(lines(db, people.head, tmp_path, now=later + timedelta(days=8))) == 1
