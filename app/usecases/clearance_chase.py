"""The list of papers to chase, for everybody a person may decide for or read."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.clearance_chase import ChaseLine, chase_list
from app.coaching.rules import Rules
from app.coaching.windows import WHOLE_BASE
from app.storage import history
from app.usecases.gate import readable_clients


def papers_to_chase(db: Session, *, actor: Actor, today: date, rules: Rules, now: datetime) -> tuple[ChaseLine, ...]:
    """Every paper that wants something among the clients a person may read; a fixed number of queries."""
    ids = [client.id for client in readable_clients(db, actor=actor, now=now)]
    found = history.load(db, client_ids=ids, from_on=today - WHOLE_BASE, until_on=today)
    return chase_list(found, today, rules)
