"""Intake answers that wait to be sent: one row a question, the last word counts."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, select
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.unsent_answers import UnsentAnswer
from app.storage.tables.intake import IntakeAnswerRow


@dataclass(frozen=True, slots=True)
class WaitingAnswer:
    """One answer that was kept and not sent."""

    question: str
    answer: Mapping[str, str]
    answered_at: datetime


def keep(db: Session, *, client_id: int, question: str, answer: Mapping[str, str], at: datetime) -> None:
    """Keep an answer; an earlier one to the same question goes."""
    values = {"answer_json": json.dumps(dict(answer)), "answered_at": at}
    row = {"client_id": client_id, "question": question} | values
    db.execute(
        insert(IntakeAnswerRow)
        .values(row)
        .on_conflict_do_update(index_elements=["client_id", "question"], set_=values)
    )


def waiting(db: Session, *, client_id: int) -> list[WaitingAnswer]:
    """A client's answers that wait to be sent, the oldest first."""
    query = (
        select(IntakeAnswerRow.question, IntakeAnswerRow.answer_json, IntakeAnswerRow.answered_at)
        .where(IntakeAnswerRow.client_id == client_id)
        .order_by(IntakeAnswerRow.answered_at, IntakeAnswerRow.question)
    )
    return [WaitingAnswer(question, json.loads(text), at) for question, text, at in db.execute(query)]


def unsent_of(db: Session, *, client_id: int) -> list[UnsentAnswer]:
    """The same as the rules read them."""
    rows = waiting(db, client_id=client_id)
    return [UnsentAnswer(client_id, one.question, json.dumps(dict(one.answer)), one.answered_at) for one in rows]


def forget(db: Session, *, client_id: int) -> None:
    """Drop what waited, once it was sent."""
    db.execute(delete(IntakeAnswerRow).where(IntakeAnswerRow.client_id == client_id))
