"""A gap of two weeks or more: screening again and base only, until held weeks have rebuilt what was lost."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import islice, pairwise

from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.last_asked import kept_for_last
from app.coaching.outings import outings_of
from app.coaching.rules import Rules
from app.coaching.training_weeks import Held, week_facts
from app.coaching.weeks import day_words, week_start

#: From this many days between outings on: base only (house choice).
GAP_DAYS = 14
#: From this many on: twice the held weeks (common practice, no published source).
LONG_GAP_DAYS = 28
HELD_WEEKS_AFTER_GAP = 2
HELD_WEEKS_AFTER_LONG_GAP = 4


@dataclass(frozen=True, slots=True)
class Gap:
    """The last long gap between two outings; `back_on` is None while it lasts."""

    last_on: date
    back_on: date | None
    days: int

    @property
    def held_weeks_asked(self) -> int:
        """Held weeks before hard work comes back."""
        return HELD_WEEKS_AFTER_LONG_GAP if self.days >= LONG_GAP_DAYS else HELD_WEEKS_AFTER_GAP


def last_gap(history: History, today: date) -> Gap | None:
    """The last gap of two weeks or more, as far as outings are logged."""
    days, gaps = _days_and_gaps(history)
    until = bisect_right(days, today)
    if until and (today - days[until - 1]).days >= GAP_DAYS:
        return Gap(days[until - 1], None, (today - days[until - 1]).days)
    past = (Gap(earlier, later, (later - earlier).days) for earlier, later in reversed(gaps) if later <= today)
    return next(past, None)


@kept_for_last
def _days_and_gaps(history: History) -> tuple[tuple[date, ...], tuple[tuple[date, date], ...]]:
    """Every day with an outing, and each two of them with a long gap between, oldest first; several rules ask."""
    logged = {log.done_on for log in outings_of(history)}
    before = {history.outing_before_on} if history.outing_before_on is not None else set()
    days = tuple(sorted(logged | before))
    return days, tuple(two for two in pairwise(days) if (two[1] - two[0]).days >= GAP_DAYS)


def gap_stop(history: History, today: date, rules: Rules) -> ComputedStop | None:
    """Hard work waits after a long gap, until held weeks have followed; None when nothing waits.

    A gap in what is logged may only be a gap in the log: entries close it.
    Source: gap of 14 days, base only until rebuilt (house choice); held weeks (common practice, no published source).
    """
    gap = last_gap(history, today)
    if gap is None:
        return None
    if gap.back_on is None:
        since = f"no outing is logged since {day_words(gap.last_on)}."
        theirs = f"{since} If they trained, log it; else easy work only first."
        return ComputedStop(Stops.HARD, theirs, f"{since} If you trained, log it; else easy work only first.")
    held = held_since(history, gap.back_on, today, rules, at_most=gap.held_weeks_asked)
    if held >= gap.held_weeks_asked:
        return None
    sentence = (
        f"{gap.days} days off until {day_words(gap.back_on)}: easy work only until {gap.held_weeks_asked} weeks are "
        f"held ({held or 'none'} so far)."
    )
    return ComputedStop(Stops.HARD, sentence)


def held_since(history: History, back_on: date, today: date, rules: Rules, *, at_most: int) -> int:
    """Complete weeks held from the week of a return on, counted no further than asked."""
    start, end = week_start(back_on), week_start(today)
    mondays = (start + timedelta(weeks=n) for n in range((end - start).days // 7))
    held = (monday for monday in mondays if week_facts(history, monday, today, rules).held is Held.HELD)
    return len(list(islice(held, at_most)))
