"""How often a forecast's range held, over simulated clients."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from app.coaching.forecast import EARLY, LATE, MIDDLE, reason_for_none, weeks_at
from app.coaching.forecast_courses import live, roll
from app.coaching.forecast_habits import WEEKS_AHEAD, start_from
from app.coaching.forecast_weeks import FORECAST_KEYS
from app.coaching.promotion_practice import practice_conditions
from tests.forecast_lives import RULES, Case

#: Stands for a Monday beyond those looked at.
BEYOND = WEEKS_AHEAD + 1


@dataclass(frozen=True, slots=True)
class Tried:
    """One range in weeks, and the week it came true."""

    early: int
    middle: int
    late: int
    truth: int

    @property
    def has_middle(self) -> bool:
        """Whether a date was named at all."""
        return self.middle < BEYOND


@dataclass(frozen=True, slots=True)
class Counted:
    """How many of some forecasts held."""

    forecasts: int
    before: int
    after: int
    before_middle: int
    after_middle: int

    @property
    def inside(self) -> float:
        """The share whose truth lay in the range."""
        return 1 - (self.before + self.after) / self.forecasts


def tried(cases: Iterable[Case], *, courses: int) -> list[Tried]:
    """A range for each case that has one; the same steps as `forecast`, without asking what would help."""
    return [_tried(case, courses, seed) for seed, case in enumerate(cases) if _has_range(case)]


def counted(some: list[Tried]) -> Counted:
    """How often the truth lay before and after."""
    return Counted(
        forecasts=len(some),
        before=sum(one.truth < one.early for one in some),
        after=sum(one.truth > one.late for one in some),
        before_middle=sum(one.truth < one.middle for one in some),
        after_middle=sum(one.truth > one.middle for one in some),
    )


def _has_range(case: Case) -> bool:
    if reason_for_none(case.history) is not None:
        return False
    found = practice_conditions(case.history, case.today, RULES)
    return not all(one.is_met for one in found if one.key in FORECAST_KEYS)


def _tried(case: Case, courses: int, seed: int) -> Tried:
    start = start_from(case.history, case.today, RULES)
    dice = roll(start.habits, np.random.default_rng(seed), courses)
    early, middle, late = weeks_at(live(start, dice, RULES).weeks, (EARLY, MIDDLE, LATE))
    return Tried(early, middle, late, case.weeks or BEYOND)
