"""Tables of what is told week by week, what a coach has read of it, and the address of a coach's feed."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.check_ins import WeekFelt
from app.coaching.people import Origin
from app.coaching.session_logs import WhyNot
from app.storage.columns import Choice, Flag, Instant, LocalDate, between, filled, one_of
from app.storage.tables.base import STRICT, Base


class CheckInRow(Base):
    """One week as a client told it, once."""

    __tablename__ = "check_ins"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"))
    week_on: Mapped[date] = mapped_column(LocalDate)
    felt: Mapped[WeekFelt] = mapped_column(Choice(WeekFelt))
    other_hard: Mapped[bool] = mapped_column(Flag)
    medicine_changed: Mapped[bool] = mapped_column(Flag)
    fell: Mapped[bool] = mapped_column(Flag)
    barrier: Mapped[WhyNot | None] = mapped_column(Choice(WhyNot))
    confidence: Mapped[int | None]
    text: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        UniqueConstraint("client_id", "week_on"),
        CheckConstraint("strftime('%w', week_on) = '1'", name="week_on_is_a_monday"),
        one_of("felt", WeekFelt),
        one_of("barrier", WhyNot),
        one_of("origin", Origin),
        between("confidence", 0, 10),
        filled("text", 4000),
        STRICT,
    )


class EntriesReadRow(Base):
    """Up to when a coach has read what clients entered."""

    __tablename__ = "entries_read"
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), primary_key=True)
    until_at: Mapped[datetime] = mapped_column(Instant)
    read_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (STRICT,)


class FeedAddressRow(Base):
    """The secret address of a coach's feed; only the hash of its token is kept."""

    __tablename__ = "feed_addresses"
    id: Mapped[int] = mapped_column(primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), index=True)
    token_sha256: Mapped[str] = mapped_column(unique=True)
    created_at: Mapped[datetime] = mapped_column(Instant)
    revoked_at: Mapped[datetime | None] = mapped_column(Instant)
    last_read_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (STRICT,)
