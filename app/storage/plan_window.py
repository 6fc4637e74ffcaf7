"""Planned sessions of a stretch of days, with every version of them: also those that stand on other days."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from datetime import date
from operator import attrgetter
from typing import Any

from sqlalchemy import ColumnElement, Select, literal_column, select
from sqlalchemy.orm import Session

from app.coaching.prescriptions import PlannedSession
from app.storage.heart_rate import as_they_may_be_said
from app.storage.prescriptions import VERSION_COLUMNS
from app.storage.reading import in_columns, made
from app.storage.tables.training import PlannedVersionRow

_BY_VERSION = attrgetter("version")
#: Written out: the index of changed sessions answers to no number handed over apart.
_ONE: ColumnElement[int] = literal_column("1")


def versions_between(
    db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date
) -> list[PlannedSession]:
    """Every version of the sessions that have one between two days, published or not; of each session the oldest
    first.

    Read as they lie in the index of days. Few sessions were changed, and fewer moved in or out of the days asked for:
    what stands on other days is asked for by their names alone.
    """
    row, days = PlannedVersionRow, (from_on, until_on)
    ours = select(*VERSION_COLUMNS).where(row.client_id.in_(client_ids))
    inside = _made(db, ours.where(row.planned_on.between(*days)).order_by(row.client_id, row.planned_on))
    moved_out = select(row.planned_session_id).where(
        row.client_id.in_(client_ids), row.version > _ONE, ~row.planned_on.between(*days)
    )
    elsewhere = _incomplete(inside) | (set(db.scalars(moved_out)) & {one.id for one in inside})
    theirs = select(*VERSION_COLUMNS).where(row.planned_session_id.in_(sorted(elsewhere)))
    outside = _made(db, theirs.where(~row.planned_on.between(*days)))
    first = [one for one in inside if one.version == 1]
    later = [one for one in inside if one.version > 1]
    return as_they_may_be_said(db, [*first, *sorted([*outside, *later], key=_BY_VERSION)])


def published_between(
    db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date
) -> list[PlannedSession]:
    """Every published version of sessions that have one between two days; of each session the oldest first."""
    found = versions_between(db, client_ids=client_ids, from_on=from_on, until_on=until_on)
    return [one for one in found if one.published_at is not None]


def drafts_among(versions: Sequence[PlannedSession], from_on: date, until_on: date) -> list[PlannedSession]:
    """Of versions read between two days the newest of each session where it is not published yet, by day."""
    newest = {one.id: one for one in versions}
    unpublished = (one for one in newest.values() if one.published_at is None)
    return sorted(
        (one for one in unpublished if from_on <= one.planned_on <= until_on), key=attrgetter("planned_on", "id")
    )


def _incomplete(inside: Sequence[PlannedSession]) -> set[int]:
    """Sessions of which an earlier version than those found must stand elsewhere: versions are counted from 1."""
    newest = {one.id: one.version for one in sorted((v for v in inside if v.version > 1), key=_BY_VERSION)}
    there = Counter(one.id for one in inside if one.id in newest)
    return {id_ for id_, version in newest.items() if there[id_] < version}


def _made(db: Session, query: Select[Any]) -> list[PlannedSession]:
    return made(PlannedSession, in_columns(db, query))
