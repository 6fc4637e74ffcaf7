"""Morning lines that were handled or put off."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.storage.tables.desk import HandledRow, HandledWord


def keep(
    db: Session,
    *,
    client_id: int,
    signal: str,
    key: str,
    until_on: date | None,
    person_id: int,
    at: datetime,
) -> int:
    """Keep that a line was handled, or put off until a day."""
    row = HandledRow(
        client_id=client_id,
        signal=signal,
        key=key,
        word=HandledWord.HANDLED if until_on is None else HandledWord.PUT_OFF,
        until_on=until_on,
        at=at,
        person_id=person_id,
        undone_at=None,
    )
    db.add(row)
    db.flush()
    return row.id


def client_of(db: Session, *, handled_id: int) -> int | None:
    """Whose line was dealt with; None for a number nobody has."""
    return db.scalar(select(HandledRow.client_id).where(HandledRow.id == handled_id))


def undo(db: Session, *, handled_id: int, client_id: int, at: datetime) -> bool:
    """Let a line speak again; False when it is not this client's or was undone."""
    done = db.execute(
        update(HandledRow)
        .where(HandledRow.id == handled_id, HandledRow.client_id == client_id, HandledRow.undone_at.is_(None))
        .values(undone_at=at)
        .returning(HandledRow.id)
    ).all()
    return bool(done)
