"""Simulated clients for the forecast: what was known of them on a day, and when the conditions were met in truth."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from app.coaching.forecast_habits import WEEKS_AHEAD
from app.coaching.forecast_weeks import FORECAST_KEYS
from app.coaching.history import History
from app.coaching.holds import Hold
from app.coaching.people import ClientState
from app.coaching.prescriptions import Block
from app.coaching.promotion_practice import practice_conditions
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import start_of_day, week_days, week_start
from app.simulation import calendar_of, numbers_after_coach
from app.simulation.world.client import simulate_client
from app.simulation.world.record import Decided, Entry, Lifted, Published, Record, TimeOff
from app.simulation.world.state import Life

RULES = Rules()
TODAY = date(2026, 11, 25)
ZONE = "Europe/Berlin"
#: Each client's world ends so many days later in the year than the one before: clients join in every season.
STEP_DAYS = 37


@dataclass(frozen=True, slots=True)
class Case:
    """One client on one day, and how many Mondays later the conditions were all met; None: not within the horizon."""

    history: History
    today: date
    weeks: int | None


def cases(clients: Iterable[int], *, seed: int, weeks_in: tuple[int, ...], years: float = 2.6) -> Iterator[Case]:
    """Some days in each client's base, so many weeks after its first plan; those it makes no sense for fall out.

    Clients who leave within the horizon are left out: the forecast speaks of those who stay. Leaving is drawn apart
    from training, so that this favours nobody.
    """
    for number in clients:
        until = TODAY + timedelta(days=number * STEP_DAYS % 365)
        yield from _cases(_life(number, seed=seed, years=years, until=until), weeks_in, until, weekday=number % 7)


def history_on(record: Record, day: date) -> History:
    """The history as the desk would have loaded it on the morning of a day."""
    limit = start_of_day(day, ZONE)
    then = Record(record.joined, replace(record.client, state=ClientState.ACTIVE), record.numbers)
    for entry in record.entries:
        at = _entered_at(entry)
        if at is not None and at < limit:
            _keep(then, entry)
    return then.history(day)


def _life(number: int, *, seed: int, years: float, until: date) -> Life:
    return simulate_client(
        number,
        seed=seed,
        calendar=calendar_of(years, until, ZONE),
        rules=RULES,
        numbers=numbers_after_coach(),
        coach_id=1,
    )


def _cases(life: Life, weeks_in: tuple[int, ...], until: date, *, weekday: int) -> Iterator[Case]:
    record = life.scene.record
    if not record.planned:
        return
    first = week_start(record.planned[0].planned_on)
    end = life.scene.on(life.scene.joined + life.scene.spells.leaves) if life.scene.spells.leaves else until
    looked: dict[date, bool] = {}
    for weeks in weeks_in:
        today = first + timedelta(weeks=weeks, days=weekday)
        if week_start(today) + timedelta(weeks=WEEKS_AHEAD) < end:
            yield Case(history_on(record, today), today, _weeks_until_met(record, today, looked))


def _weeks_until_met(record: Record, today: date, looked: dict[date, bool]) -> int | None:
    for weeks in range(1, WEEKS_AHEAD + 1):
        monday = week_start(today) + timedelta(weeks=weeks)
        if monday not in looked:
            looked[monday] = _may_be_met(record, monday) and _met(history_on(record, monday), monday)
        if looked[monday]:
            return weeks
    return None


def _may_be_met(record: Record, monday: date) -> bool:
    """Whether it is worth asking the rules: no whole week of the last four, touched by no time away, is too short."""
    days = {one.done_on for one in record.logs if one.minutes}
    touched = {
        one.from_on + timedelta(days=n) for one in record.leaves for n in range((one.until_on - one.from_on).days + 1)
    }
    for hold in record.holds.values():
        until = hold.lifted_at.date() if hold.lifted_at else monday
        touched |= {hold.began_on + timedelta(days=n) for n in range((until - hold.began_on).days + 1)}
    weeks = [week_days(monday - timedelta(weeks=n)) for n in range(1, 5)]
    return all(days_in(week, days) >= RULES.base_recent_sessions or days_in(week, touched) for week in weeks)


def days_in(week: tuple[date, ...], days: set[date]) -> int:
    """How many days of a week are among some days."""
    return len(days.intersection(week))


def _met(history: History, day: date) -> bool:
    return all(one.is_met for one in practice_conditions(history, day, RULES) if one.key in FORECAST_KEYS)


def _entered_at(entry: Entry) -> datetime | None:
    if isinstance(entry, SessionLog):
        return entry.entered_at
    if isinstance(entry, Published | TimeOff):
        return entry.at
    if isinstance(entry, Decided):
        return entry.decision.decided_at
    if isinstance(entry, Block):
        return entry.created_at
    if isinstance(entry, Hold):
        return entry.raised_at
    if isinstance(entry, Lifted) and entry.hold is not None:
        return entry.hold.lifted_at
    return None


def _keep(record: Record, entry: Entry) -> None:
    if isinstance(entry, SessionLog):
        record.logs.append(entry)
    elif isinstance(entry, Published):
        record.weeks.append(entry.week)
        record.planned += entry.sessions
    elif isinstance(entry, TimeOff):
        record.leaves.append(entry.leave)
    elif isinstance(entry, Decided):
        record.decisions.append(entry.decision)
    elif isinstance(entry, Block):
        record.blocks.append(entry)
    elif isinstance(entry, Hold):
        record.holds[entry.id] = entry
    elif isinstance(entry, Lifted) and entry.hold is not None:
        record.holds[entry.hold.id] = entry.hold
