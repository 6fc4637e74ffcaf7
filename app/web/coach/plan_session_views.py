"""The versions of a planned session, ready to print."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.prescriptions import PlannedSession
from app.coaching.target_words import aim_in_short
from app.coaching.weeks import local_day
from app.usecases.plan_sessions.opening import SessionPage
from app.web.coach.plan_session_form import COMPARED, in_words, initial_values, typed_words
from app.web.filters import clock, day_year, minutes
from app.web.forms import Fields


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
    rows.append(target_difference(before, now))
    gone = [DifferenceView("Takes place", "yes", "cancelled")] if now.is_cancelled and not before.is_cancelled else []
    return (*gone, *(row for row in rows if row.before != row.now))


def stale_differences(before: PlannedSession, now: PlannedSession, fields: Fields) -> tuple[DifferenceView, ...]:
    """The fields that a stale edit met otherwise than they were opened, or that were typed anew."""
    was, new = initial_values(before), initial_values(now)
    rows = tuple(
        DifferenceView(label, in_words(name, was[name]), in_words(name, new[name]), typed_words(fields, name))
        for name, label in COMPARED
    )
    changed = tuple(row for row in rows if not row.before == row.now == row.typed)
    target = target_difference(before, now, typed="")
    return changed if target.before == target.now else (*changed, target)


def target_difference(before: PlannedSession, now: PlannedSession, typed: str | None = None) -> DifferenceView:
    """The target of two versions; it is no field of the form, so nothing is ever typed there."""
    was, new = aim_in_short(before), aim_in_short(now)
    if new and was == new and before.target_json != now.target_json:
        new = f"{new.removesuffix('.')}, with another range or basis"
    return DifferenceView("Target", was or "none", new or "none", typed)


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
