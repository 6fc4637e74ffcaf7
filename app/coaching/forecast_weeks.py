"""The practice's conditions over many possible courses of weeks at once.

The same rules as `training_weeks`, `base_weeks` and `promotion_practice`, written for whole arrays; the tests hold
the two against each other on random weeks. Weeks run along the second axis, courses along the first.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.coaching.base_weeks import BREAK_WEEKS, HALVES_AFTER_WEEKS, HELD_AFTER_BREAK, STARTS_AGAIN_AFTER_WEEKS
from app.coaching.rules import Rules
from app.coaching.training_weeks import AWAY_DAYS_MOST
from app.coaching.weeks import DAYS_IN_WEEK
from app.coaching.windows import WHOLE_BASE

Floats = NDArray[np.float64]
Codes = NDArray[np.int16]
Bools = NDArray[np.bool_]

#: The conditions that time and training move, in the order of the list.
FORECAST_KEYS = ("base_weeks", "held_of_eight", "recent_weeks", "no_gap", "easy_share", "adherence")
#: What a week was. Unknown counts as not held, as it does in the count.
NOT_HELD, HELD, AWAY = 0, 1, 2

_EIGHT, _FOUR = 8, 4
_GAP_WINDOW_DAYS = 42
_WINDOW_WEEKS = WHOLE_BASE.days // DAYS_IN_WEEK


@dataclass(frozen=True, slots=True)
class Weeks:
    """What every week of every course was."""

    held: Codes
    days: Floats
    minutes: Floats
    easy: Floats
    known: Floats
    #: Planned and done (capped) as adherence counts them.
    planned_counted: Floats
    done_counted: Floats
    #: A column a day, seven to a week.
    outings: Bools

    def then(self, later: Weeks) -> Weeks:
        """These weeks, one course of them, and after them those of many courses."""
        courses = later.held.shape[0]
        joined = {
            one.name: np.concatenate(
                [np.broadcast_to(_of(self, one.name), (courses, _of(self, one.name).shape[1])), _of(later, one.name)],
                axis=1,
            )
            for one in fields(self)
        }
        return Weeks(**joined)


@dataclass(frozen=True, slots=True)
class Judged:
    """What the held rule asks of a week."""

    days: Floats
    minutes: Floats
    #: Not a number where nothing was planned.
    planned: Floats
    easy: Floats
    known: Floats
    hard_sessions: Floats
    away_days: Floats
    is_easier: Bools


def judge(one: Judged, rules: Rules) -> Codes:
    """Every clause of a held week before the first promotion, see `training_weeks`."""
    least = np.where(one.is_easier, rules.held_minutes_easier, rules.held_minutes)
    asked = np.where(np.isnan(one.planned), 0.0, rules.held_planned_share * one.planned)
    is_long = (one.minutes >= asked) & (one.minutes >= least) & (one.days >= rules.held_days)
    is_easy = _keeps_easy_share(one.easy, one.known, one.minutes, rules)
    held = np.where(is_long & is_easy & (one.hard_sessions == 0), HELD, NOT_HELD)
    return np.where(one.away_days > AWAY_DAYS_MOST, AWAY, held).astype(np.int16)


def met_on_mondays(
    weeks: Weeks, looks: Sequence[int], asked: Sequence[int], has_record: Sequence[bool], rules: Rules
) -> Bools:
    """Which conditions are met on some Mondays: courses x Mondays x conditions.

    looks: a Monday as the number of whole weeks before it.
    asked: the held base weeks asked for on each.
    has_record: for every week, whether anything was planned or logged in it.
    """
    count = _held_base_weeks(weeks.held, looks, has_record)
    eight, recent, easy = _recent(weeks, looks, rules)
    parts = (
        count >= np.array(asked),
        eight,
        recent,
        ~_has_gap(weeks.outings, looks, rules.base_gap_days),
        easy,
        _adherence(weeks, looks, rules),
    )
    return np.stack(parts, axis=2)


def _of(weeks: Weeks, name: str) -> NDArray[Any]:
    found: NDArray[Any] = getattr(weeks, name)
    return found


def _keeps_easy_share(easy: Floats, known: Floats, minutes: Floats, rules: Rules) -> Bools:
    unknown = np.divide(minutes - known, minutes, out=np.ones(minutes.shape), where=minutes > 0)
    share = np.divide(easy, known, out=np.zeros(minutes.shape), where=known > 0)
    return np.asarray((unknown <= rules.easy_share_unknown_most) & (known > 0) & (share >= rules.easy_share))


def _held_base_weeks(held: Codes, looks: Sequence[int], has_record: Sequence[bool]) -> Codes:
    """The count on each Monday; weeks further back than the desk reads fall off."""
    starts: dict[int, list[int]] = {}
    for place, look in enumerate(looks):
        first = max(0, look - _WINDOW_WEEKS)
        start = next((week for week in range(first, look) if has_record[week]), look)
        starts.setdefault(start, []).append(place)
    found = np.zeros((held.shape[0], len(looks)), dtype=np.int16)
    for start, places in starts.items():
        wanted: dict[int, list[int]] = {}
        for place in places:
            wanted.setdefault(looks[place], []).append(place)
        _count_from(held, start, wanted, found)
    return found


def _count_from(held: Codes, start: int, wanted: dict[int, list[int]], found: Codes) -> None:
    count = np.zeros(held.shape[0], dtype=np.int16)
    owed, run = count.copy(), count.copy()
    for week in range(start, max(wanted)):
        count, owed, run = _counted(count, owed, run, held[:, week])
        for place in wanted.get(week + 1, ()):
            found[:, place] = count


def _counted(count: Codes, owed: Codes, run: Codes, code: Codes) -> tuple[Codes, Codes, Codes]:
    is_held, is_missed = code == HELD, code == NOT_HELD
    run = np.where(is_held, 0, run + is_missed).astype(np.int16)
    goes_on = is_held & (owed == 0)
    count = (count + goes_on).astype(np.int16)
    owed = (owed - (is_held & ~goes_on)).astype(np.int16)
    halves, begins_again = (is_missed & (run == weeks) for weeks in (HALVES_AFTER_WEEKS, STARTS_AGAIN_AFTER_WEEKS))
    owed = np.where(halves | (is_missed & (run == BREAK_WEEKS)), HELD_AFTER_BREAK, owed)
    owed = np.where(begins_again, 0, owed).astype(np.int16)
    count = np.where(halves, count // 2, count)
    return np.where(begins_again, 0, count).astype(np.int16), owed, run


def _recent(weeks: Weeks, looks: Sequence[int], rules: Rules) -> tuple[Bools, Bools, Bools]:
    """Held of the last eight, the last four weeks, and their easy share; weeks away are passed over."""
    courses = weeks.held.shape[0]
    eight = np.zeros((courses, _EIGHT), dtype=np.bool_)
    # Weeks that are not there yet have no days, so that four of them are asked for.
    four = {name: np.zeros((courses, _FOUR)) for name in ("days", "minutes", "easy", "known")}
    places = {look: [n for n, other in enumerate(looks) if other == look] for look in looks}
    found = tuple(np.zeros((courses, len(looks)), dtype=np.bool_) for _ in range(3))
    for week in range(max(looks)):
        counts = (weeks.held[:, week] != AWAY)[:, None]
        eight = np.where(counts, _pushed(eight, weeks.held[:, week] == HELD), eight)
        four = {name: np.where(counts, _pushed(one, _of(weeks, name)[:, week]), one) for name, one in four.items()}
        for place in places.get(week + 1, ()):
            found[0][:, place] = eight.sum(axis=1) >= rules.held_of_last_eight
            found[1][:, place] = (four["days"].min(axis=1) >= rules.base_recent_sessions) & (
                four["minutes"].sum(axis=1) / _FOUR >= rules.base_recent_minutes
            )
            easy, known, minutes = (four[name].sum(axis=1) for name in ("easy", "known", "minutes"))
            found[2][:, place] = _keeps_easy_share(easy, known, minutes, rules)
    return found[0], found[1], found[2]


def _pushed(row: NDArray[Any], newest: NDArray[Any]) -> NDArray[Any]:
    return np.concatenate([row[:, 1:], newest[:, None]], axis=1)


def _has_gap(outings: Bools, looks: Sequence[int], gap_days: int) -> Bools:
    """Whether so many days less one lie empty together in the six weeks before each Monday.

    The window's first day and the Monday itself stand for outings, as in `promotion_practice`.
    """
    padded = np.pad(outings, ((0, 0), (_GAP_WINDOW_DAYS, 0)))
    empty = gap_days - 1
    done = np.cumsum(np.pad(padded, ((0, 0), (1, 0))), axis=1, dtype=np.int32)
    # ends[:, d]: the days up to d are empty, so many of them.
    ends = np.zeros(padded.shape, dtype=np.int32)
    ends[:, empty - 1 :] = done[:, empty:] == done[:, : done.shape[1] - empty]
    summed = np.cumsum(np.pad(ends, ((0, 0), (1, 0))), axis=1, dtype=np.int32)
    mondays = np.array(looks) * DAYS_IN_WEEK + _GAP_WINDOW_DAYS
    return np.asarray(summed[:, mondays] > summed[:, mondays - _GAP_WINDOW_DAYS + empty])


def _adherence(weeks: Weeks, looks: Sequence[int], rules: Rules) -> Bools:
    found = np.zeros((weeks.held.shape[0], len(looks)), dtype=np.bool_)
    for place, look in enumerate(looks):
        last = slice(max(0, look - _EIGHT), look)
        planned = weeks.planned_counted[:, last].sum(axis=1)
        done = weeks.done_counted[:, last].sum(axis=1)
        share = np.divide(done, planned, out=np.zeros(done.shape), where=planned > 0)
        found[:, place] = (planned > 0) & (share >= rules.adherence_least)
    return found
