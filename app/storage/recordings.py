"""Recordings beside the log: listed without their series, one standing for each log, and who wants places kept."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, fields
from datetime import datetime
from typing import Any

from sqlalchemy import delete, or_, select, update
from sqlalchemy.orm import Session

from app.coaching.people import Origin
from app.storage.reading import read, read_one
from app.storage.tables.recordings import PlaceChoiceRow, RecordingRow


@dataclass(frozen=True, slots=True)
class KeptRecording:
    """One recording without its series."""

    id: int
    client_id: int
    session_log_id: int
    origin: Origin
    file_kind: str
    file_sha256: str
    file_bytes: int
    started_at: datetime | None
    duration_s: int
    has_places: bool
    about_json: str
    series_bytes: int
    series_format: int
    reading_version: int
    edges_json: str | None
    edges_at: datetime | None
    edges_by: int | None
    added_at: datetime
    person_id: int
    removed_at: datetime | None
    removed_by: int | None


@dataclass(frozen=True, slots=True)
class PlaceChoice:
    """Whether a client wants places kept, as it was said once."""

    client_id: int
    keeps_places: bool
    origin: Origin
    decided_at: datetime
    person_id: int


def add(db: Session, *, recording: KeptRecording, series: bytes) -> int:
    """Keep a recording; its id and the size it says are ignored. Returns the id."""
    left_out = {"id", "series_bytes"}
    values: dict[str, Any] = {
        f.name: getattr(recording, f.name) for f in fields(KeptRecording) if f.name not in left_out
    }
    row = RecordingRow(**values, series=series, series_bytes=len(series))
    db.add(row)
    db.flush()
    return row.id


def of_log(db: Session, *, session_log_id: int) -> list[KeptRecording]:
    """Every recording of a log, also those taken away, the newest first."""
    where = RecordingRow.session_log_id == session_log_id
    return read(db, KeptRecording, RecordingRow, where, order_by=(RecordingRow.id.desc(),))


def standing(db: Session, *, session_log_id: int) -> KeptRecording | None:
    """The recording that stands for a log."""
    where = (RecordingRow.session_log_id == session_log_id, RecordingRow.removed_at.is_(None))
    return read_one(db, KeptRecording, RecordingRow, *where)


def of_client(db: Session, *, client_id: int) -> list[KeptRecording]:
    """A client's recordings, also those taken away, oldest first."""
    where = RecordingRow.client_id == client_id
    return read(db, KeptRecording, RecordingRow, where, order_by=(RecordingRow.id,))


def standing_of(db: Session, *, client_ids: Collection[int]) -> list[KeptRecording]:
    """The recordings that stand for an entry of some clients, oldest first."""
    where = (RecordingRow.client_id.in_(client_ids), RecordingRow.removed_at.is_(None))
    return read(db, KeptRecording, RecordingRow, *where, order_by=(RecordingRow.id,))


def one(db: Session, *, recording_id: int) -> KeptRecording | None:
    """A recording without its series."""
    return read_one(db, KeptRecording, RecordingRow, RecordingRow.id == recording_id)


def series_of(db: Session, *, recording_id: int) -> bytes:
    """The series of a recording as it is kept."""
    return db.execute(select(RecordingRow.series).where(RecordingRow.id == recording_id)).scalar_one()


def series_of_many(db: Session, *, recording_ids: Collection[int]) -> dict[int, bytes]:
    """The series of some recordings as they are kept, by the recording's id."""
    query = select(RecordingRow.id, RecordingRow.series).where(RecordingRow.id.in_(recording_ids))
    return dict(db.execute(query).all())


def set_series(db: Session, *, recording_id: int, series: bytes, has_places: bool) -> None:
    """Keep another series of the same recording, as when its places are to go."""
    db.execute(
        update(RecordingRow)
        .where(RecordingRow.id == recording_id)
        .values(series=series, series_bytes=len(series), has_places=has_places)
    )


def set_read(
    db: Session, *, recording_id: int, rounds_json: str | None, above_easy_min: float | None, version: int
) -> None:
    """Keep what was read from a recording, for everything that asks how a session was done; None without any."""
    values = {"rounds_json": rounds_json, "above_easy_min": above_easy_min, "rounds_version": version}
    db.execute(update(RecordingRow).where(RecordingRow.id == recording_id).values(values))


def ask_for_rounds(db: Session, *, session_log_id: int) -> None:
    """Let the rounds of an entry's recordings be read again, for what they were read with has changed."""
    where = RecordingRow.session_log_id == session_log_id
    db.execute(update(RecordingRow).where(where).values(rounds_version=None))


def ask_for_all(db: Session, *, client_id: int) -> None:
    """Let all recordings of a client be read again."""
    db.execute(update(RecordingRow).where(RecordingRow.client_id == client_id).values(rounds_version=None))


def rounds_unread(db: Session, *, version: int, most: int) -> list[KeptRecording]:
    """Standing recordings whose rounds no such version of the reading has read, the newest first."""
    where = (
        RecordingRow.removed_at.is_(None),
        or_(RecordingRow.rounds_version.is_(None), RecordingRow.rounds_version != version),
    )
    return read(db, KeptRecording, RecordingRow, *where, order_by=(RecordingRow.id.desc(),))[:most]


def take_away(db: Session, *, recording_id: int, person_id: int, at: datetime) -> None:
    """Let a recording stand for its log no more; it can be brought back until it is dropped."""
    db.execute(
        update(RecordingRow).where(RecordingRow.id == recording_id).values(removed_at=at, removed_by=person_id)
    )


def bring_back(db: Session, *, recording_id: int) -> None:
    """Let a recording stand for its log again."""
    db.execute(update(RecordingRow).where(RecordingRow.id == recording_id).values(removed_at=None, removed_by=None))


def has_removed(db: Session, *, before: datetime) -> bool:
    """Whether anything was taken away before an instant."""
    query = select(RecordingRow.id).where(RecordingRow.removed_at < before).limit(1)
    return db.execute(query).first() is not None


def drop_removed(db: Session, *, before: datetime) -> None:
    """Forget for good what was taken away before an instant."""
    db.execute(delete(RecordingRow).where(RecordingRow.removed_at < before))


def set_edges(
    db: Session, *, recording_id: int, edges_json: str | None, person_id: int | None, at: datetime | None
) -> None:
    """Where the coach put the rounds; None for the reading's own again."""
    db.execute(
        update(RecordingRow)
        .where(RecordingRow.id == recording_id)
        .values(edges_json=edges_json, edges_by=person_id, edges_at=at)
    )


def add_choice(db: Session, *, choice: PlaceChoice) -> None:
    """Keep what a client said about places."""
    db.add(PlaceChoiceRow(**{f.name: getattr(choice, f.name) for f in fields(PlaceChoice)}))
    db.flush()


def choice_of(db: Session, *, client_id: int) -> PlaceChoice | None:
    """What a client last said about places; None when nobody asked for them to be kept."""
    found = read(
        db, PlaceChoice, PlaceChoiceRow, PlaceChoiceRow.client_id == client_id, order_by=(PlaceChoiceRow.id.desc(),)
    )
    return found[0] if found else None
