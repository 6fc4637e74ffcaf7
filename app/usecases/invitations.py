"""A client's access: personal links and signed-in phones, seen and revoked by the coach."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import INVITE_LASTS, Action, Actor, Login, Role
from app.coaching.people import Client
from app.storage import accounts
from app.storage.audit import leave_trace
from app.usecases import gate


@dataclass(frozen=True, slots=True)
class ClientAccess:
    """What the coach sees of a client's access."""

    client: Client
    may_change: bool
    devices: tuple[Login, ...]
    #: When each unused link stops working.
    open_links_end_at: tuple[datetime, ...]


def client_access(db: Session, *, actor: Actor, client_id: int, now: datetime) -> ClientAccess:
    """The client's phones and unused links."""
    client = gate.open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    may_change = Action.DECIDE in gate.allowed_actions(db, actor=actor, client=client, now=now)
    person = accounts.person_of_client(db, client_id=client_id)
    if person is None:
        return ClientAccess(client, may_change, (), ())
    links = [
        invite.ends_at
        for invite in accounts.invites_of(db, person_id=person.id)
        if invite.used_at is None and invite.revoked_at is None and invite.ends_at > now
    ]
    return ClientAccess(client, may_change, tuple(accounts.logins_of(db, person_id=person.id, now=now)), tuple(links))


def invite(db: Session, *, actor: Actor, client_id: int, token_sha256: str, now: datetime) -> Client:
    """Make a personal link for a client: good for seven days, once. Earlier unused links stop working."""
    client = gate.open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    person = accounts.person_of_client(db, client_id=client_id)
    if person is None:
        person_id = accounts.add_person(
            db, name=client.name, email=None, role=Role.CLIENT, password_hash=None, client_id=client_id, at=now
        )
    else:
        person_id = person.id
    accounts.revoke_invites(db, person_id=person_id, at=now)
    accounts.add_invite(
        db,
        person_id=person_id,
        token_sha256=token_sha256,
        created_by=actor.person_id,
        at=now,
        ends_at=now + INVITE_LASTS,
    )
    _trace(db, actor=actor, client_id=client_id, action="link made", subject="personal link", now=now)
    return client


def revoke_links(db: Session, *, actor: Actor, client_id: int, now: datetime) -> None:
    """Make a client's unused links worthless."""
    gate.open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    person = accounts.person_of_client(db, client_id=client_id)
    if person is not None:
        accounts.revoke_invites(db, person_id=person.id, at=now)
    _trace(db, actor=actor, client_id=client_id, action="unused links revoked", subject="personal link", now=now)


def sign_out_device(db: Session, *, actor: Actor, client_id: int, login_id: int, now: datetime) -> None:
    """Sign one of a client's phones out.

    Raises: NotYours when the login is not this client's, or has ended.
    """
    gate.open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    person = accounts.person_of_client(db, client_id=client_id)
    if person is None or not accounts.end_login(db, login_id=login_id, person_id=person.id, at=now):
        raise gate.NotYours("There is no such phone here.")
    _trace(db, actor=actor, client_id=client_id, action="phone signed out", subject=f"login {login_id}", now=now)


def _trace(db: Session, *, actor: Actor, client_id: int, action: str, subject: str, now: datetime) -> None:
    leave_trace(db, at=now, person_id=actor.person_id, client_id=client_id, action=action, subject=subject)
