"""The only way to a client's records: record and access come together."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, actions_for
from app.coaching.people import Client
from app.coaching.reasons import DomainError
from app.coaching.weeks import local_day
from app.storage import accounts, clients


class NotYours(DomainError):
    """To this person the record does not exist."""


class NotAllowed(DomainError):
    """The record may be seen, but not this be done with it."""


def open_record(db: Session, *, actor: Actor, client_id: int, action: Action, now: datetime) -> Client:
    """The client, for one action.

    Raises: NotYours for a stranger or a missing record; NotAllowed when reading is all that is allowed.
    """
    client = clients.one(db, client_id=client_id)
    if client is None:
        raise NotYours("There is no such client here.")
    allowed = allowed_actions(db, actor=actor, client=client, now=now)
    if Action.READ not in allowed:
        raise NotYours("There is no such client here.")
    if action not in allowed:
        raise NotAllowed("Your role allows reading here, not this change.")
    return client


def allowed_actions(db: Session, *, actor: Actor, client: Client, now: datetime) -> frozenset[Action]:
    """Everything a person may do with a client's record now."""
    today = local_day(now, client.zone)
    relation = accounts.relation(db, actor=actor, client_id=client.id, today=today)
    return actions_for(actor.role, relation)


def readable_clients(db: Session, *, actor: Actor, now: datetime) -> list[Client]:
    """Every client whose record a person may read, in the order of their names.

    A handover's days are the client's own; a day either side is asked for and then sifted.
    """
    ids = accounts.client_ids_for(db, actor=actor, today=now.date())
    found = clients.several(db, client_ids=ids)
    if actor.is_head:
        return found
    return [c for c in found if Action.READ in allowed_actions(db, actor=actor, client=c, now=now)]


def require_head(actor: Actor) -> None:
    """Settings, people and erasing are the head coach's. Raises: NotAllowed."""
    if not actor.is_head:
        raise NotAllowed("Only the head coach may change this.")
