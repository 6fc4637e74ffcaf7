"""Incidents: written down, added to, closed; raising the hold of a sign in the same step."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.falls import takes_blood_thinners
from app.coaching.holds import Hold
from app.coaching.incident_signs import WHY_NOT, asks_to_pause, named_unpaused, not_paused_words, sign_named
from app.coaching.incidents import (
    DECIDING_WORDS,
    LONGEST_BACK,
    HeadKnock,
    Incident,
    IncidentWord,
    days_without_word,
    entry_fault,
    sign_with_fall,
)
from app.coaching.people import Client, Mode, Origin
from app.coaching.reasons import Refused, is_reason
from app.coaching.screening import YesNo
from app.coaching.symptoms import sign_of
from app.coaching.weeks import local_day
from app.storage import accounts, felt_wrong, history, incidents, safety
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, allowed_actions, open_record, readable_clients


@dataclass(frozen=True, slots=True)
class IncidentGiven:
    """An incident as it was typed in. `sign` raises the hold of its family; None raises none.

    head: whether there was a fall with a knock to the head, where it was asked; with one the sign is a clinician's.
    """

    happened_on: date
    about_when: str
    activity: str
    place: str
    symptoms: str
    action_taken: str
    outcome: str
    sign: str | None = None
    mode: Mode | None = None
    head: HeadKnock | None = None
    #: Where the words name a sign to stop for: whether all training is paused, and why it is not.
    pauses_all: YesNo | None = None
    goes_on_because: str | None = None

    @property
    def told(self) -> tuple[str, ...]:
        """Its free words about what happened."""
        return (self.activity, self.symptoms, self.action_taken, self.outcome)


class PauseAsked(Refused):
    """The words name a sign to stop for and nothing was said about a pause; `field` is what is to be answered."""

    def __init__(self, field: str, sentence: str) -> None:
        """Take the name of the field and what is said beside it."""
        super().__init__(sentence)
        self.field = field


@dataclass(frozen=True, slots=True)
class Kept:
    """An incident on record, and the sign whose hold was raised with it; None where none was."""

    incident_id: int
    sign: str | None


@dataclass(frozen=True, slots=True)
class IncidentFile:
    """A client's incidents, newest first, with the names of those who wrote."""

    client: Client
    today: date
    incidents: tuple[Incident, ...]
    holds: dict[int, Hold]
    names: dict[int, str]
    may_log: bool
    may_decide: bool

    def name_of(self, person_id: int) -> str:
        """Who wrote."""
        return self.names.get(person_id, "somebody")


@dataclass(frozen=True, slots=True)
class OpenIncident:
    """An open incident somewhere in the practice."""

    client: Client
    incident: Incident
    days_without_word: int


def record(db: Session, *, actor: Actor, client_id: int, given: IncidentGiven, now: datetime) -> Kept:
    """Write an incident down, and raise the hold of its sign at once; a fall may make it a clinician's.

    Raises: NotYours, NotAllowed; Refused for a day to come or over a year back; PauseAsked where the words name a
    sign to stop for, all training would go on, and nobody said that it should.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    if given.happened_on > today:
        raise Refused("This day has not come yet.")
    if given.happened_on < today - LONGEST_BACK:
        raise Refused("This is over a year back. Write it as a note.")
    given, left = _with_sign(db, client, given, today)
    hold_id = None if given.sign is None else _raise_hold(db, actor, client, given, now)
    incident_id = incidents.add(
        db,
        client_id=client.id,
        happened_on=given.happened_on,
        about_when=given.about_when,
        activity=given.activity,
        place=given.place,
        symptoms=given.symptoms,
        action_taken=given.action_taken,
        outcome=given.outcome,
        hold_id=hold_id,
        person_id=actor.person_id,
        at=now,
    )
    if left is not None:
        _add(db, incident_id, client, IncidentWord.FOLLOW_UP, left, actor=actor, now=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="record_incident",
        subject="incident",
        subject_id=incident_id,
        change={"after": {"happened_on": given.happened_on, "hold_id": hold_id, "head": given.head}},
        reason=left,
    )
    return Kept(incident_id, given.sign)


def _with_sign(db: Session, client: Client, given: IncidentGiven, today: date) -> tuple[IncidentGiven, str | None]:
    """The same with the sign whose hold it raises, and what is added where training goes on against its words."""
    [known] = history.load(db, client_ids=[client.id], from_on=today, until_on=today)
    sign = sign_with_fall(given.sign, given.head, takes_blood_thinners=takes_blood_thinners(known))
    named = named_unpaused(given.told, sign, known.holds, given.happened_on)
    if not named:
        return replace(given, sign=sign), None
    if given.pauses_all is YesNo.YES:
        return replace(given, sign=sign_named(named)), None
    if given.pauses_all is not YesNo.NO:
        raise PauseAsked("pauses_all", asks_to_pause(named, sign, client.name))
    if not is_reason(given.goes_on_because):
        raise PauseAsked("goes_on_because", WHY_NOT)
    return replace(given, sign=sign), not_paused_words(named, given.goes_on_because or "")


def _add(
    db: Session, incident_id: int, client: Client, word: IncidentWord, text: str, *, actor: Actor, now: datetime
) -> int:
    return incidents.add_entry(
        db,
        client_id=client.id,
        incident_id=incident_id,
        word=word,
        text=text,
        person_id=actor.person_id,
        at=now,
    )


def add_entry(
    db: Session, *, actor: Actor, client_id: int, incident_id: int, word: IncidentWord, text: str, now: datetime
) -> None:
    """Add an entry; closing is for whoever decides about the client.

    Raises: NotYours, NotAllowed; Refused when it does not fit.
    """
    action = Action.DECIDE if word in DECIDING_WORDS else Action.LOG
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    fault = entry_fault(_one(db, client, incident_id), word)
    if fault is not None:
        raise Refused(fault)
    entry_id = _add(db, incident_id, client, word, text, actor=actor, now=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="add_to_incident",
        subject="incident",
        subject_id=incident_id,
        change={"after": {"entry": entry_id, "word": word}},
    )


def incident_file(db: Session, *, actor: Actor, client_id: int, now: datetime) -> IncidentFile:
    """A client's incidents. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    found = incidents.of_clients(db, client_ids=[client.id])
    may = allowed_actions(db, actor=actor, client=client, now=now)
    writers = {one.person_id for one in found} | {entry.person_id for one in found for entry in one.entries}
    return IncidentFile(
        client=client,
        today=local_day(now, client.zone),
        incidents=tuple(sorted(found, key=lambda one: (one.happened_on, one.id), reverse=True)),
        holds={hold.id: hold for hold in safety.holds_of(db, client_id=client.id)},
        names=accounts.names_of(db, person_ids=writers),
        may_log=Action.LOG in may,
        may_decide=Action.DECIDE in may,
    )


def one_of(file: IncidentFile, incident_id: int) -> Incident:
    """One incident of a client. Raises: NotYours when it is not this client's."""
    return _pick(file.incidents, incident_id)


def open_ones(db: Session, *, actor: Actor, now: datetime) -> tuple[OpenIncident, ...]:
    """Every open incident of the clients a person may read, longest without a word first."""
    people = {one.id: one for one in readable_clients(db, actor=actor, now=now)}
    found = [
        OpenIncident(client, one, days_without_word(one, local_day(now, client.zone), client.zone))
        for one in incidents.of_clients(db, client_ids=list(people))
        if one.is_open
        for client in (people[one.client_id],)
    ]
    return tuple(sorted(found, key=lambda one: (one.incident.last_word_at, one.incident.id)))


def _one(db: Session, client: Client, incident_id: int) -> Incident:
    return _pick(incidents.of_clients(db, client_ids=[client.id]), incident_id)


def _pick(found: tuple[Incident, ...] | list[Incident], incident_id: int) -> Incident:
    for one in found:
        if one.id == incident_id:
            return one
    raise NotYours("There is no such incident here.")


def _raise_hold(db: Session, actor: Actor, client: Client, given: IncidentGiven, now: datetime) -> int:
    """The report and the hold of "something felt wrong", in the words of the incident."""
    return felt_wrong.record(
        db,
        client_id=client.id,
        sign=sign_of(given.sign or ""),
        felt_on=given.happened_on,
        mode=given.mode,
        text=given.symptoms,
        origin=Origin.COACH,
        person_id=actor.person_id,
        at=now,
    ).hold_id
