"""The one SQLite file: how it is opened, which promises are asserted, and the unit of work."""

from __future__ import annotations

import fcntl
import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.exc import DatabaseError
from sqlalchemy.orm import Session

from app.coaching.reasons import DomainError

FILE_NAME = "foothill.sqlite3"
LOCK_NAME = "desk.lock"
BUSY_MS = 5000

#: What every connection must report. Full synchronous costs little here and survives a power cut.
PROMISES = {"journal_mode": "wal", "synchronous": 2}


_WAY_OUT = "Nothing was changed. The copies lie in the folder backups: foothill restore FILE brings one back."


class DeskIsRunning(DomainError):
    """Another process holds the data folder."""


class BrokenPromise(DomainError):
    """The database does not work the way it was set up to."""


def open_engine(data_dir: Path, *, foreign_keys: bool = True) -> Engine:
    """An engine on the practice's file. Only migrations switch the foreign keys off."""
    engine = create_engine(
        f"sqlite:///{data_dir / FILE_NAME}",
        pool_size=8,
        connect_args={"check_same_thread": False, "timeout": BUSY_MS / 1000},
    )
    event.listen(engine, "connect", partial(_on_connect, foreign_keys=foreign_keys))
    event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: sqlite3.Connection, _record: object, *, foreign_keys: bool) -> None:
    # The driver would open deferred transactions by itself; this switch hands BEGIN to us.
    connection.isolation_level = None
    for pragma in (
        "journal_mode=WAL",
        "synchronous=FULL",
        f"foreign_keys={int(foreign_keys)}",
        f"busy_timeout={BUSY_MS}",
        "trusted_schema=OFF",
        "cell_size_check=ON",
        "secure_delete=ON",
    ):
        connection.execute(f"PRAGMA {pragma}")
    for name, promised in (*PROMISES.items(), ("foreign_keys", int(foreign_keys))):
        found = connection.execute(f"PRAGMA {name}").fetchone()[0]
        if found != promised:
            raise BrokenPromise(f"the database reports {name} {found!r} where {promised!r} is needed")


def _on_begin(connection: Any) -> None:
    write = connection.get_execution_options().get("foothill_write", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if write else "BEGIN")


def assert_sound(data_dir: Path) -> None:
    """Read through the file once before anything is built on it.

    Raises: BrokenPromise with a way out when it is damaged.
    """
    engine = open_engine(data_dir)
    try:
        with engine.connect() as connection:
            found = [row[0] for row in connection.exec_driver_sql("PRAGMA quick_check")]
    except (DatabaseError, sqlite3.DatabaseError) as problem:
        raise BrokenPromise(f"{data_dir / FILE_NAME} cannot be read ({problem}). {_WAY_OUT}") from problem
    finally:
        engine.dispose()
    if found != ["ok"]:
        raise BrokenPromise(f"{data_dir / FILE_NAME} is damaged: {found[0]}. {_WAY_OUT}")


@contextmanager
def unit_of_work(engine: Engine, *, write: bool) -> Iterator[Session]:
    """One transaction: committed when the block ends, rolled back when it raises.

    A writing one begins IMMEDIATE, so that it never finds out too late that someone else wrote.
    """
    bound = engine.execution_options(foothill_write=write)
    with Session(bound, expire_on_commit=False) as db:
        try:
            yield db
            db.commit()
        except BaseException:
            _roll_back_quietly(db)
            raise


def _roll_back_quietly(db: Session) -> None:
    # With a full disk SQLite has rolled back already; a second complaint would hide the first.
    try:
        db.rollback()
    except Exception:
        db.invalidate()


@contextmanager
def hold_folder(data_dir: Path) -> Iterator[None]:
    """Keep the data folder for this process; the server and every writing command do.

    Raises: DeskIsRunning when another process has it.
    """
    data_dir.mkdir(parents=True, exist_ok=True)
    descriptor = os.open(data_dir / LOCK_NAME, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as problem:
            raise DeskIsRunning(
                f"The desk is running on {data_dir}. Stop it first, or use another folder with --data."
            ) from problem
        yield
    finally:
        os.close(descriptor)
