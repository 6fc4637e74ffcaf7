"""What is paused for a client now, for pages that answer a new report or carry one without a connection."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.leave_to_train import stopped_now
from app.coaching.paused_together import PausedTogether, paused_together
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import history
from app.usecases.gate import open_record

#: As far as Today looks back, so that both say the same.
WINDOW_BACK = timedelta(days=400)


def paused(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> PausedTogether:
    """Everything in force for one client, taken as one pause."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    found = history.load(db, client_ids=[client_id], from_on=today - WINDOW_BACK, until_on=today)[0]
    return paused_together(stopped_now(found, today, rules))
