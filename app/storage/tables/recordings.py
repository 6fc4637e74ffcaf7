"""Tables of recordings: large, and therefore apart from everything that is read each morning."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Index, LargeBinary, text
from sqlalchemy.orm import Mapped, mapped_column

from app.coaching.people import Origin
from app.storage.columns import Choice, Flag, Instant, between, filled, json_text, one_of
from app.storage.tables.base import STRICT, Base


class RecordingRow(Base):
    """What was recorded of one session, as a series on an even clock; never the file it came in."""

    __tablename__ = "recordings"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    session_log_id: Mapped[int] = mapped_column(ForeignKey("session_logs.id", ondelete="CASCADE"), index=True)
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    file_kind: Mapped[str]
    file_sha256: Mapped[str]
    file_bytes: Mapped[int]
    started_at: Mapped[datetime | None] = mapped_column(Instant)
    duration_s: Mapped[int]
    has_places: Mapped[bool] = mapped_column(Flag)
    #: Channels, faults and notes, so that a list needs no series.
    about_json: Mapped[str]
    series: Mapped[bytes] = mapped_column(LargeBinary)
    series_bytes: Mapped[int]
    series_format: Mapped[int]
    #: Which version of the reading made the series.
    reading_version: Mapped[int]
    #: Where the coach put the rounds; None while the reading's own count.
    edges_json: Mapped[str | None]
    edges_at: Mapped[datetime | None] = mapped_column(Instant)
    #: The rounds last read from it, or where the coach put them; None without any.
    rounds_json: Mapped[str | None]
    #: Which version of the rounds' reading found them; None asks for another reading.
    rounds_version: Mapped[int | None]
    #: Minutes of the heart above the edge of easy, where they alone say "not easy"; None else.
    above_easy_min: Mapped[float | None]
    edges_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    added_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    removed_at: Mapped[datetime | None] = mapped_column(Instant)
    removed_by: Mapped[int | None] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        one_of("origin", Origin),
        CheckConstraint("file_kind IN ('gpx', 'csv')", name="file_kind_is_known"),
        filled("file_sha256", 64),
        between("duration_s", 1, 86400),
        json_text("about_json"),
        json_text("edges_json"),
        json_text("rounds_json"),
        between("above_easy_min", 0, 1440),
        CheckConstraint(
            "series_bytes = length(series) AND series_bytes BETWEEN 1 AND 4194304", name="series_bytes_is_true"
        ),
        CheckConstraint(
            "(edges_json IS NULL) = (edges_at IS NULL) AND (edges_at IS NULL) = (edges_by IS NULL)",
            name="edges_are_whole",
        ),
        CheckConstraint("(removed_at IS NULL) = (removed_by IS NULL)", name="removing_is_whole"),
        Index("uq_recordings_one_a_log", "session_log_id", unique=True, sqlite_where=text("removed_at IS NULL")),
        Index(
            "ix_recordings_above_easy",
            "session_log_id",
            sqlite_where=text("above_easy_min IS NOT NULL AND removed_at IS NULL"),
        ),
        STRICT,
    )


class PlaceChoiceRow(Base):
    """Whether a client wants the places in their recordings kept; the newest counts, none means no."""

    __tablename__ = "place_choices"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    keeps_places: Mapped[bool] = mapped_column(Flag)
    origin: Mapped[Origin] = mapped_column(Choice(Origin))
    decided_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (one_of("origin", Origin), STRICT)
