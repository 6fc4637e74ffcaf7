"""How long the morning takes a client, and how many SQL statements it asks: printed; nothing timed is asserted."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from time import process_time

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from app.coaching.access import Actor
from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.coaching.signals import signals
from app.storage import practice, schema
from app.storage.database import open_engine, unit_of_work
from app.usecases.accounts import create_coach
from app.usecases.morning.page import this_morning
from tests import factories
from tests.bench import seeded

NOW = factories.at(seeded.TODAY)
RULES = Rules()
RUNS = 3


@contextmanager
def counted_statements(engine: Engine) -> Iterator[list[str]]:
    """Every statement asked while this is open."""
    asked: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
        asked.append(statement)

    event.listen(engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(engine, "before_cursor_execute", note)


def fastest(work: Callable[[], object]) -> float:
    """Processor seconds of the fastest of some runs, so that a busy machine matters less."""
    found = []
    for _ in range(RUNS):
        started = process_time()
        work()
        found.append(process_time() - started)
    return min(found)


def morning_of(folder: Path, clients: int) -> tuple[float, int]:
    """Milliseconds a client and the statements of one morning."""
    folder.mkdir()
    schema.upgrade(folder)
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway Endurance", kind=PracticeKind.DEMO, zone="Europe/Berlin", at=NOW)
        person = create_coach(db, name="Greta Alm", email="greta@birchway.example", password_hash="x", now=NOW)
        seeded.write(db, seeded.histories(clients, person_id=person.id))
    actor = Actor(person.id, person.name, person.role, None)
    with unit_of_work(engine, write=False) as db:
        this_morning(db, actor=actor, rules=RULES, now=NOW)
        with counted_statements(engine) as asked:
            page = this_morning(db, actor=actor, rules=RULES, now=NOW)
        seconds = fastest(lambda: this_morning(db, actor=actor, rules=RULES, now=NOW))
    engine.dispose()
    assert len(page.clients) == clients
    return 1000 * seconds / clients, len(asked)


def test_a_morning_asks_as_many_statements_for_many_as_for_few(tmp_path: Path) -> None:
    few_ms, few = morning_of(tmp_path / "few", 50)
    many_ms, many = morning_of(tmp_path / "many", 200)

    print(f"\n 50 clients: {few_ms:5.2f} ms a client, {few} statements")
    print(f"200 clients: {many_ms:5.2f} ms a client, {many} statements ({many_ms / few_ms:.2f} times the few)")
    assert few == many


@pytest.mark.parametrize("clients", [50, 200])
def test_the_rules_alone(clients: int) -> None:
    known = seeded.histories(clients)

    seconds = fastest(lambda: [signals(one, seeded.TODAY, RULES) for one in known])

    records = sum(len(one.logs) + len(one.planned) for one in known)
    print(f"\n{clients} clients: {1000 * seconds / clients:.2f} ms a client for every signal, {records} records")
    assert records > clients
