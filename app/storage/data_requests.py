"""Requests that people make about their own data."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, datetime

from sqlalchemy import update
from sqlalchemy.orm import Session

from app.coaching.data_requests import DataRequest
from app.storage.reading import read, read_one
from app.storage.tables.data_requests import DataRequestRow


def add(db: Session, *, request: DataRequest) -> int:
    """Keep a request; the given id is ignored. Returns the id."""
    row = DataRequestRow(**{f.name: getattr(request, f.name) for f in fields(DataRequest) if f.name != "id"})
    db.add(row)
    db.flush()
    return row.id


def one(db: Session, *, request_id: int) -> DataRequest | None:
    """A request by id."""
    return read_one(db, DataRequest, DataRequestRow, DataRequestRow.id == request_id)


def of_client(db: Session, *, client_id: int) -> list[DataRequest]:
    """A client's requests, newest first."""
    order = [DataRequestRow.asked_on.desc(), DataRequestRow.id.desc()]
    return read(db, DataRequest, DataRequestRow, DataRequestRow.client_id == client_id, order_by=order)


def waiting(db: Session) -> list[DataRequest]:
    """Everybody's requests that are not answered, oldest first."""
    order = [DataRequestRow.asked_on, DataRequestRow.id]
    return read(db, DataRequest, DataRequestRow, DataRequestRow.done_on.is_(None), order_by=order)


def keep_answer(db: Session, *, request_id: int, on: date, how: str, person_id: int, at: datetime) -> bool:
    """Keep that a request was answered; False when it was before."""
    done = db.execute(
        update(DataRequestRow)
        .where(DataRequestRow.id == request_id, DataRequestRow.done_on.is_(None))
        .values(done_on=on, done_how=how, done_at=at, done_by=person_id)
        .returning(DataRequestRow.id)
    ).all()
    return bool(done)


def open_again(db: Session, *, request_id: int) -> bool:
    """Let a request wait again; False when it does."""
    done = db.execute(
        update(DataRequestRow)
        .where(DataRequestRow.id == request_id, DataRequestRow.done_on.is_not(None))
        .values(done_on=None, done_how=None, done_at=None, done_by=None)
        .returning(DataRequestRow.id)
    ).all()
    return bool(done)
