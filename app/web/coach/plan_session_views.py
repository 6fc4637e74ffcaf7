"""The versions of a planned session, ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import local_day
from app.usecases.plan_sessions.opening import SessionPage
from app.web.coach.plan_session_form import COMPARED, in_words, initial_values
from app.web.filters import clock, day_year, minutes


@dataclass(frozen=True, slots=True)
class VersionView:
    """One version in the list of versions."""

    number: int
    on: date
    title: str
    minutes: str
    author: str
    at: str
    state: str
    reason: str | None
    is_start_of_day: bool
    seen: str


@dataclass(frozen=True, slots=True)
class DifferenceView:
    """One field of a stale edit: as opened, as it is now, as typed; None where nothing was typed."""

    label: str
    before: str
    now: str
    typed: str | None = None


def differences(before: PlannedSession, now: PlannedSession) -> tuple[DifferenceView, ...]:
    """What changed between two versions, field by field."""
    was, new = initial_values(before), initial_values(now)
    rows = [DifferenceView(label, in_words(name, was[name]), in_words(name, new[name])) for name, label in COMPARED]
    gone = [DifferenceView("Takes place", "yes", "cancelled")] if now.is_cancelled and not before.is_cancelled else []
    return (*gone, *(row for row in rows if row.before != row.now))


def version_views(page: SessionPage) -> tuple[VersionView, ...]:
    """The versions of a session, newest first."""
    return tuple(
        VersionView(
            number=line.session.version,
            on=line.session.planned_on,
            title=line.session.title,
            minutes=minutes(line.session.minutes),
            author=line.author,
            at=_when(line.session, page),
            state=_state(line.session),
            reason=line.session.reason,
            is_start_of_day=line.is_start_of_day,
            seen="seen by the client" if line.session.seen_at else "",
        )
        for line in reversed(page.versions)
    )


def _when(session: PlannedSession, page: SessionPage) -> str:
    zone = page.client.zone
    at = session.created_at.astimezone(page.zone)
    return f"{day_year(local_day(session.created_at, zone))}, {clock(at)}"


def _state(session: PlannedSession) -> str:
    if session.is_cancelled:
        return "cancelled" if session.published_at else "dropped"
    return "published" if session.published_at else "draft"
