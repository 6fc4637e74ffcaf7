"""Which entry answers which planned session: one pairing for comparing, for held weeks and for hard work."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.assignment import cheapest, tied
from app.coaching.done_work import done_minutes
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import week_number


@dataclass(frozen=True, slots=True)
class Pairing:
    """Every pair of a history: the plan by the entry's id, and the entry by the planned session's id."""

    plan_of: Mapping[int, PlannedSession]
    log_of: Mapping[int, SessionLog]
    #: What was planned and what was entered, by the number of its week.
    planned_in: Mapping[int, Sequence[PlannedSession]]
    logs_in: Mapping[int, Sequence[SessionLog]]


def pairing_of(history: History, today: date) -> Pairing:
    """Pair all weeks of a history as known on a day.

    An entry that names a session of another week answers it there, so that it is never called not logged.
    """
    logs: defaultdict[int, list[SessionLog]] = defaultdict(list)
    for log in history.logs:
        logs[week_number(log.done_on)].append(log)
    planned: defaultdict[int, list[PlannedSession]] = defaultdict(list)
    for session in history.planned:
        planned[week_number(session.planned_on)].append(session)
    by_id = {session.id: session for session in history.planned}
    named = [log for log in history.logs if log.planned_session_id in by_id]
    plan_of = {log.id: by_id[log.planned_session_id] for log in named if log.planned_session_id is not None}
    log_of = {log.planned_session_id: log for log in named if log.planned_session_id is not None}
    told = Counter(log.planned_session_id for log in named)
    # Where each entry names a session of its own, nothing is left to match.
    unclear = {week_number(log.done_on) for log in history.logs if told.get(log.planned_session_id) != 1}
    for week in sorted(unclear):
        found = match(planned.get(week, []), logs[week], today)
        log_of.update(found)
        plan_of.update({log.id: by_id[id_] for id_, log in found.items()})
    return Pairing(plan_of, log_of, dict(planned), dict(logs))


def match(planned: Sequence[PlannedSession], logs: Sequence[SessionLog], today: date) -> dict[int, SessionLog]:
    """The entry for each planned session's id, within one week; the order of either list does not matter.

    The entry's own word first. The rest is the cheapest one-to-one assignment there is (`assignment.py`): as few
    sessions unanswered as possible, then as few days between, then what was done before what was not, then the fewest
    minutes short, then the fewest over; what is still equal goes to the earlier session and the earlier entry.
    Only the same kind answers; a session ahead only by word or on its day, and a "not done" only on its day.
    """
    found = said_by_word(planned, logs)
    free = [log for log in logs if log.planned_session_id is None]
    if not free:
        return found
    open_sessions = [session for session in planned if session.id not in found]
    for kind in {log.kind for log in free}:
        of_kind = [session for session in open_sessions if session.kind is kind]
        if of_kind:
            found.update(cheapest(of_kind, [log for log in free if log.kind is kind], today))
    return found


def tied_in(planned: Sequence[PlannedSession], logs: Sequence[SessionLog], today: date) -> frozenset[int]:
    """Sessions of one week whose entry only the order of days decided: another would have cost the same."""
    named = said_by_word(planned, logs)
    free = [log for log in logs if log.planned_session_id is None]
    open_sessions = [session for session in planned if session.id not in named]
    kinds = {log.kind for log in free}
    found = [
        tied([s for s in open_sessions if s.kind is kind], [e for e in free if e.kind is kind], today)
        for kind in kinds
    ]
    return frozenset[int]().union(*found)


def said_by_word(planned: Sequence[PlannedSession], logs: Sequence[SessionLog]) -> dict[int, SessionLog]:
    """The entries that name a session themselves; of several that name one, the fullest."""
    found: dict[int, SessionLog] = {}
    ids = {session.id for session in planned}
    for log in sorted(logs, key=_fullest_first):
        if log.planned_session_id in ids and log.planned_session_id not in found:
            found[log.planned_session_id] = log
    return found


def _fullest_first(log: SessionLog) -> tuple[bool, float, int]:
    return (log.answer is Answer.NOT_DONE, -done_minutes(log), log.id)
