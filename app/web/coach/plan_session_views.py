"""The versions of a planned session, ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import local_day
from app.usecases.plan_sessions.opening import SessionPage
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
