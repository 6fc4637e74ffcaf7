"""Weeks kept as templates."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime

from sqlalchemy import delete, func, insert, update
from sqlalchemy.orm import Session

from app.coaching.week_templates import TemplateSession, WeekTemplate
from app.storage.reading import read, read_one
from app.storage.tables.templates import TemplateSessionRow, WeekTemplateRow


def add(db: Session, *, name: str, sessions: Sequence[TemplateSession], person_id: int, at: datetime) -> int:
    """Add a template with its sessions."""
    row = WeekTemplateRow(name=name, created_at=at, person_id=person_id)
    db.add(row)
    db.flush()
    said = [asdict(one) | {"week_template_id": row.id} for one in sessions]
    for values in said:
        del values["id"]
    db.execute(insert(TemplateSessionRow), said)
    return row.id


def every(db: Session) -> list[WeekTemplate]:
    """All templates in the order of their names."""
    return read(db, WeekTemplate, WeekTemplateRow, order_by=[func.lower(WeekTemplateRow.name), WeekTemplateRow.id])


def one(db: Session, *, week_template_id: int) -> WeekTemplate | None:
    """A template by id."""
    return read_one(db, WeekTemplate, WeekTemplateRow, WeekTemplateRow.id == week_template_id)


def by_name(db: Session, *, name: str) -> WeekTemplate | None:
    """A template by its name, capitals ignored."""
    wanted = name.casefold()
    return next((found for found in every(db) if found.name.casefold() == wanted), None)


def sessions_of(db: Session, *, week_template_ids: Sequence[int]) -> list[TemplateSession]:
    """The sessions of some templates, day by day."""
    row = TemplateSessionRow
    order = [row.week_template_id, row.weekday, row.id]
    return read(db, TemplateSession, row, row.week_template_id.in_(week_template_ids), order_by=order)


def rename(db: Session, *, week_template_id: int, name: str) -> None:
    """Give a template another name."""
    db.execute(update(WeekTemplateRow).where(WeekTemplateRow.id == week_template_id).values(name=name))


def remove(db: Session, *, week_template_id: int) -> None:
    """Take a template away; what was laid from it stays."""
    db.execute(delete(WeekTemplateRow).where(WeekTemplateRow.id == week_template_id))
