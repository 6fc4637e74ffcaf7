"""Sums over training weeks: held weeks with what a break costs, adherence, and the easy share of several weeks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.done_work import MinutesByBand, done_minutes, is_endurance
from app.coaching.facts import Facts
from app.coaching.history import History
from app.coaching.pairing import Pairing, pairing_of
from app.coaching.reasons import Figure
from app.coaching.rules import Rules
from app.coaching.training_weeks import (
    HELD_WORDS,
    EasyShare,
    Held,
    WeekFacts,
    all_week_facts,
    away_days,
    easy_share_of,
    logged_mondays,
)
from app.coaching.weeks import day_words, week_days, week_number

#: Weeks not held in a row and what they cost (common practice, no published source).
BREAK_WEEKS = 3
HELD_AFTER_BREAK = 2
HALVES_AFTER_WEEKS = 8
STARTS_AGAIN_AFTER_WEEKS = 12


@dataclass(frozen=True, slots=True)
class HeldCount:
    """Held base weeks as they count, and how many held weeks come before the count goes on."""

    weeks: int
    owed: int
    not_held_in_a_row: int


@dataclass(frozen=True, slots=True)
class Adherence:
    """Done against planned minutes; `best_fraction` is what it would be if all that is not logged was done."""

    planned_minutes: float
    done_minutes: float
    not_logged_minutes: float

    @property
    def fraction(self) -> float | None:
        """Done / planned; None when nothing was planned."""
        return self.done_minutes / self.planned_minutes if self.planned_minutes > 0 else None

    @property
    def best_fraction(self) -> float | None:
        """The same with everything not logged taken as done."""
        if self.planned_minutes <= 0:
            return None
        return min(1.0, (self.done_minutes + self.not_logged_minutes) / self.planned_minutes)


def count_held(weeks: Sequence[Held]) -> HeldCount:
    """Held weeks in order, oldest first, with the rule for weeks not held.

    3 not held in a row: 2 held weeks before the count goes on; 8: the count halves; 12: it starts again. A week of
    which nothing is known does not count as held; a week away, or not over, neither counts nor breaks.
    Source: common practice, no published source.
    """
    count = owed = run = 0
    for week in weeks:
        if week in (Held.AWAY, Held.OPEN):
            continue
        if week is Held.HELD:
            run = 0
            count, owed = (count, owed - 1) if owed else (count + 1, 0)
            continue
        run += 1
        count, owed = _after_break(count, owed, run)
    return HeldCount(count, owed, run)


def held_base_weeks(
    history: History, today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[HeldCount, tuple[WeekFacts, ...]]:
    """The count of held weeks up to a day, with every week behind it."""
    weeks = all_week_facts(history, logged_mondays(history, today), today, rules, facts=facts)
    return count_held([week.held for week in weeks]), weeks


def easy_share_over(weeks: Sequence[WeekFacts], rules: Rules) -> EasyShare:
    """The easy share of several weeks taken together."""
    return easy_share_of(sum((week.by_band for week in weeks), MinutesByBand()), rules)


def adherence(history: History, mondays: Sequence[date], today: date, *, pairing: Pairing | None = None) -> Adherence:
    """Done (capped at planned, week by week) against planned minutes; days paused, on hold or leave are left out.

    Source: common practice, no published source.
    """
    pairs = pairing or pairing_of(history, today)
    parts = [_adherence_of_week(history, monday, today, pairs) for monday in mondays]
    return Adherence(
        sum(part.planned_minutes for part in parts),
        sum(part.done_minutes for part in parts),
        sum(part.not_logged_minutes for part in parts),
    )


def week_figures(weeks: Sequence[WeekFacts]) -> tuple[Figure, ...]:
    """Each week and what it says about the base."""
    return tuple(
        Figure(f"week of {day_words(week.monday)}", "; ".join((HELD_WORDS[week.held], *week.because)))
        for week in weeks
    )


def band_figures(weeks: Sequence[WeekFacts]) -> tuple[Figure, ...]:
    """Each week and its minutes by band."""
    return tuple(
        Figure(
            f"week of {day_words(week.monday)}",
            f"easy {week.by_band.easy:.0f}, middle {week.by_band.middle:.0f}, hard {week.by_band.hard:.0f}, "
            f"unknown {week.by_band.unknown:.0f} min",
        )
        for week in weeks
    )


def _adherence_of_week(history: History, monday: date, today: date, pairs: Pairing) -> Adherence:
    days, week = week_days(monday), week_number(monday)
    counted = frozenset(day for day in days if day < today) - away_days(history, days)
    there, logs = pairs.planned_in.get(week, ()), pairs.logs_in.get(week, ())
    plans = [one for one in there if one.planned_on in counted and is_endurance(one) and not one.is_cancelled]
    planned = float(sum(one.minutes for one in plans))
    done = sum(done_minutes(log) for log in logs if log.done_on in counted and is_endurance(log))
    open_minutes = float(sum(one.minutes for one in plans if one.id not in pairs.log_of))
    return Adherence(planned, min(done, planned), open_minutes)


def _after_break(count: int, owed: int, run: int) -> tuple[int, int]:
    if run == STARTS_AGAIN_AFTER_WEEKS:
        return 0, 0
    if run == HALVES_AFTER_WEEKS:
        return count // 2, HELD_AFTER_BREAK
    if run == BREAK_WEEKS:
        return count, HELD_AFTER_BREAK
    return count, owed
