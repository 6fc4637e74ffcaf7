"""The table of intake answers that wait to be sent."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, filled, json_text
from app.storage.tables.base import STRICT, Base


class IntakeAnswerRow(Base):
    """One answer of a client's intake before it is sent; gone once it is."""

    __tablename__ = "intake_answers"
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), primary_key=True)
    question: Mapped[str] = mapped_column(primary_key=True)
    answer_json: Mapped[str]
    answered_at: Mapped[datetime] = mapped_column(Instant)
    __table_args__ = (filled("question", 60), filled("answer_json", 4000), json_text("answer_json"), STRICT)
