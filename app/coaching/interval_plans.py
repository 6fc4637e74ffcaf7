"""The plans an interval block can be: the nearest to what is wished first, and what each gives up."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import StrEnum
from itertools import combinations, pairwise

from app.coaching.hard_days import HardAsked, Obstacle, Placed, hard_dates, obstacles, place_hard_days
from app.coaching.people import AvailableDay, Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.planner_intervals import (
    HOURS_A_DAY,
    OLDER_FROM,
    ROUNDS_AFRESH_FROM_DAYS,
    ROUNDS_EASED_FROM_DAYS,
    IntervalWishes,
    ceiling_of,
    interval_weeks,
    refuse_nonsense,
    shortest_minutes,
    spacing_hours,
)
from app.coaching.rules import Rules
from app.coaching.time_away import Possible, WayBack, possible_on, slots_in_week, ways_back
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import slots_of
from app.coaching.weeks import DAYS_IN_WEEK, week_days
from app.coaching.words import counted, short_day, short_days

#: Easy outings that come before the first rounds after some days off (common practice, no published source).
EASY_BEFORE_ROUNDS = 2
#: Days named one by one before the rest is counted.
_DAYS_NAMED = 3


class PlanKey(StrEnum):
    """Which of the plans it is."""

    NEAREST = "nearest"
    TICKED_DAYS = "ticked_days"
    SAME_DAYS = "same_days"
    ONE_A_WEEK = "one_a_week"


PLAN_TITLES = {
    PlanKey.NEAREST: "As many hard sessions as the rules allow",
    PlanKey.TICKED_DAYS: "Only on the days ticked",
    PlanKey.SAME_DAYS: "The same days every week",
    PlanKey.ONE_A_WEEK: "One a week",
}


@dataclass(frozen=True, slots=True)
class IntervalPlan:
    """One way to write the block."""

    key: PlanKey
    weeks: tuple[WeekDraft, ...]
    #: In sentences: what is wished and not met; empty when all of it is.
    gives_up: tuple[str, ...]
    #: In sentences: which rule stands in the way.
    because: tuple[str, ...]


def interval_block(wishes: IntervalWishes, *, days: Sequence[AvailableDay], rules: Rules) -> tuple[WeekDraft, ...]:
    """The weeks of the nearest plan alone. Raises: as `interval_plans`."""
    refuse_nonsense(wishes)
    asked = hard_asked(wishes, days=days, rules=rules)
    return _weeks(wishes, asked, place_hard_days(asked), days, rules)


def interval_plans(wishes: IntervalWishes, *, days: Sequence[AvailableDay], rules: Rules) -> tuple[IntervalPlan, ...]:
    """The nearest plan by the order of `hard_days`; where it gives something up, others that give up something else.

    Raises: DomainError for a phase without hard work, no hard day, or a block that does not start on a Monday.
    """
    refuse_nonsense(wishes)
    asked = hard_asked(wishes, days=days, rules=rules)
    nearest = place_hard_days(asked)
    found = [(PlanKey.NEAREST, asked, nearest)]
    if any(nearest.cost):
        found += [(key, other, place_hard_days(other)) for key, other in _others(asked, wishes)]
    seen: dict[tuple[tuple[int, ...], ...], IntervalPlan] = {}
    for key, other, placed in found:
        if placed.weekdays not in seen:
            # What is given up is told against the wishes as they were, not against what a plan asks for itself.
            plan = replace(asked, open_days=other.open_days)
            weeks = _weeks(wishes, plan, placed, days, rules)
            seen[placed.weekdays] = IntervalPlan(key, weeks, _gives_up(asked, placed), _because(plan, placed))
    return tuple(seen.values())


def hard_asked(wishes: IntervalWishes, *, days: Sequence[AvailableDay], rules: Rules) -> HardAsked:
    """What the search is asked: the days that can hold a hard session, week by week, and the rules as days."""
    mondays = [wishes.starts_on + timedelta(weeks=week) for week in range(wishes.weeks)]
    back = ways_back(wishes.life.away)
    slots, least = slots_of(days), shortest_minutes(wishes)
    end = wishes.starts_on + timedelta(weeks=wishes.weeks)
    away = {day for monday in mondays for day in week_days(monday) if possible_on(wishes.life.away, day)}
    return HardAsked(
        starts_on=wishes.starts_on,
        wanted=tuple(0 if _is_easy_only(back.get(monday)) else wishes.most_a_week for monday in mondays),
        open_days=tuple(_open_days(wishes, monday, slots, least, back.get(monday)) for monday in mondays),
        wished=frozenset(wishes.hard_weekdays),
        fixed=tuple(sorted({day for day in wishes.hard_there if day < end + timedelta(weeks=2)})),
        spacing_days=tuple(_spacing_days(wishes, week, rules) for week in range(wishes.weeks + 2)),
        ceiling=ceiling_of(wishes.phase, rules),
        gap_days=rules.hard_gap_days,
        away=frozenset(away),
    )


def _is_easy_only(back: WayBack | None) -> bool:
    """Whether a week after days off holds no rounds: from 10 days off, but for the last week back from under 14."""
    if back is None or back.days_off < ROUNDS_EASED_FROM_DAYS:
        return False
    return back.days_off >= ROUNDS_AFRESH_FROM_DAYS or not back.is_last


def _spacing_days(wishes: IntervalWishes, week: int, rules: Rules) -> int:
    """Days between two hard sessions, by the strictest day of a week."""
    sunday = wishes.starts_on + timedelta(weeks=week, days=DAYS_IN_WEEK - 1)
    is_older = wishes.older_from is not None and sunday >= wishes.older_from
    age = OLDER_FROM if is_older else wishes.age
    hours = spacing_hours(age=age, interval_weeks=wishes.weeks_before + week, rules=rules)
    return math.ceil(hours / HOURS_A_DAY)


def _open_days(
    wishes: IntervalWishes, monday: date, slots: dict[int, int], least: int, back: WayBack | None
) -> tuple[int, ...]:
    """Weekdays of a week with the time, the kit and the rest before them that a hard session needs."""
    room = slots_in_week(slots, monday, wishes.life.away)
    modes = dict(wishes.life.mode_by_weekday)
    strength = {(day + after) % DAYS_IN_WEEK for day in wishes.life.strength_weekdays for after in (0, 1)}
    first = _first_after_days_off(monday, room, back)
    found = []
    for day in sorted(room):
        on = monday + timedelta(days=day)
        is_own_way = modes.get(day, wishes.mode) == wishes.mode or day in wishes.hard_weekdays
        is_on_foot = possible_on(wishes.life.away, on) is Possible.WALKING and wishes.mode is not Mode.WALK
        is_held = day in strength or on in wishes.blocked or on < first
        if room[day] >= least and is_own_way and not is_on_foot and not is_held:
            found.append(day)
    return tuple(found)


def _first_after_days_off(monday: date, room: Iterable[int], back: WayBack | None) -> date:
    """The first day of a week that may be hard: after days off two easy outings come first."""
    if back is None or back.days_off >= ROUNDS_EASED_FROM_DAYS:
        return monday
    days = sorted(room)
    return monday + timedelta(days=days[EASY_BEFORE_ROUNDS] if len(days) > EASY_BEFORE_ROUNDS else DAYS_IN_WEEK)


def _others(asked: HardAsked, wishes: IntervalWishes) -> list[tuple[PlanKey, HardAsked]]:
    """Narrower questions: only the ticked days, the same days each week, one session a week."""
    ticked = tuple(tuple(day for day in week if day in asked.wished) for week in asked.open_days)
    found = [(PlanKey.TICKED_DAYS, replace(asked, open_days=ticked))]
    if same := _same_days(asked, wishes.most_a_week):
        found.append((PlanKey.SAME_DAYS, same))
    if wishes.most_a_week > 1:
        found.append((PlanKey.ONE_A_WEEK, replace(asked, wanted=tuple(min(1, count) for count in asked.wanted))))
    return found


def _same_days(asked: HardAsked, most: int) -> HardAsked | None:
    """The question narrowed to the best set of weekdays that stays the same all through."""
    every = sorted({day for week in asked.open_days for day in week})
    sets = [days for count in range(1, most + 1) for days in combinations(every, count)]
    narrowed = [
        replace(asked, open_days=tuple(tuple(day for day in week if day in days) for week in asked.open_days))
        for days in sets
    ]
    return min(narrowed, key=lambda one: (place_hard_days(one).cost, one.open_days), default=None)


def _gives_up(asked: HardAsked, placed: Placed) -> tuple[str, ...]:
    chosen = hard_dates(asked, placed)
    said = []
    wanted, there = sum(asked.wanted), len(chosen) + _standing_inside(asked)
    if there < wanted:
        said.append(f"{wanted - there} of {counted(wanted, 'hard session')} left out")
    long = _longest_gap(asked, chosen)
    if long > asked.gap_days:
        said.append(f"{long} days between two hard sessions, where {asked.gap_days} are the most")
    elsewhere = [day for day in chosen if day.weekday() not in asked.wished]
    if elsewhere:
        names = " and ".join(WEEKDAYS[day] for day in sorted({one.weekday() for one in elsewhere}))
        said.append(f"{len(elsewhere)} on a day not ticked ({names})")
    if placed.cost.moved:
        said.append(f"the day changes {counted(placed.cost.moved, 'time')}")
    return tuple(said)


def _standing_inside(asked: HardAsked) -> int:
    """Hard sessions that stand in the block already, as far as its weeks ask for them."""
    inside = [0] * len(asked.wanted)
    for day in asked.fixed:
        week = (day - asked.starts_on).days // DAYS_IN_WEEK
        if 0 <= week < len(inside):
            inside[week] += 1
    return sum(min(there, wanted) for there, wanted in zip(inside, asked.wanted, strict=True))


def _longest_gap(asked: HardAsked, chosen: Sequence[date]) -> int:
    end = asked.starts_on + timedelta(weeks=len(asked.wanted))
    days = sorted({*chosen, *(day for day in asked.fixed if asked.starts_on <= day < end)})
    gaps = [
        (later - earlier).days
        for earlier, later in pairwise([*days, end] if days else [])
        if not any(earlier < day < later for day in asked.away)
    ]
    return max(gaps, default=0)


def _short_weeks(asked: HardAsked, placed: Placed) -> dict[int, list[tuple[str, int, str]]]:
    """By week that has fewer than it asks for: what keeps the rest away, as rule, weekday and sentence."""
    found = {}
    for week, weekdays in enumerate(placed.weekdays):
        monday = asked.starts_on + timedelta(weeks=week)
        standing = sum(monday <= day < monday + timedelta(weeks=1) for day in set(asked.fixed))
        if len(weekdays) + standing >= asked.wanted[week]:
            continue
        told = [_obstacle_words(asked, one, monday) for one in obstacles(asked, placed, week)]
        found[week] = told or [
            ("none", 0, f"Week of {short_day(monday)}: no day left has the time and the rest for it.")
        ]
    return found


def _because(asked: HardAsked, placed: Placed) -> tuple[str, ...]:
    """Which rules keep the sessions left out away, each once for a weekday."""
    said: dict[tuple[str, int], str] = {}
    for told in _short_weeks(asked, placed).values():
        for kind, weekday, words in told:
            said.setdefault((kind, weekday), words)
    return tuple(said.values())[:_DAYS_NAMED]


def _weeks(
    wishes: IntervalWishes, asked: HardAsked, placed: Placed, days: Sequence[AvailableDay], rules: Rules
) -> tuple[WeekDraft, ...]:
    """The weeks of a plan; one that leaves a session out says why, and the first what the phase allows."""
    weeks = list(interval_weeks(wishes, placed.weekdays, days=days, rules=rules))
    for week, told in _short_weeks(asked, placed).items():
        words = f"A hard session is left out: {told[0][2]}"
        weeks[week] = replace(weeks[week], said=(*weeks[week].said, words))
    if len(set(wishes.hard_weekdays)) > wishes.most_a_week:
        most = "Two hard sessions" if wishes.most_a_week > 1 else "One hard session"
        words = f"{most} a week in this phase; the days ticked are there to choose from."
        weeks[0] = replace(weeks[0], said=(words, *weeks[0].said))
    return tuple(weeks)


def _obstacle_words(asked: HardAsked, one: Obstacle, monday: date) -> tuple[str, int, str]:
    on = monday + timedelta(days=one.weekday)
    if one.too_near is not None:
        hours = abs((on - one.too_near).days) * HOURS_A_DAY
        needed = one.needed_days * HOURS_A_DAY
        words = f"{short_day(on)} is {hours} h from {short_day(one.too_near)}; {needed} h are needed."
        return "spacing", one.weekday, words
    words = f"{short_day(on)} would be one of {one.in_fortnight} in 14 days; {asked.ceiling} is full."
    return "ceiling", one.weekday, words


def days_words(weeks: Sequence[WeekDraft]) -> str:
    """The hard days of a plan's first weeks, for telling plans apart."""
    days = [
        week.starts_on + timedelta(days=session.weekday)
        for week in weeks
        for session in week.sessions
        if session.is_hard
    ]
    if len(days) <= 2 * _DAYS_NAMED:
        return short_days(days) if days else "no hard day"
    return f"{short_days(days[: 2 * _DAYS_NAMED])} and {len(days) - 2 * _DAYS_NAMED} more"
