"""Invented histories from a seed: the same number gives the same practice, in memory or in a data file."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta
from itertools import count
from random import Random
from typing import Any

from sqlalchemy import insert
from sqlalchemy.orm import Session

from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.session_logs import Answer, SessionLog
from app.storage.tables import Base, people, safety, training
from tests import factories as make

TODAY = make.TODAY
WEEKS_BACK = 58
_TALKS = (Talk.SING, Talk.CHAT, Talk.CHAT, Talk.SENTENCES, None)
#: Which table keeps which of a history's sequences; planned sessions and entries are written apart.
_TABLES: dict[str, type[Base]] = {
    "decisions": training.PhaseDecisionRow,
    "readiness": training.ReadinessNoteRow,
    "tests": training.FitnessTestRow,
    "symptoms": safety.SymptomRow,
    "screening": safety.ScreeningRow,
    "pressures": safety.BloodPressureRow,
    "contacts": people.ContactRow,
    "leaves": people.LeaveRow,
}


def histories(clients: int, *, seed: int = 4, person_id: int = 1) -> list[History]:
    """A practice of clients in base, on one and on two hard sessions a week, each with up to 58 weeks of records."""
    random, ids = Random(seed), count(1)
    return [_history(number, random, ids, person_id) for number in range(1, clients + 1)]


def _history(number: int, random: Random, ids: Any, person_id: int) -> History:
    phase = random.choice((Phase.AEROBIC_BASE, Phase.AEROBIC_BASE, Phase.INTERVAL_ONE, Phase.INTERVAL_TWO))
    weeks = random.randint(4, WEEKS_BACK)
    is_active = random.random() < 0.3
    client = make.client(
        id=number,
        name=f"Client {number:03d}",
        coach_id=person_id,
        born_on=date(random.randint(1948, 1992), 5, 4),
        joined_on=TODAY - timedelta(weeks=weeks),
        regularly_active_confirmed_on=TODAY - timedelta(weeks=weeks) if is_active else None,
    )
    given: dict[str, Any] = {"client_id": number, "person_id": person_id}
    planned, logs = _training(client.joined_on, phase, random, ids, given)
    decisions = [_decision(ids, given, client.joined_on, Phase.AEROBIC_BASE, DecisionKind.START)]
    if phase is not Phase.AEROBIC_BASE:
        since = TODAY - timedelta(weeks=max(2, weeks // 3))
        decisions.append(_decision(ids, given, since, phase, DecisionKind.PROMOTE))
    return make.history(
        client=client,
        decisions=tuple(decisions),
        planned=tuple(planned),
        logs=tuple(logs),
        readiness=_notes(random, ids, given),
        tests=(make.standard_loop(id=next(ids), tested_on=_back(random, 60), **given),),
        screening=(make.answers(id=next(ids), answered_on=_back(random, 100), **given),),
        pressures=(make.pressure(id=next(ids), measured_on=_back(random, 120), **given),),
        contacts=(make.contact(id=next(ids), contact_on=_back(random, 25), **given),),
        leaves=_leaves(random, ids, number),
    )


def _decision(ids: Any, given: dict[str, Any], since_on: date, phase: Phase, kind: DecisionKind) -> Any:
    return make.decision(id=next(ids), since_on=since_on, phase=phase, kind=kind, **given)


def _back(random: Random, days: int) -> date:
    return TODAY - timedelta(days=random.randint(1, days))


def _leaves(random: Random, ids: Any, client_id: int) -> tuple[Any, ...]:
    if random.random() < 0.7:
        return ()
    first = _back(random, 150)
    days = timedelta(days=random.randint(2, 9))
    return (make.leave(id=next(ids), client_id=client_id, from_on=first, until_on=first + days),)


def _notes(random: Random, ids: Any, given: dict[str, Any]) -> tuple[Any, ...]:
    days = sorted({_back(random, 60) for _ in range(24)})
    return tuple(
        make.readiness(id=next(ids), noted_on=day, sleep=random.randint(2, 5), fatigue=random.randint(2, 5), **given)
        for day in days
    )


def _training(
    joined_on: date, phase: Phase, random: Random, ids: Any, given: dict[str, Any]
) -> tuple[list[PlannedSession], list[SessionLog]]:
    """Three to five sessions a week from joining to the next week; some moved, some loose, some never logged."""
    planned: list[PlannedSession] = []
    logs: list[SessionLog] = []
    monday = joined_on - timedelta(days=joined_on.weekday())
    while monday <= TODAY + timedelta(weeks=1):
        is_hard_week = phase is not Phase.AEROBIC_BASE and monday > TODAY - timedelta(weeks=10)
        for place, weekday in enumerate(sorted(random.sample(range(7), random.randint(3, 5)))):
            build = make.planned_hard if is_hard_week and place == 0 else make.planned
            session = build(id=next(ids), version_id=next(ids), planned_on=monday + timedelta(days=weekday), **given)
            planned.append(session)
            if session.planned_on < TODAY and random.random() < 0.9:
                logs.append(_log(session, random, ids, given))
        monday += timedelta(weeks=1)
    return planned, sorted((log for log in logs if log.done_on < TODAY), key=lambda log: (log.done_on, log.id))


def _log(session: PlannedSession, random: Random, ids: Any, given: dict[str, Any]) -> SessionLog:
    is_hard = session.kind is SessionKind.INTERVALS
    return make.log(
        id=next(ids),
        planned_session_id=session.id if random.random() < 0.7 else None,
        done_on=session.planned_on + timedelta(days=random.choice((0, 0, 0, 0, 1))),
        answer=random.choice((Answer.AS_PLANNED, Answer.AS_PLANNED, Answer.SOMETHING_ELSE, Answer.PARTLY)),
        kind=session.kind,
        mode=session.mode,
        minutes=float(random.randint(25, 75)),
        effort=7.0 if is_hard else float(random.choice((2, 3, 4, 5))),
        talk=Talk.FEW_WORDS if is_hard else random.choice(_TALKS),
        origin=Origin.FILE if random.random() < 0.1 else Origin.CLIENT,
        **given,
    )


def write(db: Session, practice: list[History]) -> None:
    """Keep histories in a data file, a table at a time."""
    at = make.at(TODAY - timedelta(weeks=WEEKS_BACK))
    _insert(db, people.ClientRow, [_values(one.client) | {"created_at": at} for one in practice])
    planned = [session for one in practice for session in one.planned]
    _insert(db, training.PlannedSessionRow, [_identity(session) for session in planned])
    versions = [_values(session) for session in planned]
    _insert(db, training.PlannedVersionRow, [v | {"planned_session_id": v.pop("id")} for v in versions])
    logs = [_values(log) for one in practice for log in one.logs]
    _insert(db, training.SessionLogRow, [{k: v for k, v in log.items() if k != "rounds"} for log in logs])
    for name, table in _TABLES.items():
        _insert(db, table, [_values(value) for one in practice for value in getattr(one, name)])
    db.flush()


def _identity(session: PlannedSession) -> dict[str, Any]:
    return {"id": session.id, "client_id": session.client_id, "created_at": session.created_at}


def _values(value: Any) -> dict[str, Any]:
    return {f.name: getattr(value, f.name) for f in fields(value)}


def _insert(db: Session, table: type[Base], rows: list[dict[str, Any]]) -> None:
    if rows:
        db.execute(insert(table), rows)
