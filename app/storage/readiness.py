"""Readiness notes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.coaching.readiness import ReadinessNote
from app.storage.reading import read
from app.storage.tables.training import ReadinessNoteRow


def add(db: Session, *, note: ReadinessNote, import_key: str | None = None) -> int:
    """Add a note; the given id is ignored. Returns the id."""
    values = {f.name: getattr(note, f.name) for f in fields(ReadinessNote) if f.name != "id"}
    row = ReadinessNoteRow(**values, import_key=import_key)
    db.add(row)
    db.flush()
    return row.id


def between(db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date) -> list[ReadinessNote]:
    """The notes of some clients between two days, oldest first."""
    row = ReadinessNoteRow
    where = (row.client_id.in_(client_ids), row.noted_on.between(from_on, until_on))
    return read(db, ReadinessNote, row, *where, order_by=[row.noted_on, row.id])


def import_keys(db: Session, *, client_id: int) -> dict[str, int]:
    """Identities of the rows brought in for a client, with the note each became."""
    query = select(ReadinessNoteRow.import_key, ReadinessNoteRow.id).where(
        ReadinessNoteRow.client_id == client_id, ReadinessNoteRow.import_key.is_not(None)
    )
    return {key: note_id for key, note_id in db.execute(query) if key is not None}
