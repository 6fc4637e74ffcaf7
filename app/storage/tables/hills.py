"""Tables of the practice's hills, and of what clients ride and weigh."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.hills import Surface
from app.storage.columns import Choice, Flag, Instant, LocalDate, between, filled, iso_date, one_of
from app.storage.tables.base import STRICT, Base


class HillRow(Base):
    """One hill of the practice; retired, never deleted, because plans name it."""

    __tablename__ = "hills"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    length_m: Mapped[float]
    slope_fraction: Mapped[float]
    surface: Mapped[Surface] = mapped_column(Choice(Surface))
    has_room_to_turn: Mapped[bool] = mapped_column(Flag)
    is_exposed: Mapped[bool] = mapped_column(Flag)
    is_lit: Mapped[bool] = mapped_column(Flag)
    for_riding: Mapped[bool] = mapped_column(Flag)
    for_running: Mapped[bool] = mapped_column(Flag)
    for_walking: Mapped[bool] = mapped_column(Flag)
    note: Mapped[str | None]
    created_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    retired_at: Mapped[datetime | None] = mapped_column(Instant)
    revision: Mapped[int]
    __table_args__ = (
        filled("name", 80),
        between("length_m", 50, 20000),
        between("slope_fraction", 0.005, 0.4),
        one_of("surface", Surface),
        filled("note", 1000),
        CheckConstraint("for_riding + for_running + for_walking > 0", name="for_somebody"),
        STRICT,
    )


class RiderRow(Base):
    """What one client weighs and rides."""

    __tablename__ = "riders"
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), primary_key=True)
    body_mass_kg: Mapped[float | None]
    body_mass_on: Mapped[date | None] = mapped_column(LocalDate)
    bike_mass_kg: Mapped[float | None]
    front_teeth: Mapped[int | None]
    rear_teeth: Mapped[int | None]
    wheel_circumference_m: Mapped[float | None]
    __table_args__ = (
        between("body_mass_kg", 25, 220),
        between("bike_mass_kg", 5, 30),
        between("front_teeth", 18, 60),
        between("rear_teeth", 9, 60),
        between("wheel_circumference_m", 1, 2.5),
        iso_date("body_mass_on"),
        CheckConstraint("(front_teeth IS NULL) = (rear_teeth IS NULL)", name="gear_is_whole"),
        CheckConstraint("(body_mass_kg IS NULL) = (body_mass_on IS NULL)", name="mass_has_a_day"),
        STRICT,
    )
