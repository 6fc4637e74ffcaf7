"""Mends of today that can still be taken back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import local_day, start_of_day
from app.storage import audit, prescriptions
from app.storage.audit import AuditEntry
from app.storage.reading import grouped

MEND = "plan mend"
MENDED, TOOK_BACK = "mended", "took back"


@dataclass(frozen=True, slots=True)
class Mended:
    """A mend of today that can still be taken back."""

    id: int
    at: datetime
    by: str
    words: str


def mended_today(db: Session, *, client: Client, now: datetime) -> tuple[Mended, ...]:
    """Mends of today that nothing has been built on, newest first: every session is still the draft the mend made."""
    entries = _of_today(db, client, now)
    gone = {one.subject_id for one in entries if one.action == TOOK_BACK}
    made = [one for one in entries if one.action == MENDED and one.id not in gone]
    versions = versions_in(db, [session_id for one in made for session_id, _before, _after in kept_in(one)])
    open_ones = [one for one in made if _is_untouched(one, versions)]
    return tuple(
        Mended(one.id, one.at, one.person_name or "", json.loads(one.change_json)["words"]) for one in open_ones
    )


def _of_today(db: Session, client: Client, now: datetime) -> list[AuditEntry]:
    since = start_of_day(local_day(now, client.zone), client.zone)
    return audit.entries_of(db, client_id=client.id, subject=MEND, since=since)


def kept_in(entry: AuditEntry) -> list[tuple[int, int, int]]:
    """Each session a mend changed, with its version before and after."""
    return [(one[0], one[1], one[2]) for one in json.loads(entry.change_json).get("sessions", [])]


def versions_in(db: Session, ids: Sequence[int]) -> dict[int, tuple[PlannedSession, ...]]:
    """All versions of some sessions, by session."""
    return grouped(prescriptions.versions_of(db, planned_session_ids=ids), lambda one: one.id) if ids else {}


def _is_untouched(entry: AuditEntry, versions: dict[int, tuple[PlannedSession, ...]]) -> bool:
    kept = [(versions[session_id][-1], after) for session_id, _before, after in kept_in(entry)]
    return all(newest.version == after and newest.published_at is None for newest, after in kept)
