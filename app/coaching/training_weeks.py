"""The facts of one training week: planned and done minutes, days, effort, and whether the week is held."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import StrEnum

from app.coaching.done_work import (
    MinutesByBand,
    done_minutes,
    is_endurance,
    minutes_by_band,
)
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.holds import Hold, Stops
from app.coaching.last_asked import kept_for_last
from app.coaching.people import Origin
from app.coaching.phases import HARD_WORK_PHASES, current_phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import local_day, week_days, week_number, week_start
from app.coaching.words import figure_beside, percent, percent_beside

#: A week with a hold or agreed leave over this many days neither counts nor breaks.
AWAY_DAYS_MOST = 3


class Held(StrEnum):
    """What a week says about the base."""

    HELD = "held"
    NOT_HELD = "not_held"
    #: Something was not logged, or too much effort is unknown.
    UNKNOWN = "unknown"
    #: On hold or agreed leave: neither counts nor breaks.
    AWAY = "away"
    #: The week is not over.
    OPEN = "open"


HELD_WORDS = {
    Held.HELD: "held",
    Held.NOT_HELD: "not held",
    Held.UNKNOWN: "unknown",
    Held.AWAY: "away",
    Held.OPEN: "not over yet",
}


@dataclass(frozen=True, slots=True)
class EasyShare:
    """Easy minutes against minutes of known effort; not defined when too much is unknown."""

    fraction: float | None
    unknown_fraction: float
    missing: str | None


@dataclass(frozen=True, slots=True)
class WeekFacts:
    """One ISO week of one client, strength apart."""

    monday: date
    #: None when nothing was planned, as in weeks brought in from elsewhere.
    planned_minutes: float | None
    done_minutes: float
    strength_minutes: float
    sessions: int
    days: int
    by_band: MinutesByBand
    easy_share: EasyShare
    hard_sessions: int
    is_easier: bool
    away_days: int
    not_logged: tuple[PlannedSession, ...]
    has_brought_in: bool
    is_told: bool
    held: Held
    because: tuple[str, ...]


def easy_share_of(minutes: MinutesByBand, rules: Rules) -> EasyShare:
    """Easy / known-band minutes, with the unknown share beside it.

    Limits: not defined without minutes, or when more than a quarter is unknown.
    Source: common practice, no published source.
    """
    if minutes.total <= 0:
        return EasyShare(None, 0.0, "no minutes logged")
    unknown = minutes.unknown / minutes.total
    if unknown > rules.easy_share_unknown_most or minutes.known <= 0:
        return EasyShare(None, unknown, f"effort unknown for {percent(unknown)} of the minutes")
    return EasyShare(minutes.easy / minutes.known, unknown, None)


def week_facts(history: History, monday: date, today: date, rules: Rules) -> WeekFacts:
    """Everything about the week that begins on a Monday, as known on a day."""
    return all_week_facts(history, (monday,), today, rules)[0]


def all_week_facts(
    history: History, mondays: Sequence[date], today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[WeekFacts, ...]:
    """The facts of several weeks, cheaper than one at a time."""
    shelf = _shelf_for(history, today, rules, facts or facts_of(history, today, rules))
    for monday in mondays:
        if monday not in shelf.weeks:
            shelf.weeks[monday] = _judged(_facts(monday, today, rules, shelf), history, today, rules)
    return tuple(shelf.weeks[monday] for monday in mondays)


def away_days(history: History, days: Sequence[date]) -> frozenset[date]:
    """Days on agreed leave or under a hold that stops all training."""
    return _in_spans(_away_spans(history), days)


_Spans = tuple[tuple[date, date], ...]


@kept_for_last
def _away_spans(history: History) -> _Spans:
    """First and last days of leaves and of holds that stop all training."""
    leaves = [(leave.from_on, leave.until_on) for leave in history.leaves]
    holds = [_span_of(hold, history.client.zone) for hold in history.holds if hold.stops is Stops.ALL]
    return (*leaves, *holds)


def _span_of(hold: Hold, zone: str) -> tuple[date, date]:
    last = date.max if hold.lifted_at is None else local_day(hold.lifted_at, zone) - timedelta(days=1)
    return hold.began_on, last


def _in_spans(spans: _Spans, days: Sequence[date]) -> frozenset[date]:
    if not spans or not days:
        return frozenset()
    earliest, latest = min(days), max(days)
    near = [(first, last) for first, last in spans if first <= latest and earliest <= last]
    return frozenset(day for day in days if any(first <= day <= last for first, last in near))


def logged_mondays(history: History, today: date) -> tuple[date, ...]:
    """Every complete week from the first logged or planned one to the last before a day, oldest first."""
    first = min(
        [log.done_on for log in history.logs] + [session.planned_on for session in history.planned], default=None
    )
    if first is None:
        return ()
    start, end = week_start(first), week_start(today)
    return tuple(start + timedelta(weeks=n) for n in range(max(0, (end - start).days // 7)))


@dataclass(frozen=True, slots=True)
class _Shelf:
    """What the weeks of one history are judged by, and those judged already."""

    away: _Spans
    easier: frozenset[date]
    facts: Facts
    #: What was worked out already.
    weeks: dict[date, WeekFacts] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Kept:
    """A shelf beside what it was made from; held by identity, for values are never changed."""

    history: History
    today: date
    rules: Rules
    shelf: _Shelf


#: That of the history asked about last: several rules read the same weeks.
_LAST: deque[_Kept] = deque(maxlen=1)


def _shelf_for(history: History, today: date, rules: Rules, facts: Facts) -> _Shelf:
    for kept in tuple(_LAST):
        is_same = kept.history is history and kept.shelf.facts is facts and kept.rules is rules
        if is_same and kept.today == today:
            return kept.shelf
    shelf = _shelf_of(history, facts)
    _LAST.append(_Kept(history, today, rules, shelf))
    return shelf


def _shelf_of(history: History, facts: Facts) -> _Shelf:
    easier = frozenset(week.starts_on for week in history.weeks if week.is_easier)
    return _Shelf(_away_spans(history), easier, facts)


def _facts(monday: date, today: date, rules: Rules, shelf: _Shelf) -> WeekFacts:
    pairing, week = shelf.facts.pairing, week_number(monday)
    logs = [log for log in pairing.logs_in.get(week, ()) if done_minutes(log) > 0]
    done = [log for log in logs if is_endurance(log)]
    planned = [one for one in pairing.planned_in.get(week, ()) if is_endurance(one) and not one.is_cancelled]
    by_band = _sum_by_band(done, shelf.facts, rules)
    return WeekFacts(
        monday=monday,
        planned_minutes=float(sum(one.minutes for one in planned)) if planned else None,
        done_minutes=sum(done_minutes(log) for log in done),
        strength_minutes=sum(done_minutes(log) for log in logs if not is_endurance(log)),
        sessions=len(done),
        days=len({log.done_on for log in done}),
        by_band=by_band,
        easy_share=easy_share_of(by_band, rules),
        hard_sessions=sum(log.id in shelf.facts.hard for log in done),
        is_easier=monday in shelf.easier,
        away_days=len(_in_spans(shelf.away, week_days(monday))),
        not_logged=_not_logged(planned, today, shelf),
        has_brought_in=any(log.origin is Origin.FILE for log in done),
        is_told=any(log.origin is Origin.TOLD_BY_PHONE for log in done),
        held=Held.OPEN,
        because=(),
    )


def _sum_by_band(logs: Sequence[SessionLog], facts: Facts, rules: Rules) -> MinutesByBand:
    plan_of, transition = facts.pairing.plan_of, facts.transition
    return sum(
        (
            minutes_by_band(
                log, plan_of.get(log.id), after_transition=transition.is_over_on(log.done_on), rules=rules
            )
            for log in logs
        ),
        MinutesByBand(),
    )


def _not_logged(planned: Sequence[PlannedSession], today: date, shelf: _Shelf) -> tuple[PlannedSession, ...]:
    log_of = shelf.facts.pairing.log_of
    away = _in_spans(shelf.away, [one.planned_on for one in planned])
    return tuple(
        one for one in planned if one.planned_on < today and one.id not in log_of and one.planned_on not in away
    )


def _judged(facts: WeekFacts, history: History, today: date, rules: Rules) -> WeekFacts:
    held, because = _held(facts, history, today, rules)
    return replace(facts, held=held, because=because)


def _held(facts: WeekFacts, history: History, today: date, rules: Rules) -> tuple[Held, tuple[str, ...]]:
    """Every clause of a held week (common practice, no published source)."""
    if facts.monday + timedelta(days=7) > today:
        return Held.OPEN, ("the week is not over",)
    if facts.away_days > AWAY_DAYS_MOST:
        return Held.AWAY, (f"{facts.away_days} days on hold or leave",)
    if facts.hard_sessions and not _is_after_promotion(history, facts.monday):
        return Held.NOT_HELD, (f"{facts.hard_sessions} hard sessions before promotion",)
    short = _short_of(facts, rules)
    if short:
        is_unknown = bool(facts.not_logged) or (facts.sessions == 0 and facts.planned_minutes is None)
        return (Held.UNKNOWN if is_unknown else Held.NOT_HELD), (*short, *_not_logged_words(facts))
    if facts.easy_share.fraction is None:
        return Held.UNKNOWN, (facts.easy_share.missing or "easy share not defined",)
    if facts.easy_share.fraction < rules.easy_share:
        share = percent_beside(facts.easy_share.fraction, rules.easy_share)
        return Held.NOT_HELD, (f"easy share {share}, at least {percent(rules.easy_share)}",)
    return Held.HELD, _held_words(facts)


def _short_of(facts: WeekFacts, rules: Rules) -> tuple[str, ...]:
    least = rules.held_minutes_easier if facts.is_easier else rules.held_minutes
    asked = None if facts.planned_minutes is None else rules.held_planned_share * facts.planned_minutes
    tests = (
        (
            asked is not None and facts.done_minutes < asked,
            f"{figure_beside(facts.done_minutes, asked or 0)} of {facts.planned_minutes or 0:.0f} planned min, "
            f"at least {percent(rules.held_planned_share)}",
        ),
        (facts.days < rules.held_days, f"{facts.days} days, at least {rules.held_days}"),
        (facts.done_minutes < least, f"{figure_beside(facts.done_minutes, least)} min, at least {least:.0f}"),
    )
    return tuple(words for is_short, words in tests if is_short)


def _not_logged_words(facts: WeekFacts) -> tuple[str, ...]:
    return (f"{len(facts.not_logged)} planned sessions not logged",) if facts.not_logged else ()


def _held_words(facts: WeekFacts) -> tuple[str, ...]:
    notes = (
        (facts.planned_minutes is None, "nothing was planned here; judged on what was done"),
        (facts.has_brought_in, "brought in from a file"),
        (facts.is_told, "confirmed by talk"),
    )
    return tuple(words for applies, words in notes if applies)


def _is_after_promotion(history: History, monday: date) -> bool:
    sunday = monday + timedelta(days=6)
    decision = current_phase([one for one in history.decisions if one.since_on <= sunday])
    return decision is not None and decision.phase in HARD_WORK_PHASES
