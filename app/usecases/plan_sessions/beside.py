"""A client's records as sessions of the library are laid beside each other for them, and who may be asked about."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.hard_work import FORTNIGHT_DAYS
from app.coaching.people import Client, ClientState, Mode
from app.coaching.rules import Rules
from app.coaching.side_by_side import Asker
from app.coaching.target_values import TargetWishes
from app.coaching.weeks import local_day
from app.storage import history, measured
from app.usecases.gate import open_record, readable_clients
from app.usecases.plan_sessions.judged import judged_by_recordings

#: Long enough for the transition weeks and the gaps that decide about hard work.
WINDOW_BACK = timedelta(days=400)


def clients_beside(db: Session, *, actor: Actor, now: datetime) -> list[Client]:
    """For whom sessions may be laid side by side: those a person may read who have not left."""
    return [one for one in readable_clients(db, actor=actor, now=now) if one.state is not ClientState.LEFT]


def asker_for(
    db: Session, *, actor: Actor, client_id: int, mode: Mode, wishes: TargetWishes, rules: Rules, now: datetime
) -> Asker:
    """A client's records, hard sessions judged as on every other page: by recordings and edges set by hand."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    known = history.load(
        db, client_ids=[client_id], from_on=today - WINDOW_BACK, until_on=today + timedelta(days=FORTNIGHT_DAYS)
    )[0]
    judged = judged_by_recordings(db, known, today, rules)
    return Asker(known, measured.of_client(db, client_id=client_id), mode, wishes, judged)
