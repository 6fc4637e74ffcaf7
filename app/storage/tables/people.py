"""Tables of people, logins, clients and the small records around them."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, text
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.access import Role
from app.coaching.people import ClientState, ContactKind, HeartRateUse, Origin, Sex, Visibility
from app.coaching.session_logs import WhyNot
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind
from app.storage.columns import Choice, Flag, Instant, LocalDate, between, filled, iso_date, one_of
from app.storage.tables.base import STRICT, Base


class PersonRow(Base):
    """Somebody who can sign in or act: coaches with a password, clients by a personal link."""

    __tablename__ = "people"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    email: Mapped[str | None]
    role: Mapped[Role] = mapped_column(Choice(Role))
    password_hash: Mapped[str | None]
    client_id: Mapped[int | None] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), unique=True)
    is_active: Mapped[bool] = mapped_column(Flag)
    created_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (
        filled("name", 200),
        one_of("role", Role),
        CheckConstraint("(role = 'client') = (client_id IS NOT NULL)", name="client_role_has_client"),
        CheckConstraint("is_active IN (0, 1)", name="is_active_is_flag"),
        Index("uq_people_email", text("lower(email)"), unique=True),
        STRICT,
    )


class LoginRow(Base):
    """A signed-in browser. Only the hash of its token is kept."""

    __tablename__ = "logins"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), index=True)
    token_sha256: Mapped[str] = mapped_column(unique=True)
    device: Mapped[str]
    created_at: Mapped[datetime] = mapped_column(Instant)
    last_seen_at: Mapped[datetime] = mapped_column(Instant)
    ends_at: Mapped[datetime] = mapped_column(Instant)
    ended_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (STRICT,)


class InviteRow(Base):
    """A personal link: valid seven days, used once. Only the hash of its token is kept."""

    __tablename__ = "invites"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), index=True)
    token_sha256: Mapped[str] = mapped_column(unique=True)
    created_by: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    created_at: Mapped[datetime] = mapped_column(Instant)
    ends_at: Mapped[datetime] = mapped_column(Instant)
    used_at: Mapped[datetime | None] = mapped_column(Instant)
    revoked_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (STRICT,)


class ThrottleRow(Base):
    """Failed sign-ins per account or address; delays grow, nobody is locked out for good."""

    __tablename__ = "sign_in_failures"
    id: Mapped[int] = mapped_column(primary_key=True)
    subject: Mapped[str] = mapped_column(index=True)
    failed_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (STRICT,)


class ClientRow(Base):
    """One person on the roster."""

    __tablename__ = "clients"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str]
    email: Mapped[str | None]
    phone: Mapped[str | None]
    born_on: Mapped[date | None] = mapped_column(LocalDate)
    sex: Mapped[Sex | None] = mapped_column(Choice(Sex))
    zone: Mapped[str]
    state: Mapped[ClientState] = mapped_column(Choice(ClientState))
    coach_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    has_phone: Mapped[bool] = mapped_column(Flag)
    base_weeks_asked: Mapped[int | None]
    regularly_active_confirmed_on: Mapped[date | None] = mapped_column(LocalDate)
    heart_rate_use: Mapped[HeartRateUse] = mapped_column(Choice(HeartRateUse))
    heart_rate_source: Mapped[str | None]
    effort_plan: Mapped[str | None]
    emergency_contact: Mapped[str | None]
    emergency_phone: Mapped[str | None]
    emergency_confirmed_on: Mapped[date | None] = mapped_column(LocalDate)
    joined_on: Mapped[date] = mapped_column(LocalDate)
    revision: Mapped[int]
    created_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (
        filled("name", 200),
        one_of("state", ClientState),
        one_of("sex", Sex),
        one_of("heart_rate_use", HeartRateUse),
        iso_date("born_on"),
        iso_date("joined_on"),
        between("base_weeks_asked", 13, 52),
        STRICT,
    )


class HandoverRow(Base):
    """A client handed to a stand-in between two days."""

    __tablename__ = "handovers"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    from_on: Mapped[date] = mapped_column(LocalDate)
    until_on: Mapped[date] = mapped_column(LocalDate)
    with_private_notes: Mapped[bool] = mapped_column(Flag)
    #: What the stand-in should know, in the words of whoever hands over.
    words: Mapped[str | None]
    __table_args__ = (CheckConstraint("from_on <= until_on", name="days_in_order"), STRICT)


class AvailableDayRow(Base):
    """One day of a client's real week."""

    __tablename__ = "available_days"
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), primary_key=True)
    weekday: Mapped[int] = mapped_column(primary_key=True)
    minutes: Mapped[int]
    place: Mapped[str | None]
    kit: Mapped[str | None]
    __table_args__ = (between("weekday", 0, 6), between("minutes", 5, 720), STRICT)


class GoalRow(Base):
    """What a client wants."""

    __tablename__ = "goals"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    text: Mapped[str]
    why: Mapped[str | None]
    confidence: Mapped[int | None]
    due_on: Mapped[date | None] = mapped_column(LocalDate)
    agreed_on: Mapped[date] = mapped_column(LocalDate)
    closed_on: Mapped[date | None] = mapped_column(LocalDate)
    __table_args__ = (filled("text", 2000), between("confidence", 0, 10), STRICT)


class LeaveRow(Base):
    """Agreed time off."""

    __tablename__ = "leaves"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    from_on: Mapped[date] = mapped_column(LocalDate)
    until_on: Mapped[date] = mapped_column(LocalDate)
    reason: Mapped[str]
    __table_args__ = (CheckConstraint("from_on <= until_on", name="days_in_order"), STRICT)


class ToldAwayRow(Base):
    """Days a client travels or was off, as told, and what the coach answered; answered once, never overwritten."""

    __tablename__ = "told_away"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    kind: Mapped[AwayKind] = mapped_column(Choice(AwayKind))
    from_on: Mapped[date] = mapped_column(LocalDate)
    until_on: Mapped[date] = mapped_column(LocalDate)
    possible: Mapped[Possible] = mapped_column(Choice(Possible))
    why_off: Mapped[WhyNot | None] = mapped_column(Choice(WhyNot))
    text: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    told_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    answer: Mapped[AwayAnswer] = mapped_column(Choice(AwayAnswer))
    answered_at: Mapped[datetime | None] = mapped_column(Instant)
    answered_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    answered_because: Mapped[str | None]
    __table_args__ = (
        one_of("kind", AwayKind),
        one_of("possible", Possible),
        one_of("why_off", WhyNot),
        one_of("origin", Origin),
        one_of("answer", AwayAnswer),
        iso_date("from_on"),
        iso_date("until_on"),
        filled("text", 4000),
        filled("answered_because", 2000),
        CheckConstraint("from_on <= until_on", name="days_in_order"),
        CheckConstraint(
            "(answer = 'open') = (answered_at IS NULL) AND (answered_at IS NULL) = (answered_by IS NULL)",
            name="answering_is_whole",
        ),
        STRICT,
    )


class ContactRow(Base):
    """A human contact."""

    __tablename__ = "contacts"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    contact_on: Mapped[date] = mapped_column(LocalDate)
    kind: Mapped[ContactKind] = mapped_column(Choice(ContactKind))
    text: Mapped[str]
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("kind", ContactKind),
        Index("ix_contacts_client_day", "client_id", "contact_on"),
        STRICT,
    )


class NoteRow(Base):
    """A note about or for a client."""

    __tablename__ = "notes"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    written_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    text: Mapped[str]
    visibility: Mapped[Visibility] = mapped_column(Choice(Visibility))
    read_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (filled("text", 4000), one_of("visibility", Visibility), STRICT)


class MonthRemarkRow(Base):
    """The coach's remark on one client's month."""

    __tablename__ = "month_remarks"
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), primary_key=True)
    month: Mapped[str] = mapped_column(primary_key=True)
    text: Mapped[str]
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    written_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (
        CheckConstraint("month GLOB '[0-9][0-9][0-9][0-9]-[0-1][0-9]'", name="month_is_a_month"),
        STRICT,
    )
