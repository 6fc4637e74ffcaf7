"""The transition: weeks of all easy work before anything hard, for whoever was not regularly active at intake."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.outings import outings_of
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.told_spans import spans_off_so_far
from app.coaching.weeks import week_start

#: Over twelve weeks off: as new, transition again (common practice, no published source).
_WEEKS_OFF_THAT_RESET = 12
_DAYS_OFF_THAT_RESET = _WEEKS_OFF_THAT_RESET * 7 + 1


@dataclass(frozen=True, slots=True)
class Transition:
    """How far the transition is, as known on a day."""

    #: Complete all-easy weeks with an outing since the first logged week, or since the last long break.
    weeks_done: int
    #: The first day after it; None while it lasts.
    over_from: date | None
    is_done: bool
    #: From when on weeks count again after a break of over twelve weeks; None without one.
    again_from: date | None = None

    def is_over_on(self, day: date) -> bool:
        """Whether a day lies after it."""
        return self.over_from is not None and day >= self.over_from


def transition_of(history: History, hard: Container[int], today: date, rules: Rules) -> Transition:
    """How far the transition is on a day.

    hard: the ids of the entries that were hard.
    Days off that were told begin it again as a gap in the entries does, whatever entries stand in them.
    Source: two to three months of light-to-moderate work before vigorous work (from memory, unchecked).
    """
    outings = _outings(history, today)
    logged = _last_return(outings, history.outing_before_on, today)
    back = max(filter(None, (logged, _told_return(history, today))), default=None)
    easy = _easy_weeks(outings, hard, back)
    over_from = _over_from(history, easy, back, rules)
    return Transition(len(easy), over_from, over_from is not None and over_from <= today, back)


def _over_from(history: History, easy: Sequence[date], back: date | None, rules: Rules) -> date | None:
    # Regularly active at intake counts until a break of over twelve weeks: after it everybody begins as new.
    confirmed_on = history.client.regularly_active_confirmed_on
    if confirmed_on is not None and (back is None or back <= confirmed_on):
        return date.min
    if len(easy) >= rules.transition_weeks:
        return easy[rules.transition_weeks - 1] + timedelta(weeks=1)
    return _promoted_on(history, after=back)


def _easy_weeks(outings: Sequence[SessionLog], hard: Container[int], back: date | None) -> list[date]:
    counted = [log for log in outings if back is None or log.done_on >= back]
    with_hard = {week_start(log.done_on) for log in counted if log.id in hard}
    return sorted({week_start(log.done_on) for log in counted} - with_hard)


def _outings(history: History, today: date) -> list[SessionLog]:
    this_monday = week_start(today)
    return [log for log in outings_of(history) if log.done_on < this_monday]


def _last_return(outings: Sequence[SessionLog], before_on: date | None, today: date) -> date | None:
    """The Monday training began again after more than twelve weeks without an outing; None when it never stopped."""
    days = [log.done_on for log in outings] + ([before_on] if before_on is not None else [])
    mondays = sorted({week_start(day) for day in days})
    back = None
    for earlier, later in zip(mondays, [*mondays[1:], week_start(today)], strict=False):
        if (later - earlier).days // 7 > _WEEKS_OFF_THAT_RESET:
            back = later
    return back


def _told_return(history: History, today: date) -> date | None:
    """The first day after the last days off of over twelve weeks that were told; tomorrow while they go on."""
    long = (
        last for first, last in spans_off_so_far(history, today) if (last - first).days + 1 >= _DAYS_OFF_THAT_RESET
    )
    last_on = max(long, default=None)
    return None if last_on is None else last_on + timedelta(days=1)


def _promoted_on(history: History, *, after: date | None) -> date | None:
    """A promotion made here shows that the transition was over then; what was brought in does not."""
    days = [
        decision.since_on
        for decision in history.decisions
        if decision.kind is DecisionKind.PROMOTE and decision.phase in HARD_WORK_PHASES
    ]
    return min((day for day in days if after is None or day >= after), default=None)
