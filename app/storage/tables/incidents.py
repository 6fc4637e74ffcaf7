"""Tables of incidents: the first record and what is added to it. Triggers refuse every change."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.incidents import IncidentWord
from app.storage.columns import Choice, Instant, LocalDate, filled, iso_date, one_of
from app.storage.tables.base import STRICT, Base


class IncidentRow(Base):
    """One incident as it was first written down."""

    __tablename__ = "incidents"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    happened_on: Mapped[date] = mapped_column(LocalDate)
    about_when: Mapped[str]
    activity: Mapped[str]
    place: Mapped[str]
    symptoms: Mapped[str]
    action_taken: Mapped[str]
    outcome: Mapped[str]
    hold_id: Mapped[int | None] = mapped_column(ForeignKey("holds.id", ondelete="CASCADE"), index=True)
    recorded_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        iso_date("happened_on"),
        filled("about_when", 40),
        filled("activity", 200),
        filled("place", 200),
        filled("symptoms", 2000),
        filled("action_taken", 2000),
        filled("outcome", 2000),
        STRICT,
    )


class IncidentEntryRow(Base):
    """One entry added to an incident."""

    __tablename__ = "incident_entries"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    incident_id: Mapped[int] = mapped_column(ForeignKey("incidents.id", ondelete="CASCADE"), index=True)
    word: Mapped[IncidentWord] = mapped_column(Choice(IncidentWord))
    text: Mapped[str]
    added_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (one_of("word", IncidentWord), filled("text", 2000), STRICT)
