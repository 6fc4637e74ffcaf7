"""When a client will likely meet the conditions that time and training move, and what would help most.

The decision stays the coach's: nothing here promotes anybody, and safety conditions are not forecast.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from app.coaching.facts import Facts, facts_of
from app.coaching.forecast_courses import AS_NOW, Change, Courses, Dice, live, roll
from app.coaching.forecast_habits import WEEKS_AHEAD, WEEKS_NEEDED, Start, one_session_more, start_from
from app.coaching.forecast_weeks import FORECAST_KEYS
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phase_moves import Looks, moves_from
from app.coaching.promotion import conditions, unmet
from app.coaching.rules import Rules
from app.coaching.weeks import DAYS_IN_WEEK, week_start

#: The range and its middle: one in ten before it, one in ten after it.
EARLY, MIDDLE, LATE = 0.10, 0.50, 0.90
#: Weeks after which the chance of being ready is told.
TOLD_AFTER_WEEKS = (13, 26, 39, 52)
#: How much more of the plan is asked about, as a share of all sessions.
MORE_DONE = 0.10
#: Courses the questions of what would help are asked of; the same courses with and without.
ASKED_COURSES = 400
#: The version of the method, so that a kept forecast is made anew when it changes.
METHOD = 1


class Outlook(StrEnum):
    """What a forecast says."""

    #: Every condition it speaks of is met today.
    MET = "met"
    #: A range of dates.
    LIKELY = "likely"
    #: More likely than not later than it looks.
    FAR = "far"
    NOT_IN_BASE = "not_in_base"
    NOT_ACTIVE = "not_active"
    ON_HOLD = "on_hold"
    TOO_LITTLE = "too_little"


class Help(StrEnum):
    """What would be otherwise."""

    SESSION_MORE = "session_more"
    MORE_DONE = "more_done"
    NEVER_AWAY = "never_away"


@dataclass(frozen=True, slots=True)
class Helped:
    """What one change would bring, in days the middle date comes sooner; 0 when nothing."""

    help: Help
    days_sooner: int
    #: Chance to be ready within the horizon, as it is and with the change.
    chance_now: float
    chance_then: float


@dataclass(frozen=True, slots=True)
class Basis:
    """What a forecast was reckoned from."""

    weeks_over: int
    weeks_planned: int
    completion: float
    sessions_a_week: float
    spells_a_year: float


@dataclass(frozen=True, slots=True)
class Forecast:
    """One forecast as it was made. Dates are Mondays on which the conditions would first be met."""

    made_on: date
    outlook: Outlook
    early_on: date | None = None
    middle_on: date | None = None
    #: None: later than the forecast looks.
    late_on: date | None = None
    chances: tuple[tuple[date, float], ...] = ()
    #: Conditions by how often they were met last, most often first.
    waits_for: tuple[tuple[str, float], ...] = ()
    helps: tuple[Helped, ...] = ()
    #: Conditions it does not speak of that were open then, by title: safety first.
    beside: tuple[str, ...] = ()
    basis: Basis | None = None

    @property
    def until_on(self) -> date:
        """The last Monday looked at."""
        return week_start(self.made_on) + timedelta(weeks=WEEKS_AHEAD)


def forecast(
    history: History, today: date, rules: Rules, rng: np.random.Generator, *, facts: Facts | None = None
) -> Forecast:
    """The forecast of one client on one day; the same history and generator give the same answer.

    The weeks to come are lived a thousand times. Each planned session is done or not by a chance of the client's own:
    entries so far, newer ones for more, mixed with what is usual (77 % done, give or take 12, between people), good
    and bad weeks around it, and a slow drift. Minutes and effort are drawn from the client's own done sessions,
    stretches away from their own rate mixed with three a year. The plan is taken as written, after that as its own
    pattern rising as the planner rises. Every Monday of every course is judged by the practice's own rules.
    history: needs the logs and plans of the whole base.
    """
    reason = reason_for_none(history)
    if reason is not None:
        return Forecast(today, reason)
    known = facts or facts_of(history, today, rules)
    still_open = unmet(conditions(history, today, rules, facts=known))
    beside = tuple(one.title for one in still_open if one.key not in FORECAST_KEYS)
    start = start_from(history, today, rules, facts=known)
    if len(beside) == len(still_open):
        return Forecast(today, Outlook.MET, today, today, today, beside=beside, basis=_basis(start))
    if start.planned_weeks < WEEKS_NEEDED:
        return Forecast(today, Outlook.TOO_LITTLE, beside=beside, basis=_basis(start))
    return replace(_reckoned(start, rules, rng), beside=beside)


def reason_for_none(history: History) -> Outlook | None:
    """Why a client has no forecast now, whatever the weeks were; None when there may be one."""
    if history.client.state is not ClientState.ACTIVE:
        return Outlook.NOT_ACTIVE
    if not any(move.looks is Looks.WHOLE_LIST for move in moves_from(history.phase)):
        return Outlook.NOT_IN_BASE
    if any(hold.stops is Stops.ALL for hold in history.open_holds):
        return Outlook.ON_HOLD
    return None


def _reckoned(start: Start, rules: Rules, rng: np.random.Generator) -> Forecast:
    dice = roll(start.habits, rng)
    courses = live(start, dice, rules)
    early, middle, late = (_on(start, week) for week in weeks_at(courses.weeks, (EARLY, MIDDLE, LATE)))
    order = sorted(zip(FORECAST_KEYS, courses.met_last.tolist(), strict=True), key=lambda pair: -pair[1])
    return Forecast(
        made_on=start.today,
        outlook=Outlook.FAR if middle is None else Outlook.LIKELY,
        early_on=early,
        middle_on=middle,
        late_on=late,
        chances=tuple(
            (start.monday + timedelta(weeks=weeks), float((courses.weeks <= weeks).mean()))
            for weeks in (*TOLD_AFTER_WEEKS, WEEKS_AHEAD)
        ),
        waits_for=tuple((key, share) for key, share in order if share > 0),
        helps=_helps(start, dice, courses, rules),
        basis=_basis(start),
    )


def weeks_at(weeks: NDArray[np.int64], shares: Sequence[float]) -> tuple[int, ...]:
    """The smallest number of weeks within which at least such a share of courses is there."""
    ordered = np.sort(weeks)
    return tuple(int(ordered[max(0, int(np.ceil(share * len(ordered))) - 1)]) for share in shares)


def _helps(start: Start, dice: Dice, courses: Courses, rules: Rules) -> tuple[Helped, ...]:
    """What each change would bring on the same courses, the most first."""
    few = dice.first(ASKED_COURSES)
    now = courses.weeks[:ASKED_COURSES]
    asked = (
        (Help.SESSION_MORE, one_session_more(start), AS_NOW),
        (Help.MORE_DONE, start, Change(more_done=MORE_DONE)),
        (Help.NEVER_AWAY, start, Change(is_never_away=True)),
    )
    found = [_helped(help_, now, live(begun, few, rules, change).weeks) for help_, begun, change in asked]
    return tuple(sorted(found, key=lambda one: (-one.days_sooner, one.chance_now - one.chance_then)))


def _helped(help_: Help, now: NDArray[np.int64], then: NDArray[np.int64]) -> Helped:
    (before,), (after,) = weeks_at(now, (MIDDLE,)), weeks_at(then, (MIDDLE,))
    chance_now, chance_then = (float((one <= WEEKS_AHEAD).mean()) for one in (now, then))
    # Sooner than a date that is not known cannot be told in days.
    weeks_sooner = max(0, before - after) if before <= WEEKS_AHEAD else 0
    return Helped(help_, weeks_sooner * DAYS_IN_WEEK, chance_now, chance_then)


def _on(start: Start, weeks: int) -> date | None:
    return None if weeks > WEEKS_AHEAD else start.monday + timedelta(weeks=weeks)


def _basis(start: Start) -> Basis:
    ahead = start.ahead.minutes
    return Basis(
        weeks_over=start.weeks_over,
        weeks_planned=start.planned_weeks,
        completion=start.habits.completion,
        sessions_a_week=float((ahead > 0).sum() / len(ahead)),
        spells_a_year=start.habits.spells / start.habits.spell_years,
    )
