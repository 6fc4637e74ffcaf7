"""Coming in: who a browser belongs to, what the practice is, and whether a form was carried out before."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import CLIENT_LOGIN, Actor, Login, Role
from app.coaching.practice import Practice
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.storage import accounts, clients, practice, requests
from app.storage.audit import leave_trace

COACH_IDLE = timedelta(minutes=60)
SEEN_EVERY = timedelta(minutes=1)
REQUEST_IDS_KEPT = timedelta(days=30)


class IdUsedBefore(DomainError):
    """A form came again under the same id with other content."""


@dataclass(frozen=True, slots=True)
class Entrance:
    """Everything a request needs to know before it is let through."""

    practice: Practice
    rules: Rules
    actor: Actor | None
    login: Login | None
    #: The client's own zone for a client, else the practice's.
    zone: str


def enter(db: Session, *, token_sha256: str | None, now: datetime) -> Entrance:
    """Find the practice and whom a login token belongs to.

    A login counts until it ends; a coach's also ends after an hour without use.
    """
    found = practice.found(db)
    if found is None:
        raise DomainError("this folder holds no practice yet")
    rules = practice.rules(db)
    known = accounts.login_by_token(db, token_sha256=token_sha256) if token_sha256 else None
    if known is None:
        return Entrance(found, rules, None, None, found.zone)
    login, person = known
    is_idle = person.role is not Role.CLIENT and now - login.last_seen_at > COACH_IDLE
    if login.ended_at is not None or login.ends_at <= now or is_idle or not person.is_active:
        return Entrance(found, rules, None, None, found.zone)
    actor = Actor(person.id, person.name, person.role, person.client_id)
    zone = found.zone
    if person.client_id is not None:
        client = clients.one(db, client_id=person.client_id)
        zone = client.zone if client else zone
    return Entrance(found, rules, actor, login, zone)


def is_seen_note_due(login: Login, *, now: datetime) -> bool:
    """Whether it is time to note again that a login was used."""
    return abs(now - login.last_seen_at) > SEEN_EVERY


def note_seen(db: Session, *, login: Login, role: Role, now: datetime) -> None:
    """Note that a login was used, and drop answers nobody will ask for again.

    A client's own phone stays signed in for 180 days from its last use; a coach's 12 hours are not stretched.
    """
    accounts.touch_login(db, login_id=login.id, at=now)
    if role is Role.CLIENT:
        accounts.extend_login(db, login_id=login.id, ends_at=max(login.ends_at, now + CLIENT_LOGIN))
    requests.forget_before(db, at=now - REQUEST_IDS_KEPT)


def note_refusal(db: Session, *, person_id: int | None, what: str, path: str, now: datetime) -> None:
    """Keep that something was refused; runs in its own transaction, since the refused one was rolled back."""
    leave_trace(db, at=now, person_id=person_id, client_id=None, action="refused", subject=path[:200], reason=what)


def carried_out_before(db: Session, *, actor: Actor, route: str, request_id: str, body_sha256: str) -> str | None:
    """Where the answer led when this very form was carried out before; None for a new one.

    Raises: IdUsedBefore when the same id comes with other content.
    """
    before = requests.carried_out(db, person_id=actor.person_id, route=route, request_id=request_id)
    if before is None:
        return None
    if before.body_sha256 != body_sha256:
        raise IdUsedBefore("This form was sent before with other content. Open it again and send it once more.")
    return before.location


def remember(
    db: Session, *, actor: Actor, route: str, request_id: str, body_sha256: str, location: str, now: datetime
) -> None:
    """Keep where a form's answer led, in the same transaction as its effect."""
    requests.remember(
        db,
        person_id=actor.person_id,
        route=route,
        request_id=request_id,
        body_sha256=body_sha256,
        location=location,
        at=now,
    )
