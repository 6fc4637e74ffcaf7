"""Many possible courses of the weeks to come, drawn from one generator, and when each meets the conditions."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

from app.coaching.forecast_habits import WEEKS_AHEAD, Habits, Start
from app.coaching.forecast_weeks import Bools, Floats, Judged, Weeks, judge, met_on_mondays
from app.coaching.rules import Rules
from app.coaching.weeks import DAYS_IN_WEEK

COURSES = 1000

# House choices, on the logit scale: good and bad weeks on their own, and a slower drift of life from week to week.
WEEK_SPREAD = 0.2
DRIFT_SPREAD = 0.5
DRIFT_MEMORY = 0.9
#: Days of a stretch away, each as likely (house choice).
SPELL_DAYS = (3, 5, 7, 10, 14)
#: The chance of a session stays within these.
CHANCE_WITHIN = (0.01, 0.99)
#: What a spread on the logit scale takes from a chance: 16 sqrt(3) / (15 pi), the usual logistic-normal shortcut
#: (from memory, unchecked).
_SHRINK = 0.588


@dataclass(frozen=True, slots=True)
class Dice:
    """Everything that is drawn, once for all questions asked of the same start."""

    person: Floats
    week: Floats
    drift: Floats
    done: Floats
    share: Floats
    felt: Floats
    extra: Floats
    spell: Floats
    spell_days: NDArray[np.int64]
    often: Floats

    def first(self, courses: int) -> Dice:
        """The dice of the first courses only."""
        return replace(self, **{one.name: getattr(self, one.name)[:courses] for one in fields(self)})


@dataclass(frozen=True, slots=True)
class Change:
    """What would be otherwise: more of the plan done, as a share of all sessions; nothing to be away for."""

    more_done: float = 0.0
    is_never_away: bool = False


AS_NOW = Change()


@dataclass(frozen=True, slots=True)
class Courses:
    """Where each course meets the conditions: the weeks to the Monday, counted from this week's, and what came last.

    A course that does not get there has one week more than are looked at.
    """

    weeks: NDArray[np.int64]
    #: For each condition, the share of courses in which it was met last.
    met_last: Floats


def roll(habits: Habits, rng: np.random.Generator, courses: int = COURSES) -> Dice:
    """Draw everything in one order, so that the same generator gives the same dice whatever is asked."""
    each_day = (courses, WEEKS_AHEAD, DAYS_IN_WEEK)
    return Dice(
        person=rng.standard_normal(courses),
        week=rng.standard_normal((courses, WEEKS_AHEAD)),
        drift=_drift(rng.standard_normal((courses, WEEKS_AHEAD))),
        done=rng.random(each_day),
        share=rng.random(each_day),
        felt=rng.random(each_day),
        extra=rng.random((courses, WEEKS_AHEAD)),
        spell=rng.random((courses, WEEKS_AHEAD * DAYS_IN_WEEK)),
        spell_days=rng.choice(SPELL_DAYS, (courses, WEEKS_AHEAD * DAYS_IN_WEEK)),
        often=rng.standard_gamma(habits.spells, courses) / habits.spell_years,
    )


def live(start: Start, dice: Dice, rules: Rules, change: Change = AS_NOW) -> Courses:
    """Live every course and look at the conditions on each Monday to come."""
    weeks = start.weeks.then(_weeks_to_come(start, dice, rules, change))
    over = start.weeks_over
    looks = [over + n for n in range(WEEKS_AHEAD + 1)]
    has_record = (*start.has_record, *((True,) * WEEKS_AHEAD))
    return _first_met(met_on_mondays(weeks, looks, (start.asked[0], *start.asked), has_record, rules))


def _first_met(met: Bools) -> Courses:
    """The first Monday after this week's with everything met, and what was still open on the one before.

    A course that never gets there counts what is open on the last one.
    """
    whole = met[:, 1:].all(axis=2)
    first = np.where(whole.max(axis=1), whole.argmax(axis=1), whole.shape[1])
    open_then = ~met[np.arange(len(first)), first]
    many = open_then.sum(axis=1, keepdims=True)
    parts = np.divide(open_then, many, out=np.zeros(open_then.shape), where=many > 0)
    return Courses(first + 1, parts.mean(axis=0))


def _drift(news: Floats) -> Floats:
    """A slow walk whose spread is the same in every week, starting where the client is now."""
    drift = np.zeros_like(news)
    for week in range(1, news.shape[1]):
        drift[:, week] = DRIFT_MEMORY * drift[:, week - 1] + np.sqrt(1 - DRIFT_MEMORY**2) * news[:, week]
    return drift


def _chances(start: Start, dice: Dice, change: Change) -> Floats:
    """The chance of a session in each week of each course."""
    done, missed = start.habits.done, start.habits.missed
    middle = np.log(done / missed) + np.sqrt(1 / done + 1 / missed) * dice.person
    if change.more_done:
        chance = np.minimum(_usual_chance(middle) + change.more_done, CHANCE_WITHIN[1])
        middle = np.log(chance / (1 - chance))
    wide = np.sqrt(1 + _SHRINK**2 * WEEK_SPREAD**2)
    return _usual_chance(middle[:, None] * wide + WEEK_SPREAD * dice.week + DRIFT_SPREAD * dice.drift)


def _usual_chance(logit: Floats) -> Floats:
    return np.asarray(np.clip(1 / (1 + np.exp(-logit)), *CHANCE_WITHIN))


def _away(start: Start, dice: Dice, change: Change) -> Bools:
    """Days away: what is agreed already, and what will come up."""
    known = start.ahead.is_away.reshape(1, -1)
    if change.is_never_away:
        return np.broadcast_to(known, dice.spell.shape)
    begins = dice.spell < dice.often[:, None] / (52 * DAYS_IN_WEEK)
    begins[:, : start.today.weekday()] = False
    away = np.broadcast_to(known, begins.shape).copy()
    for after in range(max(SPELL_DAYS)):
        away[:, after:] |= (begins & (dice.spell_days > after))[:, : begins.shape[1] - after]
    return away


def _weeks_to_come(start: Start, dice: Dice, rules: Rules, change: Change) -> Weeks:
    ahead = start.ahead
    away = _away(start, dice, change).reshape(dice.done.shape)
    chance = _chances(start, dice, change)[:, :, None] * ahead.open[None]
    is_done = (dice.done < chance) & (ahead.minutes > 0)[None] & ~away
    size = is_done * ahead.minutes[None] * _picked(np.array(start.habits.shares), dice.share)
    extra, extra_day = _extras(start, dice, away)
    days = is_done | extra_day
    days[:, 0] |= ahead.done_minutes > 0
    minutes = size + extra[:, :, None] * extra_day
    minutes[:, 0] += ahead.done_minutes
    easy, known, hard = _felt_by_week(start, dice, is_done, size)
    planned = ahead.minutes.sum(axis=1)
    judged = Judged(
        days=days.sum(axis=2).astype(np.float64),
        minutes=minutes.sum(axis=2),
        planned=np.broadcast_to(np.where(planned > 0, planned, np.nan), hard.shape),
        easy=easy + extra,
        known=known + extra,
        hard_sessions=hard,
        away_days=away.sum(axis=2).astype(np.float64),
        is_easier=np.broadcast_to(ahead.is_easier, hard.shape),
    )
    planned_here = (ahead.minutes[None] * ~away).sum(axis=2)
    return Weeks(
        held=judge(judged, rules),
        days=judged.days,
        minutes=judged.minutes,
        easy=judged.easy,
        known=judged.known,
        planned_counted=planned_here,
        done_counted=np.minimum((minutes * ~away).sum(axis=2), planned_here),
        outings=days.reshape(len(days), -1),
    )


def _felt_by_week(start: Start, dice: Dice, is_done: Bools, size: Floats) -> tuple[Floats, Floats, Floats]:
    """Easy and known minutes and hard sessions of each week, the running week's entries among them."""
    felt, ahead = start.habits.felt, start.ahead
    easy = (size * _picked(np.array([one.easy for one in felt]), dice.felt)).sum(axis=2)
    known = (size * _picked(np.array([one.known for one in felt]), dice.felt)).sum(axis=2)
    hard = (is_done * _picked(np.array([float(one.is_hard) for one in felt]), dice.felt)).sum(axis=2)
    easy[:, 0] += ahead.done_easy
    known[:, 0] += ahead.done_known
    hard[:, 0] += ahead.done_hard
    return easy, known, hard


def _extras(start: Start, dice: Dice, away: Bools) -> tuple[Floats, Bools]:
    """Outings nobody planned: at most one a week, on the last free day of it."""
    free = (start.ahead.minutes == 0)[None] & ~away
    free[:, 0] &= start.ahead.done_minutes == 0
    free[:, 0, : start.today.weekday()] = False
    last = DAYS_IN_WEEK - 1 - free[:, :, ::-1].argmax(axis=2)
    goes = (dice.extra < start.habits.extras_a_week) & free.any(axis=2)
    day = goes[:, :, None] & (np.arange(DAYS_IN_WEEK) == last[:, :, None])
    return goes * start.habits.extra_minutes, day


def _picked(sorted_pool: Floats, drawn: Floats) -> Floats:
    """One of a pool in order for each draw between 0 and 1."""
    return np.asarray(sorted_pool[(drawn * len(sorted_pool)).astype(np.intp)])
