"""What clients tell of days away, and what the coach answered."""

from __future__ import annotations

from dataclasses import fields
from datetime import datetime

from sqlalchemy import update
from sqlalchemy.orm import Session

from app.coaching.told_away import AwayAnswer, ToldAway
from app.storage.reading import read_one
from app.storage.tables.people import ToldAwayRow


def add(db: Session, *, told: ToldAway) -> int:
    """Keep what was told; the given id is ignored. Returns the id."""
    row = ToldAwayRow(**{f.name: getattr(told, f.name) for f in fields(ToldAway) if f.name != "id"})
    db.add(row)
    db.flush()
    return row.id


def one(db: Session, *, away_id: int) -> ToldAway | None:
    """What was told, by id."""
    return read_one(db, ToldAway, ToldAwayRow, ToldAwayRow.id == away_id)


def keep_answer(
    db: Session, *, away_id: int, answer: AwayAnswer, because: str | None, person_id: int, at: datetime
) -> bool:
    """Answer what is open; False when it is answered already."""
    done = db.execute(
        update(ToldAwayRow)
        .where(ToldAwayRow.id == away_id, ToldAwayRow.answer == AwayAnswer.OPEN)
        .values(answer=answer, answered_at=at, answered_by=person_id, answered_because=because)
        .returning(ToldAwayRow.id)
    ).all()
    return bool(done)
