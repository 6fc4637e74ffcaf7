"""Blocks, weeks and planned sessions with their versions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date, datetime
from operator import attrgetter
from typing import Any

from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek, SessionKind
from app.storage.heart_rate import as_they_may_be_said
from app.storage.many_rows import add_rows
from app.storage.reading import in_columns, made, read_one
from app.storage.tables.training import BlockRow, PlannedSessionRow, PlannedVersionRow, PlannedWeekRow


@dataclass(frozen=True, slots=True)
class VersionDraft:
    """What a new version of a planned session says."""

    planned_on: date
    kind: SessionKind
    mode: Mode
    title: str
    purpose: str
    minutes: int
    hard_minutes: float
    is_hard: bool
    rounds: int
    steps_json: str
    easy_version: str | None
    place: str | None
    is_cancelled: bool = False
    reason: str | None = None
    hill_id: int | None = None
    target_json: str | None = None


_DRAFT_NAMES = tuple(f.name for f in fields(VersionDraft))
_draft_values = attrgetter(*_DRAFT_NAMES)


def draft_from(session: PlannedSession, **changes: Any) -> VersionDraft:
    """What a version says, with some of it changed; the reason of the earlier version is not taken along."""
    values = {name: getattr(session, name) for name in _DRAFT_NAMES}
    return VersionDraft(**(values | {"reason": None} | changes))


#: Columns of a version in the order of PlannedSession's fields; `id` is the session's identity.
VERSION_COLUMNS: list[Any] = [
    PlannedVersionRow.planned_session_id if f.name == "id" else getattr(PlannedVersionRow, f.name)
    for f in fields(PlannedSession)
]


def add_block(
    db: Session,
    *,
    client_id: int,
    phase: Phase,
    aim: str,
    starts_on: date,
    weeks: int,
    is_introductory: bool,
    wishes_json: str,
    person_id: int,
    at: datetime,
) -> int:
    """Add a block."""
    row = BlockRow(
        client_id=client_id,
        phase=phase,
        aim=aim,
        starts_on=starts_on,
        weeks=weeks,
        is_introductory=is_introductory,
        wishes_json=wishes_json,
        created_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def block(db: Session, *, block_id: int) -> Block | None:
    """A block by id."""
    return read_one(db, Block, BlockRow, BlockRow.id == block_id)


def week(db: Session, *, client_id: int, starts_on: date) -> PlannedWeek | None:
    """A client's planned week."""
    return read_one(
        db,
        PlannedWeek,
        PlannedWeekRow,
        PlannedWeekRow.client_id == client_id,
        PlannedWeekRow.starts_on == starts_on,
    )


def keep_week(
    db: Session,
    *,
    client_id: int,
    starts_on: date,
    block_id: int | None,
    is_easier: bool,
    target_minutes: int | None,
    note: str | None = None,
) -> None:
    """Add a client's week or set what it says."""
    row = db.scalar(
        select(PlannedWeekRow).where(PlannedWeekRow.client_id == client_id, PlannedWeekRow.starts_on == starts_on)
    )
    if row is None:
        row = PlannedWeekRow(client_id=client_id, starts_on=starts_on, revision=0)
        db.add(row)
    row.block_id, row.is_easier, row.target_minutes, row.note = block_id, is_easier, target_minutes, note
    row.revision += 1
    db.flush()


_WEEK_IS_THERE = (
    "ON CONFLICT (client_id, starts_on) DO UPDATE SET block_id = excluded.block_id, "
    "is_easier = excluded.is_easier, target_minutes = excluded.target_minutes, note = NULL, revision = revision + 1"
)


def keep_weeks(db: Session, *, client_id: int, block_id: int, weeks: Sequence[tuple[date, bool, int | None]]) -> None:
    """Add a block's weeks or set what they say: Monday, whether it is an easier one, and its target minutes."""
    names, shared = ("starts_on", "is_easier", "target_minutes"), {"client_id": client_id, "block_id": block_id}
    add_rows(db, PlannedWeekRow, names, weeks, shared=shared | {"revision": 1}, on_conflict=_WEEK_IS_THERE)


def bump_week(db: Session, *, client_id: int, starts_on: date, revision: int | None) -> bool:
    """Count an edit of a week; False when `revision` is given and the week has moved on. Adds a missing week."""
    found = week(db, client_id=client_id, starts_on=starts_on)
    if found is None:
        if revision not in (None, 0):
            return False
        keep_week(db, client_id=client_id, starts_on=starts_on, block_id=None, is_easier=False, target_minutes=None)
        return True
    if revision is not None and revision != found.revision:
        return False
    db.execute(update(PlannedWeekRow).where(PlannedWeekRow.id == found.id).values(revision=found.revision + 1))
    return True


def add_session(
    db: Session, *, client_id: int, draft: VersionDraft, person_id: int, at: datetime, publish: bool = False
) -> int:
    """Add a planned session with its first version and return its identity."""
    row = PlannedSessionRow(client_id=client_id, created_at=at)
    db.add(row)
    db.flush()
    _add_version(
        db,
        planned_session_id=row.id,
        client_id=client_id,
        version=1,
        draft=draft,
        person_id=person_id,
        at=at,
        publish=publish,
    )
    return row.id


def add_sessions(
    db: Session, *, client_id: int, drafts: Sequence[VersionDraft], person_id: int, at: datetime
) -> None:
    """Add many planned sessions with their first versions, as drafts."""
    # The transaction writes alone, so that the next numbers are known and need not be asked back one by one.
    first = (db.scalar(select(func.max(PlannedSessionRow.id))) or 0) + 1
    ids = range(first, first + len(drafts))
    shared = {"client_id": client_id, "created_at": at}
    add_rows(db, PlannedSessionRow, ("id",), [(one,) for one in ids], shared=shared)
    made = [(session_id, 1, draft) for session_id, draft in zip(ids, drafts, strict=True)]
    _add_drafts(db, made, client_id=client_id, person_id=person_id, at=at)


def add_next_versions(
    db: Session,
    *,
    client_id: int,
    drafts: Sequence[tuple[PlannedSession, VersionDraft]],
    person_id: int,
    at: datetime,
) -> None:
    """Add the next version of many planned sessions, each given as its newest, as drafts."""
    made = [(newest.id, newest.version + 1, draft) for newest, draft in drafts]
    _add_drafts(db, made, client_id=client_id, person_id=person_id, at=at)


def _add_drafts(
    db: Session, made: Sequence[tuple[int, int, VersionDraft]], *, client_id: int, person_id: int, at: datetime
) -> None:
    shared = {"client_id": client_id, "created_at": at, "person_id": person_id}
    rows = [(session_id, version, *_draft_values(draft)) for session_id, version, draft in made]
    add_rows(db, PlannedVersionRow, ("planned_session_id", "version", *_DRAFT_NAMES), rows, shared=shared)


def add_version(
    db: Session,
    *,
    planned_session_id: int,
    client_id: int,
    draft: VersionDraft,
    person_id: int,
    at: datetime,
    publish: bool = False,
) -> int:
    """Add the next version of a planned session and return its number."""
    last = db.scalar(
        select(func.max(PlannedVersionRow.version)).where(PlannedVersionRow.planned_session_id == planned_session_id)
    )
    number = (last or 0) + 1
    _add_version(
        db,
        planned_session_id=planned_session_id,
        client_id=client_id,
        version=number,
        draft=draft,
        person_id=person_id,
        at=at,
        publish=publish,
    )
    return number


def _add_version(
    db: Session,
    *,
    planned_session_id: int,
    client_id: int,
    version: int,
    draft: VersionDraft,
    person_id: int,
    at: datetime,
    publish: bool,
) -> None:
    values = {name: getattr(draft, name) for name in _DRAFT_NAMES}
    db.add(
        PlannedVersionRow(
            planned_session_id=planned_session_id,
            version=version,
            client_id=client_id,
            created_at=at,
            person_id=person_id,
            published_at=at if publish else None,
            seen_at=None,
            **values,
        )
    )
    db.flush()


def publish(db: Session, *, version_ids: Sequence[int], at: datetime) -> int:
    """Stamp drafts as published; returns how many were."""
    done = db.execute(
        update(PlannedVersionRow)
        .where(PlannedVersionRow.version_id.in_(version_ids), PlannedVersionRow.published_at.is_(None))
        .values(published_at=at)
        .returning(PlannedVersionRow.version_id)
    ).all()
    return len(done)


def mark_seen(db: Session, *, version_id: int, client_id: int, at: datetime) -> None:
    """Note when the client first saw a version."""
    db.execute(
        update(PlannedVersionRow)
        .where(
            PlannedVersionRow.version_id == version_id,
            PlannedVersionRow.client_id == client_id,
            PlannedVersionRow.seen_at.is_(None),
        )
        .values(seen_at=at)
    )


def _read(db: Session, query: Any) -> list[PlannedSession]:
    """The one way planned sessions are read: for a client whose heart rate is not reliable, in words of effort."""
    return as_they_may_be_said(db, made(PlannedSession, in_columns(db, query)))


def versions(db: Session, *, planned_session_id: int) -> list[PlannedSession]:
    """All versions of one planned session, oldest first."""
    query = (
        select(*VERSION_COLUMNS)
        .where(PlannedVersionRow.planned_session_id == planned_session_id)
        .order_by(PlannedVersionRow.version)
    )
    return _read(db, query)


def versions_of(db: Session, *, planned_session_ids: Sequence[int]) -> list[PlannedSession]:
    """All versions of some planned sessions, session by session, oldest first."""
    query = (
        select(*VERSION_COLUMNS)
        .where(PlannedVersionRow.planned_session_id.in_(planned_session_ids))
        .order_by(PlannedVersionRow.planned_session_id, PlannedVersionRow.version)
    )
    return _read(db, query)


def newest(db: Session, *, planned_session_id: int) -> PlannedSession | None:
    """The newest version, published or not."""
    found = versions(db, planned_session_id=planned_session_id)
    return found[-1] if found else None


def client_of(db: Session, *, planned_session_id: int) -> int | None:
    """Whose planned session it is."""
    return db.scalar(select(PlannedSessionRow.client_id).where(PlannedSessionRow.id == planned_session_id))


def newest_between(db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date) -> list[PlannedSession]:
    """The newest version of each session whose newest version lies between two days, cancelled ones included."""
    last = (
        select(func.max(PlannedVersionRow.version_id).label("version_id"))
        .where(PlannedVersionRow.client_id.in_(client_ids))
        .group_by(PlannedVersionRow.planned_session_id)
        .subquery()
    )
    query = (
        select(*VERSION_COLUMNS)
        .join(last, last.c.version_id == PlannedVersionRow.version_id)
        .where(PlannedVersionRow.planned_on.between(from_on, until_on))
        .order_by(PlannedVersionRow.planned_on, PlannedVersionRow.planned_session_id)
    )
    return _read(db, query)


def published_of(db: Session, *, planned_session_ids: Sequence[int]) -> list[PlannedSession]:
    """Every published version of some planned sessions, oldest version first."""
    query = (
        select(*VERSION_COLUMNS)
        .where(
            PlannedVersionRow.planned_session_id.in_(planned_session_ids), PlannedVersionRow.published_at.is_not(None)
        )
        .order_by(PlannedVersionRow.planned_session_id, PlannedVersionRow.version)
    )
    return _read(db, query)
