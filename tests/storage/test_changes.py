"""Of whom something was written: counted however it is written, and never of too few."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine, Table, delete, text, update
from sqlalchemy.exc import OperationalError

from app.storage import changes as counting
from app.storage.changes import NEVER_KEPT, Changes, counted_unit_of_work, snapshot_of, watch, whose
from app.storage.database import open_engine, unit_of_work
from app.storage.tables import Base, safety, training
from tests import seed
from tests.seed import People

TABLES = sorted(Base.metadata.tables.values(), key=lambda table: table.name)
#: Tables whose rows are nobody's alone: a row of theirs counts as everybody's. A new one is put here or says whose.
EVERYBODYS = frozenset(
    {
        "heat_notes", "hills", "import_mappings", "imports", "invites", "own_protocols", "practice",
        "practice_settings", "week_template_sessions", "week_templates",
    }
)  # fmt: skip


@pytest.fixture
def engine(desk_dir: Path) -> Iterator[Engine]:
    """The practice's file, opened."""
    found = open_engine(desk_dir)
    yield found
    found.dispose()


@pytest.fixture
def changes(engine: Engine) -> Changes:
    """What is counted on it."""
    return watch(engine)


def changed(changes: Changes, people: People, since: int) -> set[str]:
    """Of which of the practice's clients something was written since a count."""
    named = {"client": people.client, "other": people.other_client, "handed": people.handed_client}
    return {name for name, one in named.items() if not changes.is_unchanged(one.id, since=since)}


@pytest.mark.parametrize("table", TABLES, ids=lambda table: table.name)
def test_each_table_says_whose_its_rows_are_or_counts_as_everybodys(table: Table) -> None:
    is_known = whose(table, "NEW") != "NULL"

    assert is_known or table.name in EVERYBODYS | NEVER_KEPT
    assert not (is_known and table.name in EVERYBODYS)


def test_each_table_is_watched_for_each_kind_of_writing(engine: Engine, changes: Changes) -> None:
    with engine.connect() as connection:
        found = set(connection.execute(text("SELECT name FROM sqlite_temp_master WHERE type = 'trigger'")).scalars())
        tables = set(connection.execute(text("SELECT name FROM sqlite_master WHERE type = 'table'")).scalars())

    watched = tables - NEVER_KEPT - {"alembic_version"}
    assert found == {f"foothill_{how}_{name}" for how in ("insert", "update", "delete") for name in watched}


def test_a_row_is_its_clients_whichever_way_it_is_written(engine: Engine, changes: Changes, people: People) -> None:
    hold = safety.HoldRow
    with counted_unit_of_work(engine, changes, write=True) as db:
        hold_id = seed.add_hold(db, client=people.client)
    by_object = changes.count
    assert changed(changes, people, 0) == {"client"}

    ways = (
        lambda db: setattr(db.get_one(hold, hold_id), "cause", "Said so again."),
        lambda db: db.execute(update(hold).where(hold.id == hold_id).values(cause="In bulk.")),
        lambda db: db.execute(text("UPDATE holds SET cause = 'In words.'")),
        lambda db: db.connection().exec_driver_sql("UPDATE holds SET cause = 'Past everything.'"),
        lambda db: db.execute(delete(hold).where(hold.id == hold_id)),
    )
    before = by_object
    for way in ways:
        with counted_unit_of_work(engine, changes, write=True) as db:
            way(db)
        assert changed(changes, people, before) == {"client"}
        before = changes.count


def test_rounds_are_the_clients_whose_entry_they_belong_to(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        log_id = seed.add_log(db, client=people.other_client)
    before = changes.count
    with counted_unit_of_work(engine, changes, write=True) as db:
        db.add(training.RoundRow(session_log_id=log_id, number=1, duration_s=240.0, is_complete=True))
    assert changed(changes, people, before) == {"other"}
    before = changes.count

    with counted_unit_of_work(engine, changes, write=True) as db:
        db.execute(delete(training.SessionLogRow).where(training.SessionLogRow.id == log_id))

    # The entry went first; whose round went with it is not known any more.
    assert changed(changes, people, before) == {"client", "other", "handed"}


def test_a_row_that_passes_to_another_client_is_both_clients(
    engine: Engine, changes: Changes, people: People
) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        seed.add_contact(db, client=people.client)
    before = changes.count

    with counted_unit_of_work(engine, changes, write=True) as db:
        db.execute(text("UPDATE contacts SET client_id = :id"), {"id": people.other_client.id})

    assert changed(changes, people, before) == {"client", "other"}


def test_what_is_nobodys_alone_is_everybodys(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        db.execute(text("UPDATE practice SET name = 'Birchway'"))

    assert changed(changes, people, 0) == {"client", "other", "handed"}


def test_who_is_erased_has_changed(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        gone = seed.add_client(db, coach_id=people.coach.id, name="Not For Long")
        seed.add_contact(db, client=gone)
    before = changes.count

    with counted_unit_of_work(engine, changes, write=True) as db:
        db.execute(text("DELETE FROM clients WHERE id = :id"), {"id": gone.id})

    assert not changes.is_unchanged(gone.id, since=before)


def test_a_sign_in_and_a_trace_change_nobody(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        seed.add_login(db, person=people.coach, token="token-of-the-hour")

    assert changed(changes, people, 0) == set()


def test_neither_before_nor_within_a_writing_is_anything_kept_past_its_end(
    engine: Engine, changes: Changes, people: People
) -> None:
    client_id = people.client.id

    def reading():
        with counted_unit_of_work(engine, changes, write=False) as db:
            return snapshot_of(db)

    before = reading()
    with counted_unit_of_work(engine, changes, write=True) as db:
        seed.add_contact(db, client=people.client)
        within = reading()
        assert not within.still_stands(client_id, before)
    after = reading()

    assert not after.still_stands(client_id, before)
    assert not after.still_stands(client_id, within)
    assert after.still_stands(client_id, after)
    # A page that began before does not take what was read later.
    assert not before.still_stands(people.other_client.id, after)


def test_a_writing_that_is_taken_back_leaves_nothing_of_it_standing(
    engine: Engine, changes: Changes, people: People
) -> None:
    counted: list[int] = []

    def write() -> None:
        with counted_unit_of_work(engine, changes, write=True) as db:
            seed.add_contact(db, client=people.client)
            counted.append(changes.count)
            raise RuntimeError("the power went")

    with pytest.raises(RuntimeError, match="the power went"):
        write()
    assert changed(changes, people, counted[0]) == {"client"}


def test_a_connection_that_breaks_counts_once_more(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        seed.add_contact(db, client=people.client)
        within = changes.count
        db.invalidate()
        assert changed(changes, people, within) == {"client"}


def test_a_writing_transaction_and_an_engine_nobody_watches_have_no_snapshot(
    engine: Engine, changes: Changes, desk_dir: Path
) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        assert snapshot_of(db) is None
    with unit_of_work(open_engine(desk_dir), write=False) as db:
        assert snapshot_of(db) is None


def test_a_writing_that_cannot_be_counted_is_refused(
    engine: Engine, changes: Changes, people: People, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("cannot count")

    monkeypatch.setattr(Changes, "note", broken)

    with pytest.raises(OperationalError, match="user-defined function"):
        _add_contact(engine, changes, people)
    monkeypatch.undo()
    with counted_unit_of_work(engine, changes, write=False) as db:
        assert db.scalar(text("SELECT count(*) FROM contacts")) == 0


def _add_contact(engine: Engine, changes: Changes, people: People) -> None:
    with counted_unit_of_work(engine, changes, write=True) as db:
        seed.add_contact(db, client=people.client)


def test_tables_that_are_left_out_are_known_tables() -> None:
    assert {table.name for table in TABLES} >= NEVER_KEPT
    assert set(counting._WHOSE) <= {table.name for table in TABLES} - NEVER_KEPT
