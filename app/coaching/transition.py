"""The transition: weeks of all easy work before anything hard, for whoever was not regularly active at intake."""

from __future__ import annotations

from collections import defaultdict
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance, is_hard_done
from app.coaching.history import History
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import week_start

#: Over twelve weeks off: as new, transition again (common practice, no published source).
_WEEKS_OFF_THAT_RESET = 12


def planned_of(history: History) -> dict[int, PlannedSession]:
    """Planned sessions by identity, for joining logs to their plan."""
    return {session.id: session for session in history.planned}


def plan_for(log: SessionLog, by_id: dict[int, PlannedSession]) -> PlannedSession | None:
    """The planned session an entry answers; None for an extra."""
    return None if log.planned_session_id is None else by_id.get(log.planned_session_id)


def transition_weeks_done(history: History, today: date, rules: Rules) -> int:
    """Complete all-easy weeks with an outing since the first logged week, or since the last long break."""
    return len(_easy_weeks(history, today, rules))


def transition_over_from(history: History, today: date, rules: Rules) -> date | None:
    """The first day after the transition; None while it lasts.

    Source: two to three months of light-to-moderate work before vigorous work (from memory, unchecked).
    """
    if history.client.regularly_active_confirmed_on is not None:
        return date.min
    easy = _easy_weeks(history, today, rules)
    if len(easy) >= rules.transition_weeks:
        return easy[rules.transition_weeks - 1] + timedelta(weeks=1)
    return _promoted_on(history, after=_last_return(history, today))


def is_transition_done(history: History, today: date, rules: Rules) -> bool:
    """Whether the transition is over, or none was needed."""
    over_from = transition_over_from(history, today, rules)
    return over_from is not None and over_from <= today


def _easy_weeks(history: History, today: date, rules: Rules) -> list[date]:
    by_id = planned_of(history)
    has_hard: dict[date, bool] = defaultdict(bool)
    for log in _outings(history, today):
        has_hard[week_start(log.done_on)] |= is_hard_done(log, plan_for(log, by_id), rules) is not None
    back = _last_return(history, today)
    return sorted(monday for monday, hard in has_hard.items() if not hard and (back is None or monday >= back))


def _outings(history: History, today: date) -> list[SessionLog]:
    this_monday = week_start(today)
    return [log for log in history.logs if is_endurance(log) and done_minutes(log) > 0 and log.done_on < this_monday]


def _last_return(history: History, today: date) -> date | None:
    """The Monday training began again after more than twelve weeks without an outing; None when it never stopped."""
    mondays = sorted({week_start(log.done_on) for log in _outings(history, today)})
    back = None
    for earlier, later in zip(mondays, [*mondays[1:], week_start(today)], strict=False):
        if (later - earlier).days // 7 > _WEEKS_OFF_THAT_RESET:
            back = later
    return back


def _promoted_on(history: History, *, after: date | None) -> date | None:
    """A promotion made here shows that the transition was over then; what was brought in does not."""
    days = [
        decision.since_on
        for decision in history.decisions
        if decision.kind is DecisionKind.PROMOTE and decision.phase in HARD_WORK_PHASES
    ]
    return min((day for day in days if after is None or day >= after), default=None)
