"""One client's record as it grows: the values a coach's desk would keep, in the order they were entered."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import count
from zoneinfo import ZoneInfo

from app.coaching.fitness_tests import FitnessTest
from app.coaching.history import History
from app.coaching.holds import Hold, IllnessReturn, SymptomReport
from app.coaching.people import AvailableDay, Client, ClientState, Contact, Goal, Leave
from app.coaching.phases import Phase, PhaseDecision, current_phase, phase_since
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek
from app.coaching.readiness import ReadinessNote
from app.coaching.screening import BloodPressure, Clearance, Consent, ScreeningAnswers
from app.coaching.session_logs import SessionLog
from app.coaching.windows import PLAN_SHOWN, WHOLE_BASE


class Calendar:
    """The days of the world, counted from its first; hours of a day are the practice's own."""

    def __init__(self, first_on: date, days: int, zone: str) -> None:
        self.first_on = first_on
        self.days = days
        self.zone = zone
        self._dates = [first_on + timedelta(days=n) for n in range(-7, days + 120)]
        # Clocks change at night: what holds at noon holds from six in the morning until late.
        self._noons = [datetime.combine(one, time(12), ZoneInfo(zone)).astimezone(UTC) for one in self._dates]

    def on(self, day: int) -> date:
        """The date of a day."""
        return self._dates[day + 7]

    def at(self, day: int, hour: int, minute: int = 0, second: int = 0) -> datetime:
        """An instant between six in the morning and the late evening of a day."""
        return self._noons[day + 7] + timedelta(hours=hour - 12, minutes=minute, seconds=second)


class Numbers:
    """The next number of each kind of record; all clients share them, one after the other."""

    def __init__(self) -> None:
        self._of: dict[str, Iterator[int]] = {}

    def next(self, kind: str) -> int:
        """The next number of a kind."""
        return next(self._of.setdefault(kind, count(1)))


@dataclass(frozen=True, slots=True)
class Joined:
    """A new client with the small records around the person, and the client's own login-to-be."""

    client: Client
    person_id: int
    days: tuple[AvailableDay, ...]
    goal: Goal
    at: datetime


@dataclass(frozen=True, slots=True)
class Asked:
    """The questions answered; the emergency contact is confirmed with them."""

    answers: ScreeningAnswers


@dataclass(frozen=True, slots=True)
class Agreed:
    """A consent to the text as it is."""

    consent: Consent
    person_id: int
    at: datetime


@dataclass(frozen=True, slots=True)
class Decided:
    """A phase decision, and the phase it follows."""

    decision: PhaseDecision
    before: Phase | None
    before_since_on: date | None
    #: What the coach asked for before.
    base_weeks_asked: int | None


@dataclass(frozen=True, slots=True)
class Published:
    """A week of the plan with its sessions, each seen at an instant or not yet."""

    week: PlannedWeek
    sessions: tuple[PlannedSession, ...]
    person_id: int
    at: datetime


@dataclass(frozen=True, slots=True)
class Lifted:
    """What was known when a hold was closed, and the hold as it is after it."""

    clearance_id: int | None = None
    well_since_on: date | None = None
    advice_from: str | None = None
    pain_free_easy_on: date | None = None
    hold: Hold | None = None


@dataclass(frozen=True, slots=True)
class TimeOff:
    """Agreed leave."""

    leave: Leave
    person_id: int
    at: datetime


@dataclass(frozen=True, slots=True)
class StateSet:
    """Where the client stands with the practice from now on."""

    client_id: int
    before: ClientState
    state: ClientState
    reason: str
    person_id: int
    at: datetime


Entry = (
    Joined
    | Asked
    | Agreed
    | Decided
    | Published
    | Lifted
    | TimeOff
    | StateSet
    | BloodPressure
    | Clearance
    | Block
    | SessionLog
    | ReadinessNote
    | FitnessTest
    | Hold
    | IllnessReturn
    | SymptomReport
    | Contact
)


@dataclass(slots=True)
class Record:
    """Everything known about one client so far; `entries` keeps the order, the lists serve the coach's rules."""

    joined: Joined
    client: Client
    numbers: Numbers
    entries: list[Entry] = field(default_factory=list)
    decisions: list[PhaseDecision] = field(default_factory=list)
    blocks: list[Block] = field(default_factory=list)
    weeks: list[PlannedWeek] = field(default_factory=list)
    planned: list[PlannedSession] = field(default_factory=list)
    logs: list[SessionLog] = field(default_factory=list)
    notes: list[ReadinessNote] = field(default_factory=list)
    tests: list[FitnessTest] = field(default_factory=list)
    holds: dict[int, Hold] = field(default_factory=dict)
    #: Those of them that nobody has lifted.
    standing: dict[int, Hold] = field(default_factory=dict)
    illness_returns: list[IllnessReturn] = field(default_factory=list)
    symptoms: list[SymptomReport] = field(default_factory=list)
    screening: list[ScreeningAnswers] = field(default_factory=list)
    clearances: list[Clearance] = field(default_factory=list)
    consents: list[Consent] = field(default_factory=list)
    pressures: list[BloodPressure] = field(default_factory=list)
    contacts: list[Contact] = field(default_factory=list)
    leaves: list[Leave] = field(default_factory=list)

    @property
    def phase(self) -> Phase | None:
        """The phase in force."""
        found = current_phase(self.decisions)
        return found.phase if found else None

    @property
    def phase_since_on(self) -> date | None:
        """Since when."""
        return phase_since(self.decisions)

    def change_client(self, **values: object) -> None:
        """Change some particulars, counted as one edit."""
        self.client = replace(self.client, revision=self.client.revision + 1, **values)  # type: ignore[arg-type]

    def raise_hold(self, hold: Hold) -> None:
        """A pause begins."""
        self.holds[hold.id] = self.standing[hold.id] = hold
        self.entries.append(hold)

    def lift(self, hold: Hold, given: Lifted, *, because: str, person_id: int, at: datetime) -> None:
        """A pause is over."""
        lifted = replace(
            hold, lifted_at=at, lifted_by=person_id, lifted_because=because, clearance_id=given.clearance_id
        )
        self.holds[hold.id] = lifted
        del self.standing[hold.id]
        self.entries.append(replace(given, hold=lifted))

    def history(self, today: date) -> History:
        """What the desk would load to look at the conditions on a day."""
        from_on, until_on = today - WHOLE_BASE, today + PLAN_SHOWN
        return History(
            client=self.client,
            from_on=from_on,
            until_on=until_on,
            decisions=tuple(self.decisions),
            blocks=tuple(sorted(self.blocks, key=lambda one: (one.starts_on, one.id))),
            weeks=tuple(self.weeks),
            planned=tuple(
                sorted(
                    (one for one in self.planned if from_on <= one.planned_on <= until_on),
                    key=lambda one: (one.planned_on, one.id),
                )
            ),
            logs=tuple(
                sorted((one for one in self.logs if from_on <= one.done_on), key=lambda one: (one.done_on, one.id))
            ),
            outing_before_on=max(
                (one.done_on for one in self.logs if one.done_on < from_on and one.minutes), default=None
            ),
            readiness=tuple(one for one in self.notes if from_on <= one.noted_on),
            tests=tuple(sorted(self.tests, key=lambda one: (one.tested_on, one.id))),
            holds=tuple(self.holds.values()),
            illness_returns=tuple(self.illness_returns),
            symptoms=tuple(self.symptoms),
            screening=tuple(self.screening),
            clearances=tuple(self.clearances),
            consents=tuple(self.consents),
            pressures=tuple(self.pressures),
            contacts=tuple(self.contacts),
            leaves=tuple(self.leaves),
            goals=(self.joined.goal,),
            available=tuple(sorted(self.joined.days, key=lambda one: one.weekday)),
        )
