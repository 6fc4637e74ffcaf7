"""From the entries of a record to rows, the audit trail with them, just as entering them one by one would.

A value's fields share the names of the columns, so that a row is the value and the few columns a value does not tell.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from app.coaching.access import Role
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.fitness_tests import FitnessTest
from app.coaching.holds import Hold, HoldKind, IllnessReturn, SymptomReport
from app.coaching.people import AvailableDay, Client, Contact, Goal, Leave
from app.coaching.phases import DecisionKind, PhaseDecision
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.screening import BloodPressure, Clearance, Consent, ScreeningAnswers
from app.coaching.session_logs import RoundDone, SessionLog
from app.simulation.rows import Rows, row_of
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
from app.storage.tables import illness, people, safety, training


def add_record(rows: Rows, record: Record) -> None:
    """Every row of one client's record."""
    ill: Hold | None = None
    for entry in record.entries:
        _WRITERS[type(entry)](rows, entry)
        if isinstance(entry, ReadinessNote):
            _illness_goes_on(rows, entry, ill)
        ill = _illness_after(entry, ill)
    client = row_of(Client, record.client) | {"created_at": record.joined.at}
    rows.by_table[people.ClientRow].append(client)
    rows.by_table[safety.HoldRow] += [row_of(Hold, one) for one in record.holds.values()]


def _joined(rows: Rows, entry: Joined) -> None:
    client, coach_id = entry.client, entry.client.coach_id
    rows.by_table[people.PersonRow].append(
        {
            "id": entry.person_id,
            "name": client.name,
            "email": None,
            "role": Role.CLIENT,
            "password_hash": None,
            "client_id": client.id,
            "is_active": True,
            "created_at": entry.at,
        }
    )
    rows.by_table[people.AvailableDayRow] += [row_of(AvailableDay, one) for one in entry.days]
    rows.by_table[people.GoalRow].append(row_of(Goal, entry.goal))
    rows.trace(
        at=entry.at,
        person_id=coach_id,
        client_id=client.id,
        action="added",
        subject="client",
        subject_id=client.id,
    )


def _asked(rows: Rows, entry: Asked) -> None:
    rows.by_table[safety.ScreeningRow].append(row_of(ScreeningAnswers, entry.answers))


def _agreed(rows: Rows, entry: Agreed) -> None:
    consent = entry.consent
    text = CONSENT_TEXTS[consent.kind]
    more = {"text_as_shown": text.text, "person_id": entry.person_id}
    rows.by_table[safety.ConsentRow].append(row_of(Consent, consent) | more)
    after = {"kind": consent.kind, "version": text.version, "given_on": consent.given_on, "method": consent.method}
    rows.trace(
        at=entry.at,
        person_id=entry.person_id,
        client_id=consent.client_id,
        action="add_consent",
        subject="consent",
        subject_id=consent.id,
        change={"after": after},
    )


def _pressure(rows: Rows, entry: BloodPressure) -> None:
    rows.by_table[safety.BloodPressureRow].append(row_of(BloodPressure, entry))
    rows.trace(
        at=entry.entered_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="add_pressure",
        subject="blood pressure",
        subject_id=entry.id,
        change={"after": {"measured_on": entry.measured_on, "origin": entry.origin}},
    )


def _clearance(rows: Rows, entry: Clearance) -> None:
    rows.by_table[safety.ClearanceRow].append(row_of(Clearance, entry))
    names = ("state", "scope", "given_on", "ends_on", "how_seen")
    rows.trace(
        at=entry.recorded_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="record_clearance",
        subject="clearance",
        subject_id=entry.id,
        change={"after": {name: getattr(entry, name) for name in names}},
    )


def _decided(rows: Rows, entry: Decided) -> None:
    decision = entry.decision
    rows.by_table[training.PhaseDecisionRow].append(row_of(PhaseDecision, decision))
    is_start = decision.kind is DecisionKind.START
    after: dict[str, object] = {"phase": decision.phase, "since_on": decision.since_on}
    if is_start:
        before: dict[str, object] = {"base_weeks_asked": entry.base_weeks_asked}
        after["base_weeks"] = entry.base_weeks_asked or rows.rules.base_weeks
    else:
        before = {"phase": entry.before, "since_on": entry.before_since_on}
        after["override_reason"] = None
    rows.trace(
        at=decision.decided_at,
        person_id=decision.person_id,
        client_id=decision.client_id,
        action="start_phase" if is_start else decision.kind.value,
        subject="phase_decision" if is_start else "phase",
        subject_id=decision.id,
        change={"before": before, "after": after},
        reason=decision.reason,
    )


def _block(rows: Rows, entry: Block) -> None:
    rows.by_table[training.BlockRow].append(row_of(Block, entry))


def _published(rows: Rows, entry: Published) -> None:
    rows.by_table[training.PlannedWeekRow].append(row_of(PlannedWeek, entry.week))
    identities, versions = rows.by_table[training.PlannedSessionRow], rows.by_table[training.PlannedVersionRow]
    for session in entry.sessions:
        identities.append({"id": session.id, "client_id": session.client_id, "created_at": session.created_at})
        version = row_of(PlannedSession, session)
        version["planned_session_id"] = version.pop("id")
        versions.append(version)
    rows.trace(
        at=entry.at,
        person_id=entry.person_id,
        client_id=entry.week.client_id,
        action="published",
        subject="plan",
        subject_id=None,
        change={"weeks": [entry.week.starts_on.isoformat()]},
    )


_NOT_SAID = {"id", "client_id", "entered_at", "person_id", "revision"}


def _log(rows: Rows, entry: SessionLog) -> None:
    row = row_of(SessionLog, entry)
    said = {name: value for name, value in row.items() if name not in _NOT_SAID and value is not None}
    rounds = [row_of(RoundDone, one) for one in entry.rounds]
    if rounds:
        said["rounds"] = rounds
    # Last, as entering writes it.
    said["heavy_legs"] = said.pop("heavy_legs")
    row["import_key"] = None
    rows.by_table[training.SessionLogRow].append(row)
    rows.by_table[training.RoundRow] += [{"session_log_id": entry.id} | one for one in rounds]
    rows.trace(
        at=entry.entered_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="logged",
        subject="session log",
        subject_id=entry.id,
        change={"after": said},
    )


def _note(rows: Rows, entry: ReadinessNote) -> None:
    rows.by_table[training.ReadinessNoteRow].append(row_of(ReadinessNote, entry) | {"import_key": None})
    rows.trace(
        at=entry.entered_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="noted",
        subject="readiness note",
        subject_id=entry.id,
        change={"after": {"noted_on": entry.noted_on, "illness": entry.illness, "origin": entry.origin}},
    )


def _illness_after(entry: object, ill: Hold | None) -> Hold | None:
    if isinstance(entry, Hold) and entry.kind is HoldKind.ILLNESS:
        return entry
    lifted = entry.hold if isinstance(entry, Lifted) else None
    return None if ill and lifted and lifted.id == ill.id else ill


def _illness_goes_on(rows: Rows, note: ReadinessNote, ill: Hold | None) -> None:
    if ill is None or note.illness in (None, Illness.NONE) or note.noted_on <= ill.began_on:
        return
    rows.trace(
        at=note.entered_at,
        person_id=note.person_id,
        client_id=note.client_id,
        action="illness_goes_on",
        subject="hold",
        subject_id=ill.id,
        change={"after": {"ill_on": note.noted_on, "illness": note.illness}},
    )


def _test(rows: Rows, entry: FitnessTest) -> None:
    rows.by_table[training.FitnessTestRow].append(row_of(FitnessTest, entry))
    names = ("protocol", "tested_on", "value", "unit", "distance_m", "duration_s", "heart_rate_bpm")
    rows.trace(
        at=entry.entered_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="add_test_result",
        subject="fitness_test",
        subject_id=entry.id,
        change={"after": {name: getattr(entry, name) for name in (*names, "weight_kg", "height_cm")}},
    )


def _raised(rows: Rows, entry: Hold) -> None:
    names = ("kind", "stops", "mode", "began_on")
    rows.trace(
        at=entry.raised_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="raised",
        subject="hold",
        subject_id=entry.id,
        change={"after": {name: getattr(entry, name) for name in names}},
        reason=entry.cause,
    )


def _symptom(rows: Rows, entry: SymptomReport) -> None:
    rows.by_table[safety.SymptomRow].append(row_of(SymptomReport, entry))
    names = ("sign", "family", "felt_on", "origin")
    rows.trace(
        at=entry.entered_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="reported",
        subject="symptom",
        subject_id=entry.id,
        change={"after": {name: getattr(entry, name) for name in names}},
    )


def _lifted(rows: Rows, entry: Lifted) -> None:
    hold = entry.hold
    if hold is None or hold.lifted_at is None:
        return
    rows.trace(
        at=hold.lifted_at,
        person_id=hold.lifted_by or hold.person_id,
        client_id=hold.client_id,
        action="lift_hold",
        subject="hold",
        subject_id=hold.id,
        change={
            "before": {"lifted_at": None},
            "after": {"lifted_at": hold.lifted_at, "clearance_id": hold.clearance_id},
        },
        reason=hold.lifted_because,
    )


def _return(rows: Rows, entry: IllnessReturn) -> None:
    rows.by_table[illness.IllnessReturnRow].append(row_of(IllnessReturn, entry))
    names = ("well_since_on", "days_lost", "advice_from", "advice_on")
    rows.trace(
        at=entry.recorded_at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="way_back_after_illness",
        subject="illness return",
        subject_id=entry.id,
        change={"after": {name: getattr(entry, name) for name in names}},
    )


def _leave(rows: Rows, entry: TimeOff) -> None:
    leave = entry.leave
    rows.by_table[people.LeaveRow].append(row_of(Leave, leave))
    rows.trace(
        at=entry.at,
        person_id=entry.person_id,
        client_id=leave.client_id,
        action="add_leave",
        subject="leave",
        subject_id=leave.id,
        change={"after": {"from_on": leave.from_on, "until_on": leave.until_on}},
        reason=leave.reason,
    )


def _contact(rows: Rows, entry: Contact) -> None:
    rows.by_table[people.ContactRow].append(row_of(Contact, entry))


def _state(rows: Rows, entry: StateSet) -> None:
    rows.trace(
        at=entry.at,
        person_id=entry.person_id,
        client_id=entry.client_id,
        action="change_state",
        subject="client",
        subject_id=entry.client_id,
        change={"before": {"state": entry.before}, "after": {"state": entry.state}},
        reason=entry.reason,
    )


_WRITERS: dict[type, Callable[[Rows, Any], None]] = {
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
    Hold: _raised,
    SymptomReport: _symptom,
    Lifted: _lifted,
    IllnessReturn: _return,
    TimeOff: _leave,
    Contact: _contact,
    StateSet: _state,
}
