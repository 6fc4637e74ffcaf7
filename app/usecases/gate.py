"""The only way to a client's records: record and access come together."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.people import Client, ClientState
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.weeks import local_day
from app.storage import accounts, clients, prescriptions


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
    """Every client whose record a person may read, in the order of their names."""
    return clients_for(db, actor=actor, action=Action.READ, now=now)


def clients_for(db: Session, *, actor: Actor, action: Action, now: datetime) -> list[Client]:
    """Every client whose record a person may do something with, in the order of their names.

    A handover's days are the client's own; a day either side is asked for and then sifted. The number of queries
    does not depend on the number of clients.
    """
    today = now.date()
    days = (today - timedelta(days=1), today, today + timedelta(days=1))
    ids = {one for day in days for one in accounts.client_ids_for(db, actor=actor, today=day)}
    found = clients.several(db, client_ids=sorted(ids))
    if actor.is_head:
        return found
    handed = accounts.handovers_to(db, person_id=actor.person_id)
    return [c for c in found if action in actions_for(actor.role, _relation(actor, c, handed, now))]


def planned_clients(db: Session, *, actor: Actor, now: datetime) -> list[Client]:
    """The clients a person plans for, by name; those who left are not among them."""
    found = clients_for(db, actor=actor, action=Action.DECIDE, now=now)
    return [client for client in found if client.state is not ClientState.LEFT]


def _relation(actor: Actor, client: Client, handed: Sequence[accounts.Handover], now: datetime) -> Relation:
    if actor.client_id == client.id:
        return Relation.SELF
    if client.coach_id == actor.person_id:
        return Relation.OWN_CLIENT
    today = local_day(now, client.zone)
    is_handed = any(h.client_id == client.id and h.from_on <= today <= h.until_on for h in handed)
    return Relation.HANDED_OVER if is_handed else Relation.NONE


def require_head(actor: Actor) -> None:
    """Settings, people and erasing are the head coach's. Raises: NotAllowed."""
    if not actor.is_head:
        raise NotAllowed("Only the head coach may change this.")


def open_planned_session(
    db: Session, *, actor: Actor, planned_session_id: int, action: Action, now: datetime
) -> tuple[Client, PlannedSession]:
    """The client of a planned session and its newest version, for one action.

    Raises: NotYours for a stranger or a missing session; NotAllowed when reading is all that is allowed.
    """
    session = prescriptions.newest(db, planned_session_id=planned_session_id)
    if session is None:
        raise NotYours("There is no such session here.")
    return open_record(db, actor=actor, client_id=session.client_id, action=action, now=now), session
