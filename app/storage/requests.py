"""Exactly-once entry: forms that were carried out, and where their answer led."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete
from sqlalchemy.orm import Session

from app.storage.reading import read_one
from app.storage.tables.desk import RequestRow


@dataclass(frozen=True, slots=True)
class CarriedOut:
    """A form that was carried out before."""

    body_sha256: str
    location: str


def carried_out(db: Session, *, person_id: int, route: str, request_id: str) -> CarriedOut | None:
    """What became of a form with this id from this person, if it came before."""
    return read_one(
        db,
        CarriedOut,
        RequestRow,
        RequestRow.person_id == person_id,
        RequestRow.route == route,
        RequestRow.request_id == request_id,
    )


def remember(
    db: Session, *, person_id: int, route: str, request_id: str, body_sha256: str, location: str, at: datetime
) -> None:
    """Keep the answer in the same transaction as its effect."""
    db.add(
        RequestRow(
            person_id=person_id,
            route=route,
            request_id=request_id,
            body_sha256=body_sha256,
            location=location,
            at=at,
        )
    )
    db.flush()


def forget_before(db: Session, *, at: datetime) -> None:
    """Drop answers nobody will ask for again."""
    db.execute(delete(RequestRow).where(RequestRow.at < at))
