"""The table of forecasts: the last one of each client."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, LocalDate, iso_date, json_text
from app.storage.tables.base import STRICT, Base


class ForecastRow(Base):
    """When a client will likely meet the conditions of training, as reckoned on a day."""

    __tablename__ = "forecasts"
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), primary_key=True)
    made_on: Mapped[date] = mapped_column(LocalDate)
    made_at: Mapped[datetime] = mapped_column(Instant)
    #: A print of what it was reckoned from; another one means that it is behind.
    reckoned_from: Mapped[str]
    content_json: Mapped[str]
    __table_args__ = (iso_date("made_on"), json_text("content_json"), STRICT)
