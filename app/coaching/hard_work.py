"""Hard sessions on their local days: those done, those planned, and how many fall into any fortnight."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.done_work import is_hard_done
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.pairing import match
from app.coaching.prescriptions import KIND_WORDS
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.weeks import DAYS_IN_WEEK, week_start

FORTNIGHT_DAYS = 14


@dataclass(frozen=True, slots=True)
class HardDay:
    """One hard session on one day, done or planned."""

    on: date
    title: str
    is_done: bool
    #: The entry's id when done, the planned session's when planned.
    record_id: int
    because: tuple[str, ...] = ()
    counts_for_progress: bool = False


@dataclass(frozen=True, slots=True)
class Fortnight:
    """The fullest 14 days of some hard days."""

    first_on: date
    last_on: date
    days: tuple[date, ...]

    @property
    def count(self) -> int:
        """Hard sessions in it."""
        return len(self.days)


def hard_done(
    history: History, rules: Rules, *, since_on: date = date.min, facts: Facts | None = None
) -> tuple[HardDay, ...]:
    """Everything done that was hard, whatever was planned, oldest first."""
    known = facts or facts_of(history, date.max, rules)
    found = []
    for log in [one for one in history.logs if one.done_on >= since_on and one.id in known.hard]:
        session = known.pairing.plan_of.get(log.id)
        hard = is_hard_done(log, session, rules)
        if hard is not None:
            title = session.title if session is not None else KIND_WORDS[log.kind]
            found.append(HardDay(log.done_on, title, True, log.id, hard.because, hard.counts_for_progress))
    return tuple(sorted(found, key=lambda day: (day.on, day.record_id)))


def hard_lately(history: History, today: date, rules: Rules) -> tuple[HardDay, ...]:
    """Everything hard done in the 14 days up to the newest of the last week, as the morning counts; else to today."""
    done = [day for day in hard_done(history, rules, facts=facts_of(history, today, rules)) if day.on <= today]
    newest = done[-1].on if done and (today - done[-1].on).days < DAYS_IN_WEEK else today
    return tuple(day for day in done if day.on > newest - timedelta(days=FORTNIGHT_DAYS))


def hard_ahead(history: History, today: date) -> tuple[HardDay, ...]:
    """Published hard sessions from today on that no entry answers yet, oldest first."""
    ahead = [one for one in history.planned if one.planned_on >= today and one.is_hard and not one.is_cancelled]
    answered = _answered(history, today) if ahead else frozenset()
    return tuple(
        HardDay(session.planned_on, session.title, False, session.id)
        for session in sorted(ahead, key=lambda s: (s.planned_on, s.id))
        if session.id not in answered
    )


def fullest_fortnight(days: Iterable[date], *, touching: tuple[date, date] | None = None) -> Fortnight | None:
    """The 14 days holding most hard sessions; of equals the earliest; None without any.

    A window begins with a hard day, which loses no maximum. `touching` asks for windows that share a day with it;
    those that hold later hard days only are not its business.
    """
    ordered = sorted(days)
    best: Fortnight | None = None
    for first in ordered:
        last = first + timedelta(days=FORTNIGHT_DAYS - 1)
        if touching is not None and not (first <= touching[1] and last >= touching[0]):
            continue
        inside = tuple(day for day in ordered if first <= day <= last)
        if best is None or len(inside) > best.count:
            best = Fortnight(first, last, inside)
    return best


def _answered(history: History, today: date) -> frozenset[int]:
    """Planned sessions of this week and later that an entry answers by its own word or its day."""
    monday = week_start(today)
    planned = [session for session in history.planned if session.planned_on >= monday]
    logs = [log for log in history.logs if log.done_on >= monday]
    found = match(planned, logs, today)
    known = {log.planned_session_id for log in history.logs if log.answer is not Answer.NOT_DONE}
    return frozenset(found) | frozenset(id_ for id_ in known if id_ is not None)
