"""Scans of clinicians' papers: listed without their content, which is read one at a time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from app.storage.reading import read, read_one
from app.storage.tables.scans import ClearanceScanRow


@dataclass(frozen=True, slots=True)
class Scan:
    """One scan of a paper, without its content."""

    id: int
    client_id: int
    clearance_id: int
    media_type: str
    name: str
    size_bytes: int
    sha256: str
    added_at: datetime
    person_id: int


def add(
    db: Session,
    *,
    client_id: int,
    clearance_id: int,
    media_type: str,
    name: str,
    sha256: str,
    content: bytes,
    person_id: int,
    at: datetime,
) -> int:
    """Keep a scan as it came."""
    row = ClearanceScanRow(
        client_id=client_id,
        clearance_id=clearance_id,
        media_type=media_type,
        name=name,
        size_bytes=len(content),
        sha256=sha256,
        content=content,
        added_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def of_client(db: Session, *, client_id: int) -> list[Scan]:
    """A client's scans, oldest first."""
    return read(db, Scan, ClearanceScanRow, ClearanceScanRow.client_id == client_id, order_by=(ClearanceScanRow.id,))


def one(db: Session, *, scan_id: int) -> Scan | None:
    """A scan without its content."""
    return read_one(db, Scan, ClearanceScanRow, ClearanceScanRow.id == scan_id)


def content(db: Session, *, scan_id: int) -> bytes:
    """What a scan holds."""
    return db.execute(select(ClearanceScanRow.content).where(ClearanceScanRow.id == scan_id)).scalar_one()


def count(db: Session, *, clearance_id: int) -> int:
    """How many scans a paper has."""
    query = select(func.count()).where(ClearanceScanRow.clearance_id == clearance_id)
    return db.execute(query).scalar_one()
