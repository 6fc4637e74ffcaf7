"""Which days of a block are hard: a small exact search over its weeks.

The rules it never breaks: at least so many days between any two hard sessions, at most the ceiling of them in any 14
days, at most the number asked for in a week, and only on days that can hold one. Hard days that stand already (done,
planned, a test, a race) count for all of these; two of them that break a rule by themselves are not its business.

Of all plans that keep the rules it returns the one with, in this order,

1. the fewest hard sessions left out,
2. the fewest days by which gaps between hard sessions pass the limit, up to the day after the block; a gap with a day
   away in it is explained, and one that was too long before the block began is not the block's,
3. the fewest on days nobody wished for,
4. the fewest that change their weekday from one week to the next,
5. the earliest weekdays, week after week.

The last makes the answer the only one: the same wishes always give the same plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations, pairwise
from typing import NamedTuple

from app.coaching.hard_work import FORTNIGHT_DAYS
from app.coaching.weeks import DAYS_IN_WEEK

#: Days before a Monday that share a fortnight with it.
_BEHIND = FORTNIGHT_DAYS - 1
#: Ways followed for the plan found first; it only says how good the answer must be.
_KEPT_AT_FIRST = 16


class Cost(NamedTuple):
    """What a plan gives up, the worst first; less is better from left to right."""

    left_out: int
    gap_days: int
    unwished: int
    moved: int


@dataclass(frozen=True, slots=True)
class HardAsked:
    """What the search is asked; weeks are counted from the Monday it starts on."""

    starts_on: date
    #: Hard sessions each week asks for, those that stand already included.
    wanted: tuple[int, ...]
    #: By week: the weekdays that can hold a hard session.
    open_days: tuple[tuple[int, ...], ...]
    wished: frozenset[int]
    #: Hard days that stand, before the block and in it.
    fixed: tuple[date, ...]
    #: Days needed between a hard session of each week and the one before it; a later week takes the last.
    spacing_days: tuple[int, ...]
    ceiling: int
    gap_days: int
    #: Days away, which explain a gap.
    away: frozenset[date] = frozenset()

    def needed(self, week: int) -> int:
        """Days needed before a hard session of a week."""
        return self.spacing_days[max(0, min(week, len(self.spacing_days) - 1))]


@dataclass(frozen=True, slots=True)
class Placed:
    """The hard weekdays of each week, those that stand already left out, and what that gives up."""

    weekdays: tuple[tuple[int, ...], ...]
    cost: Cost


_Way = tuple[int, ...]
#: Between two weeks: hard days placed in the last 13 days and the last hard day of all, both counted from the coming
#: Monday, and the weekdays of the last week that had any.
_State = tuple[_Way, int | None, _Way]
_Plain = tuple[int, int, int, int]
_Best = dict[_State, tuple[_Plain, tuple[_Way, ...]]]
#: What follows the recent days in a week: each way that is allowed, and the recent days it leaves.
_Following = dict[_Way, list[tuple[_Way, _Way]]]


def place_hard_days(asked: HardAsked) -> Placed:
    """The best plan there is, see above; it leaves sessions out where the rules leave no day for them.

    Week by week it keeps, of all ways that look alike to the weeks still to come, only the best; and of those only
    what can still end as well as a plan found before by following a few ways. No way that could win is dropped.
    """
    search = _Search(asked)
    first = search.run(keep=_KEPT_AT_FIRST)
    return search.run(most=first.cost)


class _Search:
    """What the weeks of one question share: the ways through each, and what those still to come must cost."""

    def __init__(self, asked: HardAsked) -> None:
        self.asked = asked
        self.known: dict[tuple[object, ...], _Following] = {}
        self.fixed = [_fixed_near(asked, week) for week in range(len(asked.wanted))]
        self.rooms = [
            max(0, wanted - sum(0 <= day < DAYS_IN_WEEK for day in fixed))
            for wanted, fixed in zip(asked.wanted, self.fixed, strict=True)
        ]
        self.least = [self._least_from(week) for week in range(len(asked.wanted) + 1)]

    def _least_from(self, week: int) -> tuple[int, int]:
        """Sessions that are left out at least from a week on, and those on days not wished for if no more are."""
        rooms, opened = self.rooms[week:], self.asked.open_days[week:]
        by_week = sum(max(0, room - len(days)) for room, days in zip(rooms, opened, strict=False))
        fortnights = (len(rooms) + 1) // 2
        left_out = max(by_week, sum(rooms) - self.asked.ceiling * fortnights)
        wished = [len(self.asked.wished & set(days)) for days in opened]
        unwished = sum(max(0, room - there) for room, there in zip(rooms, wished, strict=False))
        return left_out, max(0, unwished - left_out)

    def run(self, *, keep: int | None = None, most: Cost | None = None) -> Placed:
        """The best plan among the ways followed: at most `keep` a week, or all that may cost `most`."""
        states: _Best = {((), _last_before(self.asked), ()): ((0, 0, 0, 0), ())}
        weeks = len(self.asked.wanted)
        for week in range(weeks):
            states = self._next_states(week, states, most)
            if keep is not None and len(states) > keep:
                states = dict(sorted(states.items(), key=lambda one: one[1])[:keep])
        ends = [
            ((left, gap + _gap(self.asked, weeks, last, (0,)), unwished, moved), path)
            for (_, last, _), ((left, gap, unwished, moved), path) in states.items()
        ]
        cost, path = min(ends)
        return Placed(path, Cost(*cost))

    def _following(self, week: int) -> _Following:
        """The ways through a week, shared with every week that stands in the same place."""
        needs = tuple(self.asked.needed(week + n) for n in range(4))
        key = (self.fixed[week], needs, self.rooms[week], self.asked.open_days[week])
        return self.known.setdefault(key, {})

    def _next_states(self, week: int, states: _Best, most: Cost | None) -> _Best:
        following, steps, found = self._following(week), _Steps(self, week), _Best()
        left_least, unwished_least = self.least[week + 1]
        ways = _ways(self.asked, week, self.fixed[week], self.rooms[week])
        for (recent, last, before), ((left, gap, unwished, moved), path) in states.items():
            if recent not in following:
                kept = [way for way in ways if _is_allowed(self.asked, week, recent, self.fixed[week], way)]
                following[recent] = [(way, _behind(recent, way)) for way in kept]
            for way, behind in following[recent]:
                step = steps[last, before, way]
                cost = (left + step[0], gap + step[1], unwished + step[2], moved + step[3])
                if most and (cost[0] + left_least, cost[1], cost[2] + unwished_least, cost[3]) > most:
                    continue
                state = (behind, step[4], step[5])
                best = found.get(state)
                if best is None or cost < best[0] or (cost == best[0] and (*path, way) < best[1]):
                    found[state] = (cost, (*path, way))
        return found


class _Steps(dict[tuple[int | None, _Way, _Way], tuple[int, int, int, int, int | None, _Way]]):
    """By last hard day, weekdays before and days of a week: what the week gives up, and what the next one sees."""

    def __init__(self, search: _Search, week: int) -> None:
        super().__init__()
        self.asked, self.week, self.room = search.asked, week, search.rooms[week]
        self.inside = tuple(day for day in search.fixed[week] if 0 <= day < DAYS_IN_WEEK)

    def __missing__(self, key: tuple[int | None, _Way, _Way]) -> tuple[int, int, int, int, int | None, _Way]:
        last, before, way = key
        hard = tuple(sorted((*way, *self.inside)))
        newest = hard[-1] if hard else last
        self[key] = (
            self.room - len(way),
            _gap(self.asked, self.week, last, hard),
            sum(day not in self.asked.wished for day in way),
            sum(day not in before for day in way) if before else 0,
            None if newest is None else newest - DAYS_IN_WEEK,
            way or before,
        )
        return self[key]


def _behind(recent: _Way, way: _Way) -> _Way:
    return tuple(day - DAYS_IN_WEEK for day in (*recent, *way) if day - DAYS_IN_WEEK >= -_BEHIND)


def _ways(asked: HardAsked, week: int, fixed: Sequence[int], room: int) -> list[tuple[int, ...]]:
    """Every choice of at most so many of the week's open days that keeps its own spacing."""
    days = sorted(day for day in set(asked.open_days[week]) if day not in fixed)
    return [
        way
        for count in range(min(room, len(days)) + 1)
        for way in combinations(days, count)
        if all(later - earlier >= asked.needed(week) for earlier, later in pairwise(way))
    ]


def _is_allowed(asked: HardAsked, week: int, recent: Sequence[int], fixed: Sequence[int], way: Sequence[int]) -> bool:
    """Whether the days of a week keep spacing and ceiling with those before them and those that stand."""
    others = [*recent, *fixed]
    for day in way:
        for other in others:
            later = max(day, other)
            if abs(day - other) < asked.needed(week + later // DAYS_IN_WEEK):
                return False
    together = sorted([*others, *way])
    return all(_fullest(together, day) <= asked.ceiling for day in way)


def _fullest(days: Sequence[int], day: int) -> int:
    """Most hard days in 14 days that hold a day."""
    starts = [first for first in days if day - _BEHIND <= first <= day]
    return max(sum(first <= one < first + FORTNIGHT_DAYS for one in days) for first in starts)


def _gap(asked: HardAsked, week: int, last: int | None, hard: Sequence[int]) -> int:
    """Days by which the gaps up to these hard days pass the limit."""
    over = 0
    for day in hard:
        if last is not None and day - last > asked.gap_days and not _is_away(asked, week, last + 1, day):
            over += day - last - asked.gap_days
        last = day
    return over


def _is_away(asked: HardAsked, week: int, first: int, end: int) -> bool:
    monday = asked.starts_on + timedelta(weeks=week)
    return bool(asked.away) and any(monday + timedelta(days=day) in asked.away for day in range(first, end))


def _last_before(asked: HardAsked) -> int | None:
    """The last hard day before the block, from its Monday; None when its gap is too long already."""
    before = [(day - asked.starts_on).days for day in asked.fixed if day < asked.starts_on]
    return max(before) if before and -max(before) <= asked.gap_days else None


def _fixed_near(asked: HardAsked, week: int) -> tuple[int, ...]:
    """Days that stand within reach of a week, counted from its Monday."""
    monday = asked.starts_on + timedelta(weeks=week)
    days = sorted({(day - monday).days for day in asked.fixed})
    return tuple(day for day in days if -_BEHIND <= day < DAYS_IN_WEEK + FORTNIGHT_DAYS)


def hard_dates(asked: HardAsked, placed: Placed) -> tuple[date, ...]:
    """The days placed, as dates."""
    return tuple(_dates(asked, placed))


def _dates(asked: HardAsked, placed: Placed) -> Iterator[date]:
    for week, weekdays in enumerate(placed.weekdays):
        for day in weekdays:
            yield asked.starts_on + timedelta(weeks=week, days=day)


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Why one more hard session does not fit a week: what stands too near, or how full its 14 days are."""

    weekday: int
    too_near: date | None
    needed_days: int
    in_fortnight: int


def obstacles(asked: HardAsked, placed: Placed, week: int) -> tuple[Obstacle, ...]:
    """For each open day of a week that holds none: what keeps a hard session away from it, wished days first."""
    monday = asked.starts_on + timedelta(weeks=week)
    around = sorted({(day - monday).days for day in (*asked.fixed, *hard_dates(asked, placed))})
    found = []
    for day in sorted(asked.open_days[week], key=lambda one: (one not in asked.wished, one)):
        if day in around:
            continue
        near = [other for other in around if abs(day - other) < asked.needed(week + max(day, other) // DAYS_IN_WEEK)]
        nearest = min(near, key=lambda other: (abs(day - other), other), default=None)
        needed = asked.needed(week if nearest is None else week + max(day, nearest) // DAYS_IN_WEEK)
        too_near = None if nearest is None else monday + timedelta(days=nearest)
        found.append(Obstacle(day, too_near, needed, _fullest(sorted([*around, day]), day)))
    return tuple(found)
