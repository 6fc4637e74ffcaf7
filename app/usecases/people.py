"""Who works here: adding coaches and stand-ins, their links and access, and handing clients over."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import INVITE_LASTS, Action, Actor, Login, Person, Role
from app.coaching.reasons import Refused
from app.coaching.weeks import local_day
from app.storage import accounts
from app.storage.accounts import NamedHandover
from app.storage.audit import leave_trace
from app.usecases import gate
from app.usecases.gate import NotYours, require_head


@dataclass(frozen=True, slots=True)
class Colleague:
    """Someone on the coach's side of the desk, as the head coach sees them."""

    person: Person
    client_count: int
    logins: tuple[Login, ...]
    has_open_link: bool


def colleagues(db: Session, *, actor: Actor, now: datetime) -> list[Colleague]:
    """Everyone on the coach's side."""
    require_head(actor)
    counts = accounts.clients_by_coach(db)
    return [_colleague(db, person, counts.get(person.id, 0), now) for person in accounts.coaches(db)]


def colleague(db: Session, *, actor: Actor, person_id: int, now: datetime) -> Colleague:
    """One of them. Raises: NotYours when there is no such colleague."""
    require_head(actor)
    person = _person(db, person_id)
    return _colleague(db, person, accounts.clients_by_coach(db).get(person_id, 0), now)


def _person(db: Session, person_id: int) -> Person:
    person = accounts.person(db, person_id=person_id)
    if person is None or person.role is Role.CLIENT:
        raise NotYours("There is no such person here.")
    return person


def _colleague(db: Session, person: Person, client_count: int, now: datetime) -> Colleague:
    has_open_link = any(
        one.used_at is None and one.revoked_at is None and one.ends_at > now
        for one in accounts.invites_of(db, person_id=person.id)
    )
    return Colleague(person, client_count, tuple(accounts.logins_of(db, person_id=person.id, now=now)), has_open_link)


def add_colleague(db: Session, *, actor: Actor, name: str, email: str, role: Role, now: datetime) -> int:
    """Add a coach or a stand-in, who sets the password with a personal link.

    Raises: Refused when the address is taken or the role is not one of the two.
    """
    require_head(actor)
    if role not in (Role.COACH, Role.STAND_IN):
        raise Refused("A new colleague is a coach or a stand-in.")
    if accounts.person_by_email(db, email=email) is not None:
        raise Refused("Somebody here signs in with this address already.")
    person_id = accounts.add_person(db, name=name, email=email, role=role, password_hash=None, client_id=None, at=now)
    _trace(db, actor, f"{role.value.replace('_', ' ')} added", person_id, now)
    return person_id


def make_link(db: Session, *, actor: Actor, person_id: int, token_sha256: str, now: datetime) -> Person:
    """A personal link with which a colleague sets a password: seven days, once. Earlier ones stop working."""
    require_head(actor)
    person = _person(db, person_id)
    if not person.is_active:
        raise Refused("Switch the account on first.")
    accounts.revoke_invites(db, person_id=person_id, at=now)
    accounts.add_invite(
        db,
        person_id=person_id,
        token_sha256=token_sha256,
        created_by=actor.person_id,
        at=now,
        ends_at=now + INVITE_LASTS,
    )
    _trace(db, actor, "link to set a password made", person_id, now)
    return person


def set_access(db: Session, *, actor: Actor, person_id: int, is_active: bool, now: datetime) -> None:
    """Switch a colleague's access on or off; off ends every login and link at once."""
    require_head(actor)
    _person(db, person_id)
    if person_id == actor.person_id:
        raise Refused("You cannot switch your own access off: nobody could switch it on again.")
    accounts.set_active(db, person_id=person_id, is_active=is_active)
    if not is_active:
        accounts.end_all_logins(db, person_id=person_id, at=now)
        accounts.revoke_invites(db, person_id=person_id, at=now)
    _trace(db, actor, "access switched on" if is_active else "access switched off", person_id, now)


def _trace(db: Session, actor: Actor, action: str, person_id: int, now: datetime) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=action,
        subject="person",
        subject_id=person_id,
    )


def handovers(db: Session, *, actor: Actor, today: date) -> list[NamedHandover]:
    """Handovers that run or are still to come."""
    require_head(actor)
    return accounts.handovers(db, until_from=today)


def hand_over(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    person_id: int,
    from_on: date,
    until_on: date,
    with_private_notes: bool,
    words: str | None,
    now: datetime,
) -> None:
    """Hand a client to a colleague for some days.

    Raises: Refused when the days are over or out of order, or the client is the colleague's own.
    """
    require_head(actor)
    client = gate.open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    person = _person(db, person_id)
    if not person.is_active:
        raise Refused("This account is switched off.")
    if client.coach_id == person_id or person.role is Role.HEAD_COACH:
        raise Refused(f"{person.name} can open this client's record anyway.")
    _refuse_days(from_on, until_on, local_day(now, client.zone))
    accounts.add_handover(
        db,
        client_id=client_id,
        person_id=person_id,
        from_on=from_on,
        until_on=until_on,
        with_private_notes=with_private_notes,
        words=words,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="handed over",
        subject="person",
        subject_id=person_id,
        change={"after": {"from_on": from_on, "until_on": until_on, "with_private_notes": with_private_notes}},
    )


def _refuse_days(from_on: date, until_on: date, today: date) -> None:
    if until_on < from_on:
        raise Refused("The last day lies before the first.")
    if until_on < today:
        raise Refused("These days are over.")


def take_back(db: Session, *, actor: Actor, handover_id: int, today: date, now: datetime) -> None:
    """End a handover at once. Raises: NotYours when there is none that runs or is still to come."""
    require_head(actor)
    found = next((one for one in accounts.handovers(db, until_from=today) if one.id == handover_id), None)
    if found is None:
        raise NotYours("There is no such handover.")
    accounts.remove_handover(db, handover_id=handover_id)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=found.client_id,
        action="handover taken back",
        subject="person",
        subject_id=found.person_id,
        change={"before": {"from_on": found.from_on, "until_on": found.until_on}},
    )
