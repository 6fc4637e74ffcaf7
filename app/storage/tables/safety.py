"""Tables of screening, clearances, consents, readings, holds and symptoms."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.people import Mode, Origin
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.storage.columns import Choice, Instant, LocalDate, between, filled, iso_date, json_text, one_of
from app.storage.tables.base import STRICT, Base


class ScreeningRow(Base):
    """One filled-in set of screening questions."""

    __tablename__ = "screening_answers"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    answered_on: Mapped[date] = mapped_column(LocalDate)
    active: Mapped[YesNo] = mapped_column(Choice(YesNo))
    disease: Mapped[YesNo] = mapped_column(Choice(YesNo))
    symptoms: Mapped[YesNo] = mapped_column(Choice(YesNo))
    pregnant: Mapped[YesNo] = mapped_column(Choice(YesNo))
    heart_rate_medicine: Mapped[YesNo] = mapped_column(Choice(YesNo))
    details_json: Mapped[str]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("active", YesNo),
        one_of("disease", YesNo),
        one_of("symptoms", YesNo),
        one_of("pregnant", YesNo),
        one_of("heart_rate_medicine", YesNo),
        one_of("origin", Origin),
        iso_date("answered_on"),
        json_text("details_json"),
        STRICT,
    )


class ClearanceRow(Base):
    """A clinician's answer, or the request for one."""

    __tablename__ = "clearances"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    state: Mapped[ClearanceState] = mapped_column(Choice(ClearanceState))
    scope: Mapped[Intensity | None] = mapped_column(Choice(Intensity))
    requested_on: Mapped[date | None] = mapped_column(LocalDate)
    given_on: Mapped[date | None] = mapped_column(LocalDate)
    ends_on: Mapped[date | None] = mapped_column(LocalDate)
    signer: Mapped[str | None]
    profession: Mapped[str | None]
    how_seen: Mapped[str | None]
    limits: Mapped[str | None]
    recorded_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("state", ClearanceState),
        one_of("scope", Intensity),
        iso_date("given_on"),
        CheckConstraint(
            "state != 'granted' OR (scope IS NOT NULL AND given_on IS NOT NULL AND signer IS NOT NULL"
            " AND profession IS NOT NULL AND how_seen IS NOT NULL)",
            name="granted_is_complete",
        ),
        STRICT,
    )


class ConsentRow(Base):
    """One consent; withdrawn, never overwritten. The text as shown is kept whole."""

    __tablename__ = "consents"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    kind: Mapped[ConsentKind] = mapped_column(Choice(ConsentKind))
    text_version: Mapped[str]
    text_sha256: Mapped[str]
    text_as_shown: Mapped[str]
    given_on: Mapped[date] = mapped_column(LocalDate)
    method: Mapped[Origin] = mapped_column(Choice(Origin))
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    withdrawn_on: Mapped[date | None] = mapped_column(LocalDate)
    language: Mapped[str] = mapped_column(server_default="en")
    recorded_at: Mapped[datetime | None] = mapped_column(Instant)
    witness: Mapped[str | None]
    withdrawn_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (
        one_of("kind", ConsentKind),
        one_of("method", Origin),
        filled("witness", 200),
        STRICT,
    )


class BloodPressureRow(Base):
    """A seated resting reading."""

    __tablename__ = "blood_pressures"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    measured_on: Mapped[date] = mapped_column(LocalDate)
    systolic_mmhg: Mapped[int]
    diastolic_mmhg: Mapped[int]
    resting_heart_rate_bpm: Mapped[int | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        between("systolic_mmhg", 60, 300),
        between("diastolic_mmhg", 30, 200),
        between("resting_heart_rate_bpm", 25, 240),
        CheckConstraint("diastolic_mmhg < systolic_mmhg", name="pressures_in_order"),
        one_of("origin", Origin),
        iso_date("measured_on"),
        STRICT,
    )


class HoldRow(Base):
    """One pause of training; closed, never deleted."""

    __tablename__ = "holds"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    kind: Mapped[HoldKind] = mapped_column(Choice(HoldKind))
    stops: Mapped[Stops] = mapped_column(Choice(Stops))
    mode: Mapped[Mode | None] = mapped_column(Choice(Mode))
    cause: Mapped[str]
    began_on: Mapped[date] = mapped_column(LocalDate)
    raised_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    lifted_at: Mapped[datetime | None] = mapped_column(Instant)
    lifted_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    lifted_because: Mapped[str | None]
    clearance_id: Mapped[int | None] = mapped_column(ForeignKey("clearances.id"), index=True)
    #: When it first stood on the client's phone; None: not seen there.
    seen_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (
        one_of("kind", HoldKind),
        one_of("stops", Stops),
        one_of("mode", Mode),
        filled("cause", 2000),
        iso_date("began_on"),
        CheckConstraint(
            "(lifted_at IS NULL) = (lifted_by IS NULL) AND (lifted_at IS NULL) = (lifted_because IS NULL)",
            name="lifting_is_whole",
        ),
        CheckConstraint(
            "kind != 'symptom' OR lifted_at IS NULL OR clearance_id IS NOT NULL", name="symptom_needs_clearance"
        ),
        CheckConstraint("(stops = 'mode_and_hard') = (mode IS NOT NULL)", name="mode_when_stopped"),
        Index("ix_holds_client_open", "client_id", "lifted_at"),
        STRICT,
    )


class SymptomRow(Base):
    """Something felt wrong; it cannot be withdrawn."""

    __tablename__ = "symptom_reports"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    sign: Mapped[str]
    family: Mapped[Family] = mapped_column(Choice(Family))
    felt_on: Mapped[date] = mapped_column(LocalDate)
    entered_at: Mapped[datetime] = mapped_column(Instant)
    text: Mapped[str | None]
    mode: Mapped[Mode | None] = mapped_column(Choice(Mode))
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    hold_id: Mapped[int] = mapped_column(ForeignKey("holds.id"), index=True)
    received_at: Mapped[datetime | None] = mapped_column(Instant)
    request_id: Mapped[str | None]
    __table_args__ = (
        filled("sign", 100),
        one_of("family", Family),
        one_of("origin", Origin),
        Index("uq_symptom_reports_client_request", "client_id", "request_id", unique=True),
        STRICT,
    )
