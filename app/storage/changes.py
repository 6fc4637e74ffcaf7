"""Of whom something was written, counted as it happens: what was found out about the others may be kept.

The file itself tells: each connection of a watched engine carries triggers of its own that name whose row was
written, whichever way it was written. A row that is nobody's alone counts as everybody's, and so does one in a table
that is not known here. Counted is as soon as a row is touched, and once more when its transaction is over, so that
neither what stood before nor what was never committed passes for what stands now.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from threading import Lock

from sqlalchemy import Engine, Table, event
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry

from app.storage.database import unit_of_work
from app.storage.tables import Base

#: Tables that no page keeps anything of: sign-ins, forms sent before, the trail, what was read, forecasts. They are
#: written at every turn; a test holds them against what the morning reads.
NEVER_KEPT = frozenset(
    {"audit_trail", "entries_read", "feed_addresses", "forecasts", "logins", "requests", "sign_in_failures"}
)
#: Whose a row is where it does not say so itself; {row} stands for the row before or after.
_WHOSE = {
    "clients": "{row}.id",
    "session_log_rounds": "(SELECT client_id FROM session_logs WHERE id = {row}.session_log_id)",
}
_NOBODYS_ALONE = "NULL"
_WRITINGS = {"INSERT": ("NEW",), "UPDATE": ("OLD", "NEW"), "DELETE": ("OLD",)}
_TOUCHED = "foothill_touched"
_SNAPSHOT = "foothill_snapshot"


class Changes:
    """How often something was written on one engine, and when last of each client."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._count = 0
        self._of_everybody = 0
        self._of: dict[int, int] = {}

    @property
    def count(self) -> int:
        """How often so far."""
        return self._count

    def note(self, client_ids: Iterable[int | None]) -> None:
        """Count a writing about some clients; None is everybody."""
        with self._lock:
            self._count += 1
            for one in client_ids:
                if one is None:
                    self._of_everybody = self._count
                else:
                    self._of[one] = self._count

    def is_unchanged(self, client_id: int, *, since: int) -> bool:
        """Whether nothing of a client was written since a count."""
        return max(self._of.get(client_id, 0), self._of_everybody) <= since


@dataclass(frozen=True, slots=True)
class Snapshot:
    """What had been counted before a reading transaction began; it sees at least everything committed until then."""

    changes: Changes
    count: int

    def still_stands(self, client_id: int, other: Snapshot) -> bool:
        """Whether what was read of a client in another transaction, not begun later, is what this one would read."""
        is_before = other.changes is self.changes and other.count <= self.count
        return is_before and self.changes.is_unchanged(client_id, since=other.count)


def watch(engine: Engine) -> Changes:
    """Count from now on what is written through an engine; its file has every table."""
    changes = Changes()
    event.listen(engine, "connect", partial(_on_connect, changes))
    event.listen(engine, "checkin", partial(_on_end, changes))
    event.listen(engine, "invalidate", partial(_on_end, changes))
    # Connections from before carry no triggers.
    engine.dispose()
    return changes


@contextmanager
def counted_unit_of_work(engine: Engine, changes: Changes, *, write: bool) -> Iterator[Session]:
    """One transaction; a reading one knows what had been counted before it began."""
    snapshot = Snapshot(changes, changes.count)
    with unit_of_work(engine, write=write) as db:
        if not write:
            db.info[_SNAPSHOT] = snapshot
        yield db


def snapshot_of(db: Session) -> Snapshot | None:
    """What had been counted before; None in a writing transaction, whose own rows may never be committed, and on an
    engine that is not watched."""
    found: Snapshot | None = db.info.get(_SNAPSHOT)
    return found


def whose(table: Table, row: str) -> str:
    """In SQL, the client a row of a table belongs to; NULL when it is nobody's alone."""
    if table.name in _WHOSE:
        return _WHOSE[table.name].format(row=row)
    return f"{row}.client_id" if "client_id" in table.columns else _NOBODYS_ALONE


def _on_connect(changes: Changes, connection: sqlite3.Connection, record: ConnectionPoolEntry) -> None:
    open_now: set[int | None] = set()
    record.info[_TOUCHED] = open_now
    connection.create_function(_TOUCHED, 1, partial(_touch, changes, open_now))
    connection.executescript(_TRIGGERS)


def _touch(changes: Changes, open_now: set[int | None], client_id: int | None) -> None:
    if client_id not in open_now:
        open_now.add(client_id)
        changes.note((client_id,))


def _on_end(changes: Changes, _connection: object, record: ConnectionPoolEntry, *_why: object) -> None:
    open_now: set[int | None] = record.info.get(_TOUCHED, set())
    if open_now:
        changes.note(tuple(open_now))
        open_now.clear()


def _triggers() -> Iterator[str]:
    for table in Base.metadata.tables.values():
        if table.name in NEVER_KEPT:
            continue
        for writing, rows in _WRITINGS.items():
            name = f"foothill_{writing.lower()}_{table.name}"
            touched = ", ".join(f"{_TOUCHED}({whose(table, row)})" for row in rows)
            yield f"CREATE TEMP TRIGGER {name} AFTER {writing} ON main.{table.name} BEGIN SELECT {touched}; END;"


_TRIGGERS = "\n".join(_triggers())
