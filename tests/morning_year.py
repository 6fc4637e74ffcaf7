"""A year of mornings of simulated clients: what stood on each shelf, with a coach who works the lists off.

The coach of this proof deals each morning with all that must be decided today, and on Mondays with the rest. A line
dealt with stays away until its key changes, as in the desk.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import partial

from app.coaching.history import Handled, History
from app.coaching.morning import all_signals, morning
from app.coaching.people import ClientState
from app.coaching.rules import Rules
from app.coaching.signals import Shelf
from app.coaching.weeks import start_of_day
from app.coaching.windows import FORTNIGHT
from app.simulation import calendar_of, numbers_after_coach
from app.simulation.world.client import simulate_client
from app.simulation.world.record import Agreed, Asked, Decided, Joined, Lifted, Published, Record, StateSet, TimeOff

RULES = Rules()
ZONE = "Europe/Berlin"
HOUR = timedelta(hours=7)
COACH_ID = 1
PLANNING_DAY = 0
_LISTS = {
    "SessionLog": "logs",
    "ReadinessNote": "notes",
    "FitnessTest": "tests",
    "IllnessReturn": "illness_returns",
    "SymptomReport": "symptoms",
    "BloodPressure": "pressures",
    "Clearance": "clearances",
    "Contact": "contacts",
    "Block": "blocks",
}


@dataclass(slots=True)
class Morning:
    """One morning of everybody: lines on each shelf by the name of their top reason, and all reasons."""

    today: Counter[str] = field(default_factory=Counter)
    planning: Counter[str] = field(default_factory=Counter)
    reasons: Counter[str] = field(default_factory=Counter)
    waiting: int = 0
    clients: int = 0

    def __iadd__(self, other: Morning) -> Morning:
        self.today += other.today
        self.planning += other.planning
        self.reasons += other.reasons
        self.waiting += other.waiting
        self.clients += other.clients
        return self


def mornings(
    numbers: Iterable[int], *, seed: int, until: date, days: int, warm_up: float = 1.5
) -> dict[date, Morning]:
    """The mornings of some clients over the last days before a day, after a year and a half of practice."""
    found: dict[date, Morning] = defaultdict(Morning)
    calendar = calendar_of(warm_up + days / 365, until, ZONE)
    for number in numbers:
        life = simulate_client(
            number, seed=seed, calendar=calendar, rules=RULES, numbers=numbers_after_coach(), coach_id=COACH_ID
        )
        for day, one in _mornings_of(life.scene.record, until, days):
            found[day] += one
    return found


def _mornings_of(record: Record, until: date, days: int) -> Iterable[tuple[date, Morning]]:
    first = until - timedelta(days=days)
    entries = sorted(((_at(one), n, one) for n, one in enumerate(record.entries)), key=lambda one: one[:2])
    then, place, handled = Record(record.joined, record.client, record.numbers), 0, list[Handled]()
    then.client = replace(record.client, state=record.joined.client.state)
    for n in range(days):
        day = first + timedelta(days=n)
        now = start_of_day(day, ZONE) + HOUR
        while place < len(entries) and entries[place][0] <= now:
            _keep(then, entries[place][2])
            place += 1
        if then.client.state is ClientState.LEFT or record.joined.at > now:
            continue
        yield day, _morning(then.history(day), day, now, handled)


def _morning(known: History, day: date, now: datetime, handled: list[Handled]) -> Morning:
    known = replace(known, planned=tuple(s for s in known.planned if s.planned_on <= day + FORTNIGHT))
    seen = morning((known,), {known.client.id: day}, RULES, handled)
    found = Morning(waiting=len(seen.waiting_for_questions), clients=1)
    for line in (*seen.today, *seen.planning):
        where = found.today if line.shelf is Shelf.TODAY else found.planning
        where[line.top.name] += 1
        dealt = [s for s in all_signals(line) if s.shelf is Shelf.TODAY or day.weekday() == PLANNING_DAY]
        found.reasons.update(s.name for s in all_signals(line))
        handled += [Handled(s.client_id, s.name, s.key, None, now, COACH_ID) for s in dealt]
    return found


def _at(entry: object) -> datetime:
    for one in (
        entry,
        getattr(entry, "decision", None),
        getattr(entry, "answers", None),
        getattr(entry, "hold", None),
    ):
        found = _instant(one, entry)
        if found is not None:
            return found
    raise AssertionError(f"no instant in {type(entry).__name__}")


def _instant(one: object, entry: object) -> datetime | None:
    if one is None:
        return None
    if isinstance(entry, Lifted):
        return entry.hold.lifted_at if entry.hold is not None else None
    names = ("at", "decided_at", "entered_at", "raised_at", "recorded_at", "created_at", "came_at")
    found = next((getattr(one, name) for name in names if getattr(one, name, None) is not None), None)
    if found is None and hasattr(one, "contact_on"):
        return start_of_day(one.contact_on, ZONE) + timedelta(hours=12)
    return found


def _keep(record: Record, entry: object) -> None:
    if isinstance(entry, Joined):
        return
    name = _LISTS.get(type(entry).__name__)
    if name is not None:
        getattr(record, name).append(entry)
        return
    keep = {
        Asked: lambda one: record.screening.append(one.answers),
        Agreed: lambda one: record.consents.append(one.consent),
        Decided: lambda one: record.decisions.append(one.decision),
        TimeOff: lambda one: record.leaves.append(one.leave),
        Lifted: partial(_lift, record),
        Published: partial(_publish, record),
        StateSet: lambda one: setattr(record, "client", replace(record.client, state=one.state)),
    }.get(type(entry))
    if keep is not None:
        keep(entry)
    else:
        record.holds[entry.id] = entry  # type: ignore[attr-defined]  # a hold is all that is left


def _lift(record: Record, entry: Lifted) -> None:
    if entry.hold is not None:
        record.holds[entry.hold.id] = entry.hold


def _publish(record: Record, entry: Published) -> None:
    record.weeks.append(entry.week)
    record.planned += entry.sessions


def share(counts: Sequence[int], fraction: float) -> int:
    """The count under which so large a share of the mornings lies."""
    ordered = sorted(counts)
    return ordered[min(len(ordered) - 1, int(fraction * len(ordered)))]
