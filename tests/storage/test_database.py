"""The file keeps its promises: durable settings, strict tables, one writer, old or new schema and nothing between."""

from __future__ import annotations

import sqlite3
import threading
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError, OperationalError

from app.coaching.practice import PracticeKind
from app.storage import practice, schema
from app.storage.database import (
    FILE_NAME,
    BrokenPromise,
    DeskIsRunning,
    _on_connect,
    hold_folder,
    open_engine,
    unit_of_work,
)
from app.storage.tables import Base

AT = datetime(2026, 11, 25, 7, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    schema.upgrade(tmp_path)
    return tmp_path


def test_every_connection_is_durable_and_checks_references(folder: Path) -> None:
    with unit_of_work(open_engine(folder), write=False) as db:
        found = {
            name: db.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys", "trusted_schema", "busy_timeout")
        }

    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "trusted_schema": 0,
        "busy_timeout": 5000,
    }


def test_a_database_that_will_not_write_ahead_is_refused() -> None:
    in_memory = sqlite3.connect(":memory:")

    with pytest.raises(BrokenPromise, match="journal_mode"):
        _on_connect(in_memory, None, foreign_keys=True)

    in_memory.close()


def test_every_table_is_strict(folder: Path) -> None:
    with unit_of_work(open_engine(folder), write=False) as db:
        loose = db.execute(
            text(
                "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0"
                " AND name NOT LIKE 'sqlite_%'"
            )
        ).scalars()

        assert set(loose) == {"alembic_version"}


def test_every_foreign_key_has_an_index(folder: Path) -> None:
    missing = []
    with unit_of_work(open_engine(folder), write=False) as db:
        for table in Base.metadata.tables:
            leading = {
                db.execute(text(f"SELECT name FROM pragma_index_info('{index}') WHERE seqno = 0")).scalar()
                for index in db.execute(text(f"SELECT name FROM pragma_index_list('{table}')")).scalars()
            }
            first_key = db.execute(text(f"SELECT name FROM pragma_table_info('{table}') WHERE pk = 1")).scalar()
            keys = set(db.execute(text(f"SELECT \"from\" FROM pragma_foreign_key_list('{table}')")).scalars())
            missing += [(table, key) for key in keys - leading - {first_key}]

    assert missing == []


@pytest.mark.filterwarnings(
    "ignore:Cannot correctly sort tables", "ignore:autogenerate skipping", "ignore:Skipped unsupported reflection"
)
def test_the_migrations_make_the_tables_the_code_describes(folder: Path) -> None:
    with open_engine(folder).connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": False})

        differences = [d for d in compare_metadata(context, Base.metadata) if "uq_people_email" not in str(d)]

    assert differences == []


def test_an_e_mail_address_belongs_to_one_person_whatever_its_capitals(folder: Path) -> None:
    engine = open_engine(folder)
    insert = text(
        "INSERT INTO people (name, email, role, is_active, created_at) VALUES ('A', :email, 'coach', 1, '2026')"
    )
    with unit_of_work(engine, write=True) as db:
        db.execute(insert, {"email": "mila@birchway.example"})

    with pytest.raises(IntegrityError), unit_of_work(engine, write=True) as db:
        db.execute(insert, {"email": "MILA@birchway.example"})


@pytest.mark.parametrize(
    "values",
    [
        "(1, NULL, '2026-11-25', 'as_planned', 'easy', 'walk', NULL, 4)",
        "(1, NULL, '2026-11-25', 'not_done', 'easy', 'walk', 30, 4)",
        "(1, NULL, '2026-11-25', 'as_planned', 'easy', 'walk', 2700, 4)",
        "(1, NULL, '2026-11-31', 'as_planned', 'easy', 'walk', 30, 4)",
        "(1, NULL, '2026-11-25', 'as_planned', 'easy', 'hover', 30, 4)",
        "(1, NULL, '2026-11-25', 'as_planned', 'easy', 'walk', 30, 11)",
        "(1, 99, '2026-11-25', 'as_planned', 'easy', 'walk', 30, 4)",
        "(99, NULL, '2026-11-25', 'as_planned', 'easy', 'walk', 30, 4)",
    ],
    ids=[
        "no minutes",
        "minutes though not done",
        "45 h",
        "no such day",
        "no such mode",
        "effort 11",
        "plan",
        "client",
    ],
)
def test_the_database_itself_refuses_an_impossible_log(folder: Path, values: str) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    insert = (
        "INSERT INTO session_logs (client_id, planned_session_id, done_on, answer, kind, mode, minutes, effort,"
        " felt_all_out, origin, entered_at, person_id, from_memory, revision) VALUES "
        + values[:-1]
        + ", 0, 'client', '2026', 1, 0, 1)"
    )

    with pytest.raises((IntegrityError, OperationalError)), unit_of_work(engine, write=True) as db:
        db.execute(text(insert))


def _add_coach_and_client(engine: object) -> None:
    with unit_of_work(engine, write=True) as db:  # type: ignore[arg-type]
        db.execute(
            text("INSERT INTO people (id, name, role, is_active, created_at) VALUES (1, 'Mila', 'coach', 1, '2026')")
        )
        db.execute(
            text(
                "INSERT INTO clients (id, name, zone, state, coach_id, has_phone, heart_rate_use, joined_on,"
                " revision, created_at) VALUES (1, 'Ilse', 'UTC', 'active', 1, 1, 'unknown', '2026-01-01', 1, '2026')"
            )
        )


def test_a_symptom_hold_cannot_be_closed_without_a_clearance_even_in_sql(folder: Path) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    with unit_of_work(engine, write=True) as db:
        db.execute(
            text(
                "INSERT INTO holds (client_id, kind, stops, cause, began_on, raised_at, person_id)"
                " VALUES (1, 'symptom', 'all', 'tight chest', '2026-11-24', '2026', 1)"
            )
        )

    with pytest.raises(IntegrityError), unit_of_work(engine, write=True) as db:
        db.execute(text("UPDATE holds SET lifted_at = '2026', lifted_by = 1, lifted_because = 'fine again'"))


def test_a_unit_of_work_that_raises_leaves_nothing(folder: Path) -> None:
    engine = open_engine(folder)

    with pytest.raises(RuntimeError), unit_of_work(engine, write=True) as db:  # noqa: PT012  # the block is the unit
        practice.create(db, name="Birchway", kind=PracticeKind.DEMO, zone="UTC", at=AT)
        raise RuntimeError

    with unit_of_work(engine, write=False) as db:
        assert practice.found(db) is None


def test_writers_one_after_another_lose_no_update(folder: Path) -> None:
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        db.execute(text("CREATE TABLE tally (n INTEGER NOT NULL) STRICT"))
        db.execute(text("INSERT INTO tally VALUES (0)"))

    def add_fifty() -> None:
        for _ in range(50):
            with unit_of_work(engine, write=True) as own:
                seen = own.execute(text("SELECT n FROM tally")).scalar_one()
                own.execute(text("UPDATE tally SET n = :n"), {"n": seen + 1})

    threads = [threading.Thread(target=add_fifty) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    with unit_of_work(engine, write=False) as db:
        assert db.execute(text("SELECT n FROM tally")).scalar_one() == 200


def test_a_full_disk_reports_itself_and_keeps_what_was_there(folder: Path) -> None:
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway", kind=PracticeKind.DEMO, zone="UTC", at=AT)

    with pytest.raises(OperationalError, match="full"), unit_of_work(engine, write=True) as db:  # noqa: PT012  # same
        pages = db.execute(text("PRAGMA page_count")).scalar_one()
        db.execute(text(f"PRAGMA max_page_count = {pages}"))
        db.execute(text("CREATE TABLE heavy (content BLOB NOT NULL) STRICT"))
        db.execute(text("INSERT INTO heavy VALUES (zeroblob(2000000))"))

    with unit_of_work(open_engine(folder), write=False) as db:
        assert practice.found(db) is not None
        assert db.execute(text("PRAGMA integrity_check")).scalar() == "ok"


def test_a_folder_is_held_by_one_process(tmp_path: Path) -> None:
    with hold_folder(tmp_path), pytest.raises(DeskIsRunning, match="is running"), hold_folder(tmp_path):
        pass


def test_a_folder_is_free_again_afterwards(tmp_path: Path) -> None:
    with hold_folder(tmp_path):
        pass

    with hold_folder(tmp_path):
        assert (tmp_path / "desk.lock").exists()


def test_a_file_of_a_newer_desk_is_refused(folder: Path) -> None:
    with sqlite3.connect(folder / FILE_NAME) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
    raw.close()

    with pytest.raises(schema.SchemaTooNew, match="9999"):
        schema.upgrade(folder)


def test_upgrading_twice_changes_nothing(folder: Path) -> None:
    with unit_of_work(open_engine(folder), write=True) as db:
        practice.create(db, name="Birchway", kind=PracticeKind.DEMO, zone="UTC", at=date_at())

    schema.upgrade(folder)

    with unit_of_work(open_engine(folder), write=False) as db:
        found = practice.found(db)
        assert found is not None
        assert found.name == "Birchway"


def date_at() -> datetime:
    return datetime.combine(date(2026, 11, 25), AT.time(), UTC)


def test_tests_kept_before_weight_and_height_come_through_the_upgrade_and_back(folder: Path) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    _move_to(folder, "0001")
    columns = "client_id, tested_on, protocol, mode, distance_m, origin, entered_at, person_id"
    with unit_of_work(engine, write=True) as db:
        db.execute(
            text(
                f"INSERT INTO fitness_tests ({columns})"
                " VALUES (1, '2026-11-20', 'six_minute_walk', 'walk', 480, 'coach', '2026-11-20T10:00:00Z', 1)"
            )
        )

    schema.upgrade(folder)

    with unit_of_work(engine, write=False) as db:
        kept = db.execute(text("SELECT distance_m, weight_kg, height_cm FROM fitness_tests")).one()
        strict = db.execute(text("SELECT strict FROM pragma_table_list WHERE name = 'fitness_tests'")).scalar_one()
    assert (tuple(kept), strict) == ((480.0, None, None), 1)
    with pytest.raises(IntegrityError), unit_of_work(engine, write=True) as db:
        db.execute(text("UPDATE fitness_tests SET weight_kg = 6150"))
    _move_to(folder, "0001")
    with unit_of_work(engine, write=False) as db:
        assert db.execute(text(f"SELECT {columns} FROM fitness_tests")).one().distance_m == 480.0


def test_reports_kept_before_phones_sent_them_come_through_the_upgrade_and_back(folder: Path) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    _move_to(folder, "0007")
    columns = "client_id, sign, family, felt_on, entered_at, origin, person_id, hold_id"
    with unit_of_work(engine, write=True) as db:
        db.execute(
            text(
                "INSERT INTO holds (id, client_id, kind, stops, cause, began_on, raised_at, person_id)"
                " VALUES (1, 1, 'symptom', 'all', 'tight chest', '2026-11-24', '2026', 1)"
            )
        )
        db.execute(
            text(
                f"INSERT INTO symptom_reports ({columns})"
                " VALUES (1, 'chest', 'a', '2026-11-24', '2026-11-24T10:00:00.000000Z', 'client', 1, 1)"
            )
        )

    schema.upgrade(folder)

    with unit_of_work(engine, write=False) as db:
        kept = db.execute(text("SELECT sign, received_at, request_id FROM symptom_reports")).one()
        strict = db.execute(text("SELECT strict FROM pragma_table_list WHERE name = 'symptom_reports'")).scalar_one()
    assert (tuple(kept), strict) == (("chest", None, None), 1)
    again = text(f"INSERT INTO symptom_reports ({columns}, request_id) SELECT {columns}, 'one' FROM symptom_reports")
    with unit_of_work(engine, write=True) as db:
        db.execute(again)
    with pytest.raises(IntegrityError), unit_of_work(engine, write=True) as db:
        db.execute(again)
    _move_to(folder, "0007")
    with unit_of_work(engine, write=False) as db:
        assert db.execute(text("SELECT sign FROM symptom_reports")).scalars().all() == ["chest", "chest"]


def _move_to(folder: Path, revision: str) -> None:
    """Back to an earlier schema, as the migrations themselves do it."""
    with open_engine(folder, foreign_keys=False).execution_options(foothill_write=True).begin() as connection:
        command.downgrade(schema._config(connection), revision)


def test_a_desk_in_use_comes_through_the_upgrade_to_waiting_answers_and_back(folder: Path) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    _move_to(folder, "0003")

    schema.upgrade(folder)

    with unit_of_work(engine, write=True) as db:
        db.execute(text("INSERT INTO intake_answers VALUES (1, 'chest', '{}', '2026-11-25T07:00:00.000000Z')"))
        strict = db.execute(text("SELECT strict FROM pragma_table_list WHERE name = 'intake_answers'")).scalar_one()
    assert strict == 1
    _move_to(folder, "0003")
    with unit_of_work(engine, write=False) as db:
        assert db.execute(text("SELECT name FROM clients")).scalars().all() == ["Ilse"]
        assert db.execute(text("SELECT count(*) FROM pragma_table_list WHERE name = 'intake_answers'")).scalar() == 0


def test_waiting_answers_go_with_their_client(folder: Path) -> None:
    engine = open_engine(folder)
    _add_coach_and_client(engine)
    insert = text("INSERT INTO intake_answers VALUES (1, 'chest', :answer, '2026-11-25T07:00:00.000000Z')")
    with pytest.raises(IntegrityError), unit_of_work(engine, write=True) as db:
        db.execute(insert, {"answer": "no"})
    with unit_of_work(engine, write=True) as db:
        db.execute(insert, {"answer": "{}"})

    with unit_of_work(engine, write=True) as db:
        db.execute(text("DELETE FROM clients"))

    with unit_of_work(engine, write=False) as db:
        assert db.execute(text("SELECT count(*) FROM intake_answers")).scalar_one() == 0
