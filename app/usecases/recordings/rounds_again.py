"""The rounds of a recording, read when it is kept, and again when its entry or the reading has changed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.easy_session import Beside, is_easy_session, minutes_not_easy
from app.coaching.heart_rate_trust import trust_of
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.recorded_rounds import ROUNDS_VERSION, rounds_recorded, to_json
from app.coaching.recording_about import edges_from_json, from_json
from app.coaching.rounds_values import RoundsAsked, rounds_asked
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.windows import FORTNIGHT
from app.files.kept_series import unpack
from app.storage import history, illness, measured, practice, recordings, session_logs
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
    above_easy_min: float | None


def unread(db: Session) -> tuple[int, ...]:
    """Recordings whose rounds have to be read, the newest first."""
    return tuple(one.id for one in recordings.rounds_unread(db, version=ROUNDS_VERSION, most=MOST_AT_ONCE))


def find(db: Session, *, recording_id: int) -> RoundsRead | None:
    """Read the rounds of a recording without keeping them; None when it stands for no entry any more."""
    standing = recordings.one(db, recording_id=recording_id)
    log = session_logs.one(db, log_id=standing.session_log_id) if standing else None
    if standing is None or log is None or standing.removed_at is not None:
        return None
    return _read(db, standing, log)


def keep(db: Session, found: RoundsRead, *, now: datetime) -> None:
    """Keep what was read, unless the entry or the recording changed meanwhile: then the next look reads it.

    The trace is the desk's own, so that forecasts see that there is something new.
    """
    was, log = found.recording, found.log
    if recordings.one(db, recording_id=was.id) != was or session_logs.one(db, log_id=log.id) != log:
        return
    _set(db, found)
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
        _set(db, _read(db, standing, log))


def _set(db: Session, found: RoundsRead) -> None:
    recordings.set_read(
        db,
        recording_id=found.recording.id,
        rounds_json=found.rounds_json,
        above_easy_min=found.above_easy_min,
        version=ROUNDS_VERSION,
    )


def _read(db: Session, standing: KeptRecording, log: SessionLog) -> RoundsRead:
    series = recordings.series_of(db, recording_id=standing.id)
    recording, _ = unpack(series, about=from_json(standing.about_json), started_at=standing.started_at)
    known = history.load(db, client_ids=[log.client_id], from_on=log.done_on - FORTNIGHT, until_on=log.done_on)[0]
    planned = planned_of(db, log)
    found = rounds_recorded(
        recording,
        mode=log.mode,
        asked=_asked(planned),
        by_hand=edges_from_json(standing.edges_json) if standing.edges_json else (),
        heart_rate_counts=not trust_of(known, log.done_on).is_off,
    )
    not_easy = None
    if is_easy_session(log, planned):
        # The heart alone is asked, so neither the answers nor the transition weeks count here.
        beside = beside_easy(db, known, log, after_transition=True, rules=practice.rules(db))
        not_easy = minutes_not_easy(log, recording, beside)
    return RoundsRead(standing, log, to_json(found) if found else None, not_easy)


def beside_easy(db: Session, known: History, log: SessionLog, *, after_transition: bool, rules: Rules) -> Beside:
    """What an easy session is judged with: the client's records and figures, and how hot its day was."""
    figures = measured.of_client(db, client_id=log.client_id)
    heat = illness.heat_on(db, day=log.done_on)
    return Beside(known, figures, heat, after_transition, rules)


def _asked(planned: PlannedSession | None) -> RoundsAsked | None:
    """The rounds of the plan; None also for steps nobody can read any more: then the recording speaks by itself."""
    try:
        return rounds_asked(planned) if planned else None
    except DomainError:
        return None
