"""Readiness notes."""

from __future__ import annotations

from dataclasses import fields

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.coaching.readiness import ReadinessNote
from app.storage.tables.training import ReadinessNoteRow


def add(db: Session, *, note: ReadinessNote, import_key: str | None = None) -> int:
    """Add a note; the given id is ignored. Returns the id."""
    values = {f.name: getattr(note, f.name) for f in fields(ReadinessNote) if f.name != "id"}
    row = ReadinessNoteRow(**values, import_key=import_key)
    db.add(row)
    db.flush()
    return row.id


def import_keys(db: Session, *, client_id: int) -> dict[str, int]:
    """Identities of the rows brought in for a client, with the note each became."""
    query = select(ReadinessNoteRow.import_key, ReadinessNoteRow.id).where(
        ReadinessNoteRow.client_id == client_id, ReadinessNoteRow.import_key.is_not(None)
    )
    return {key: note_id for key, note_id in db.execute(query) if key is not None}
