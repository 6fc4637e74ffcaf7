"""The morning as a feed: a secret address that can be revoked, and what stands behind it, without health data."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Role
from app.coaching.morning import morning
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import accounts, conversations, history
from app.storage.audit import leave_trace
from app.storage.conversations import FeedAddress
from app.usecases.gate import NotAllowed, NotYours, readable_clients


@dataclass(frozen=True, slots=True)
class Feed:
    """How many lines wait: no names, no reasons; whoever reads along learns nothing about anybody."""

    person_id: int
    today: int
    planning: int
    waiting: int


def address(db: Session, *, actor: Actor) -> FeedAddress | None:
    """The feed's address that works; the address itself is shown once, when it is made."""
    return conversations.feed_of(db, person_id=actor.person_id)


def make_address(db: Session, *, actor: Actor, token_sha256: str, now: datetime) -> None:
    """Give the feed a new secret address; an earlier one stops working. Raises: NotAllowed for a client."""
    if not actor.is_coach:
        raise NotAllowed("The feed is the coach's.")
    conversations.revoke_feeds(db, person_id=actor.person_id, at=now)
    conversations.add_feed(db, person_id=actor.person_id, token_sha256=token_sha256, at=now)
    _trace(db, actor, "feed address made", now)


def revoke(db: Session, *, actor: Actor, now: datetime) -> None:
    """Let the feed's address stop working."""
    if conversations.revoke_feeds(db, person_id=actor.person_id, at=now):
        _trace(db, actor, "feed address revoked", now)


def feed(db: Session, *, token_sha256: str, rules: Rules, now: datetime) -> Feed:
    """What an address leads to. Raises: NotYours for one nobody has, a revoked one, or somebody switched off."""
    found = conversations.feed_by_token(db, token_sha256=token_sha256)
    person = accounts.person(db, person_id=found.person_id) if found else None
    if person is None or not person.is_active or person.role is Role.CLIENT:
        raise NotYours("There is no such feed.")
    actor = Actor(person.id, person.name, person.role, None)
    ids = [one.id for one in readable_clients(db, actor=actor, now=now)]
    day = now.date()
    known = history.load(db, client_ids=ids, from_on=day - WHOLE_BASE, until_on=day + FORTNIGHT)
    seen = morning(known, {one.client.id: local_day(now, one.client.zone) for one in known}, rules)
    return Feed(person.id, len(seen.today), len(seen.planning), len(seen.waiting_for_questions))


def _trace(db: Session, actor: Actor, action: str, now: datetime) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=action,
        subject="person",
        subject_id=actor.person_id,
    )
