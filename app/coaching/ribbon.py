"""The ribbon: fourteen days back, today and seven ahead, one value a day, and the same in words."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance, is_hard
from app.coaching.effort import Band
from app.coaching.facts import Facts
from app.coaching.history import History
from app.coaching.matching import Pair, Status, WeekComparison, compare_weeks, planned_band
from app.coaching.rules import Rules
from app.coaching.training_weeks import away_days
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day, short_days

DAYS_BACK = 14
DAYS_AHEAD = 7
_ORDER = (Band.EASY, Band.MIDDLE, Band.HARD)


@dataclass(frozen=True, slots=True)
class RibbonDay:
    """One column of the ribbon; strength is left out."""

    day: date
    planned_minutes: int
    done_minutes: float
    #: The hardest band planned and done that day; None: nothing, or not known.
    planned_band: Band | None
    done_band: Band | None
    is_hard: bool
    extra_minutes: float
    #: The day a session done here was planned for.
    moved_from: date | None
    #: A planned session in the past that nobody has answered.
    is_unknown: bool
    is_rest: bool
    is_paused: bool
    is_today: bool
    is_ahead: bool

    @property
    def is_extra(self) -> bool:
        """Whether something was done that was not planned."""
        return self.extra_minutes > 0


@dataclass(frozen=True, slots=True)
class Ribbon:
    """The days in order and what they say in words."""

    days: tuple[RibbonDay, ...]
    text: str


def ribbon(
    history: History,
    today: date,
    rules: Rules,
    *,
    facts: Facts | None = None,
    compared: Sequence[WeekComparison] = (),
) -> Ribbon:
    """The ribbon of one client around their own today; facts and weeks compared already are taken as they are."""
    first, last = today - timedelta(days=DAYS_BACK), today + timedelta(days=DAYS_AHEAD)
    return ribbon_between(history, first, last, today, rules, facts=facts, compared=compared)


def ribbon_between(
    history: History,
    first: date,
    last: date,
    today: date,
    rules: Rules,
    *,
    facts: Facts | None = None,
    compared: Sequence[WeekComparison] = (),
) -> Ribbon:
    """The same grammar for any stretch of days, as known today."""
    monday = week_start(first)
    mondays = [monday + timedelta(weeks=n) for n in range((last - monday).days // 7 + 1)]
    there = {week.monday: week for week in compared if week.monday in mondays}
    missing = [one for one in mondays if one not in there]
    weeks = [*there.values(), *compare_weeks(history, missing, today, rules, facts=facts)]
    of_day: defaultdict[date, list[Pair]] = defaultdict(list)
    for pair in (one for week in weeks for one in week.pairs if not one.is_strength):
        for day in _days_of(pair):
            of_day[day].append(pair)
    all_days = [first + timedelta(days=n) for n in range((last - first).days + 1)]
    resting = away_days(history, all_days)
    days = tuple(_day(day, today, of_day[day], rules, is_resting=day in resting) for day in all_days)
    return Ribbon(days, _in_words(days))


def _days_of(pair: Pair) -> set[date]:
    """The day it was planned for and the day it was done on."""
    planned = {pair.planned.planned_on} if pair.planned is not None else set()
    return planned | {pair.log.done_on} if pair.log is not None else planned


def week_ribbons(history: History, mondays: Sequence[date], today: date, rules: Rules) -> tuple[Ribbon, ...]:
    """The ribbons of some weeks, Monday to Sunday, cheaper than one at a time."""
    if not mondays:
        return ()
    days = ribbon_between(history, min(mondays), max(mondays) + timedelta(days=6), today, rules).days
    weeks = ([one for one in days if week_start(one.day) == monday] for monday in mondays)
    return tuple(Ribbon(tuple(week), _week_in_words(week)) for week in weeks)


def _week_in_words(days: Sequence[RibbonDay]) -> str:
    return " ".join(f"{short_day(one.day)}: {_day_words(one)}." for one in days)


def _day_words(one: RibbonDay) -> str:
    planned = [f"{one.planned_minutes} min planned"] if one.planned_minutes else []
    done = [f"{round(one.done_minutes)} min done"] if one.done_minutes else []
    parts = [*planned, *done, *(["hard"] if one.is_hard else []), *(["paused"] if one.is_paused else [])]
    return ", ".join(parts) or "rest"


def _day(day: date, today: date, pairs: Sequence[Pair], rules: Rules, *, is_resting: bool) -> RibbonDay:
    """One day; it rests when everything is paused: agreed leave, or a hold on all training."""
    planned = [p for p in pairs if p.planned is not None and p.planned.planned_on == day]
    done = [p for p in pairs if p.log is not None and p.log.done_on == day and done_minutes(p.log) > 0]
    minutes = sum(done_minutes(p.log) for p in done if p.log is not None and is_endurance(p.log))
    extra = sum(done_minutes(p.log) for p in done if p.log is not None and p.status is Status.EXTRA)
    is_paused = any(p.status is Status.PAUSED for p in planned) or is_resting
    was_hard = any(is_hard(p.log, p.planned, rules) for p in done if p.log is not None)
    return RibbonDay(
        day=day,
        planned_minutes=sum(p.planned.minutes for p in planned if p.planned is not None),
        done_minutes=minutes,
        planned_band=_hardest([planned_band(p.planned) for p in planned if p.planned is not None]),
        done_band=Band.HARD if was_hard else _hardest([p.done_band for p in done]),
        is_hard=was_hard or (day >= today and not done and any(p.planned and p.planned.is_hard for p in planned)),
        extra_minutes=extra,
        moved_from=next((p.moved_from for p in done if p.moved_from is not None), None),
        is_unknown=not done and any(p.status is Status.NOT_LOGGED for p in planned),
        is_rest=not planned and not done and not is_paused,
        is_paused=is_paused,
        is_today=day == today,
        is_ahead=day > today,
    )


def _hardest(bands: Sequence[Band | None]) -> Band | None:
    known = [band for band in bands if band is not None]
    return max(known, key=_ORDER.index, default=None)


def _in_words(days: Sequence[RibbonDay]) -> str:
    past = [day for day in days if not day.is_ahead and not day.is_today]
    ahead = [day for day in days if day.is_ahead or day.is_today]
    done = "".join(_done_today_words(day) for day in days if day.is_today and day.done_minutes > 0)
    return f"{_past_words(past)}{done} {_ahead_words(ahead)}"


def _done_today_words(day: RibbonDay) -> str:
    return f" Done today: {round(day.done_minutes)} min{', hard' if day.is_hard else ''}."


def _past_words(past: Sequence[RibbonDay]) -> str:
    active = [day for day in past if day.done_minutes > 0]
    minutes = round(sum(day.done_minutes for day in active))
    hard = [day for day in active if day.is_hard]
    parts = [f"{len(active)} of the last {len(past)} days with training, {minutes} min"]
    parts.append(f"{len(hard)} hard ({short_days(d.day for d in hard)})" if hard else "none hard")
    unknown = [day for day in past if day.is_unknown]
    parts += [f"not logged {short_days(d.day for d in unknown)}"] if unknown else []
    parts += [
        f"moved from {short_day(day.moved_from)} to {short_day(day.day)}"
        for day in past
        if day.moved_from is not None
    ]
    extra = [day for day in past if day.is_extra]
    parts += [f"extra {short_days(d.day for d in extra)}"] if extra else []
    paused = [day for day in past if day.is_paused]
    parts += [f"{counted(len(paused), 'day')} paused"] if paused else []
    return "; ".join(parts) + "."


def _ahead_words(ahead: Sequence[RibbonDay]) -> str:
    if any(day.is_paused for day in ahead if day.is_today):
        return "Paused today."
    planned = [day for day in ahead if day.planned_minutes > 0]
    if not planned:
        return "Nothing planned from today on."
    minutes = sum(day.planned_minutes for day in planned)
    hard = [day for day in planned if day.is_hard and not day.done_minutes]
    words = f"From today: {counted(len(planned), 'day')} planned, {minutes} min"
    return f"{words}, hard {short_days(d.day for d in hard)}." if hard else f"{words}, none hard."
