"""Everything known about one client in a stretch of days: the one value that rules, signals and pages read."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from app.coaching.check_ins import CheckIn
from app.coaching.fitness_tests import FitnessTest
from app.coaching.holds import Hold, IllnessReturn, SymptomReport
from app.coaching.incidents import Incident
from app.coaching.people import AvailableDay, Client, Contact, Goal, Leave, Note
from app.coaching.phases import Phase, PhaseDecision, current_phase, phase_since
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek
from app.coaching.pressure_limits import OwnPressureLimit
from app.coaching.readiness import ReadinessNote
from app.coaching.screening import BloodPressure, Clearance, Consent, ScreeningAnswers
from app.coaching.session_logs import SessionLog
from app.coaching.told_away import ToldAway
from app.coaching.unsent_answers import UnsentAnswer


@dataclass(frozen=True, slots=True)
class Handled:
    """A morning line that was dealt with: it stays away until its key changes, or until a date."""

    client_id: int
    signal: str
    key: str
    #: None: handled for good (until the key changes); a date: put off until then.
    until_on: date | None
    at: datetime
    person_id: int
    #: The record's own number, by which it is taken back; 0 for one that is not kept yet.
    id: int = 0


@dataclass(frozen=True, slots=True)
class History:
    """One client's records between two local days, each sequence oldest first.

    `planned` holds, per session, the version that counts for comparing: the last one published before the session
    began (else before its entry); cancelled ones are left out. `drafts` holds sessions whose newest version is not
    published yet. Decisions, holds, clearances, screening, consents, blocks and tests are complete, not windowed;
    so are the days of medicine changes, however old the note that tells of one.
    """

    client: Client
    from_on: date
    until_on: date
    decisions: tuple[PhaseDecision, ...] = ()
    blocks: tuple[Block, ...] = ()
    weeks: tuple[PlannedWeek, ...] = ()
    planned: tuple[PlannedSession, ...] = ()
    drafts: tuple[PlannedSession, ...] = ()
    logs: tuple[SessionLog, ...] = ()
    #: Entries whose recording's heart alone says "not easy", each with the minutes above the edge of easy.
    above_easy: tuple[tuple[int, float], ...] = ()
    #: The last outing before the first of these days, so that a gap is seen however long it is.
    outing_before_on: date | None = None
    notes: tuple[Note, ...] = ()
    readiness: tuple[ReadinessNote, ...] = ()
    medicine_changes: tuple[date, ...] = ()
    tests: tuple[FitnessTest, ...] = ()
    holds: tuple[Hold, ...] = ()
    symptoms: tuple[SymptomReport, ...] = ()
    screening: tuple[ScreeningAnswers, ...] = ()
    clearances: tuple[Clearance, ...] = ()
    consents: tuple[Consent, ...] = ()
    pressures: tuple[BloodPressure, ...] = ()
    pressure_limits: tuple[OwnPressureLimit, ...] = ()
    incidents: tuple[Incident, ...] = ()
    illness_returns: tuple[IllnessReturn, ...] = ()
    contacts: tuple[Contact, ...] = ()
    leaves: tuple[Leave, ...] = ()
    #: Planned sessions that were moved to another day twice or more while the client could see them.
    moved_twice: frozenset[int] = frozenset()
    #: Journeys and days off as they were told, whatever the coach answered.
    told_away: tuple[ToldAway, ...] = ()
    #: Answers of the intake that wait to be sent, oldest first.
    unsent: tuple[UnsentAnswer, ...] = ()
    #: Weeks as the client told them, complete.
    check_ins: tuple[CheckIn, ...] = ()
    goals: tuple[Goal, ...] = ()
    available: tuple[AvailableDay, ...] = ()
    handled: tuple[Handled, ...] = field(default=())

    @property
    def phase(self) -> Phase | None:
        """The phase in force, None before the first confirmed decision."""
        decision = current_phase(self.decisions)
        return decision.phase if decision else None

    @property
    def phase_since_on(self) -> date | None:
        """The day the phase in force began."""
        return phase_since(self.decisions)

    @property
    def open_holds(self) -> tuple[Hold, ...]:
        """Holds that nobody has lifted."""
        return tuple(hold for hold in self.holds if hold.lifted_at is None)
