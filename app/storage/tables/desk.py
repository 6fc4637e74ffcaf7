"""Tables of the desk itself: the practice, its settings, the audit trail, exactly-once entry, imports."""

from __future__ import annotations

from datetime import date, datetime
from enum import StrEnum

from sqlalchemy import CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.practice import PracticeKind
from app.storage.columns import Choice, Instant, LocalDate, between, json_text, one_of
from app.storage.tables.base import STRICT, Base


class PracticeRow(Base):
    """The practice: exactly one row."""

    __tablename__ = "practice"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    kind: Mapped[PracticeKind] = mapped_column(Choice(PracticeKind))
    zone: Mapped[str]
    emergency_number: Mapped[str | None]
    phone: Mapped[str | None]
    public_url: Mapped[str | None]
    setup_code_sha256: Mapped[str | None]
    created_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (CheckConstraint("id = 1", name="only_one"), one_of("kind", PracticeKind), STRICT)


class SettingRow(Base):
    """A practice setting that differs from its default."""

    __tablename__ = "practice_settings"
    name: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[float]
    changed_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (STRICT,)


class AuditRow(Base):
    """One entry of the audit trail: who did what to whose record, when, before and after."""

    __tablename__ = "audit_trail"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("people.id"))
    client_id: Mapped[int | None] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    action: Mapped[str]
    subject: Mapped[str]
    subject_id: Mapped[int | None]
    change_json: Mapped[str]
    reason: Mapped[str | None]
    __table_args__ = (
        json_text("change_json"),
        Index("ix_audit_trail_client", "client_id", "id"),
        Index("ix_audit_trail_person", "person_id", "at"),
        STRICT,
    )


class RequestRow(Base):
    """A form that was carried out: its id, the print of what was sent, and where the answer led."""

    __tablename__ = "requests"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"))
    route: Mapped[str]
    request_id: Mapped[str]
    body_sha256: Mapped[str]
    location: Mapped[str]
    at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (UniqueConstraint("person_id", "route", "request_id"), Index("ix_requests_at", "at"), STRICT)


class HandledWord(StrEnum):
    """What was done with a morning line."""

    HANDLED = "handled"
    PUT_OFF = "put_off"


class HandledRow(Base):
    """A morning line that was dealt with."""

    __tablename__ = "handled_signals"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    signal: Mapped[str]
    key: Mapped[str]
    word: Mapped[HandledWord] = mapped_column(Choice(HandledWord))
    until_on: Mapped[date | None] = mapped_column(LocalDate)
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    undone_at: Mapped[datetime | None] = mapped_column(Instant)
    #: What the line said and its figures at that moment; None for lines of before this was kept.
    shown_json: Mapped[str | None]
    __table_args__ = (
        one_of("word", HandledWord),
        json_text("shown_json"),
        CheckConstraint("(word = 'put_off') = (until_on IS NOT NULL)", name="put_off_has_a_day"),
        STRICT,
    )


class MappingRow(Base):
    """A confirmed mapping of a spreadsheet's header row."""

    __tablename__ = "import_mappings"
    header_sha256: Mapped[str] = mapped_column(primary_key=True)
    kind: Mapped[str]
    mapping_json: Mapped[str]
    confirmed_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (json_text("mapping_json"), STRICT)


class ImportRow(Base):
    """One file brought in: what it was and what became of its rows."""

    __tablename__ = "imports"
    id: Mapped[int] = mapped_column(primary_key=True)
    at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    file_name: Mapped[str]
    file_sha256: Mapped[str]
    kind: Mapped[str]
    added: Mapped[int]
    changed: Mapped[int]
    refused: Mapped[int]
    __table_args__ = (between("added", 0, 10_000_000), STRICT)
