"""What is forgotten by itself: files that waited two hours, and recordings that were taken away two days ago."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from app.files import incoming
from app.storage import recordings
from app.usecases.recordings.keeping import BRING_BACK_WITHIN
from app.usecases.recordings.looking import WAITING, WAITS_FOR


def forget_waiting(data_dir: Path, *, now: datetime) -> None:
    """Drop the files whose two hours are over."""
    incoming.sweep(data_dir / WAITING, now=now, kept_for=WAITS_FOR)


def is_due(db: Session, *, now: datetime) -> bool:
    """Whether a recording that was taken away is over its time."""
    return recordings.has_removed(db, before=now - BRING_BACK_WITHIN)


def forget_removed(db: Session, *, now: datetime) -> None:
    """Drop for good what was taken away too long ago to be brought back."""
    recordings.drop_removed(db, before=now - BRING_BACK_WITHIN)
