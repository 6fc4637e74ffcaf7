"""Histories of many clients in few queries: one a table, never one a client."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta
from itertools import pairwise
from operator import attrgetter
from typing import Any, TypeVar

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from app.coaching.check_ins import CheckIn
from app.coaching.fitness_tests import FitnessTest
from app.coaching.history import Handled, History
from app.coaching.holds import Hold, IllnessReturn, SymptomReport
from app.coaching.people import AvailableDay, Client, Contact, Goal, Leave, Note
from app.coaching.phases import PhaseDecision
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek
from app.coaching.pressure_limits import OwnPressureLimit
from app.coaching.readiness import ReadinessNote
from app.coaching.screening import BloodPressure, Clearance, Consent, ScreeningAnswers
from app.coaching.session_logs import SessionLog
from app.coaching.told_away import ToldAway
from app.coaching.unsent_answers import UnsentAnswer
from app.coaching.weeks import start_of_day, week_start
from app.storage import clients, heart_rate, incidents, plan_window, session_logs
from app.storage.reading import collecting_later, grouped, read
from app.storage.tables import conversations as told
from app.storage.tables import desk, illness, intake, people, pressure_limits, safety, training

V = TypeVar("V")
#: Whose a value is; every value of a history has it.
_CLIENT_ID: Callable[[Any], int] = attrgetter("client_id")
#: Moved so often, a session is talked about before it moves again (common practice, no published source).
MOVES_BEFORE_A_TALK = 2


def load(db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date) -> list[History]:
    """The histories of some clients between two local days, in the order of their names.

    The number of queries does not depend on the number of clients.
    """
    with collecting_later():
        return _load(db, list(client_ids), from_on, until_on)


def who_entered(db: Session, *, client_ids: Sequence[int], since_at: datetime, from_on: date) -> frozenset[int]:
    """Who of some clients has an entry made since an instant about a day since another: a session, a note, a week."""
    log, note, week = training.SessionLogRow, training.ReadinessNoteRow, told.CheckInRow
    about = ((log, log.done_on), (note, note.noted_on), (week, week.week_on))
    found: set[int] = set()
    for row, about_on in about:
        is_new = or_(row.entered_at >= since_at, about_on >= since_at.date())
        found.update(
            db.scalars(select(row.client_id).where(row.client_id.in_(client_ids), about_on >= from_on, is_new))
        )
    return frozenset(found)


def _load(db: Session, ids: list[int], from_on: date, until_on: date) -> list[History]:
    logs = grouped(session_logs.between(db, client_ids=ids, from_on=from_on, until_on=until_on), _CLIENT_ID)
    planned = plan_window.versions_between(db, client_ids=ids, from_on=from_on, until_on=until_on)
    parts = _parts(db, ids, from_on, until_on)
    above_easy = session_logs.above_easy(db, client_ids=ids, from_on=from_on, until_on=until_on)
    outings_before = session_logs.last_outings_before(db, client_ids=ids, day=from_on)
    versions = grouped((one for one in planned if one.published_at is not None), _CLIENT_ID)
    drafts = grouped(plan_window.drafts_among(planned, from_on, until_on), _CLIENT_ID)
    histories = []
    for client in clients.several(db, client_ids=ids):
        own_logs = logs.get(client.id, ())
        counting = counting_versions(client, versions.get(client.id, ()), own_logs)
        histories.append(
            History(
                client=client,
                from_on=from_on,
                until_on=until_on,
                planned=tuple(v for v in counting if from_on <= v.planned_on <= until_on),
                drafts=drafts.get(client.id, ()),
                logs=own_logs,
                above_easy=above_easy.get(client.id, ()),
                outing_before_on=outings_before.get(client.id),
                moved_twice=_moved_twice(versions.get(client.id, ())),
                **{name: by_client.get(client.id, ()) for name, by_client in parts.items()},
            )
        )
    return histories


def _parts(db: Session, ids: list[int], from_on: date, until_on: date) -> dict[str, dict[int, tuple[Any, ...]]]:
    def of(value: type[V], row: Any, *where: Any, order: Sequence[Any]) -> dict[int, tuple[V, ...]]:
        found = read(db, value, row, row.client_id.in_(ids), *where, order_by=[row.client_id, *order])
        return grouped(found, _CLIENT_ID)

    t, s, p, d = training, safety, people, desk
    window = t.ReadinessNoteRow.noted_on.between(from_on, until_on)
    since_first_week = t.PlannedWeekRow.starts_on >= week_start(from_on)
    return {
        "decisions": of(PhaseDecision, t.PhaseDecisionRow, order=[t.PhaseDecisionRow.id]),
        "blocks": of(Block, t.BlockRow, order=[t.BlockRow.starts_on, t.BlockRow.id]),
        "weeks": of(PlannedWeek, t.PlannedWeekRow, since_first_week, order=[t.PlannedWeekRow.starts_on]),
        "readiness": of(ReadinessNote, t.ReadinessNoteRow, window, order=[t.ReadinessNoteRow.noted_on]),
        "medicine_changes": heart_rate.medicine_changes(db, client_ids=ids),
        "tests": of(FitnessTest, t.FitnessTestRow, order=[t.FitnessTestRow.tested_on, t.FitnessTestRow.id]),
        "holds": of(Hold, s.HoldRow, order=[s.HoldRow.id]),
        "symptoms": of(SymptomReport, s.SymptomRow, order=[s.SymptomRow.id]),
        "screening": of(ScreeningAnswers, s.ScreeningRow, order=[s.ScreeningRow.id]),
        "clearances": of(Clearance, s.ClearanceRow, order=[s.ClearanceRow.id]),
        "consents": of(Consent, s.ConsentRow, order=[s.ConsentRow.id]),
        "pressures": of(BloodPressure, s.BloodPressureRow, order=[s.BloodPressureRow.measured_on]),
        "pressure_limits": of(
            OwnPressureLimit, pressure_limits.PressureLimitRow, order=[pressure_limits.PressureLimitRow.id]
        ),
        "illness_returns": of(IllnessReturn, illness.IllnessReturnRow, order=[illness.IllnessReturnRow.id]),
        "incidents": grouped(incidents.of_clients(db, client_ids=ids), _CLIENT_ID),
        "contacts": of(Contact, p.ContactRow, order=[p.ContactRow.contact_on, p.ContactRow.id]),
        "leaves": of(Leave, p.LeaveRow, order=[p.LeaveRow.from_on]),
        "told_away": of(ToldAway, p.ToldAwayRow, order=[p.ToldAwayRow.id]),
        "unsent": of(UnsentAnswer, intake.IntakeAnswerRow, order=[intake.IntakeAnswerRow.answered_at]),
        "check_ins": of(CheckIn, told.CheckInRow, order=[told.CheckInRow.week_on]),
        "goals": of(Goal, p.GoalRow, order=[p.GoalRow.id]),
        "available": of(AvailableDay, p.AvailableDayRow, order=[p.AvailableDayRow.weekday]),
        "notes": of(Note, p.NoteRow, order=[p.NoteRow.id]),
        "handled": of(Handled, d.HandledRow, d.HandledRow.undone_at.is_(None), order=[d.HandledRow.id]),
    }


def _moved_twice(published: Sequence[PlannedSession]) -> frozenset[int]:
    """Sessions whose day changed twice or more from one published version to the next."""
    by_session = grouped(published, attrgetter("id"))
    moves = {
        one: sum(a.planned_on != b.planned_on for a, b in pairwise(of))
        for one, of in by_session.items()
        if len(of) > MOVES_BEFORE_A_TALK
    }
    return frozenset(one for one, count in moves.items() if count >= MOVES_BEFORE_A_TALK)


def counting_versions(
    client: Client, published: Sequence[PlannedSession], logs: Sequence[SessionLog]
) -> tuple[PlannedSession, ...]:
    """Per session the version that counts: the last one published before its log was entered, cancelled left out.

    A version made by the coach on the day itself is a new version and counts; one published after the client's
    entry does not. Without an entry the last published version stands, unless it was published after its day.
    """
    entered = {log.planned_session_id: log.entered_at for log in logs if log.planned_session_id is not None}
    # Later versions stand after earlier ones and take their place.
    counting = {v.id: v for v in published if _counts(v, entered.get(v.id), client.zone)}
    return tuple(sorted((v for v in counting.values() if not v.is_cancelled), key=attrgetter("planned_on", "id")))


def _counts(version: PlannedSession, entered_at: datetime | None, zone: str) -> bool:
    if version.published_at is None:
        return False
    if entered_at is not None:
        return version.published_at <= entered_at
    # The day after begins 23, 24 or 25 hours later: clocks change.
    return version.version == 1 or version.published_at < start_of_day(version.planned_on + timedelta(days=1), zone)
