"""A clinician's two numbers for one client: kept, and taken back."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import update
from sqlalchemy.orm import Session

from app.coaching.pressure_limits import OwnPressureLimit
from app.storage.reading import read
from app.storage.tables.pressure_limits import PressureLimitRow


def add(
    db: Session,
    *,
    client_id: int,
    systolic_mmhg: int,
    diastolic_mmhg: int,
    given_on: date,
    signer: str,
    profession: str,
    how_seen: str,
    person_id: int,
    at: datetime,
) -> int:
    """Add two numbers."""
    row = PressureLimitRow(
        client_id=client_id,
        systolic_mmhg=systolic_mmhg,
        diastolic_mmhg=diastolic_mmhg,
        given_on=given_on,
        signer=signer,
        profession=profession,
        how_seen=how_seen,
        recorded_at=at,
        person_id=person_id,
        taken_back_at=None,
        taken_back_by=None,
    )
    db.add(row)
    db.flush()
    return row.id


def take_back(db: Session, *, limit_id: int, person_id: int, at: datetime) -> bool:
    """Take two numbers back; False when they were taken back before."""
    done = db.execute(
        update(PressureLimitRow)
        .where(PressureLimitRow.id == limit_id, PressureLimitRow.taken_back_at.is_(None))
        .values(taken_back_at=at, taken_back_by=person_id)
        .returning(PressureLimitRow.id)
    ).all()
    return bool(done)


def of_client(db: Session, *, client_id: int) -> list[OwnPressureLimit]:
    """A client's, oldest first, those taken back too."""
    where = PressureLimitRow.client_id == client_id
    return read(db, OwnPressureLimit, PressureLimitRow, where, order_by=[PressureLimitRow.id])
