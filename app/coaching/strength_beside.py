"""Strength and balance beside the endurance week: the time they take, the days they fit, and the nearest that do.

Source: strength twice a week, balance from 65 (common practice, no published source); the minutes are house choices.
"""

from __future__ import annotations

import calendar
from collections.abc import Collection, Mapping

from app.coaching.time_away import Life
from app.coaching.week_spread import SHORTEST_OUTING_MIN
from app.coaching.weeks import DAYS_IN_WEEK

#: Strength takes so much of its day.
STRENGTH_MIN = 30
#: Balance belongs to it from this age on, or when the age is unknown.
BALANCE_FROM = 65
_DAY_NAMES = tuple(calendar.day_name)


def has_balance(age: int | None) -> bool:
    """Whether balance exercises go with strength."""
    return age is None or age >= BALANCE_FROM


def slots_beside_strength(slots: Mapping[int, int], life: Life) -> dict[int, int]:
    """What strength leaves of each day; a rest too short for an outing is no slot."""
    left = {day: slot - (STRENGTH_MIN if day in life.strength_weekdays else 0) for day, slot in slots.items()}
    return {day: slot for day, slot in left.items() if slot >= min(SHORTEST_OUTING_MIN, slots[day])}


def nearest_strength_days(slots: Mapping[int, int], life: Life, hard: Collection[int] = ()) -> tuple[int, ...]:
    """The days wished for strength, each that does not fit moved to the nearest that does; empty where nothing moves.

    A day fits that has time for strength and an outing, and neither hard work on it nor on the day after. The earlier
    of two days as near; a wish without a better day stays where it is.
    """
    wished = sorted(set(life.strength_weekdays))
    fits = {
        day
        for day, slot in slots.items()
        if slot >= STRENGTH_MIN + SHORTEST_OUTING_MIN and not {day, (day + 1) % DAYS_IN_WEEK} & set(hard)
    }
    chosen = {day for day in wished if day in fits}
    for day in wished:
        if day not in fits:
            free = sorted(fits - chosen, key=lambda one: (abs(one - day), one))
            chosen.add(free[0] if free else day)
    return tuple(sorted(chosen)) if chosen != set(wished) else ()


def nearest_words(days: Collection[int]) -> str:
    """What the days offered for strength give."""
    named = " and ".join(_DAY_NAMES[day] for day in sorted(days))
    return f"Strength on {named} leaves time for an outing on each of these days."


def taken_words(slots: Mapping[int, int], life: Life) -> list[str]:
    """Which days strength leaves too short for an outing."""
    left = slots_beside_strength(slots, life)
    taken = {
        day: slots[day] - STRENGTH_MIN for day in sorted(set(life.strength_weekdays) & set(slots)) if day not in left
    }
    taken = {day: rest for day, rest in taken.items() if slots[day] >= SHORTEST_OUTING_MIN}
    if not taken:
        return []
    days = " and ".join(_DAY_NAMES[day] for day in taken)
    rests = " and ".join(str(max(0, rest)) for rest in taken.values())
    return [
        f"Strength takes {STRENGTH_MIN} min of {days} and leaves {rests} min there, too short for an outing of "
        f"{SHORTEST_OUTING_MIN}. Strength on another day, or {STRENGTH_MIN + SHORTEST_OUTING_MIN} min on that day, "
        "would keep the outing."
    ]


def without_words(slots: Mapping[int, int], life: Life) -> list[str]:
    """Which of the days wished for have no time for strength."""
    return [
        f"{_DAY_NAMES[day]} has {slots.get(day, 0)} min: no strength there."
        for day in sorted(set(life.strength_weekdays))
        if slots.get(day, 0) < SHORTEST_OUTING_MIN
    ]
