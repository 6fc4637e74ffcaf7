"""The bulk path writes what entering one by one writes: every row of every table, the audit trail with it."""

from __future__ import annotations

from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Engine, select

from app.coaching.access import Actor
from app.coaching.phases import Phase
from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.simulation import calendar_of, numbers_after_coach
from app.simulation.bulk import write
from app.simulation.entered import add_record
from app.simulation.rows import TABLES, Rows
from app.simulation.world.client import simulate_client
from app.simulation.world.record import Decided, Lifted, Record
from app.storage import practice, schema
from app.storage.database import open_engine, unit_of_work
from app.storage.tables import training
from app.usecases.accounts import create_coach
from tests.simulation.replay import Replay

pytestmark = pytest.mark.slow
TODAY, ZONE = date(2026, 11, 25), "Europe/Berlin"
#: Seeds and numbers of clients who are promoted once and twice, fall ill, feel something wrong, are cleared, travel
#: and leave.
YEARS = 2.0
CLIENTS = ((14, 1), (14, 2), (14, 3), (8, 1))
#: Numbers that storage gives out by itself; everything else is compared as it is.
OWN_NUMBERS = {
    training.PlannedVersionRow: {"version_id"},
}


def _practice(folder: Path) -> tuple[Engine, Actor]:
    folder.mkdir()
    schema.upgrade(folder)
    engine = open_engine(folder)
    calendar = calendar_of(YEARS, TODAY, ZONE)
    with unit_of_work(engine, write=True) as db:
        at = calendar.at(-1, 9)
        practice.create(db, name="Twice", kind=PracticeKind.SIMULATED, zone=ZONE, at=at)
        head = create_coach(db, name="Ansa", email="ansa@stillwater.example", password_hash="x", now=at)
    return engine, Actor(head.id, head.name, head.role, None)


def _records() -> list[Record]:
    calendar, numbers = calendar_of(YEARS, TODAY, ZONE), numbers_after_coach()
    return [
        simulate_client(number, seed=seed, calendar=calendar, rules=Rules(), numbers=numbers, coach_id=1).scene.record
        for seed, number in CLIENTS
    ]


def _told(engine: Engine, kind: type) -> Counter[tuple[Any, ...]]:
    """The rows of a table without their own numbers."""
    columns = [column for column in kind.__table__.columns if column.name not in OWN_NUMBERS.get(kind, {"id"})]
    with unit_of_work(engine, write=False) as db:
        return Counter(tuple(row) for row in db.execute(select(*columns)))


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory):
    records = _records()
    folder = tmp_path_factory.mktemp("twice")
    bulk, _ = _practice(folder / "bulk")
    single, coach = _practice(folder / "single")
    numbers = numbers_after_coach()
    rows = Rows(numbers, Rules())
    for record in records:
        add_record(rows, record)
    with unit_of_work(bulk, write=True) as db:
        write(db, rows)
    with unit_of_work(single, write=True) as db:
        for record in records:
            Replay(db, record, coach).all_of_it()
    yield records, bulk, single
    bulk.dispose()
    single.dispose()


@pytest.mark.parametrize("kind", TABLES, ids=lambda kind: kind.__tablename__)
def test_a_table_holds_the_same_rows_either_way(both, kind):
    _, bulk, single = both

    written, entered = _told(bulk, kind), _told(single, kind)

    assert written == entered
    assert written.total() > 0


def test_the_case_holds_what_is_hard_to_get_right(both):
    records, _, _ = both

    phases = {entry.decision.phase for record in records for entry in record.entries if isinstance(entry, Decided)}
    lifted = {entry.hold.kind.value for record in records for entry in record.entries if isinstance(entry, Lifted)}

    assert phases >= {Phase.AEROBIC_BASE, Phase.INTERVAL_ONE, Phase.INTERVAL_TWO}
    assert lifted >= {"illness", "injury", "symptom", "stopped_early"}
