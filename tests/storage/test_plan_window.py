"""The versions of sessions that touch a stretch of days, against looking through every version there is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from random import Random

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.orm import Session

from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.storage import prescriptions
from app.storage.database import open_engine, unit_of_work
from app.storage.heart_rate import medicine_changes
from app.storage.plan_window import drafts_among, published_between, versions_between
from tests import seed
from tests.bench.test_morning_speed import counted_statements
from tests.seed import People

FIRST, LAST = seed.TODAY, seed.TODAY + timedelta(days=9)
DAYS = range(-4, 15)


@pytest.fixture
def engine(desk_dir: Path) -> Iterator[Engine]:
    """The practice's file, opened."""
    found = open_engine(desk_dir)
    yield found
    found.dispose()


def planned_at_random(db: Session, people: People, client: Client, random: Random) -> dict[int, list[PlannedSession]]:
    """Forty sessions that were moved up to three times in and out of the days asked for, each published or not."""
    for _ in range(40):
        first_on = seed.TODAY + timedelta(days=random.choice(DAYS))
        id_ = seed.add_planned(db, client=client, planned_on=first_on, publish=random.random() < 0.7)
        for _ in range(random.choice((0, 0, 1, 2, 3))):
            newest = prescriptions.versions(db, planned_session_id=id_)[-1]
            moved = replace(newest, planned_on=seed.TODAY + timedelta(days=random.choice(DAYS)))
            prescriptions.add_version(
                db,
                planned_session_id=id_,
                client_id=client.id,
                draft=prescriptions.draft_from(moved),
                person_id=people.coach.id,
                at=seed.NOW,
                publish=random.random() < 0.6,
            )
    ids = db.scalars(text("SELECT id FROM planned_sessions WHERE client_id = :id"), {"id": client.id}).all()
    return {id_: prescriptions.versions(db, planned_session_id=id_) for id_ in ids}


@pytest.mark.parametrize("number", range(6))
def test_every_version_of_the_sessions_that_touch_the_days_is_found_in_its_order(
    engine: Engine, people: People, number: int
) -> None:
    with unit_of_work(engine, write=True) as db:
        every = planned_at_random(db, people, people.client, Random(number))
        other = planned_at_random(db, people, people.other_client, Random(-number - 1))
        found = versions_between(db, client_ids=[people.client.id], from_on=FIRST, until_on=LAST)
        both = versions_between(
            db, client_ids=[people.client.id, people.other_client.id], from_on=FIRST, until_on=LAST
        )

    touching = {id_: of for id_, of in every.items() if any(FIRST <= one.planned_on <= LAST for one in of)}
    theirs = {id_: of for id_, of in other.items() if any(FIRST <= one.planned_on <= LAST for one in of)}
    assert {id_: [one for one in found if one.id == id_] for id_ in {one.id for one in found}} == touching
    assert len(found) == sum(map(len, touching.values()))
    assert {id_: [one for one in both if one.id == id_] for id_ in {one.id for one in both}} == touching | theirs
    assert any(one.planned_on < FIRST or one.planned_on > LAST for one in found)


@pytest.mark.parametrize("number", range(6))
def test_what_is_published_and_what_is_a_draft(engine: Engine, people: People, number: int) -> None:
    with unit_of_work(engine, write=True) as db:
        every = planned_at_random(db, people, people.client, Random(number))
        found = versions_between(db, client_ids=[people.client.id], from_on=FIRST, until_on=LAST)
        published = published_between(db, client_ids=[people.client.id], from_on=FIRST, until_on=LAST)

    touching = [of for of in every.values() if any(FIRST <= one.planned_on <= LAST for one in of)]
    newest = [of[-1] for of in touching if of[-1].published_at is None and FIRST <= of[-1].planned_on <= LAST]
    assert sorted(published, key=lambda one: one.version_id) == sorted(
        (one for of in touching for one in of if one.published_at), key=lambda one: one.version_id
    )
    assert drafts_among(found, FIRST, LAST) == sorted(newest, key=lambda one: (one.planned_on, one.id))


def test_moved_sessions_and_changed_medicines_are_found_in_indexes_of_their_own(
    engine: Engine, people: People
) -> None:
    with unit_of_work(engine, write=False) as db, counted_statements(engine) as asked:
        versions_between(db, client_ids=[people.client.id], from_on=FIRST, until_on=LAST)
        medicine_changes(db, client_ids=[people.client.id])
    with engine.connect() as connection:
        plans = [
            connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {one}", (1,) * one.count("?")).all() for one in asked
        ]

    used = " ".join(str(step) for plan in plans for step in plan)
    assert "USING COVERING INDEX ix_planned_versions_changed" in used
    assert "USING INDEX ix_readiness_notes_medicine" in used
