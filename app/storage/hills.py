"""The practice's hills, and what clients ride and weigh."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from datetime import datetime
from typing import Any

from sqlalchemy import func, update
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.hills import Hill, Rider, unknown_rider
from app.coaching.prescriptions import PlannedSession
from app.storage.reading import read, read_one
from app.storage.tables.hills import HillRow, RiderRow


def add(db: Session, *, values: Mapping[str, Any], person_id: int, at: datetime) -> int:
    """Add a hill with its first revision."""
    row = HillRow(**values, created_at=at, person_id=person_id, retired_at=None, revision=1)
    db.add(row)
    db.flush()
    return row.id


def every(db: Session) -> list[Hill]:
    """All hills, retired ones too, in the order of their names."""
    return read(db, Hill, HillRow, order_by=[func.lower(HillRow.name), HillRow.id])


def one(db: Session, *, hill_id: int) -> Hill | None:
    """A hill by id."""
    return read_one(db, Hill, HillRow, HillRow.id == hill_id)


def of_sessions(db: Session, *, sessions: Iterable[PlannedSession]) -> dict[int, Hill]:
    """The hills that sessions are given for, by id, those out of use too."""
    wanted = {one.hill_id for one in sessions if one.hill_id is not None}
    return {one.id: one for one in read(db, Hill, HillRow, HillRow.id.in_(wanted))} if wanted else {}


def by_name(db: Session, *, name: str) -> Hill | None:
    """A hill by its name, capitals ignored."""
    wanted = name.casefold()
    return next((found for found in every(db) if found.name.casefold() == wanted), None)


def change(db: Session, *, hill_id: int, revision: int, values: Mapping[str, Any]) -> bool:
    """Change some fields of a hill if nobody did meanwhile; False when it has moved on."""
    done = db.execute(
        update(HillRow)
        .where(HillRow.id == hill_id, HillRow.revision == revision)
        .values(**values, revision=revision + 1)
        .returning(HillRow.id)
    ).all()
    return bool(done)


def rider(db: Session, *, client_id: int) -> Rider:
    """What a client weighs and rides."""
    found = read_one(db, Rider, RiderRow, RiderRow.client_id == client_id)
    return found or unknown_rider(client_id)


def keep_rider(db: Session, *, rider: Rider) -> None:
    """Set what a client weighs and rides."""
    values = asdict(rider)
    db.execute(
        insert(RiderRow).values(values).on_conflict_do_update(index_elements=[RiderRow.client_id], set_=values)
    )
