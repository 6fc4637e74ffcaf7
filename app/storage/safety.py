"""Screening answers, clearances, consents, readings, holds and symptom reports."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date, datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from app.coaching.holds import Family, Hold, HoldKind, Stops, SymptomReport
from app.coaching.people import Mode, Origin
from app.coaching.screening import (
    BloodPressure,
    Clearance,
    ClearanceState,
    Consent,
    ConsentKind,
    Intensity,
    ScreeningAnswers,
    YesNo,
)
from app.storage.reading import read, read_one
from app.storage.tables.safety import (
    BloodPressureRow,
    ClearanceRow,
    ConsentRow,
    HoldRow,
    ScreeningRow,
    SymptomRow,
)


def add_screening(
    db: Session,
    *,
    client_id: int,
    answered_on: date,
    active: YesNo,
    disease: YesNo,
    symptoms: YesNo,
    pregnant: YesNo,
    heart_rate_medicine: YesNo,
    details_json: str,
    origin: Origin,
    person_id: int,
    at: datetime,
) -> int:
    """Add a filled-in set of questions."""
    row = ScreeningRow(
        client_id=client_id,
        answered_on=answered_on,
        active=active,
        disease=disease,
        symptoms=symptoms,
        pregnant=pregnant,
        heart_rate_medicine=heart_rate_medicine,
        details_json=details_json,
        origin=origin,
        entered_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def add_clearance(
    db: Session,
    *,
    client_id: int,
    state: ClearanceState,
    scope: Intensity | None,
    requested_on: date | None,
    given_on: date | None,
    ends_on: date | None,
    signer: str | None,
    profession: str | None,
    how_seen: str | None,
    limits: str | None,
    person_id: int,
    at: datetime,
) -> int:
    """Add a clearance, a refusal or a request."""
    row = ClearanceRow(
        client_id=client_id,
        state=state,
        scope=scope,
        requested_on=requested_on,
        given_on=given_on,
        ends_on=ends_on,
        signer=signer,
        profession=profession,
        how_seen=how_seen,
        limits=limits,
        recorded_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def add_consent(
    db: Session,
    *,
    client_id: int,
    kind: ConsentKind,
    text_version: str,
    text_sha256: str,
    text_as_shown: str,
    language: str,
    given_on: date,
    method: Origin,
    witness: str | None,
    person_id: int,
    at: datetime,
) -> int:
    """Add a consent with the text as it was shown."""
    row = ConsentRow(
        client_id=client_id,
        kind=kind,
        text_version=text_version,
        text_sha256=text_sha256,
        text_as_shown=text_as_shown,
        language=language,
        given_on=given_on,
        method=method,
        witness=witness,
        person_id=person_id,
        recorded_at=at,
        withdrawn_on=None,
        withdrawn_at=None,
    )
    db.add(row)
    db.flush()
    return row.id


def withdraw_consents(db: Session, *, client_id: int, kind: ConsentKind, on: date, at: datetime) -> None:
    """Withdraw a client's consents of a kind; they stay on record."""
    db.execute(
        update(ConsentRow)
        .where(ConsentRow.client_id == client_id, ConsentRow.kind == kind, ConsentRow.withdrawn_on.is_(None))
        .values(withdrawn_on=on, withdrawn_at=at)
    )


def add_pressure(
    db: Session,
    *,
    client_id: int,
    measured_on: date,
    systolic_mmhg: int,
    diastolic_mmhg: int,
    resting_heart_rate_bpm: int | None,
    origin: Origin,
    person_id: int,
    at: datetime,
) -> int:
    """Add a reading."""
    row = BloodPressureRow(
        client_id=client_id,
        measured_on=measured_on,
        systolic_mmhg=systolic_mmhg,
        diastolic_mmhg=diastolic_mmhg,
        resting_heart_rate_bpm=resting_heart_rate_bpm,
        origin=origin,
        entered_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def raise_hold(
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
    """Add a hold; it works from this transaction on."""
    row = HoldRow(
        client_id=client_id,
        kind=kind,
        stops=stops,
        mode=mode,
        cause=cause,
        began_on=began_on,
        raised_at=at,
        person_id=person_id,
        lifted_at=None,
        lifted_by=None,
        lifted_because=None,
        clearance_id=None,
    )
    db.add(row)
    db.flush()
    return row.id


def hold(db: Session, *, hold_id: int) -> Hold | None:
    """A hold by id."""
    return read_one(db, Hold, HoldRow, HoldRow.id == hold_id)


def holds_of(db: Session, *, client_id: int) -> list[Hold]:
    """A client's holds, oldest first."""
    return read(db, Hold, HoldRow, HoldRow.client_id == client_id, order_by=[HoldRow.id])


def lifted_since(db: Session, *, client_ids: Collection[int], at: datetime) -> frozenset[int]:
    """Those of some clients of whom a hold was lifted from an instant on."""
    is_lifted = HoldRow.client_id.in_(client_ids) & (HoldRow.lifted_at >= at)
    return frozenset(db.scalars(select(HoldRow.client_id).where(is_lifted)))


def lift_hold(
    db: Session, *, hold_id: int, because: str, clearance_id: int | None, person_id: int, at: datetime
) -> bool:
    """Close a hold; False when it was closed before."""
    done = db.execute(
        update(HoldRow)
        .where(HoldRow.id == hold_id, HoldRow.lifted_at.is_(None))
        .values(lifted_at=at, lifted_by=person_id, lifted_because=because, clearance_id=clearance_id)
        .returning(HoldRow.id)
    ).all()
    return bool(done)


def mark_holds_seen(db: Session, *, client_id: int, hold_ids: Sequence[int], at: datetime) -> None:
    """Note when holds first stood on their client's phone."""
    mine = HoldRow.id.in_(hold_ids), HoldRow.client_id == client_id, HoldRow.seen_at.is_(None)
    db.execute(update(HoldRow).where(*mine).values(seen_at=at))


def add_symptom(
    db: Session,
    *,
    client_id: int,
    sign: str,
    family: Family,
    felt_on: date,
    text: str | None,
    mode: Mode | None,
    origin: Origin,
    person_id: int,
    hold_id: int,
    entered_at: datetime,
    received_at: datetime | None = None,
    request_id: str | None = None,
) -> int:
    """Add a report that something felt wrong."""
    row = SymptomRow(
        client_id=client_id,
        sign=sign,
        family=family,
        felt_on=felt_on,
        entered_at=entered_at,
        text=text,
        mode=mode,
        origin=origin,
        person_id=person_id,
        hold_id=hold_id,
        received_at=received_at,
        request_id=request_id,
    )
    db.add(row)
    db.flush()
    return row.id


def hold_of_request(db: Session, *, client_id: int, request_id: str) -> int | None:
    """The hold a client's report raised that was sent under an id; None when none was."""
    asked = select(SymptomRow.hold_id).where(SymptomRow.client_id == client_id, SymptomRow.request_id == request_id)
    return db.execute(asked).scalar_one_or_none()


def screening_of(db: Session, *, client_id: int) -> list[ScreeningAnswers]:
    """A client's screening answers, oldest first."""
    return read(db, ScreeningAnswers, ScreeningRow, ScreeningRow.client_id == client_id, order_by=[ScreeningRow.id])


def clearances_of(db: Session, *, client_id: int) -> list[Clearance]:
    """A client's clearances, oldest first."""
    return read(db, Clearance, ClearanceRow, ClearanceRow.client_id == client_id, order_by=[ClearanceRow.id])


def consents_of(db: Session, *, client_id: int) -> list[Consent]:
    """A client's consents, oldest first."""
    return read(db, Consent, ConsentRow, ConsentRow.client_id == client_id, order_by=[ConsentRow.id])


def pressures_of(db: Session, *, client_id: int) -> list[BloodPressure]:
    """A client's readings, oldest first."""
    return read(
        db,
        BloodPressure,
        BloodPressureRow,
        BloodPressureRow.client_id == client_id,
        order_by=[BloodPressureRow.measured_on, BloodPressureRow.id],
    )


def symptoms_of(db: Session, *, client_id: int) -> list[SymptomReport]:
    """A client's reports, oldest first."""
    return read(db, SymptomReport, SymptomRow, SymptomRow.client_id == client_id, order_by=[SymptomRow.id])
