"""The sheet before a talk with a client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.conversation import Sheet, sheet_of
from app.coaching.people import Client
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history
from app.usecases.gate import open_record


@dataclass(frozen=True, slots=True)
class Conversation:
    """A client and the sheet."""

    client: Client
    sheet: Sheet


def conversation(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> Conversation:
    """What to know and to ask before a talk. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    known = history.load(db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=today + FORTNIGHT)[0]
    return Conversation(client, sheet_of(known, today, rules))
