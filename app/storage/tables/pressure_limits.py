"""The table of a clinician's own pressure limits for a client."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, LocalDate, between, filled, iso_date
from app.storage.tables.base import STRICT, Base


class PressureLimitRow(Base):
    """Two numbers a clinician set for one client; taken back, never changed."""

    __tablename__ = "pressure_limits"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    systolic_mmhg: Mapped[int]
    diastolic_mmhg: Mapped[int]
    given_on: Mapped[date] = mapped_column(LocalDate)
    signer: Mapped[str]
    profession: Mapped[str]
    how_seen: Mapped[str]
    recorded_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    taken_back_at: Mapped[datetime | None] = mapped_column(Instant)
    taken_back_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        between("systolic_mmhg", 100, 200),
        between("diastolic_mmhg", 60, 110),
        CheckConstraint("diastolic_mmhg < systolic_mmhg", name="limits_in_order"),
        CheckConstraint("how_seen IN ('paper', 'copy', 'from_clinic')", name="how_seen_is_in_writing"),
        CheckConstraint("(taken_back_at IS NULL) = (taken_back_by IS NULL)", name="taking_back_is_whole"),
        iso_date("given_on"),
        filled("signer", 200),
        filled("profession", 200),
        STRICT,
    )
