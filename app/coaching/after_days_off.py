"""What days off leave of targets: from four weeks on they begin afresh, after fewer the first rounds are gentler.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.days_off import DaysOffRow, Run, row_for
from app.coaching.executed import Executed
from app.coaching.execution_values import CountsAs
from app.coaching.gap_rules import LONG_GAP_DAYS
from app.coaching.history import History
from app.coaching.people import Leave
from app.coaching.reasons import Figure
from app.coaching.time_away import from_leaves, runs_away
from app.coaching.told_away import ToldAway, told_stretches
from app.coaching.words import counted, percent, short_day

#: Days off longer ago than this ask nothing of rounds any more (house choice, as long as a measured figure lasts).
ROUNDS_ASKED_FOR = timedelta(weeks=26)


@dataclass(frozen=True, slots=True)
class AfterDaysOff:
    """The days off before a day that still ask something of its rounds."""

    run: Run
    row: DaysOffRow
    #: Hard sessions of rounds since, those left out that count neither way.
    done: int

    @property
    def target_off(self) -> float:
        """How much lower the target of the next rounds is; 0 where it is as it was."""
        return self.row.target_off if self.done < len(self.row.rounds) else 0.0

    @property
    def most_rounds(self) -> int | None:
        """The most rounds of the next session; None where none are named."""
        return self.row.rounds[self.done] if self.done < len(self.row.rounds) else None

    @property
    def fewer(self) -> int:
        """Rounds fewer in the next session."""
        return self.row.fewer if self.done == 0 else 0

    @property
    def words(self) -> str:
        """The days off, as a figure: "11, Mon 2 Nov to Thu 12 Nov"."""
        return f"{self.run.days}, {short_day(self.run.first_on)} to {short_day(self.run.last_on)}"

    @property
    def figure(self) -> Figure:
        """What they ask of a target, for its reason."""
        which = f"session {self.done + 1} of {len(self.row.rounds)} after them"
        return Figure("days off", f"{self.words}: {percent(self.target_off)} lower, {which}")


def runs_off(told: Sequence[ToldAway], leaves: Sequence[Leave], day: date) -> tuple[Run, ...]:
    """Unbroken days off that are over on a day, told or agreed as leave, soonest first; silence is none of them."""
    stretches = (*told_stretches(told, date.min), *from_leaves(leaves))
    found = (Run(first, last) for first, last in runs_away(stretches))
    return tuple(run for run in found if run.back_on <= day)


def afresh_since(history: History, day: date) -> Run | None:
    """The last days off before a day that were so many that targets begin afresh; None without any.

    Source: 28 days and more: target afresh, retest (common practice, no published source).
    """
    long = [run for run in runs_off(history.told_away, history.leaves, day) if run.days >= LONG_GAP_DAYS]
    return long[-1] if long else None


def after_days_off(history: History, executed: Sequence[Executed], day: date) -> AfterDaysOff | None:
    """The days off that ask fewer or gentler rounds of a day, the longest row first; None when none do.

    Rounds begin again as the table says only for who did rounds before; from 28 days on nothing is carried over.
    Source: the table of days off (common practice, no published source).
    """
    afresh = afresh_since(history, day)
    found = []
    for run in runs_off(history.told_away, history.leaves, day):
        row = row_for(run.days)
        is_over = afresh is not None and run.back_on <= afresh.back_on
        if row is None or row.is_afresh or is_over or run.back_on < day - ROUNDS_ASKED_FOR:
            continue
        since = [one for one in executed if one.on >= run.back_on and one.counts_as is not CountsAs.NEITHER]
        if any(one.on < run.first_on for one in executed):
            found.append(AfterDaysOff(run, row, len(since)))
    asking = [one for one in found if one.fewer or one.most_rounds is not None]
    return max(asking, key=lambda one: (one.target_off, one.run.back_on), default=None)


def afresh_words(run: Run) -> str:
    """Why an older figure gives no target, as the end of a sentence."""
    since = f"{counted(run.days, 'day')} off until {short_day(run.last_on)}"
    return f"before {since}; targets begin afresh, so it waits to be measured again"
