"""The practice's own sessions of the library."""

from __future__ import annotations

from dataclasses import asdict
from datetime import datetime

from sqlalchemy import func, update
from sqlalchemy.orm import Session

from app.coaching.protocol_library import Library, OwnDraft, OwnProtocol
from app.storage.reading import read, read_one
from app.storage.tables.protocols import OwnProtocolRow as Row


def library(db: Session) -> Library:
    """The whole library as it stands."""
    return Library(tuple(read(db, OwnProtocol, Row, order_by=[func.lower(Row.name), Row.id])))


def one(db: Session, *, own_protocol_id: int) -> OwnProtocol | None:
    """One of the practice's own by id."""
    return read_one(db, OwnProtocol, Row, Row.id == own_protocol_id)


def add(db: Session, *, draft: OwnDraft, copied_from: str | None, person_id: int, at: datetime) -> int:
    """Keep a new entry; returns its id."""
    row = Row(**asdict(draft), copied_from=copied_from, created_at=at, person_id=person_id, revision=1)
    db.add(row)
    db.flush()
    return row.id


def change(db: Session, *, own_protocol_id: int, draft: OwnDraft) -> None:
    """Write an entry anew; the caller leaves the trace with what it was."""
    changes = asdict(draft) | {"revision": Row.revision + 1}
    db.execute(update(Row).where(Row.id == own_protocol_id).values(**changes))


def set_retired(db: Session, *, own_protocol_id: int, at: datetime | None) -> None:
    """Offer an entry no more, or again."""
    changes = {"retired_at": at, "revision": Row.revision + 1}
    db.execute(update(Row).where(Row.id == own_protocol_id).values(**changes))
