"""Freeing a day in weeks that have something on each of theirs: moved, put onto the other days, or taken out."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta

from app.coaching.done_work import is_endurance
from app.coaching.entry_ramp import doing_now
from app.coaching.lookahead_mend_room import alone_on_its_day, slot_of
from app.coaching.lookahead_mend_values import Ahead, Changes, Tries, Way
from app.coaching.lookahead_values import Breach
from app.coaching.lookahead_volume import full_weeks, longest_allowed, longest_before
from app.coaching.plan_changes import Change, taken_away
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.shorter import resized
from app.coaching.week_spread import STEP_MIN
from app.coaching.weeks import week_start

#: More full weeks than this are not freed in one go.
_FREED_TOGETHER_MOST = 8
#: So many sessions of a week are tried, the shortest first.
_TRIED_A_WEEK = 4
_OUTING = frozenset({SessionKind.EASY})
_MOVED = frozenset({SessionKind.EASY, SessionKind.STRENGTH})


def _freeing(one_week: Callable[[Ahead, PlannedSession], Changes]) -> Tries:
    """The same way in each full week, one after the other; nothing where one of them has no session for it."""

    def tries(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
        mondays = full_weeks(plan.history, plan.sessions, _mondays(plan, group), plan.today)
        if len(mondays) > _FREED_TOGETHER_MOST:
            return
        for number in range(_TRIED_A_WEEK):
            changes: Changes = ()
            for monday in mondays:
                made = _nth(plan.changed(changes), monday, number, one_week)
                if not made:
                    break
                changes = (*changes, *made)
            else:
                if changes:
                    yield changes

    return tries


def _nth(plan: Ahead, monday: date, number: int, one_week: Callable[[Ahead, PlannedSession], Changes]) -> Changes:
    found = [made for one in _alone(plan, monday) if (made := one_week(plan, one))]
    return found[number] if number < len(found) else found[-1] if found else ()


def _mondays(plan: Ahead, group: Sequence[Breach]) -> list[date]:
    first = min(one.on for one in group)
    return sorted({week_start(one.planned_on) for one in plan.sessions if one.planned_on >= first})


def _alone(plan: Ahead, monday: date) -> list[PlannedSession]:
    """What a day is freed of: easy outings and strength that stand alone on theirs, the shortest first."""
    week = [one for one in plan.sessions if week_start(one.planned_on) == monday and not one.is_cancelled]
    alone = [one for one in week if one.kind in _MOVED and plan.may_change(one) and alone_on_its_day(plan, one)]
    return sorted(alone, key=lambda one: (one.minutes, -one.planned_on.toordinal(), one.id))


def _moved(plan: Ahead, session: PlannedSession) -> Changes:
    """Strength beside an outing of its week; nothing where there is no such day."""
    days = [] if is_endurance(session) else _beside_outings(plan, session)
    return (Change(session, replace(session, planned_on=days[0])),) if days else ()


def _beside_outings(plan: Ahead, strength: PlannedSession) -> list[date]:
    """Days of the week with one easy outing and the time for both, away from hard work, the nearest first."""
    hard = {one.planned_on for one in plan.sessions if one.is_hard}
    found = []
    for one in _outings(plan, week_start(strength.planned_on)):
        day, slot = one.planned_on, slot_of(plan, one.planned_on)
        is_near_hard = day in hard or day + timedelta(days=1) in hard
        others = [other for other in plan.sessions if other.planned_on == day and other.id != one.id]
        has_time = slot is None or slot >= one.minutes + strength.minutes
        if day > plan.today and has_time and not is_near_hard and not others:
            found.append(day)
    return sorted(found, key=lambda day: (abs((day - strength.planned_on).days), day))


def _shared_out(plan: Ahead, session: PlannedSession) -> Changes:
    """The day's minutes onto the other easy outings of the week, the shortest first, as far as they may grow."""
    others = [
        one for one in _outings(plan, week_start(session.planned_on)) if one.id != session.id and plan.may_change(one)
    ]
    minutes = {one.id: one.minutes for one in others}
    room = {one.id: _most(plan, one) for one in others}
    left = session.minutes if session.kind in _OUTING else 0
    while left > 0:
        unit = min(STEP_MIN, left)
        open_ones = [one for one in minutes if minutes[one] + unit <= room[one]]
        if not open_ones:
            return ()
        minutes[min(open_ones, key=lambda one: (minutes[one], one))] += unit
        left -= unit
    try:
        grown = [Change(o, resized(o, minutes[o.id], plan.rules)) for o in others if minutes[o.id] > o.minutes]
    except DomainError:
        return ()
    return (taken_away(session), *grown) if grown else ()


def _outings(plan: Ahead, monday: date) -> list[PlannedSession]:
    week = [one for one in plan.sessions if week_start(one.planned_on) == monday and not one.is_cancelled]
    return [one for one in week if one.kind in _OUTING and is_endurance(one)]


def _most(plan: Ahead, session: PlannedSession) -> int:
    planned = [one for one in plan.sessions if is_endurance(one)]
    before = longest_before(plan.history, planned, session.planned_on, plan.today)
    longest = longest_allowed(before, doing_now(plan.history, plan.today), plan.rules)
    slot = slot_of(plan, session.planned_on)
    most = [one for one in (longest, slot) if one is not None]
    return min(most, default=session.minutes)


def _taken_out(_plan: Ahead, session: PlannedSession) -> Changes:
    return (taken_away(session),)


#: The mildest first.
REST_WAYS: tuple[tuple[Way, Tries], ...] = (
    (Way.MOVE, _freeing(_moved)),
    (Way.SHARE, _freeing(_shared_out)),
    (Way.TAKE_OUT, _freeing(_taken_out)),
)
