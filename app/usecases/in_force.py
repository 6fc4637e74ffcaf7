"""What is paused for a client now, for pages that answer a new report or carry one without a connection."""

from __future__ import annotations

from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.note_beside_pause import told_in_short, told_to_writer
from app.coaching.paused_together import PausedTogether, paused_together
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT
from app.storage import history
from app.usecases.gate import open_record

#: As far as Today looks back, so that both say the same.
WINDOW_BACK = timedelta(days=400)


def paused(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> PausedTogether:
    """Everything in force for one client, taken as one pause."""
    found, today = _known(db, actor=actor, client_id=client_id, now=now)
    return paused_together(stopped_now(found, today, rules))


def beside_note(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> str:
    """What is paused and why, beside a box where a note to the client is written; "" when nothing is."""
    found, today = _known(db, actor=actor, client_id=client_id, now=now, ahead=FORTNIGHT)
    return told_to_writer(found, today, rules)


def in_short(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> str:
    """What is paused for one client, in short: "running and hard work"; "" when nothing is."""
    found, today = _known(db, actor=actor, client_id=client_id, now=now, ahead=FORTNIGHT)
    return told_in_short(found, today, rules)


def _known(
    db: Session, *, actor: Actor, client_id: int, now: datetime, ahead: timedelta = timedelta(0)
) -> tuple[History, date]:
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    [found] = history.load(db, client_ids=[client_id], from_on=today - WINDOW_BACK, until_on=today + ahead)
    return found, today
