"""Hard sessions judged by their recordings, for whatever follows from how rounds were really done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

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
from app.coaching.target_eased import modes_aimed
from app.coaching.weeks import local_day
from app.files.kept_series import unpack
from app.storage import recordings
from app.storage.recordings import KeptRecording

#: The newest so many are read from their recordings, older ones as they were entered: a step asks of the last few
#: (house choice).
MOST_JUDGED = 12
#: Of one way of moving no more decide what the next target may be: three in a row not held lead to base.
MOST_DECIDING = 3


@dataclass(frozen=True, slots=True)
class _Recorded:
    """A hard session of rounds with its plan and the recording that stands for it."""

    known: History
    log: SessionLog
    plan: PlannedSession
    kept: KeptRecording


def judged_by_recordings(db: Session, known: History, today: date, rules: Rules) -> Mapping[int, Execution]:
    """The judgements of the newest hard sessions whose recordings show their rounds clearly, by the entry's id."""
    standing = _standing(db, [known])
    return _judged(db, _newest(known, standing, today, rules), rules)


def judged_before(
    db: Session,
    asking: Sequence[tuple[History, Sequence[PlannedSession]]],
    *,
    rules: Rules,
    now: datetime,
) -> Mapping[int, Execution]:
    """The same of the last sessions that speak for the targets of drafts, of many clients in two queries.

    asking: each client with their drafts. Of each way of moving only the last few are read.
    """
    asked = [(known, modes) for known, drafts in asking if (modes := modes_aimed(drafts))]
    if not asked:
        return {}
    standing = _standing(db, [known for known, _modes in asked])
    found: list[_Recorded] = []
    for known, modes in asked:
        newest = _newest(known, standing, local_day(now, known.client.zone), rules)
        for mode in sorted(modes):
            found += [one for one in newest if one.log.mode is mode][:MOST_DECIDING]
    return _judged(db, found, rules)


def _standing(db: Session, known: Sequence[History]) -> Mapping[int, KeptRecording]:
    kept = recordings.standing_of(db, client_ids=[one.client.id for one in known])
    return {one.session_log_id: one for one in kept}


def _newest(known: History, standing: Mapping[int, KeptRecording], today: date, rules: Rules) -> list[_Recorded]:
    """A client's hard sessions of rounds that have a recording, the newest first."""
    facts = facts_of(known, today, rules)
    logs = [one for one in known.logs if one.id in standing and one.id in facts.hard and one.done_on <= today]
    newest = sorted(logs, key=lambda one: (one.done_on, one.id), reverse=True)[:MOST_JUDGED]
    plans = [(log, facts.pairing.plan_of.get(log.id)) for log in newest]
    return [
        _Recorded(known, log, plan, standing[log.id])
        for log, plan in plans
        if plan is not None and plan.kind is SessionKind.INTERVALS
    ]


def _judged(db: Session, sessions: Sequence[_Recorded], rules: Rules) -> Mapping[int, Execution]:
    """Without those whose recording shows no clear rounds, or whose plan cannot be read: there the entry speaks."""
    ids = [one.kept.id for one in sessions]
    series = recordings.series_of_many(db, recording_ids=ids) if ids else {}
    read = ((one.log.id, _read(one, series[one.kept.id], rules)) for one in sessions)
    return {log_id: judged for log_id, judged in read if judged is not None}


def _read(one: _Recorded, series: bytes, rules: Rules) -> Execution | None:
    kept = one.kept
    recording, _places = unpack(series, about=from_json(kept.about_json), started_at=kept.started_at)
    by_hand = edges_from_json(kept.edges_json) if kept.edges_json else ()
    beside = ReadWith(not trust_of(one.known, one.log.done_on).is_off, one.known.readiness, rules)
    try:
        reading = read_session(one.log, one.plan, recording, by_hand=by_hand, beside=beside)
    except DomainError:
        return None
    return reading.judged if _is_clear(reading) else None


def _is_clear(reading: SessionReading) -> bool:
    return isinstance(reading.found, FoundRounds) and reading.found.sureness is not Sureness.UNSURE
