"""Which entry answers which planned session: one pairing for comparing, for held weeks and for hard work."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from app.coaching.done_work import done_minutes
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import DAYS_IN_WEEK


@dataclass(frozen=True, slots=True)
class Pairing:
    """Every pair of a history: the plan by the entry's id, and the entry by the planned session's id."""

    plan_of: Mapping[int, PlannedSession]
    log_of: Mapping[int, SessionLog]


def pairing_of(history: History, today: date) -> Pairing:
    """Pair all weeks of a history as known on a day.

    An entry that names a session of another week answers it there, so that it is never called not logged.
    """
    logs: dict[int, list[SessionLog]] = defaultdict(list)
    for log in history.logs:
        logs[_week_of(log.done_on)].append(log)
    planned: dict[int, list[PlannedSession]] = defaultdict(list)
    for session in history.planned:
        planned[_week_of(session.planned_on)].append(session)
    by_id = {session.id: session for session in history.planned}
    named = [log for log in history.logs if log.planned_session_id in by_id]
    plan_of = {log.id: by_id[log.planned_session_id] for log in named if log.planned_session_id is not None}
    log_of = {log.planned_session_id: log for log in named if log.planned_session_id is not None}
    for week, entries in logs.items():
        found = match(planned.get(week, []), entries, today)
        log_of.update(found)
        plan_of.update({log.id: by_id[id_] for id_, log in found.items()})
    return Pairing(plan_of, log_of)


def _week_of(day: date) -> int:
    """A number shared by the days of one ISO week; the first day of the calendar was a Monday."""
    return (day.toordinal() - 1) // DAYS_IN_WEEK


def match(planned: Sequence[PlannedSession], logs: Sequence[SessionLog], today: date) -> dict[int, SessionLog]:
    """The entry for each planned session's id, within one week: the entry's own word, then same kind same day, then
    same kind. The order of either list does not matter; a session ahead is matched only by word or on its day.
    """
    found: dict[int, SessionLog] = {}
    ids = {session.id for session in planned}
    for log in sorted(logs, key=_fullest_first):
        if log.planned_session_id in ids and log.planned_session_id not in found:
            found[log.planned_session_id] = log
    free = [log for log in logs if log.planned_session_id is None]
    if not free:
        return found
    for session in sorted(planned, key=lambda s: (s.planned_on, -s.minutes, s.id)):
        same_day = [log for log in free if log.done_on == session.planned_on and log.kind is session.kind]
        _take(session, sorted(same_day, key=_fullest_first), found, free)
    for session in sorted(planned, key=lambda s: (s.planned_on, s.id)):
        if session.planned_on < today:
            done = [log for log in free if log.kind is session.kind and log.answer is not Answer.NOT_DONE]
            _take(session, sorted(done, key=partial(_distance_from, session)), found, free)
    return found


def _take(
    session: PlannedSession, candidates: Sequence[SessionLog], found: dict[int, SessionLog], free: list[SessionLog]
) -> None:
    if session.id not in found and candidates:
        found[session.id] = candidates[0]
        free.remove(candidates[0])


def _fullest_first(log: SessionLog) -> tuple[bool, float, int]:
    return (log.answer is Answer.NOT_DONE, -done_minutes(log), log.id)


def _distance_from(session: PlannedSession, log: SessionLog) -> tuple[int, date, int]:
    return (abs((log.done_on - session.planned_on).days), log.done_on, log.id)
