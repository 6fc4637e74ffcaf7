"""Planned and done, matched one to one within the client's week, and what each pair comes to."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from operator import attrgetter

from app.coaching.done_work import complete_rounds, done_minutes, is_endurance, is_hard
from app.coaching.effort import Band, band_of_session
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.holds import Hold, Stops
from app.coaching.pairing import match
from app.coaching.people import Leave
from app.coaching.planned_effort import band_of_plan, is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import DAYS_IN_WEEK, local_day, week_number

#: Common practice, no published source.
DONE_FROM_FRACTION = 0.85
PARTLY_FROM_FRACTION = 0.25


class Status(StrEnum):
    """What became of a planned session, or what a done one is. *Not logged* is never *missed*."""

    DONE = "done"
    PARTLY = "partly"
    MISSED = "missed"
    MOVED = "moved"
    KEPT_AS_AGREED = "kept_as_agreed"
    EXTRA = "extra"
    NOT_LOGGED = "not_logged"
    AHEAD = "ahead"
    PAUSED = "paused"


STATUS_WORDS = {
    Status.DONE: "done",
    Status.PARTLY: "partly",
    Status.MISSED: "missed",
    Status.MOVED: "moved",
    Status.KEPT_AS_AGREED: "kept as agreed",
    Status.EXTRA: "extra",
    Status.NOT_LOGGED: "not logged",
    Status.AHEAD: "ahead",
    Status.PAUSED: "paused",
}


class EffortCompare(StrEnum):
    """The band done against the band planned."""

    SAME = "same"
    ABOVE = "above"
    BELOW = "below"


_ORDER = {Band.EASY: 0, Band.MIDDLE: 1, Band.HARD: 2}


@dataclass(frozen=True, slots=True)
class Pair:
    """One line of the comparison: a planned session, the entry that answers it, or either alone."""

    status: Status
    planned: PlannedSession | None
    log: SessionLog | None
    #: The smaller of the shares of minutes and of rounds done; None when nothing was planned or entered.
    done_fraction: float | None = None
    done_band: Band | None = None
    effort: EffortCompare | None = None
    #: Rounds completed, None when they were not entered.
    rounds_done: int | None = None
    #: The day it was planned for, when it was done on another.
    moved_from: date | None = None

    @property
    def day(self) -> date:
        """The day the line stands on: where it was done, else where it was planned."""
        if self.log is not None and self.status is not Status.MISSED:
            return self.log.done_on
        if self.planned is not None:
            return self.planned.planned_on
        if self.log is not None:
            return self.log.done_on
        raise AssertionError("a pair has a plan or an entry")

    @property
    def is_strength(self) -> bool:
        """Strength stands apart from the endurance sums."""
        thing = self.planned or self.log
        return thing is not None and not is_endurance(thing)


@dataclass(frozen=True, slots=True)
class WeekComparison:
    """One week, planned against done; endurance sums leave strength and paused days out."""

    monday: date
    pairs: tuple[Pair, ...]
    planned_minutes: int
    done_minutes: float
    planned_sessions: int
    done_sessions: int
    hard_planned: int
    not_logged_minutes: int
    strength_planned: int
    strength_done: int

    def of(self, status: Status) -> tuple[Pair, ...]:
        """The lines with one status."""
        return tuple(pair for pair in self.pairs if pair.status is status)


def compare_week(history: History, monday: date, today: date, rules: Rules) -> WeekComparison:
    """Match one week's plan and entries: the entry's own word first, then same kind same day, then same kind.

    Every entry is used at most once. A session ahead is matched only by the entry's own word or on its day.
    """
    return compare_weeks(history, (monday,), today, rules)[0]


def compare_weeks(
    history: History, mondays: Iterable[date], today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[WeekComparison, ...]:
    """Several weeks, in the order asked for; cheaper than one at a time."""
    known = facts or facts_of(history, today, rules)
    return tuple(_compare_week(history, monday, today, rules, facts=known) for monday in mondays)


def _compare_week(history: History, monday: date, today: date, rules: Rules, *, facts: Facts) -> WeekComparison:
    over_from, week = facts.transition.over_from, week_number(monday)
    in_week = (s for s in facts.pairing.planned_in.get(week, ()) if not s.is_cancelled)
    planned = sorted(in_week, key=attrgetter("planned_on", "id"))
    logs = sorted(facts.pairing.logs_in.get(week, ()), key=attrgetter("done_on", "id"))
    found = match(planned, logs, today)
    rests = _rests_in(history, monday)
    used = {log.id for log in found.values()}
    pairs = []
    for session in planned:
        log = found.get(session.id)
        if log is None or log.answer is Answer.NOT_DONE:
            status = _status_without_work(session, log, today, is_paused=_is_paused(rests, session))
            pairs.append(Pair(status, session, log))
        else:
            pairs.append(_pair(session, log, rules, over_from=over_from))
    extras = [
        Pair(
            Status.EXTRA,
            None,
            log,
            done_band=done_band(log, None, rules, over_from=over_from),
            rounds_done=rounds_done(log),
        )
        for log in logs
        if log.id not in used and log.answer is not Answer.NOT_DONE
    ]
    everything = sorted([*pairs, *extras], key=_place)
    return _summed(monday, everything)


def rounds_done(log: SessionLog) -> int | None:
    """Complete rounds of an entry; None when no round was entered."""
    return complete_rounds(log) if log.rounds else None


def pauses(hold: Hold, session: PlannedSession, day: date, zone: str) -> bool:
    """Whether a hold pauses a session on a local day; a hold on hard work pauses middle too.

    A hold on one way of moving that does not say which pauses every way.
    """
    if day < hold.began_on or (hold.lifted_at is not None and local_day(hold.lifted_at, zone) <= day):
        return False
    if hold.stops is Stops.ALL or is_hard_or_middle(session):
        return True
    return hold.stops is Stops.MODE_AND_HARD and hold.mode in (None, session.mode)


def is_on_leave(leaves: Sequence[Leave], day: date) -> bool:
    """Whether a day lies in an agreed leave."""
    return any(leave.from_on <= day <= leave.until_on for leave in leaves)


def planned_band(session: PlannedSession) -> Band:
    """The band a session was planned in."""
    return band_of_plan(session)


def done_band(
    log: SessionLog, session: PlannedSession | None, rules: Rules, *, over_from: date | None
) -> Band | None:
    """The band of an entry: hard when it counts as hard, else talk answer, then effort; None when unknown.

    `over_from` is the first day after the transition weeks, None while they last.
    """
    if is_hard(log, session, rules):
        return Band.HARD
    after = over_from is not None and log.done_on >= over_from
    answer = band_of_session(talk=log.talk, effort=log.effort, after_transition=after, rules=rules)
    return answer.band if answer else None


@dataclass(frozen=True, slots=True)
class _Rests:
    """The leaves and holds that may touch a week."""

    leaves: Sequence[Leave]
    holds: Sequence[Hold]
    zone: str


def _rests_in(history: History, monday: date) -> _Rests:
    day_before, after = monday - timedelta(days=1), monday + timedelta(days=DAYS_IN_WEEK)
    leaves = [one for one in history.leaves if one.from_on < after and one.until_on >= monday]
    holds = [
        one
        for one in history.holds
        if one.began_on < after and (one.lifted_at is None or one.lifted_at.date() >= day_before)
    ]
    return _Rests(leaves, holds, history.client.zone)


def _is_paused(rests: _Rests, session: PlannedSession) -> bool:
    return is_on_leave(rests.leaves, session.planned_on) or any(
        pauses(hold, session, session.planned_on, rests.zone) for hold in rests.holds
    )


def _pair(session: PlannedSession, log: SessionLog, rules: Rules, *, over_from: date | None) -> Pair:
    share = _done_fraction(session, log)
    status = _status_with_work(session, log, share)
    done = done_band(log, session, rules, over_from=over_from)
    compared = None if done is None or not is_endurance(session) else _compare(planned_band(session), done)
    moved_from = session.planned_on if status is Status.MOVED else None
    return Pair(status, session, log, share, done, compared, rounds_done(log), moved_from)


def _status_without_work(session: PlannedSession, log: SessionLog | None, today: date, *, is_paused: bool) -> Status:
    if is_paused:
        return Status.PAUSED
    if log is not None:
        return Status.MISSED
    return Status.NOT_LOGGED if session.planned_on < today else Status.AHEAD


def _status_with_work(session: PlannedSession, log: SessionLog, share: float) -> Status:
    if log.answer is Answer.EASY_VERSION:
        return Status.KEPT_AS_AGREED
    if share < PARTLY_FROM_FRACTION:
        return Status.MISSED
    if log.done_on != session.planned_on:
        return Status.MOVED
    return Status.DONE if share >= DONE_FROM_FRACTION else Status.PARTLY


def _done_fraction(session: PlannedSession, log: SessionLog) -> float:
    """Share of the plan that was done: minutes and rounds, the smaller one; rounds not entered are not guessed."""
    told = {Answer.AS_PLANNED: 1.0, Answer.PARTLY: 0.5}.get(log.answer, 0.0)
    minutes = told if log.minutes is None else log.minutes / max(session.minutes, 1)
    if session.rounds == 0:
        return minutes
    done = rounds_done(log)
    if done is not None:
        return min(minutes, done / session.rounds)
    if log.answer is Answer.SOMETHING_ELSE and log.kind is not session.kind:
        return 0.0
    return min(minutes, told) if log.answer is Answer.PARTLY else minutes


def _compare(planned: Band, done: Band) -> EffortCompare:
    if planned is done:
        return EffortCompare.SAME
    return EffortCompare.ABOVE if _ORDER[done] > _ORDER[planned] else EffortCompare.BELOW


def _place(pair: Pair) -> tuple[date, bool, int]:
    thing = pair.planned or pair.log
    return (pair.day, pair.planned is None, thing.id if thing else 0)


def _summed(monday: date, pairs: Sequence[Pair]) -> WeekComparison:
    counted = [pair for pair in pairs if not pair.is_strength]
    asked = [p.planned for p in counted if p.planned is not None and p.status is not Status.PAUSED]
    done = [p.log for p in counted if p.log is not None and p.log.answer is not Answer.NOT_DONE]
    strength = [pair for pair in pairs if pair.is_strength]
    return WeekComparison(
        monday=monday,
        pairs=tuple(pairs),
        planned_minutes=sum(session.minutes for session in asked),
        done_minutes=sum(done_minutes(log) for log in done if is_endurance(log)),
        planned_sessions=len(asked),
        done_sessions=len([log for log in done if is_endurance(log)]),
        hard_planned=sum(1 for session in asked if session.is_hard),
        not_logged_minutes=sum(
            p.planned.minutes for p in counted if p.status is Status.NOT_LOGGED and p.planned is not None
        ),
        strength_planned=sum(1 for pair in strength if pair.planned is not None),
        strength_done=sum(1 for p in strength if p.log is not None and p.log.answer is not Answer.NOT_DONE),
    )
