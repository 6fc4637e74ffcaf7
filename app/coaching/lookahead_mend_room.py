"""Where a session could go: days that hold nothing, and days with the time for it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from app.coaching.done_work import is_endurance
from app.coaching.lookahead_mend_values import Ahead
from app.coaching.matching import is_on_leave
from app.coaching.prescriptions import PlannedSession

#: A session moves by at most so many days.
MOVED_MOST_DAYS = 13


def free_days(plan: Ahead, session: PlannedSession) -> Iterator[date]:
    """Days from tomorrow on that hold nothing and have room for a session, the nearest first, the later of two."""
    taken = {one.planned_on for one in plan.sessions if one.id != session.id}
    for away in range(1, MOVED_MOST_DAYS + 1):
        for day in (session.planned_on + timedelta(days=away), session.planned_on - timedelta(days=away)):
            if day > plan.today and day not in taken and has_room(plan, session, day):
                yield day


def has_room(plan: Ahead, session: PlannedSession, day: date) -> bool:
    """Whether a day is the client's and long enough; strength takes no slot of its own."""
    if is_on_leave(plan.history.leaves, day):
        return False
    slot = slot_of(plan, day)
    return slot is None or not is_endurance(session) or slot >= session.minutes


def slot_of(plan: Ahead, day: date) -> int | None:
    """Minutes the client has on a day; None while the real week is not known."""
    slots = {one.weekday: one.minutes for one in plan.history.available}
    return slots.get(day.weekday(), 0) if slots else None


def alone_on_its_day(plan: Ahead, session: PlannedSession) -> bool:
    """Whether nothing else is planned on a session's day, nor entered there."""
    day = session.planned_on
    is_entered = any(log.done_on == day for log in plan.history.logs)
    return not is_entered and all(one.planned_on != day for one in plan.sessions if one.id != session.id)
