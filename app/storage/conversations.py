"""Check-ins of clients, up to when a coach has read what came in, and the secret addresses of feeds."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date, datetime

from sqlalchemy import select, update
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.check_ins import CheckIn
from app.storage.reading import read_one
from app.storage.tables.conversations import CheckInRow, EntriesReadRow, FeedAddressRow


def add_check_in(db: Session, *, told: CheckIn) -> int:
    """Keep what was told of a week; the given id is ignored. Returns the id."""
    row = CheckInRow(**{f.name: getattr(told, f.name) for f in fields(CheckIn) if f.name != "id"})
    db.add(row)
    db.flush()
    return row.id


def check_in(db: Session, *, client_id: int, week_on: date) -> CheckIn | None:
    """What was told of one week."""
    return read_one(db, CheckIn, CheckInRow, CheckInRow.client_id == client_id, CheckInRow.week_on == week_on)


def read_until(db: Session, *, person_id: int) -> datetime | None:
    """Up to when a coach has read what clients entered; None before the first time."""
    return db.scalar(select(EntriesReadRow.until_at).where(EntriesReadRow.person_id == person_id))


def mark_read(db: Session, *, person_id: int, until_at: datetime, at: datetime) -> None:
    """Keep up to when a coach has read; it may be set back as well."""
    statement = insert(EntriesReadRow).values(person_id=person_id, until_at=until_at, read_at=at)
    db.execute(
        statement.on_conflict_do_update(index_elements=["person_id"], set_={"until_at": until_at, "read_at": at})
    )


@dataclass(frozen=True, slots=True)
class FeedAddress:
    """A feed's address that works: whose, since when, and when it was last asked for."""

    id: int
    person_id: int
    created_at: datetime
    last_read_at: datetime | None


def feed_of(db: Session, *, person_id: int) -> FeedAddress | None:
    """The address of a person's feed that works; None without one."""
    mine = FeedAddressRow.person_id == person_id, FeedAddressRow.revoked_at.is_(None)
    return read_one(db, FeedAddress, FeedAddressRow, *mine)


def feed_by_token(db: Session, *, token_sha256: str) -> FeedAddress | None:
    """The feed a secret address belongs to; None when nobody's, or revoked."""
    asked = FeedAddressRow.token_sha256 == token_sha256, FeedAddressRow.revoked_at.is_(None)
    return read_one(db, FeedAddress, FeedAddressRow, *asked)


def add_feed(db: Session, *, person_id: int, token_sha256: str, at: datetime) -> None:
    """Give a person's feed a new address."""
    db.add(
        FeedAddressRow(
            person_id=person_id, token_sha256=token_sha256, created_at=at, revoked_at=None, last_read_at=None
        )
    )
    db.flush()


def revoke_feeds(db: Session, *, person_id: int, at: datetime) -> bool:
    """Let every address of a person's feed stop working; whether there was one."""
    mine = FeedAddressRow.person_id == person_id, FeedAddressRow.revoked_at.is_(None)
    done = db.execute(update(FeedAddressRow).where(*mine).values(revoked_at=at).returning(FeedAddressRow.id)).all()
    return bool(done)
