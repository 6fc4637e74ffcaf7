"""Whom the practice's reading of diabetes alone concerns today."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Client, ClientState
from app.coaching.rules import Rules
from app.coaching.screening_decision import diabetes_alternative_applies, waits_by_stricter_diabetes_rule
from app.coaching.windows import WHOLE_BASE
from app.storage import history
from app.usecases.gate import readable_clients, require_head


def clients_concerned(db: Session, *, actor: Actor, today: date, rules: Rules, now: datetime) -> tuple[Client, ...]:
    """The clients who begin by the wider reading where it is on, or who wait by the stricter where it is off."""
    require_head(actor)
    ids = [one.id for one in readable_clients(db, actor=actor, now=now) if one.state is not ClientState.LEFT]
    found = history.load(db, client_ids=ids, from_on=today - WHOLE_BASE, until_on=today)
    is_concerned = diabetes_alternative_applies if rules.diabetes_alternative else waits_by_stricter_diabetes_rule
    concerned = (one.client for one in found if is_concerned(one, today, rules))
    return tuple(sorted(concerned, key=lambda client: (client.name, client.id)))
