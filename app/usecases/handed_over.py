"""What a stand-in needs on one page: who was handed over until when, what is open, what was said, what comes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.history import History
from app.coaching.morning import is_dealt_with
from app.coaching.people import Client, Contact, Note, Visibility
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.signals import Signal, signals
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import accounts, history
from app.storage.accounts import NamedHandover
from app.usecases.gate import NotAllowed, readable_clients

#: So many days of the plan are listed, and so many notes (house choice).
DAYS_AHEAD = 14
NOTES_SHOWN = 3


@dataclass(frozen=True, slots=True)
class HandedOver:
    """One client who was handed over."""

    handover: NamedHandover
    client: Client
    today: date
    open_lines: tuple[Signal, ...]
    holds: tuple[str, ...]
    ahead: tuple[PlannedSession, ...]
    last_contact: Contact | None
    #: Those the stand-in may read, newest first.
    notes: tuple[Note, ...]


def handed_over(db: Session, *, actor: Actor, rules: Rules, today: date, now: datetime) -> tuple[HandedOver, ...]:
    """The clients handed to a person, today and to come; for the head coach everybody's handovers.

    Who was handed over from a later day on is listed by name only for the head coach: nobody else may read there yet.
    Raises: NotAllowed for a client.
    """
    if not actor.is_coach:
        raise NotAllowed("This page is for the coach.")
    given = [
        one for one in accounts.handovers(db, until_from=today) if actor.is_head or one.person_id == actor.person_id
    ]
    readable = {one.id: one for one in readable_clients(db, actor=actor, now=now)}
    known = _known(db, [one.client_id for one in given if one.client_id in readable], today)
    return tuple(_sheet(one, known[one.client_id], rules, now) for one in given if one.client_id in known)


def _known(db: Session, ids: Sequence[int], today: date) -> dict[int, History]:
    loaded = history.load(db, client_ids=sorted(set(ids)), from_on=today - WHOLE_BASE, until_on=today + FORTNIGHT)
    return {one.client.id: one for one in loaded}


def _sheet(handover: NamedHandover, known: History, rules: Rules, now: datetime) -> HandedOver:
    today, zone = local_day(now, known.client.zone), known.client.zone
    notes = [one for one in known.notes if handover.with_private_notes or one.visibility is not Visibility.PRIVATE]
    last = today + timedelta(days=DAYS_AHEAD)
    return HandedOver(
        handover=handover,
        client=known.client,
        today=today,
        open_lines=tuple(
            one for one in signals(known, today, rules) if not is_dealt_with(one, known.handled, today, zone)
        ),
        holds=tuple(one.cause for one in known.open_holds),
        ahead=tuple(s for s in known.planned if today <= s.planned_on <= last and not s.is_cancelled),
        last_contact=max(known.contacts, key=lambda one: (one.contact_on, one.id), default=None),
        notes=tuple(sorted(notes, key=lambda one: (one.written_at, one.id), reverse=True)[:NOTES_SHOWN]),
    )
