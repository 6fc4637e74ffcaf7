"""Regularly active, read two ways from the log; the coach confirms, the log never does."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import week_start, weeks_back

WEEKS = 13
DAYS_A_WEEK = 3
MINUTES_A_DAY = 30
PRACTICE_WEEKS_LEAST = 10
#: Effort in own words from which a session is at least moderate (common practice, no published source).
MODERATE_EFFORT_LOWEST = 3


@dataclass(frozen=True, slots=True)
class RegularActivity:
    """Which of the last thirteen weeks had three days of 30 min or more at moderate effort or above."""

    weeks: tuple[bool, ...]

    @property
    def count(self) -> int:
        """Weeks that did."""
        return sum(self.weeks)

    @property
    def is_strict(self) -> bool:
        """All thirteen, in a row: the reference's reading and the default."""
        return len(self.weeks) == WEEKS and all(self.weeks)

    @property
    def is_by_practice(self) -> bool:
        """Ten of thirteen and never two poor ones running (common practice, no published source)."""
        two_poor = any(not one and not following for one, following in pairwise(self.weeks))
        return self.count >= PRACTICE_WEEKS_LEAST and not two_poor


def regular_activity(history: History, today: date) -> RegularActivity:
    """The last thirteen complete weeks, oldest first.

    Limits: very easy work does not count, so a base done very easily may leave a client formally not active.
    Source: Riebe et al. 2015 (published, second-hand); counting it from the log is a house choice.
    """
    days: dict[date, dict[date, float]] = defaultdict(lambda: defaultdict(float))
    for log in history.logs:
        if _is_moderate(log):
            days[week_start(log.done_on)][log.done_on] += done_minutes(log)
    return RegularActivity(
        tuple(
            sum(minutes >= MINUTES_A_DAY for minutes in days[monday].values()) >= DAYS_A_WEEK
            for monday in weeks_back(today, WEEKS)
        )
    )


def _is_moderate(log: SessionLog) -> bool:
    if not is_endurance(log) or done_minutes(log) <= 0:
        return False
    if log.talk is not None:
        return log.talk is not Talk.SING
    return log.effort is not None and log.effort >= MODERATE_EFFORT_LOWEST
