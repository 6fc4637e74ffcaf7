"""Changes of many clients' plans written together: a few statements, however many sessions."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import fields, replace
from datetime import date, datetime

from sqlalchemy import func, insert, select, tuple_, update
from sqlalchemy.orm import Session

from app.coaching.plan_changes import Change
from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import week_start
from app.storage.audit import Trace, leave_traces
from app.storage.prescriptions import VersionDraft
from app.storage.tables.training import PlannedSessionRow, PlannedVersionRow, PlannedWeekRow

_SAID = [f.name for f in fields(VersionDraft)]


def keep_changes(
    db: Session,
    *,
    changes: Sequence[Change],
    person_id: int,
    at: datetime,
    reason: str | None = None,
    publish: bool = False,
) -> list[int]:
    """Keep new sessions and next versions, all with the same reason; returns the sessions' identities in order."""
    said = [Change(one.before, replace(one.after, reason=reason)) for one in changes]
    return keep_said(db, changes=said, person_id=person_id, at=at, publish=publish)


def keep_said(
    db: Session, *, changes: Sequence[Change], person_id: int, at: datetime, publish: bool = False
) -> list[int]:
    """Keep new sessions and next versions, each with the reason it says, and their traces; returns the identities."""
    if not changes:
        return []
    ids = _identities(db, changes, at)
    published_at = at if publish else None
    db.execute(
        insert(PlannedVersionRow),
        [
            _version(change, session_id, person_id=person_id, at=at, published_at=published_at)
            for change, session_id in zip(changes, ids, strict=True)
        ],
    )
    bump_weeks(db, weeks=_weeks(changes))
    leave_traces(
        db,
        at=at,
        person_id=person_id,
        traces=[_trace(change, session_id) for change, session_id in zip(changes, ids, strict=True)],
    )
    return ids


def bump_weeks(db: Session, *, weeks: Iterable[tuple[int, date]]) -> None:
    """Count an edit of some clients' weeks; missing ones are added."""
    wanted = sorted(set(weeks))
    key = tuple_(PlannedWeekRow.client_id, PlannedWeekRow.starts_on)
    found = {
        (client_id, starts_on): (row_id, revision)
        for client_id, starts_on, row_id, revision in db.execute(
            select(PlannedWeekRow.client_id, PlannedWeekRow.starts_on, PlannedWeekRow.id, PlannedWeekRow.revision)
            .where(PlannedWeekRow.client_id.in_({client_id for client_id, _monday in wanted}))
            .where(key.in_(wanted))
        )
    }
    counted = [{"id": row_id, "revision": revision + 1} for row_id, revision in found.values()]
    if counted:
        db.execute(update(PlannedWeekRow), counted)
    missing = [{"client_id": one[0], "starts_on": one[1]} for one in wanted if one not in found]
    if missing:
        blank = {"block_id": None, "is_easier": False, "target_minutes": None, "note": None, "revision": 1}
        db.execute(insert(PlannedWeekRow), [blank | one for one in missing])


def _identities(db: Session, changes: Sequence[Change], at: datetime) -> list[int]:
    """Nobody else writes meanwhile, so new identities follow the last one."""
    following = (db.scalar(select(func.max(PlannedSessionRow.id))) or 0) + 1
    ids, new = [], []
    for change in changes:
        if change.before is not None:
            ids.append(change.before.id)
            continue
        ids.append(following)
        new.append({"id": following, "client_id": change.after.client_id, "created_at": at})
        following += 1
    if new:
        db.execute(insert(PlannedSessionRow), new)
    return ids


def _version(
    change: Change,
    session_id: int,
    *,
    person_id: int,
    at: datetime,
    published_at: datetime | None,
) -> dict[str, object]:
    return {name: getattr(change.after, name) for name in _SAID} | {
        "planned_session_id": session_id,
        "version": 1 if change.before is None else change.before.version + 1,
        "client_id": change.after.client_id,
        "created_at": at,
        "person_id": person_id,
        "published_at": published_at,
        "seen_at": None,
    }


def _weeks(changes: Sequence[Change]) -> set[tuple[int, date]]:
    sessions = [one for change in changes for one in (change.before, change.after) if one is not None]
    return {(one.client_id, week_start(one.planned_on)) for one in sessions}


def _trace(change: Change, session_id: int) -> Trace:
    after = {"after": _told(change.after)}
    return Trace(
        client_id=change.after.client_id,
        action=change.action,
        subject="planned session",
        subject_id=session_id,
        change=after if change.before is None else {"before": _told(change.before), **after},
        reason=change.after.reason,
    )


def _told(session: PlannedSession) -> dict[str, object]:
    return {
        "on": session.planned_on,
        "title": session.title,
        "minutes": session.minutes,
        "hard": session.is_hard,
        "cancelled": session.is_cancelled,
    }
