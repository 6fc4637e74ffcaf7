"""What the morning reads of each client, and how a dealt line is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.effort import Band
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession
from app.coaching.returned import shown_of
from app.coaching.signals import Signal, rules_for
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history
from app.storage import signals as kept
from app.storage.audit import leave_trace

#: What was never marked as read is listed so far back (house choice).
UNREAD_MOST = timedelta(days=14)
#: A client's day and the practice's are never further apart.
_ZONES_APART = timedelta(days=2)


def load_all(db: Session, client_ids: Sequence[int], now: datetime) -> list[History]:
    """The histories of some clients as far as the morning looks, in a fixed number of queries."""
    day = now.date()
    return history.load(db, client_ids=client_ids, from_on=day - WHOLE_BASE, until_on=day + FORTNIGHT)


def who_is_told_of(db: Session, clients: Sequence[Client], now: datetime) -> list[Client]:
    """Those a rule may speak for, and others who entered something lately, also in a fixed number of queries. Of the
    rest, who asked or who left, the morning says nothing."""
    silent = [one.id for one in clients if not rules_for(one.state)]
    day = now.date()
    heard = history.who_entered(
        db, client_ids=silent, since_at=now - UNREAD_MOST - _ZONES_APART, from_on=day - WHOLE_BASE
    )
    return [one for one in clients if one.id in heard or rules_for(one.state)]


def session_today(known: History, today: date) -> PlannedSession | None:
    """Today's middle or hard session that no entry answers, the hardest first."""
    answered = {log.planned_session_id for log in known.logs}
    todays = [
        s
        for s in known.planned
        if s.planned_on == today and not s.is_cancelled and s.id not in answered and band_of_plan(s) is not Band.EASY
    ]
    return min(todays, key=lambda s: (not s.is_hard, s.id), default=None)


def keep_line(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    line: Signal,
    until_on: date | None,
    action: str,
    said: str | None,
    now: datetime,
) -> int:
    """Keep what was done with a line, and leave a trace of it. Returns its id."""
    handled_id = kept.keep(
        db,
        client_id=client_id,
        signal=line.name,
        key=line.key,
        until_on=until_on,
        person_id=actor.person_id,
        at=now,
        shown=shown_of(line),
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject="morning line",
        subject_id=handled_id,
        change={"after": {"line": line.name, "key": line.key, "until": until_on}},
        reason=said,
    )
    return handled_id
