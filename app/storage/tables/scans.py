"""The table of scanned papers: large, and therefore apart from everything that is read each morning."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, LargeBinary, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from app.storage.columns import Instant, filled
from app.storage.tables.base import STRICT, Base


class ClearanceScanRow(Base):
    """A scan of a clinician's paper, kept as it came."""

    __tablename__ = "clearance_scans"
    id: Mapped[int] = mapped_column(primary_key=True)
    client_id: Mapped[int] = mapped_column(ForeignKey("clients.id", ondelete="CASCADE"), index=True)
    clearance_id: Mapped[int] = mapped_column(ForeignKey("clearances.id", ondelete="CASCADE"))
    media_type: Mapped[str]
    name: Mapped[str]
    size_bytes: Mapped[int]
    sha256: Mapped[str]
    content: Mapped[bytes] = mapped_column(LargeBinary)
    added_at: Mapped[datetime] = mapped_column(Instant)
    person_id: Mapped[int] = mapped_column(ForeignKey("people.id"), index=True)
    __table_args__ = (
        UniqueConstraint("clearance_id", "sha256", name="uq_clearance_scans_clearance_id"),
        CheckConstraint("media_type IN ('application/pdf', 'image/jpeg', 'image/png')", name="media_type_is_known"),
        CheckConstraint("size_bytes = length(content) AND size_bytes BETWEEN 1 AND 5242880", name="size_is_true"),
        filled("name", 200),
        STRICT,
    )
