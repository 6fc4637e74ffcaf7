"""What a week may hold on the way back from days off, as the plan and the entries show them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.prescriptions import PlannedSession
from app.coaching.time_away import WAY_BACK
from app.coaching.weeks import DAYS_IN_WEEK, week_start

#: Fewer days without an outing are an ordinary stretch of the week; the row below asks for no smaller week.
LEAST_DAYS = 10


@dataclass(frozen=True, slots=True)
class BackWeek:
    """A week on the way back: after how many days off, the week of the last outing before, and the share of it."""

    days_off: int
    last_week_on: date
    share: float


def back_week(history: History, planned: Sequence[PlannedSession], monday: date, today: date) -> BackWeek | None:
    """How a week stands on the way back from the last long stretch without an outing; None when it does not.

    planned: the endurance sessions around it. Source: common practice, no published source.
    """
    days = {log.done_on for log in history.logs if is_endurance(log) and done_minutes(log) > 0}
    days |= {one.planned_on for one in planned if one.planned_on >= today and not one.is_cancelled}
    until = monday.toordinal() + DAYS_IN_WEEK
    for newer, older in pairwise(sorted((day for day in days if day.toordinal() < until), reverse=True)):
        days_off = (newer - older).days - 1
        if days_off < LEAST_DAYS:
            continue
        shares = next(shares for least, shares in WAY_BACK if days_off >= least)
        number = (monday - week_start(newer)).days // DAYS_IN_WEEK
        return BackWeek(days_off, week_start(older), shares[number]) if 0 <= number < len(shares) else None
    return None
