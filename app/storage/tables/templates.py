"""Tables of weeks kept as templates."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.storage.columns import Choice, Flag, Instant, between, filled, json_text, one_of
from app.storage.tables.base import STRICT, Base


class WeekTemplateRow(Base):
    """A week the whole practice may use again; it names no client."""

    __tablename__ = "week_templates"
    id: Mapped[int] = mapped_column(primary_key=True)
    name: Mapped[str] = mapped_column(unique=True)
    created_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (filled("name", 80), STRICT)


class TemplateSessionRow(Base):
    """One session of a template; Monday is 0."""

    __tablename__ = "week_template_sessions"
    id: Mapped[int] = mapped_column(primary_key=True)
    week_template_id: Mapped[int] = mapped_column(ForeignKey("week_templates.id", ondelete="CASCADE"), index=True)
    weekday: Mapped[int]
    kind: Mapped[SessionKind] = mapped_column(Choice(SessionKind))
    mode: Mapped[Mode] = mapped_column(Choice(Mode))
    title: Mapped[str]
    purpose: Mapped[str]
    minutes: Mapped[int]
    hard_minutes: Mapped[float]
    is_hard: Mapped[bool] = mapped_column(Flag)
    rounds: Mapped[int]
    steps_json: Mapped[str]
    easy_version: Mapped[str | None]
    is_uphill: Mapped[bool] = mapped_column(Flag)
    __table_args__ = (
        between("weekday", 0, 6),
        one_of("kind", SessionKind),
        one_of("mode", Mode),
        filled("title", 200),
        between("minutes", 0, 720),
        between("rounds", 0, 60),
        json_text("steps_json"),
        STRICT,
    )
