"""Something felt wrong: the report, the hold it raises and their traces, always together in one transaction."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.consents import ASKED_FOR_HARD_WORK, TAKEN_BACK
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode, Origin
from app.coaching.phases import HARD_WORK_PHASES, current_phase
from app.coaching.screening import ConsentKind
from app.coaching.symptoms import Sign, hold_for, open_hold_of
from app.storage import phases, safety
from app.storage.audit import leave_trace


@dataclass(frozen=True, slots=True)
class Recorded:
    """The two records a report leaves."""

    symptom_id: int
    hold_id: int


@dataclass(frozen=True, slots=True)
class Sent:
    """How a report came that a phone had kept: when it was entered there, and under which id it was sent."""

    entered_at: datetime
    request_id: str | None


def record(
    db: Session,
    *,
    client_id: int,
    sign: Sign,
    felt_on: date,
    mode: Mode | None,
    text: str | None,
    origin: Origin,
    person_id: int,
    at: datetime,
    sent: Sent | None = None,
) -> Recorded:
    """Keep a report and raise the hold of its family; a like reason for stopping early joins its open hold."""
    standing = open_hold_of(sign, safety.holds_of(db, client_id=client_id))
    hold_id = (
        standing.id
        if standing
        else _pause_for(db, sign, mode, began_on=felt_on, client_id=client_id, person_id=person_id, at=at)
    )
    symptom_id = safety.add_symptom(
        db,
        sign=sign.key,
        family=sign.family,
        felt_on=felt_on,
        text=text,
        mode=mode,
        origin=origin,
        hold_id=hold_id,
        client_id=client_id,
        person_id=person_id,
        entered_at=sent.entered_at if sent else at,
        received_at=at if sent else None,
        request_id=sent.request_id if sent else None,
    )
    change = {"after": {"sign": sign.key, "family": sign.family, "felt_on": felt_on, "origin": origin}}
    _trace_report(db, symptom_id, change, client_id=client_id, person_id=person_id, at=at)
    return Recorded(symptom_id, hold_id)


def _pause_for(
    db: Session, sign: Sign, mode: Mode | None, *, began_on: date, client_id: int, person_id: int, at: datetime
) -> int:
    kind, stops, of_mode = hold_for(sign, mode)
    return raise_traced(
        db,
        kind=kind,
        stops=stops,
        mode=of_mode,
        cause=sign.words,
        began_on=began_on,
        client_id=client_id,
        person_id=person_id,
        at=at,
    )


def raise_traced(
    db: Session,
    *,
    client_id: int,
    kind: HoldKind,
    stops: Stops,
    mode: Mode | None,
    cause: str,
    began_on: date,
    person_id: int,
    at: datetime,
) -> int:
    """Raise a hold and leave its trace."""
    hold_id = safety.raise_hold(
        db,
        client_id=client_id,
        kind=kind,
        stops=stops,
        mode=mode,
        cause=cause,
        began_on=began_on,
        person_id=person_id,
        at=at,
    )
    leave_trace(
        db,
        at=at,
        person_id=person_id,
        client_id=client_id,
        action="raised",
        subject="hold",
        subject_id=hold_id,
        change={"after": {"kind": kind, "stops": stops, "mode": mode, "began_on": began_on}},
        reason=cause,
    )
    return hold_id


def pause_without_consent(
    db: Session, *, client_id: int, kind: ConsentKind, on: date, person_id: int, at: datetime
) -> int | None:
    """Pause hard work when a consent it rests on was taken back in a phase for it; the hold's id, else None."""
    now_in = current_phase(phases.of_client(db, client_id=client_id))
    if kind not in ASKED_FOR_HARD_WORK or now_in is None or now_in.phase not in HARD_WORK_PHASES:
        return None
    return raise_traced(
        db,
        client_id=client_id,
        kind=HoldKind.COACH,
        stops=Stops.HARD,
        mode=None,
        cause=TAKEN_BACK,
        began_on=on,
        person_id=person_id,
        at=at,
    )


def _trace_report(
    db: Session, symptom_id: int, change: Mapping[str, object], *, client_id: int, person_id: int, at: datetime
) -> None:
    leave_trace(
        db,
        at=at,
        person_id=person_id,
        client_id=client_id,
        action="reported",
        subject="symptom",
        subject_id=symptom_id,
        change=change,
    )
