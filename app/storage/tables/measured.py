"""The table of what targets are made from."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.measured import KnownHow, MeasuredKind
from app.coaching.people import Mode, Origin
from app.storage.columns import Choice, Instant, LocalDate, between, filled, iso_date, json_text, one_of
from app.storage.tables.base import STRICT, Base


class MeasuredRow(Base):
    """One figure measured of a client; a mistaken one is set aside, never rewritten."""

    __tablename__ = "measured"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    kind: Mapped[MeasuredKind] = mapped_column(Choice(MeasuredKind))
    mode: Mapped[Mode] = mapped_column(Choice(Mode))
    measured_on: Mapped[date] = mapped_column(LocalDate)
    value: Mapped[float]
    value_error: Mapped[float | None]
    capacity: Mapped[float | None]
    capacity_error: Mapped[float | None]
    covariance: Mapped[float | None]
    how: Mapped[KnownHow] = mapped_column(Choice(KnownHow))
    fitted_form: Mapped[str | None]
    trials_json: Mapped[str]
    note: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    entered_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    set_aside_at: Mapped[datetime | None] = mapped_column(Instant)
    set_aside_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("kind", MeasuredKind),
        one_of("mode", Mode),
        one_of("how", KnownHow),
        one_of("origin", Origin),
        iso_date("measured_on"),
        CheckConstraint("value > 0 AND value <= 2500", name="value_is_above_nothing"),
        between("value_error", 0, 2500),
        CheckConstraint("capacity > 0 AND capacity <= 100000", name="capacity_is_above_nothing"),
        between("capacity_error", 0, 100000),
        json_text("trials_json"),
        filled("note", 1000),
        CheckConstraint(
            "(capacity IS NULL) = (kind IN ('highest_heart_rate', 'talk_power'))", name="capacity_belongs_to_a_curve"
        ),
        CheckConstraint("(set_aside_at IS NULL) = (set_aside_by IS NULL)", name="setting_aside_is_whole"),
        STRICT,
    )
