"""The rounds of a recording, read when it is kept, and again when its entry or the reading has changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.heart_rate_trust import trust_of
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.recorded_rounds import ROUNDS_VERSION, rounds_recorded, to_json
from app.coaching.recording_about import edges_from_json, from_json
from app.coaching.rounds_values import RoundsAsked, rounds_asked
from app.coaching.session_logs import SessionLog
from app.files.kept_series import unpack
from app.storage import history, recordings, session_logs
from app.storage.audit import leave_trace
from app.storage.recordings import KeptRecording
from app.usecases.recordings.looking import planned_of

#: So many are looked at between two pauses, so that an old practice's recordings do not hold up the forecasts.
MOST_AT_ONCE = 50


@dataclass(frozen=True, slots=True)
class RoundsRead:
    """What a reading found, and what it was read from: kept only while both still stand."""

    recording: KeptRecording
    log: SessionLog
    rounds_json: str | None


def unread(db: Session) -> tuple[int, ...]:
    """Recordings whose rounds have to be read, the newest first."""
    return tuple(one.id for one in recordings.rounds_unread(db, version=ROUNDS_VERSION, most=MOST_AT_ONCE))


def find(db: Session, *, recording_id: int) -> RoundsRead | None:
    """Read the rounds of a recording without keeping them; None when it stands for no entry any more."""
    standing = recordings.one(db, recording_id=recording_id)
    log = session_logs.one(db, log_id=standing.session_log_id) if standing else None
    if standing is None or log is None or standing.removed_at is not None:
        return None
    return RoundsRead(standing, log, _rounds_json(db, standing, log))


def keep(db: Session, found: RoundsRead, *, now: datetime) -> None:
    """Keep what was read, unless the entry or the recording changed meanwhile: then the next look reads it.

    The trace is the desk's own, so that forecasts see that there is something new.
    """
    was, log = found.recording, found.log
    if recordings.one(db, recording_id=was.id) != was or session_logs.one(db, log_id=log.id) != log:
        return
    recordings.set_rounds(db, recording_id=was.id, rounds_json=found.rounds_json, version=ROUNDS_VERSION)
    leave_trace(
        db,
        at=now,
        person_id=None,
        client_id=was.client_id,
        action="read the rounds of a recording again",
        subject="session log",
        subject_id=was.session_log_id,
        change={"after": {"recording": was.id}},
    )


def read_rounds(db: Session, log: SessionLog, recording_id: int) -> None:
    """Read the rounds of a recording, or take them from the coach's hand, and keep them for every rule that asks."""
    standing = recordings.one(db, recording_id=recording_id)
    if standing is not None:
        said = _rounds_json(db, standing, log)
        recordings.set_rounds(db, recording_id=recording_id, rounds_json=said, version=ROUNDS_VERSION)


def _rounds_json(db: Session, standing: KeptRecording, log: SessionLog) -> str | None:
    series = recordings.series_of(db, recording_id=standing.id)
    recording, _ = unpack(series, about=from_json(standing.about_json), started_at=standing.started_at)
    known = history.load(db, client_ids=[log.client_id], from_on=log.done_on, until_on=log.done_on)[0]
    found = rounds_recorded(
        recording,
        mode=log.mode,
        asked=_asked(planned_of(db, log)),
        by_hand=edges_from_json(standing.edges_json) if standing.edges_json else (),
        heart_rate_counts=not trust_of(known, log.done_on).is_off,
    )
    return to_json(found) if found else None


def _asked(planned: PlannedSession | None) -> RoundsAsked | None:
    """The rounds of the plan; None also for steps nobody can read any more: then the recording speaks by itself."""
    try:
        return rounds_asked(planned) if planned else None
    except DomainError:
        return None
