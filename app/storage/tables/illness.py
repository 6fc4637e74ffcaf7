"""Tables of the way back after illness, and of hot days."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, LocalDate, between, iso_date
from app.storage.tables.base import STRICT, Base


class IllnessReturnRow(Base):
    """What was known when a hold on all training after illness was lifted."""

    __tablename__ = "illness_returns"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    hold_id: Mapped[int] = mapped_column(ForeignKey("holds.id", ondelete="CASCADE"), index=True)
    well_since_on: Mapped[date] = mapped_column(LocalDate)
    lifted_on: Mapped[date] = mapped_column(LocalDate)
    days_lost: Mapped[int]
    advice_from: Mapped[str | None]
    advice_on: Mapped[date | None] = mapped_column(LocalDate)
    recorded_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        iso_date("well_since_on"),
        iso_date("lifted_on"),
        iso_date("advice_on"),
        between("days_lost", 1, 3660),
        CheckConstraint("(advice_from IS NULL) = (advice_on IS NULL)", name="advice_is_whole"),
        CheckConstraint("well_since_on <= lifted_on", name="well_before_lifted"),
        STRICT,
    )


class HeatNoteRow(Base):
    """How hot a day is at the practice's place, as the coach typed it; the newest of a day counts."""

    __tablename__ = "heat_notes"
    id: Mapped[int] = mapped_column(primary_key=True)
    noted_on: Mapped[date] = mapped_column(LocalDate, index=True)
    temperature_c: Mapped[float | None]
    humidity_percent: Mapped[float | None]
    wbgt_c: Mapped[float | None]
    noted_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        iso_date("noted_on"),
        between("temperature_c", -30, 55),
        between("humidity_percent", 0, 100),
        between("wbgt_c", -10, 45),
        CheckConstraint("temperature_c IS NOT NULL OR wbgt_c IS NOT NULL", name="something_measured"),
        STRICT,
    )
