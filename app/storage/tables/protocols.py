"""Table of the practice's own sessions of the library."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, between, filled, json_text
from app.storage.tables.base import STRICT, Base


class OwnProtocolRow(Base):
    """One session of the practice's own; retired, never deleted, so that it can be brought back."""

    __tablename__ = "own_protocols"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    purpose: Mapped[str]
    suits: Mapped[str]
    work_s: Mapped[int]
    recovery_s: Mapped[int]
    rounds: Mapped[int]
    rounds_least: Mapped[int]
    rounds_most: Mapped[int]
    set_of: Mapped[int]
    set_recovery_s: Mapped[int]
    modes_json: Mapped[str]
    finish_rule: Mapped[str]
    also_words: Mapped[str | None]
    evidence: Mapped[str | None]
    step_up: Mapped[str | None]
    step_down: Mapped[str | None]
    copied_from: Mapped[str | None]
    created_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    revision: Mapped[int]
    retired_at: Mapped[datetime | None] = mapped_column(Instant)
    __table_args__ = (
        filled("name", 80),
        filled("purpose", 400),
        filled("suits", 400),
        between("work_s", 10, 1200),
        between("recovery_s", 5, 1200),
        between("rounds_least", 1, 40),
        between("rounds_most", 1, 40),
        CheckConstraint("rounds BETWEEN rounds_least AND rounds_most", name="rounds_in_order"),
        CheckConstraint("rounds_most * work_s <= 2880", name="work_is_bounded"),
        CheckConstraint(
            "(set_of = 0 AND set_recovery_s = 0) OR (set_of BETWEEN 2 AND 39 AND set_recovery_s BETWEEN 6 AND 1200)",
            name="sets_are_whole",
        ),
        json_text("modes_json"),
        filled("finish_rule", 600),
        filled("also_words", 400),
        filled("evidence", 600),
        STRICT,
    )
