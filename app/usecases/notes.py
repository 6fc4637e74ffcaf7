"""Short notes about a client, and contacts with one: what was said and agreed."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Client, ContactKind, Visibility
from app.coaching.reasons import Refused
from app.coaching.weeks import local_day
from app.storage import clients
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, open_record

LONGEST_NOTE = 4000
LONGEST_CONTACT = 4000


def add_note(db: Session, *, actor: Actor, client_id: int, text: str, visibility: Visibility, now: datetime) -> int:
    """Keep a note and return its id; one for the client appears on the client's Today.

    A private note may be written only by somebody who may read private notes.
    Raises: NotYours, NotAllowed; Refused for an empty or too long text.
    """
    needed = Action.READ_PRIVATE if visibility is Visibility.PRIVATE else Action.LOG
    client = _open_as_coach(db, actor=actor, client_id=client_id, action=needed, now=now)
    said = _checked(text, most=LONGEST_NOTE)
    note_id = clients.add_note(
        db, client_id=client.id, text=said, visibility=visibility, person_id=actor.person_id, at=now
    )
    # The trail names that a note was written, never what a private one says: not everybody may read it.
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="add_note",
        subject="note",
        subject_id=note_id,
        change={"after": {"visibility": visibility}},
    )
    return note_id


def add_contact(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    contact_on: date,
    kind: ContactKind,
    text: str,
    now: datetime,
) -> int:
    """Keep that coach and client spoke, and return the contact's id; the contact interval counts from its day.

    Raises: NotYours, NotAllowed; Refused for a day to come, or an empty or too long text.
    """
    client = _open_as_coach(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if contact_on > local_day(now, client.zone):
        raise Refused("A contact is kept once it has taken place; this day has not come yet.")
    said = _checked(text, most=LONGEST_CONTACT)
    contact_id = clients.add_contact(
        db, client_id=client.id, contact_on=contact_on, kind=kind, text=said, person_id=actor.person_id
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="add_contact",
        subject="contact",
        subject_id=contact_id,
        change={"after": {"contact_on": contact_on, "kind": kind}},
    )
    return contact_id


def _open_as_coach(db: Session, *, actor: Actor, client_id: int, action: Action, now: datetime) -> Client:
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    if not actor.is_coach:
        raise NotAllowed("Notes and contacts are kept by the coach.")
    return client


def _checked(text: str, *, most: int) -> str:
    said = text.strip()
    if not said:
        raise Refused("Write a few words first.")
    if len(said) > most:
        raise Refused(f"Please keep it under {most} characters; this has {len(said)}.")
    return said
