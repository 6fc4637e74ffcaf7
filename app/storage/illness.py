"""Returns after illness, and how hot the practice's days are."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.heat import HeatNote
from app.coaching.holds import IllnessReturn
from app.storage.reading import read
from app.storage.tables.illness import HeatNoteRow, IllnessReturnRow


def add_return(
    db: Session,
    *,
    client_id: int,
    hold_id: int,
    well_since_on: date,
    lifted_on: date,
    days_lost: int,
    advice_from: str | None,
    advice_on: date | None,
    person_id: int,
    at: datetime,
) -> int:
    """Keep what was known when a hold after illness was lifted."""
    row = IllnessReturnRow(
        client_id=client_id,
        hold_id=hold_id,
        well_since_on=well_since_on,
        lifted_on=lifted_on,
        days_lost=days_lost,
        advice_from=advice_from,
        advice_on=advice_on,
        recorded_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def returns_of(db: Session, *, client_id: int) -> list[IllnessReturn]:
    """A client's returns, oldest first."""
    where = IllnessReturnRow.client_id == client_id
    return read(db, IllnessReturn, IllnessReturnRow, where, order_by=[IllnessReturnRow.id])


def add_heat(
    db: Session,
    *,
    noted_on: date,
    temperature_c: float | None,
    humidity_percent: float | None,
    wbgt_c: float | None,
    person_id: int,
    at: datetime,
) -> int:
    """Add how hot a day is."""
    row = HeatNoteRow(
        noted_on=noted_on,
        temperature_c=temperature_c,
        humidity_percent=humidity_percent,
        wbgt_c=wbgt_c,
        noted_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def heat_on(db: Session, *, day: date) -> HeatNote | None:
    """The newest note of a day; None when nobody wrote one."""
    found = read(db, HeatNote, HeatNoteRow, HeatNoteRow.noted_on == day, order_by=[HeatNoteRow.id])
    return found[-1] if found else None
