"""The table of requests that people make about their own data."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.data_requests import DataRequestKind
from app.coaching.people import Origin
from app.storage.columns import Choice, Instant, LocalDate, filled, iso_date, one_of
from app.storage.tables.base import STRICT, Base


class DataRequestRow(Base):
    """One request; open until the day it was answered is kept."""

    __tablename__ = "data_requests"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    kind: Mapped[DataRequestKind] = mapped_column(Choice(DataRequestKind))
    asked_on: Mapped[date] = mapped_column(LocalDate)
    text: Mapped[str | None]
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    recorded_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    done_on: Mapped[date | None] = mapped_column(LocalDate)
    done_how: Mapped[str | None]
    done_at: Mapped[datetime | None] = mapped_column(Instant)
    done_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("kind", DataRequestKind),
        one_of("origin", Origin),
        iso_date("asked_on"),
        filled("text", 2000),
        filled("done_how", 2000),
        CheckConstraint(
            "(done_on IS NULL) = (done_how IS NULL) AND (done_on IS NULL) = (done_at IS NULL)"
            " AND (done_on IS NULL) = (done_by IS NULL)",
            name="answer_is_whole",
        ),
        STRICT,
    )
