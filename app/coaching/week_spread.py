"""One week's easy minutes over the client's days: slots kept, the days apart, one longest outing."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from functools import lru_cache
from itertools import combinations

from app.coaching.people import AvailableDay
from app.coaching.weeks import DAYS_IN_WEEK

#: Common practice, no published source: how long an outing is, and on how many days one trains.
SHORTEST_OUTING_MIN = 20
USUAL_OUTING_MIN = 40
USUAL_DAYS = 3
#: The longest outing of a week against an even share (house choice).
LONGEST_SHARE = 1.25
#: Minutes are handed out in steps of five, so that a plan reads like a plan (house choice).
STEP_MIN = 5


def slots_of(days: Sequence[AvailableDay]) -> dict[int, int]:
    """Longest slot in minutes by weekday."""
    return {day.weekday: day.minutes for day in sorted(days, key=lambda d: d.weekday) if day.minutes > 0}


def spread_minutes(
    total: int, slots: Mapping[int, int], longest: int, *, fewest_days: Sequence[int] = ()
) -> dict[int, int]:
    """Minutes by weekday: as many days as the total needs, one longest outing, no slot overrun.

    Days in `fewest_days` are kept, as far as each has an outing. Of the days that could be taken, in this order:
    those that hold most of the total, those with the fewest minutes on neighbouring days (Sunday and Monday are
    neighbours), those furthest apart, those with the longest slots, the earliest. One outing may lack up to five
    minutes of the shortest where the others are as long as they may be. What does not fit is left out: compare the
    sum with the total.
    """
    kept = tuple(sorted(day for day in fewest_days if day in slots))
    return dict(_spread(total, tuple(sorted(slots.items())), longest, kept))


@lru_cache(maxsize=8192)
def _spread(
    total: int, slots: tuple[tuple[int, int], ...], longest: int, kept: tuple[int, ...]
) -> tuple[tuple[int, int], ...]:
    room = dict(slots)
    wished = max(min(len(room), max(USUAL_DAYS, math.ceil(total / USUAL_OUTING_MIN))), len(kept))
    first = next(count for count in range(wished, 0, -1) if _ways(total, room, kept, count))
    best: dict[int, int] = {}
    for count in range(first, len(room) + 1):
        ways = _ways(total, room, kept, count, spare=0 if count == first else STEP_MIN)
        spreads = [_fill(total, {day: min(room[day], longest) for day in days}) for days in ways]
        best = min([best, *spreads], key=lambda spread: _worth(spread, room))
        if sum(best.values()) >= total:
            break
    return tuple(sorted(best.items()))


def _ways(
    total: int, room: Mapping[int, int], kept: Collection[int], count: int, *, spare: int = 0
) -> list[tuple[int, ...]]:
    """So many of the days, the kept ones first, each with minutes for an outing; a single day always has them."""
    chosen = (days for days in combinations(room, count) if set(kept) <= set(days) or set(days) < set(kept))
    return [days for days in chosen if count == 1 or sum(least_of(room[day]) for day in days) <= total + spare]


def least_of(slot: int) -> int:
    """The shortest outing of a day: 20 minutes, or all of a day that has less."""
    return min(SHORTEST_OUTING_MIN, slot)


def _worth(spread: Mapping[int, int], room: Mapping[int, int]) -> tuple[object, ...]:
    days = sorted(spread)
    return (
        -sum(spread.values()),
        back_to_back(spread),
        -min((_apart(a, b) for a, b in combinations(days, 2)), default=DAYS_IN_WEEK),
        -sum(room[day] for day in days),
        tuple(days),
    )


def back_to_back(spread: Mapping[int, int]) -> int:
    """Minutes that stand side by side: of each two neighbouring days the smaller, over the week's end too."""
    return sum(min(minutes, spread.get((day + 1) % DAYS_IN_WEEK, 0)) for day, minutes in spread.items())


def _apart(day: int, other: int) -> int:
    gap = abs(day - other)
    return min(gap, DAYS_IN_WEEK - gap)


def _fill(total: int, caps: Mapping[int, int]) -> dict[int, int]:
    longest_day = max(caps, key=lambda day: (caps[day], -_neighbours(day, caps), day))
    left_for_one = total - sum(least_of(cap) for day, cap in caps.items() if day != longest_day)
    share = min(math.floor(total / len(caps) * LONGEST_SHARE), max(left_for_one, total // len(caps)))
    least = {day: least_of(cap) for day, cap in caps.items()}
    minutes = least if sum(least.values()) <= total else dict.fromkeys(caps, 0)
    minutes[longest_day] = min(caps[longest_day], share - share % STEP_MIN, total)
    for unit in (STEP_MIN, 1):
        while sum(minutes.values()) + unit <= total:
            room = [day for day in minutes if minutes[day] + unit <= caps[day]]
            if not room:
                break
            minutes[min(room, key=lambda day: (minutes[day], day))] += unit
    return {day: amount for day, amount in minutes.items() if amount > 0}


def _neighbours(day: int, days: Mapping[int, int]) -> int:
    return sum(_apart(day, other) == 1 for other in days)
