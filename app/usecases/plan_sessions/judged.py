"""Hard sessions judged by their recordings, for whatever follows from how rounds were really done."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from sqlalchemy.orm import Session

from app.coaching.execution_values import Execution
from app.coaching.facts import facts_of
from app.coaching.heart_rate_trust import trust_of
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.recording_about import edges_from_json, from_json
from app.coaching.rounds_values import FoundRounds, Sureness
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.session_reading import ReadWith, SessionReading, read_session
from app.files.kept_series import unpack
from app.storage import recordings
from app.storage.recordings import KeptRecording

#: The newest so many are read from their recordings, older ones as they were entered: a step asks of the last few
#: (house choice).
MOST_JUDGED = 12


def judged_by_recordings(db: Session, known: History, today: date, rules: Rules) -> Mapping[int, Execution]:
    """The judgements of the newest hard sessions whose recordings show their rounds clearly, by the entry's id."""
    facts = facts_of(known, today, rules)
    standing = {
        one.session_log_id: one
        for one in recordings.of_client(db, client_id=known.client.id)
        if one.removed_at is None and one.session_log_id in facts.hard
    }
    logs = [one for one in known.logs if one.id in standing and one.done_on <= today]
    newest = sorted(logs, key=lambda one: (one.done_on, one.id), reverse=True)[:MOST_JUDGED]
    found = {}
    for log in newest:
        planned = facts.pairing.plan_of.get(log.id)
        if planned is not None and planned.kind is SessionKind.INTERVALS:
            beside = ReadWith(not trust_of(known, log.done_on).is_off, known.readiness, rules)
            judged = _judged(db, log, planned, standing[log.id], beside)
            if judged is not None:
                found[log.id] = judged
    return found


def _judged(
    db: Session, log: SessionLog, planned: PlannedSession, kept: KeptRecording, beside: ReadWith
) -> Execution | None:
    """None where the recording shows no clear rounds, or the plan cannot be read: the entry then speaks."""
    series = recordings.series_of(db, recording_id=kept.id)
    recording, _places = unpack(series, about=from_json(kept.about_json), started_at=kept.started_at)
    by_hand = edges_from_json(kept.edges_json) if kept.edges_json else ()
    try:
        reading = read_session(log, planned, recording, by_hand=by_hand, beside=beside)
    except DomainError:
        return None
    return reading.judged if _is_clear(reading) else None


def _is_clear(reading: SessionReading) -> bool:
    return isinstance(reading.found, FoundRounds) and reading.found.sureness is not Sureness.UNSURE
