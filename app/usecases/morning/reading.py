"""Up to when a coach has read what clients entered."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.reasons import Refused
from app.storage import conversations
from app.storage.audit import leave_trace

#: A page left open longer than this is asked for again (house choice).
OLDEST_PAGE = timedelta(days=366)


def mark_entries_read(db: Session, *, actor: Actor, until_at: datetime, now: datetime) -> None:
    """Everything entered up to an instant counts as read by this person.

    Raises: Refused for one to come, and for one so long ago that no page said it.
    """
    if until_at > now:
        raise Refused("Nothing can be read before it is written.")
    if until_at < now - OLDEST_PAGE:
        raise Refused("This page is too old; open the morning again.")
    conversations.mark_read(db, person_id=actor.person_id, until_at=until_at, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="read",
        subject="entries",
        change={"after": {"until": until_at.isoformat()}},
    )
