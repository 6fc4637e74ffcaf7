"""The screening questions sent to those who have not answered them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.client_voice import asking_words
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.morning import is_dealt_with, morning
from app.coaching.people import Visibility
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.signals import Act, Family, signals
from app.coaching.weeks import local_day
from app.storage import accounts, clients
from app.storage.audit import leave_trace
from app.usecases.gate import open_record, readable_clients
from app.usecases.morning.opening import keep_line, load_all

#: Asked once, the questions are not asked again in the morning for this long (house choice).
QUESTIONS_WAIT = timedelta(days=7)


@dataclass(frozen=True, slots=True)
class Sent:
    """How many have the questions on their phone now, and how many have no phone signed in to read them."""

    asked: int
    unreached: int


def send_questions(db: Session, *, actor: Actor, client_ids: Sequence[int], rules: Rules, now: datetime) -> Sent:
    """Ask clients for their screening answers by a note on their Today; a line about it rests for a week, a safety
    line until tomorrow. Who has no phone signed in is left out and goes on waiting.

    Raises: NotYours, NotAllowed, for any of them: then nobody is asked; Refused when none of them would read it.
    """
    opened = [open_record(db, actor=actor, client_id=one, action=Action.LOG, now=now) for one in client_ids]
    signed_in = accounts.clients_signed_in(db, client_ids=client_ids, now=now)
    asked = [client for client in opened if client.id in signed_in]
    if opened and not asked:
        raise Refused("Without a phone signed in nobody reads it: invite them, or ask by telephone and enter it.")
    known = {one.client.id: one for one in load_all(db, [client.id for client in asked], now)}
    for client in asked:
        _ask(db, known[client.id], actor=actor, rules=rules, now=now)
    return Sent(len(asked), len(opened) - len(asked))


def waiting_ids(db: Session, *, actor: Actor, rules: Rules, now: datetime) -> tuple[int, ...]:
    """Everybody in the grouped line of those who wait for their questions."""
    readable = readable_clients(db, actor=actor, now=now)
    histories = load_all(db, [client.id for client in readable], now)
    days = {one.client.id: local_day(now, one.client.zone) for one in histories}
    return tuple(client.id for client in morning(histories, days, rules).waiting_for_questions)


def asking_note(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> str:
    """The note that would ask one client for the answers. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    known = load_all(db, [client.id], now)[0]
    return _note_words(known, local_day(now, client.zone), rules)


def _ask(db: Session, known: History, *, actor: Actor, rules: Rules, now: datetime) -> None:
    client, today = known.client, local_day(now, known.client.zone)
    note_id = clients.add_note(
        db,
        client_id=client.id,
        text=_note_words(known, today, rules),
        visibility=Visibility.CLIENT,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="send_questions",
        subject="note",
        subject_id=note_id,
        change={"after": {"visibility": Visibility.CLIENT}},
    )
    for line in signals(known, today, rules):
        if Act.SEND_QUESTIONS in line.acts and not is_dealt_with(line, known.handled, today, client.zone):
            rest = timedelta(days=1) if line.family is Family.SAFETY else QUESTIONS_WAIT
            keep_line(
                db,
                actor=actor,
                client_id=client.id,
                line=line,
                until_on=today + rest,
                action="put_off",
                said="The questions were sent.",
                now=now,
            )


def _note_words(known: History, today: date, rules: Rules) -> str:
    return asking_words(known, stopped_now(known, today, rules))
