"""Heat today: what the coach measured at the practice's place, and which hard sessions of today it reaches."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.heat import INDOORS, HeatNote, bears_heat_badly, heat_words, note_words
from app.coaching.history import History
from app.coaching.leave_to_train import may_train_now
from app.coaching.people import Client, ClientState
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import accounts, history, illness
from app.storage.audit import leave_trace
from app.usecases.gate import readable_clients

_NOT_TRAINING = frozenset({ClientState.LEFT, ClientState.PAUSED})


@dataclass(frozen=True, slots=True)
class HeatGiven:
    """What was typed: the air's temperature with humidity, or the wet-bulb globe's, or both."""

    temperature_c: float | None
    humidity_percent: float | None
    wbgt_c: float | None


@dataclass(frozen=True, slots=True)
class HeatLine:
    """One middle or hard session of today that nobody has entered yet."""

    client: Client
    session: PlannedSession
    #: What the heat asks of it; None when it is not hot for this client.
    asks: str | None
    #: Why this client bears heat badly; empty for most.
    because: tuple[str, ...]
    is_indoors: bool
    is_paused: bool


@dataclass(frozen=True, slots=True)
class HeatPage:
    """The note of today and today's middle and hard sessions, those it reaches first."""

    note: HeatNote | None
    noted_by: str | None
    lines: tuple[HeatLine, ...]


def note_heat(db: Session, *, actor: Actor, day: date, given: HeatGiven, now: datetime) -> int:
    """Say how hot today is at the practice's place; the newest of a day counts, on every phone at once.

    Raises: Refused when nothing was measured, or humidity alone.
    """
    if given.temperature_c is None and given.wbgt_c is None:
        raise Refused("Give the air's temperature, or the wet-bulb globe temperature.")
    note_id = illness.add_heat(
        db,
        noted_on=day,
        temperature_c=given.temperature_c,
        humidity_percent=given.humidity_percent,
        wbgt_c=given.wbgt_c,
        person_id=actor.person_id,
        at=now,
    )
    noted = HeatNote(note_id, day, given.temperature_c, given.humidity_percent, given.wbgt_c, now, actor.person_id)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="heat noted",
        subject="heat",
        subject_id=note_id,
        change={"after": {"day": day, "said": note_words(noted)}},
    )
    return note_id


def heat_page(db: Session, *, actor: Actor, day: date, rules: Rules, now: datetime) -> HeatPage:
    """Today's middle and hard sessions of the clients a person may read, under the note of the day."""
    note = illness.heat_on(db, day=day)
    readable = [one for one in readable_clients(db, actor=actor, now=now) if one.state not in _NOT_TRAINING]
    known = history.load(
        db,
        client_ids=[client.id for client in readable],
        from_on=now.date() - WHOLE_BASE,
        until_on=now.date() + FORTNIGHT,
    )
    lines = [line for one in known for line in _lines(one, note, rules, now)]
    names = accounts.names_of(db, person_ids={note.person_id}) if note else {}
    return HeatPage(
        note,
        names.get(note.person_id) if note else None,
        tuple(sorted(lines, key=lambda line: (line.asks is None, line.is_indoors))),
    )


def _lines(known: History, note: HeatNote | None, rules: Rules, now: datetime) -> list[HeatLine]:
    today = local_day(now, known.client.zone)
    answered = {log.planned_session_id for log in known.logs}
    standing = [s for s in known.planned if s.planned_on == today and not s.is_cancelled and s.id not in answered]
    because = bears_heat_badly(known, today)
    return [
        HeatLine(
            client=known.client,
            session=session,
            asks=None if note is None else heat_words(note, bears_badly=bool(because)),
            because=because,
            is_indoors=session.mode in INDOORS,
            is_paused=may_train_now(known, session, today, rules).is_paused,
        )
        for session in standing
        if is_hard_or_middle(session)
    ]
