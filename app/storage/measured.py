"""What was measured of a client that targets are made from."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime

from sqlalchemy import update
from sqlalchemy.orm import Session

from app.coaching.measured import Measured
from app.storage.reading import read, read_one
from app.storage.tables.measured import MeasuredRow


def add(db: Session, *, measured: Measured) -> int:
    """Add a figure; the given id is ignored. Returns the id."""
    values = {f.name: getattr(measured, f.name) for f in fields(Measured) if f.name != "id"}
    row = MeasuredRow(**values)
    db.add(row)
    db.flush()
    return row.id


def of_client(db: Session, *, client_id: int) -> tuple[Measured, ...]:
    """Everything measured of a client, oldest first, what was set aside included."""
    return tuple(
        read(
            db,
            Measured,
            MeasuredRow,
            MeasuredRow.client_id == client_id,
            order_by=[MeasuredRow.measured_on, MeasuredRow.id],
        )
    )


def one(db: Session, *, measured_id: int) -> Measured | None:
    """A figure by id."""
    return read_one(db, Measured, MeasuredRow, MeasuredRow.id == measured_id)


def set_aside(db: Session, *, measured_id: int, person_id: int, at: datetime) -> bool:
    """Set a mistaken figure aside; False when it was already."""
    done = db.execute(
        update(MeasuredRow)
        .where(MeasuredRow.id == measured_id, MeasuredRow.set_aside_at.is_(None))
        .values(set_aside_at=at, set_aside_by=person_id)
        .returning(MeasuredRow.id)
    ).all()
    return bool(done)
