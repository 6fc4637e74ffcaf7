"""Entering a simulated record the way people do: one step at a time through use-cases and single writes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Role
from app.coaching.fitness_tests import FitnessTest
from app.coaching.holds import Hold, HoldKind, IllnessReturn, SymptomReport
from app.coaching.people import AvailableDay, Contact
from app.coaching.phases import DecisionKind
from app.coaching.prescriptions import Block, PlannedSession
from app.coaching.readiness import ReadinessNote
from app.coaching.rules import Rules
from app.coaching.screening import BloodPressure, Clearance
from app.coaching.session_logs import SessionLog
from app.simulation.world.record import (
    Agreed,
    Asked,
    Decided,
    Joined,
    Lifted,
    Published,
    Record,
    StateSet,
    TimeOff,
)
from app.storage import accounts, clients, prescriptions, safety
from app.storage.audit import leave_trace
from app.usecases import (
    clearances,
    client_particulars,
    felt_wrong,
    fitness_tests,
    hold_desk,
    promoting,
    readiness,
    safety_file,
    session_logs,
)

RULES = Rules()


class Replay:
    """Enters one record and remembers which new number stands for which of the record's."""

    def __init__(self, db: Session, record: Record, coach: Actor) -> None:
        self.db, self.record, self.coach = db, record, coach
        self.me = coach
        self.client_id = 0
        self.ids: dict[tuple[str, int | None], int] = {}
        self.raised: list[int] = []
        self.entered = 0

    def all_of_it(self) -> None:
        """Every entry in its order."""
        for entry in self.record.entries:
            _STEPS[type(entry)](self, entry)
            self.entered += 1

    def actor(self, person_id: int) -> Actor:
        """Who entered it."""
        return self.coach if person_id == self.coach.person_id else self.me

    def about(self, person_id: int, at: datetime) -> dict[str, Any]:
        """What every use-case asks for."""
        return {"actor": self.actor(person_id), "client_id": self.client_id, "now": at}


def _joined(one: Replay, entry: Joined) -> None:
    kept = clients.add(one.db, client=entry.client, at=entry.at)
    name, role = entry.client.name, Role.CLIENT
    person_id = accounts.add_person(
        one.db, name=name, email=None, role=role, password_hash=None, client_id=kept.id, at=entry.at
    )
    one.client_id, one.me = kept.id, Actor(person_id, name, role, kept.id)
    leave_trace(
        one.db,
        at=entry.at,
        person_id=one.coach.person_id,
        client_id=kept.id,
        action="added",
        subject="client",
        subject_id=kept.id,
    )
    days = [AvailableDay(kept.id, day.weekday, day.minutes, day.place, day.kit) for day in entry.days]
    clients.replace_available_days(one.db, client_id=kept.id, days=days)
    goal = entry.goal
    clients.add_goal(
        one.db,
        client_id=kept.id,
        text=goal.text,
        why=goal.why,
        confidence=goal.confidence,
        due_on=goal.due_on,
        agreed_on=goal.agreed_on,
    )


def _asked(one: Replay, entry: Asked) -> None:
    answers = entry.answers
    left = {"id", "client_id", "entered_at", "person_id"}
    values = {f.name: getattr(answers, f.name) for f in fields(answers) if f.name not in left}
    person_id = one.actor(answers.person_id).person_id
    safety.add_screening(one.db, client_id=one.client_id, person_id=person_id, at=answers.entered_at, **values)
    client = clients.one(one.db, client_id=one.client_id)
    values = {"emergency_confirmed_on": answers.answered_on}
    assert clients.change(one.db, client_id=client.id, revision=client.revision, values=values)


def _agreed(one: Replay, entry: Agreed) -> None:
    consent = entry.consent
    safety_file.add_consent(
        one.db,
        **one.about(entry.person_id, entry.at),
        kind=consent.kind,
        given_on=consent.given_on,
        method=consent.method,
    )


def _pressure(one: Replay, entry: BloodPressure) -> None:
    reading = safety_file.Reading(
        **{f.name: getattr(entry, f.name) for f in fields(safety_file.Reading)},
    )
    safety_file.add_pressure(one.db, **one.about(entry.person_id, entry.entered_at), reading=reading, rules=RULES)


def _clearance(one: Replay, entry: Clearance) -> None:
    paper = clearances.PaperGiven(**{f.name: getattr(entry, f.name) for f in fields(clearances.PaperGiven)})
    problems = clearances.record_paper(
        one.db,
        **one.about(entry.person_id, entry.recorded_at),
        paper=replace(paper, ends_on=None),
        password_confirmed=True,
        rules=RULES,
    )
    assert problems == []


def _decided(one: Replay, entry: Decided) -> None:
    decision = entry.decision
    about = one.about(decision.person_id, decision.decided_at) | {"reason": decision.reason}
    if decision.kind is DecisionKind.START:
        asked = one.record.client.base_weeks_asked
        since = decision.since_on
        client_particulars.start_base(one.db, **about, since_on=since, base_weeks_asked=asked, rules=RULES)
        return
    promoting.decide(
        one.db,
        **about,
        kind=decision.kind,
        phase=decision.phase,
        since_on=decision.since_on,
        override_reason=None,
    )


def _block(one: Replay, entry: Block) -> None:
    one.ids["block", entry.id] = prescriptions.add_block(
        one.db,
        client_id=one.client_id,
        phase=entry.phase,
        aim=entry.aim,
        starts_on=entry.starts_on,
        weeks=entry.weeks,
        is_introductory=entry.is_introductory,
        wishes_json=entry.wishes_json,
        person_id=entry.person_id,
        at=entry.created_at,
    )


def _published(one: Replay, entry: Published) -> None:
    week = entry.week
    prescriptions.keep_week(
        one.db,
        client_id=one.client_id,
        starts_on=week.starts_on,
        block_id=one.ids["block", week.block_id],
        is_easier=week.is_easier,
        target_minutes=week.target_minutes,
    )
    for session in entry.sessions:
        _session(one, session, entry.at)
    leave_trace(
        one.db,
        at=entry.at,
        person_id=entry.person_id,
        client_id=one.client_id,
        action="published",
        subject="plan",
        change={"weeks": [week.starts_on.isoformat()]},
    )


def _session(one: Replay, session: PlannedSession, at: datetime) -> None:
    session_id = one.ids["session", session.id] = prescriptions.add_session(
        one.db,
        client_id=one.client_id,
        draft=prescriptions.draft_from(session),
        person_id=session.person_id,
        at=at,
        publish=True,
    )
    if session.seen_at is not None:
        version = prescriptions.newest(one.db, planned_session_id=session_id)
        prescriptions.mark_seen(one.db, version_id=version.version_id, client_id=one.client_id, at=session.seen_at)


def _log(one: Replay, entry: SessionLog) -> None:
    names = [f.name for f in fields(session_logs.LogEntry) if f.name != "planned_session_id"]
    planned = entry.planned_session_id
    said = session_logs.LogEntry(
        planned_session_id=None if planned is None else one.ids["session", planned],
        **{name: getattr(entry, name) for name in names},
    )
    session_logs.keep(one.db, **one.about(entry.person_id, entry.entered_at), entry=said, origin=entry.origin)


def _note(one: Replay, entry: ReadinessNote) -> None:
    left = {"fall", "fall_mode"}
    names = [f.name for f in fields(readiness.ReadinessEntry) if f.name not in left]
    said = readiness.ReadinessEntry(**{name: getattr(entry, name) for name in names})
    about = one.about(entry.person_id, entry.entered_at)
    kept = readiness.keep(one.db, **about, entry=said, origin=entry.origin)
    one.raised = list(kept.hold_ids)


def _hold(one: Replay, entry: Hold) -> None:
    """An illness's pause came with its note; others come with the report that follows."""
    if entry.kind is HoldKind.ILLNESS:
        one.ids["hold", entry.id] = one.raised.pop()


def _symptom(one: Replay, entry: SymptomReport) -> None:
    report = felt_wrong.Report(entry.sign, entry.felt_on, entry.mode, entry.text)
    about = one.about(entry.person_id, entry.entered_at)
    one.ids["hold", entry.hold_id] = felt_wrong.report(one.db, **about, report=report, origin=entry.origin)


def _lifted(one: Replay, entry: Lifted) -> None:
    hold = entry.hold
    given = hold_desk.LiftGiven(
        because=hold.lifted_because,
        pain_free_easy_on=entry.pain_free_easy_on,
        well_since_on=entry.well_since_on,
        advice_from=entry.advice_from,
        advice_on=hold.lifted_at.date() if entry.advice_from else None,
        password_confirmed=True,
    )
    hold_id = one.ids["hold", hold.id]
    assert hold_desk.lift(one.db, actor=one.coach, hold_id=hold_id, given=given, now=hold.lifted_at) == []


def _return(one: Replay, entry: IllnessReturn) -> None:
    """Came with the lifting."""


def _test(one: Replay, entry: FitnessTest) -> None:
    fitness_tests.add_result(
        one.db, actor=one.coach, test=replace(entry, client_id=one.client_id), now=entry.entered_at
    )


def _leave(one: Replay, entry: TimeOff) -> None:
    leave = entry.leave
    about = one.about(entry.person_id, entry.at)
    client_particulars.add_leave(one.db, **about, from_on=leave.from_on, until_on=leave.until_on, reason=leave.reason)


def _contact(one: Replay, entry: Contact) -> None:
    clients.add_contact(
        one.db,
        client_id=one.client_id,
        contact_on=entry.contact_on,
        kind=entry.kind,
        text=entry.text,
        person_id=entry.person_id,
    )


def _state(one: Replay, entry: StateSet) -> None:
    about = one.about(entry.person_id, entry.at)
    client_particulars.change_state(one.db, **about, state=entry.state, reason=entry.reason)


_STEPS: dict[type, Callable[[Replay, Any], None]] = {
    Joined: _joined,
    Asked: _asked,
    Agreed: _agreed,
    BloodPressure: _pressure,
    Clearance: _clearance,
    Decided: _decided,
    Block: _block,
    Published: _published,
    SessionLog: _log,
    ReadinessNote: _note,
    FitnessTest: _test,
    Hold: _hold,
    SymptomReport: _symptom,
    Lifted: _lifted,
    IllnessReturn: _return,
    TimeOff: _leave,
    Contact: _contact,
    StateSet: _state,
}
