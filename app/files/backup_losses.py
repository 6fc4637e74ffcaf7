"""What a practice's file holds that an older copy of it does not: said before the copy takes its place."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from datetime import date
from pathlib import Path

#: What people enter, by its table.
ENTRY_TABLES = ("session_logs", "readiness_notes", "symptom_reports", "screening_answers", "fitness_tests", "notes")


@dataclass(frozen=True, slots=True)
class LostRecord:
    """A hold or a clearance that is not in the copy: whose, of which kind, from which day."""

    client_id: int
    client: str
    kind: str
    day: date


@dataclass(frozen=True, slots=True)
class Losses:
    """What is lost when a copy takes the place of the present file."""

    entries: int
    clients: tuple[str, ...]
    holds: tuple[LostRecord, ...]
    clearances: tuple[LostRecord, ...]
    #: Holds that were lifted after the copy was made; in the copy they stand open.
    reopened: tuple[LostRecord, ...]

    @property
    def is_nothing(self) -> bool:
        """Whether the copy holds everything the present file does."""
        return not (self.entries or self.clients or self.holds or self.clearances or self.reopened)


def losses(present: Path, *, copy: Path) -> Losses | None:
    """What the present file holds beyond a copy; None when there is no present file or it cannot be read."""
    if not present.is_file():
        return None
    try:
        with closing(sqlite3.connect(f"{present.resolve().as_uri()}?mode=rw", uri=True)) as db:
            db.execute("ATTACH DATABASE ? AS copy", (f"{copy.resolve().as_uri()}?mode=ro",))
            return Losses(
                entries=sum(_count_beyond(db, table) for table in ENTRY_TABLES),
                clients=tuple(row[0] for row in db.execute(_CLIENTS_BEYOND)),
                holds=_records(db, _HOLDS_BEYOND),
                clearances=_records(db, _CLEARANCES_BEYOND),
                reopened=_records(db, _HOLDS_REOPENED),
            )
    except sqlite3.DatabaseError:
        return None


def _count_beyond(db: sqlite3.Connection, table: str) -> int:
    query = f"SELECT count(*) FROM main.{table} WHERE id NOT IN (SELECT id FROM copy.{table})"  # noqa: S608  # our names
    return int(db.execute(query).fetchone()[0])


_CLIENTS_BEYOND = "SELECT name FROM main.clients WHERE id NOT IN (SELECT id FROM copy.clients) ORDER BY name"
_HOLDS_BEYOND = """
    SELECT clients.id, clients.name, holds.kind, holds.began_on
    FROM main.holds AS holds JOIN main.clients AS clients ON clients.id = holds.client_id
    WHERE holds.id NOT IN (SELECT id FROM copy.holds) AND holds.lifted_at IS NULL
    ORDER BY clients.name, holds.id
"""
_CLEARANCES_BEYOND = """
    SELECT clients.id, clients.name, papers.state, substr(papers.recorded_at, 1, 10)
    FROM main.clearances AS papers JOIN main.clients AS clients ON clients.id = papers.client_id
    WHERE papers.id NOT IN (SELECT id FROM copy.clearances)
    ORDER BY clients.name, papers.id
"""
_HOLDS_REOPENED = """
    SELECT clients.id, clients.name, holds.kind, holds.began_on
    FROM main.holds AS holds JOIN main.clients AS clients ON clients.id = holds.client_id
    JOIN copy.holds AS before ON before.id = holds.id
    WHERE before.lifted_at IS NULL AND holds.lifted_at IS NOT NULL
    ORDER BY clients.name, holds.id
"""


def _records(db: sqlite3.Connection, query: str) -> tuple[LostRecord, ...]:
    return tuple(LostRecord(who, name, kind, date.fromisoformat(day)) for who, name, kind, day in db.execute(query))
