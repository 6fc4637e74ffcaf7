"""Where a client with hardly a history begins: what they do now, and from there in short outings."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.phases import DecisionKind, Phase
from app.coaching.planner import FIRST_LONGEST_MIN, START_RISE_MIN
from app.coaching.screening import YesNo
from app.coaching.screening_decision import newest_answers
from app.coaching.weeks import week_start, weeks_back

#: Complete weeks whose average is what a client does now.
RECENT_WEEKS = 4
#: The weeks with anything done in them are counted over so many; fewer than `RECENT_WEEKS` make a short history.
SHORT_HISTORY_WEEKS = 12
#: What the screening calls active is at least 30 min on 3 days a week; more than that nobody has said.
ACTIVE_MIN = 90


@dataclass(frozen=True, slots=True)
class DoingNow:
    """What a client does now, in minutes a week, and how it is known."""

    minutes: float
    words: str
    has_short_history: bool
    #: Nothing is logged, and the answers say regularly active.
    is_said: bool = False

    @property
    def is_new(self) -> bool:
        """Whether they begin as a client new to training does."""
        return self.has_short_history and not self.is_said

    @property
    def first_week_min(self) -> float:
        """What a first week may hold without a reason: 30 min more than now (common practice, no source)."""
        return self.minutes + START_RISE_MIN if self.has_short_history else START_RISE_MIN

    @property
    def first_outing_min(self) -> int | None:
        """The longest first outing without a reason; None: another history says it, or nobody can."""
        return FIRST_LONGEST_MIN if self.is_new else None


def doing_now(history: History, today: date) -> DoingNow:
    """What the last four complete weeks held; what the answers say of being active where nothing is logged."""
    recent, is_short = recent_minutes(history, today), has_short_history(history, today)
    answers = newest_answers(history)
    is_said_active = history.client.regularly_active_confirmed_on is not None or (
        answers is not None and answers.active is YesNo.YES
    )
    if recent < 1 and is_short and is_said_active:
        words = f"Nothing logged; regularly active by their answers, taken as {ACTIVE_MIN} min a week"
        return DoingNow(ACTIVE_MIN, words, True, is_said=True)
    return DoingNow(recent, f"{recent:.0f} min a week over the last {RECENT_WEEKS} weeks", is_short)


def recent_minutes(history: History, today: date) -> float:
    """Average endurance minutes of the last four complete weeks."""
    first, until = weeks_back(today, RECENT_WEEKS)[0], week_start(today)
    logs = [log for log in history.logs if first <= log.done_on < until and is_endurance(log)]
    return sum(done_minutes(log) for log in logs) / RECENT_WEEKS


def has_short_history(history: History, today: date) -> bool:
    """Whether a client in the base, or before it, trained in fewer than four of the last twelve weeks.

    Training brought in from elsewhere and confirmed is a history of its own.
    """
    is_brought_in = any(
        one.kind is DecisionKind.BROUGHT_IN and one.confirmed_at is not None for one in history.decisions
    )
    if history.phase not in (None, Phase.AEROBIC_BASE) or is_brought_in:
        return False
    first = week_start(today) - timedelta(weeks=SHORT_HISTORY_WEEKS)
    weeks = {
        week_start(log.done_on)
        for log in history.logs
        if first <= log.done_on <= today and is_endurance(log) and done_minutes(log) > 0
    }
    return len(weeks) < RECENT_WEEKS
