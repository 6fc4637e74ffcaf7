"""Rows about clients: who is new, what changes on a known one, and phases that wait for a coach's confirmation."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Client, ClientState, HeartRateUse, age_on
from app.coaching.phases import PHASE_WORDS, DecisionKind, PhaseDecision
from app.coaching.reasons import StaleEdit
from app.coaching.weeks import day_words, local_day
from app.files.csv_fields import DATE_FIELDS, FileKind
from app.files.from_csv import ClientLine
from app.storage import clients, phases
from app.storage.audit import leave_trace
from app.usecases.bring_in.roster import Known, Roster, plain
from app.usecases.bring_in.values import Becomes, RowRefused

ADULT_YEARS = 18
OLDEST_YEARS = 110

#: What a file may change on a client who is here already. State, screening and papers are the desk's own.
CHANGEABLE = ("name", "email", "phone", "born_on", "sex", "zone", "emergency_contact", "emergency_phone")
_LABELS = {"born_on": "birth date", "zone": "time zone", "email": "e-mail"}


@dataclass(frozen=True, slots=True)
class ClientStep:
    """What one row does: to whom, with which new values, and whether its phase goes in."""

    row: ClientLine
    becomes: Becomes
    client: Client | None
    values: dict[str, Any]
    takes_phase: bool
    detail: str


def plan_client(
    row: ClientLine, *, roster: Roster, decisions: Mapping[int, Sequence[PhaseDecision]], now: datetime
) -> ClientStep:
    """What a row about a client would do. Raises: RowRefused."""
    _check_days(row, roster=roster, now=now)
    known = _known(row, roster)
    if known is None:
        roster.add(Known(row.name, row.email, None))
        phase = "" if row.phase is None else f", {_phase_words(row)}"
        return ClientStep(row, Becomes.ADDED, None, {}, row.phase is not None, f"new client{phase}")
    if known.client is None:
        raise RowRefused("", f"An earlier row is about {known.name} already.")
    return _step_for(row, known.client, decisions.get(known.client.id, ()))


def _step_for(row: ClientLine, client: Client, decisions: Sequence[PhaseDecision]) -> ClientStep:
    given = {name: getattr(row, name) for name in CHANGEABLE if getattr(row, name) is not None}
    if plain(row.name) == plain(client.name):
        given.pop("name")
    changed = {name: value for name, value in given.items() if getattr(client, name) != value}
    takes_phase = _is_new_phase(row, decisions)
    words = [f"{_LABELS.get(n, n.replace('_', ' '))}: {getattr(client, n) or 'none'} → {changed[n]}" for n in changed]
    if takes_phase:
        words.append(_phase_words(row))
    becomes = Becomes.CHANGED if changed or takes_phase else Becomes.ALREADY_HERE
    return ClientStep(row, becomes, client, changed, takes_phase, "; ".join(words))


def _is_new_phase(row: ClientLine, decisions: Sequence[PhaseDecision]) -> bool:
    """A file's phase goes in while nothing was decided or confirmed here, and only once."""
    if row.phase is None or any(d.kind is not DecisionKind.BROUGHT_IN or d.confirmed_at for d in decisions):
        return False
    latest = decisions[-1] if decisions else None
    return latest is None or (latest.phase, latest.since_on) != (row.phase, row.phase_since_on)


def _phase_words(row: ClientLine) -> str:
    if row.phase is None or row.phase_since_on is None:
        return ""
    return f"{PHASE_WORDS[row.phase]} since {day_words(row.phase_since_on)}, to be confirmed"


def _known(row: ClientLine, roster: Roster) -> Known | None:
    by_email = roster.by_email(row.email) if row.email else None
    if by_email is not None:
        return by_email
    by_name = roster.by_name(row.name, "name")
    if by_name is not None and row.email and by_name.email:
        raise RowRefused(
            "email",
            f"{by_name.name} is here with the address {by_name.email}. If this is the same person, change the "
            "address on the client's page first; if not, tell the names apart.",
        )
    return by_name


def _check_days(row: ClientLine, *, roster: Roster, now: datetime) -> None:
    today = local_day(now, row.zone or roster.zone)
    for name in DATE_FIELDS[FileKind.CLIENTS]:
        day = getattr(row, name)
        if day is not None and day > today:
            raise RowRefused(name, f"{day_words(day)} has not come yet.")
    age = age_on(row.born_on, today)
    if age is not None and age > OLDEST_YEARS:
        raise RowRefused("born_on", f"Born {row.born_on} would make {age} years; {OLDEST_YEARS} is the most.")
    if age is not None and age < ADULT_YEARS:
        raise RowRefused("born_on", f"Born {row.born_on} is {age} years old; the desk is for adults only.")


def keep_client(
    db: Session, step: ClientStep, *, actor: Actor, zone: str, file_name: str, now: datetime
) -> int | None:
    """Carry out what a row does, with its trace; the id of a client who was added or changed."""
    if step.becomes is Becomes.ADDED:
        client_id = _add(db, step.row, actor=actor, zone=zone, file_name=file_name, now=now)
    elif step.client is not None and step.becomes is Becomes.CHANGED:
        client_id = step.client.id
        if step.values:
            _change(db, step.client, step.values, actor=actor, file_name=file_name, now=now)
    else:
        return None
    if step.takes_phase:
        _bring_phase(db, step.row, client_id=client_id, actor=actor, file_name=file_name, now=now)
    return client_id


def _add(db: Session, row: ClientLine, *, actor: Actor, zone: str, file_name: str, now: datetime) -> int:
    own_zone = row.zone or zone
    state = row.state or (ClientState.INTAKE if row.phase is None else ClientState.ACTIVE)
    client = Client(
        id=0,
        name=row.name,
        email=row.email,
        phone=row.phone,
        born_on=row.born_on,
        sex=row.sex,
        zone=own_zone,
        state=state,
        coach_id=actor.person_id,
        has_phone=True,
        base_weeks_asked=None,
        regularly_active_confirmed_on=None,
        heart_rate_use=HeartRateUse.UNKNOWN,
        heart_rate_source=None,
        effort_plan=None,
        emergency_contact=row.emergency_contact,
        emergency_phone=row.emergency_phone,
        # Asked afresh: a spreadsheet does not know when it was last true.
        emergency_confirmed_on=None,
        joined_on=row.joined_on or local_day(now, own_zone),
        revision=1,
    )
    kept = clients.add(db, client=client, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=kept.id,
        action="bring_in_client",
        subject="client",
        subject_id=kept.id,
        change={"after": {"name": kept.name, "state": kept.state, "file": file_name, "line": row.line}},
    )
    return kept.id


def _change(
    db: Session, client: Client, values: dict[str, Any], *, actor: Actor, file_name: str, now: datetime
) -> None:
    if not clients.change(db, client_id=client.id, revision=client.revision, values=values):
        raise StaleEdit(f"Somebody changed the record of {client.name} meanwhile. Look at the preview again.")
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="change_client",
        subject="client",
        subject_id=client.id,
        change={"before": {name: getattr(client, name) for name in values}, "after": values},
        reason=f"brought in from {file_name}",
    )


def _bring_phase(
    db: Session, row: ClientLine, *, client_id: int, actor: Actor, file_name: str, now: datetime
) -> None:
    if row.phase is None or row.phase_since_on is None:
        return
    source = f"file {file_name}" + (f", {row.phase_source}" if row.phase_source else "")
    decision_id = phases.decide(
        db,
        client_id=client_id,
        kind=DecisionKind.BROUGHT_IN,
        phase=row.phase,
        since_on=row.phase_since_on,
        reason="as brought in",
        evidence_json=json.dumps({"file": file_name, "line": row.line}),
        person_id=actor.person_id,
        at=now,
        attested_by=source,
        confirmed_at=None,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="bring_in_phase",
        subject="phase_decision",
        subject_id=decision_id,
        change={"after": {"phase": row.phase, "since_on": row.phase_since_on, "attested_by": source}},
    )
