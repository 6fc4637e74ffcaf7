"""Whether two hard days stand too close, as the morning, Today and their words take it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.hard_work import FORTNIGHT_DAYS, HardDay, hard_done
from app.coaching.history import History
from app.coaching.lookahead_hard import interval_weeks_until
from app.coaching.people import age_on
from app.coaching.planner_intervals import HOURS_A_DAY, spacing_hours
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules


@dataclass(frozen=True, slots=True)
class TooSoon:
    """A hard day too close to the one before it."""

    earlier: HardDay
    later: HardDay
    hours: int
    needed: float


def too_soon(history: History, earlier: HardDay, later: HardDay, rules: Rules) -> TooSoon | None:
    """The later hard day with the hours that lack; None when it comes late enough.

    Source: common practice, no published source.
    """
    age = age_on(history.client.born_on, later.on)
    needed = spacing_hours(age=age, interval_weeks=interval_weeks_until(history, later.on), rules=rules)
    hours = (later.on - earlier.on).days * HOURS_A_DAY
    return TooSoon(earlier, later, hours, needed) if hours < needed else None


def too_soon_after_done(history: History, session: PlannedSession, today: date, rules: Rules) -> TooSoon | None:
    """The same for today's planned session after the hard work really done before it, whatever was planned."""
    if not session.is_hard:
        return None
    own = {log.id for log in history.logs if log.planned_session_id == session.id}
    done = hard_done(history, rules, since_on=today - timedelta(days=FORTNIGHT_DAYS))
    before = [day for day in done if day.on <= today and day.record_id not in own]
    if not before:
        return None
    return too_soon(history, before[-1], HardDay(today, session.title, False, session.id), rules)


def too_soon_words(found: TooSoon) -> str:
    """What the client reads before the session."""
    when = "today already" if found.hours == 0 else f"on {found.earlier.on:%A}"
    return (
        f"You did hard work {when}, and {found.needed:g} hours belong between two hard sessions: this one waits "
        "until your coach has looked."
    )
