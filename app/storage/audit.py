"""The audit trail: who did what to whose record, when, before and after."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from sqlalchemy import ColumnElement, insert, select
from sqlalchemy.orm import Session

from app.storage.tables.desk import AuditRow
from app.storage.tables.people import PersonRow

#: What the trail calls a changed rule of the practice.
RULE_CHANGED = "rule changed"


#: An open hold that a copy brought back lacks; kept about the practice, since the client may be gone.
LOST_HOLD = "hold not in the copy"
LOST = "lost by a copy"
SETTLED = "settled"


@dataclass(frozen=True, slots=True)
class AuditEntry:
    """One entry, with the acting person's name."""

    id: int
    at: datetime
    person_name: str | None
    client_id: int | None
    action: str
    subject: str
    subject_id: int | None
    change_json: str
    reason: str | None


@dataclass(frozen=True, slots=True)
class Trace:
    """One entry to be added together with others."""

    client_id: int | None
    action: str
    subject: str
    subject_id: int | None
    change: Mapping[str, Any]
    reason: str | None = None


def leave_traces(db: Session, *, at: datetime, person_id: int | None, traces: Sequence[Trace]) -> None:
    """Add many entries of one person at one moment in one statement."""
    if traces:
        db.execute(
            insert(AuditRow),
            [
                {
                    "at": at,
                    "person_id": person_id,
                    "client_id": one.client_id,
                    "action": one.action,
                    "subject": one.subject,
                    "subject_id": one.subject_id,
                    "change_json": _json(one.change),
                    "reason": one.reason,
                }
                for one in traces
            ],
        )


def _json(change: Mapping[str, Any]) -> str:
    return json.dumps(change, default=_plain, ensure_ascii=False)


def leave_trace(
    db: Session,
    *,
    at: datetime,
    person_id: int | None,
    client_id: int | None,
    action: str,
    subject: str,
    subject_id: int | None = None,
    change: Mapping[str, Any] | None = None,
    reason: str | None = None,
) -> int:
    """Add an entry in the running transaction and return its id. `change` holds what the record said before/after."""
    row = AuditRow(
        at=at,
        person_id=person_id,
        client_id=client_id,
        action=action,
        subject=subject,
        subject_id=subject_id,
        change_json=_json(change or {}),
        reason=reason,
    )
    db.add(row)
    db.flush()
    return row.id


def _plain(value: object) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)


def trail_about(
    db: Session, *, client_id: int, subjects: Collection[str], subject_id: int, most: int = 100
) -> list[AuditEntry]:
    """The entries about one record of a client, newest first."""
    is_about = AuditRow.subject.in_(subjects) & (AuditRow.subject_id == subject_id)
    return _entries(db, AuditRow.client_id == client_id, is_about, most=most)


def trail_of(db: Session, *, client_id: int, most: int = 500) -> list[AuditEntry]:
    """A client's entries, newest first."""
    return _entries(db, AuditRow.client_id == client_id, most=most)


def trail_of_practice(db: Session, *, before_id: int | None = None, most: int = 100) -> list[AuditEntry]:
    """Entries about no single client (people, settings, sign-ins, refusals), newest first, page by page."""
    where: list[ColumnElement[bool]] = [AuditRow.client_id.is_(None)]
    if before_id is not None:
        where.append(AuditRow.id < before_id)
    return _entries(db, *where, most=most)


def newest_of_practice(db: Session, *, action: str, subject: str) -> AuditEntry | None:
    """The last entry about one thing of the practice; None when there is none."""
    where = (AuditRow.client_id.is_(None), AuditRow.action == action, AuditRow.subject == subject)
    return next(iter(_entries(db, *where, most=1)), None)


def entries_on(db: Session, *, subject: str, since: datetime) -> list[AuditEntry]:
    """Entries about one thing of the practice from an instant on, newest first."""
    where = (AuditRow.client_id.is_(None), AuditRow.subject == subject, AuditRow.at >= since)
    return _entries(db, *where, most=1000)


def entries_of(db: Session, *, client_id: int, subject: str, since: datetime) -> list[AuditEntry]:
    """A client's entries about one thing from an instant on, newest first."""
    where = (AuditRow.client_id == client_id, AuditRow.subject == subject, AuditRow.at >= since)
    return _entries(db, *where, most=1000)


def entries_by(
    db: Session, *, person_id: int, subject: str, actions: Collection[str], since: datetime
) -> list[AuditEntry]:
    """What one person did to clients' records of one kind from an instant on, newest first."""
    is_about = (AuditRow.subject == subject) & AuditRow.action.in_(actions)
    return _entries(db, AuditRow.person_id == person_id, is_about, AuditRow.at >= since, most=1000)


def lost_holds(db: Session) -> list[AuditEntry]:
    """Holds that a copy brought back lacked and nobody has settled, newest first."""
    about = AuditRow.client_id.is_(None) & (AuditRow.subject == LOST_HOLD)
    settled = select(AuditRow.subject_id).where(about, AuditRow.action == SETTLED)
    return _entries(db, about, AuditRow.action == LOST, AuditRow.id.not_in(settled), most=1000)


def entry(db: Session, *, entry_id: int) -> AuditEntry | None:
    """An entry by id."""
    return next(iter(_entries(db, AuditRow.id == entry_id, most=1)), None)


def _entries(db: Session, *where: ColumnElement[bool], most: int) -> list[AuditEntry]:
    query = (
        select(
            AuditRow.id,
            AuditRow.at,
            PersonRow.name,
            AuditRow.client_id,
            AuditRow.action,
            AuditRow.subject,
            AuditRow.subject_id,
            AuditRow.change_json,
            AuditRow.reason,
        )
        .join(PersonRow, PersonRow.id == AuditRow.person_id, isouter=True)
        .where(*where)
        .order_by(AuditRow.id.desc())
        .limit(most)
    )
    return [AuditEntry(*row) for row in db.execute(query)]
