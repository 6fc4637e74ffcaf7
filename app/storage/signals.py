"""Morning lines that were handled or put off."""

from __future__ import annotations

import json
from collections.abc import Collection
from datetime import date, datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.coaching.returned import Shown
from app.storage.tables.desk import HandledRow, HandledWord


def keep(
    db: Session,
    *,
    client_id: int,
    signal: str,
    key: str,
    until_on: date | None,
    person_id: int,
    at: datetime,
    shown: Shown | None = None,
) -> int:
    """Keep that a line was handled, or put off until a day, and what it said."""
    row = HandledRow(
        client_id=client_id,
        signal=signal,
        key=key,
        word=HandledWord.HANDLED if until_on is None else HandledWord.PUT_OFF,
        until_on=until_on,
        at=at,
        person_id=person_id,
        undone_at=None,
        shown_json=None if shown is None else _as_text(shown),
    )
    db.add(row)
    db.flush()
    return row.id


def shown_then(db: Session, *, handled_ids: Collection[int]) -> dict[int, Shown]:
    """What some lines said when they were dealt with; those of before it was kept are left out."""
    if not handled_ids:
        return {}
    query = select(HandledRow.id, HandledRow.shown_json).where(HandledRow.id.in_(handled_ids))
    return {id_: _from_text(text) for id_, text in db.execute(query) if text is not None}


def client_of(db: Session, *, handled_id: int) -> int | None:
    """Whose line was dealt with; None for a number nobody has."""
    return db.scalar(select(HandledRow.client_id).where(HandledRow.id == handled_id))


def undo(db: Session, *, handled_id: int, client_id: int, at: datetime) -> bool:
    """Let a line speak again; False when it is not this client's or was undone."""
    done = db.execute(
        update(HandledRow)
        .where(HandledRow.id == handled_id, HandledRow.client_id == client_id, HandledRow.undone_at.is_(None))
        .values(undone_at=at)
        .returning(HandledRow.id)
    ).all()
    return bool(done)


def undo_many(db: Session, *, handled_ids: Collection[int], but_of: Collection[int], at: datetime) -> None:
    """Let lines speak again but those of some clients; one that speaks already is left alone."""
    is_one = HandledRow.id.in_(handled_ids) & HandledRow.client_id.not_in(but_of)
    db.execute(update(HandledRow).where(is_one, HandledRow.undone_at.is_(None)).values(undone_at=at))


def _as_text(shown: Shown) -> str:
    said = {"sentence": shown.sentence, "figures": shown.figures, "evidence_on": shown.evidence_on.isoformat()}
    return json.dumps(said, ensure_ascii=False)


def _from_text(text: str) -> Shown:
    said = json.loads(text)
    figures = tuple((name, value) for name, value in said["figures"])
    return Shown(said["sentence"], figures, date.fromisoformat(said["evidence_on"]))
