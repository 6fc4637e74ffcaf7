"""Whether somebody was regularly active, read from what is logged: the strict reading and the practice's own."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import day_words, week_start, weeks_back

#: Thirteen weeks stand for "at least the last three months" (published, second-hand; the weeks are a house choice).
WEEKS = 13
DAYS_A_WEEK = 3
MINUTES_A_DAY = 30
#: The practice's milder reading: so many of the thirteen, never two poor ones running (common practice).
WEEKS_PRACTICE = 10
#: Moderate on our own 0-10 scale, where 3 is "light, breathing calmly" (house choice). Singing is below it.
MODERATE_EFFORT_LOWEST = 3


@dataclass(frozen=True, slots=True)
class ActiveReading:
    """Thirteen whole weeks before a day, read both ways."""

    before: date
    good_weeks: int
    weeks_with_entries: int
    is_strict: bool
    is_by_practice: bool
    why: Why

    @property
    def is_derivable(self) -> bool:
        """Whether anything at all was logged in those weeks."""
        return self.weeks_with_entries > 0


def read_activity(history: History, before: date) -> ActiveReading:
    """The thirteen whole weeks before a day: three different days with 30 min at moderate effort make a good one.

    Source: Riebe et al. 2015 (published, second-hand) for days, minutes and months; reading weeks from logs and the
    practice's milder reading are common practice, no published source.
    """
    mondays = weeks_back(before, WEEKS)
    minutes: dict[date, float] = defaultdict(float)
    logged = set()
    for log in history.logs:
        if mondays[0] <= log.done_on < mondays[-1] + timedelta(weeks=1) and is_endurance(log):
            logged.add(week_start(log.done_on))
            if _is_moderate(log):
                minutes[log.done_on] += done_minutes(log)
    days = {monday: _days(minutes, monday) for monday in mondays}
    good = [days[monday] >= DAYS_A_WEEK for monday in mondays]
    two_poor = any(not one and not other for one, other in pairwise(good))
    figures = tuple(Figure(f"week of {day_words(monday)}", f"{count} days") for monday, count in days.items())
    why = Why(
        figures,
        f"A good week has {DAYS_A_WEEK} days with {MINUTES_A_DAY} min at moderate effort. Strict: all {WEEKS} weeks. "
        f"The practice: {WEEKS_PRACTICE} of {WEEKS}, never two poor ones running. Very easy outings do not count.",
        Provenance.PUBLISHED_SECOND_HAND,
        "Riebe et al. 2015, Med Sci Sports Exerc 47(11):2473-2479; the practice's reading is common practice, no "
        "published source",
    )
    return ActiveReading(
        before=before,
        good_weeks=sum(good),
        weeks_with_entries=len(logged),
        is_strict=all(good),
        is_by_practice=sum(good) >= WEEKS_PRACTICE and not two_poor,
        why=why,
    )


def _is_moderate(log: SessionLog) -> bool:
    if log.talk is not None:
        return log.talk is not Talk.SING
    return log.effort is not None and log.effort >= MODERATE_EFFORT_LOWEST


def _days(minutes: dict[date, float], monday: date) -> int:
    return sum(minutes.get(monday + timedelta(days=n), 0.0) >= MINUTES_A_DAY for n in range(7))
