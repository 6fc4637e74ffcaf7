"""The bulk path: many rows in one transaction, through the storage floor's own tables and types."""

from __future__ import annotations

from sqlalchemy import Table, insert
from sqlalchemy.orm import Session

from app.simulation.rows import TABLES, Rows


def write(db: Session, rows: Rows) -> int:
    """Write everything that was gathered, in the order foreign keys ask for; returns how many rows it was."""
    connection, written = db.connection(), 0
    for kind in TABLES:
        found = rows.by_table.pop(kind, [])
        if found:
            table = kind.__table__
            assert isinstance(table, Table)  # noqa: S101  # for the type checker: mapped classes here are tables
            connection.execute(insert(table), found)
            written += len(found)
    return written
