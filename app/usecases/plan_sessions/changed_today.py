"""What a person eased, or moved off today, this day: said at the foot of the morning with its way back."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import local_day, start_of_day
from app.storage import audit, prescriptions
from app.usecases.plan_sessions.changing import may_take_easy_back

EASED, MOVED = "eased", "moved"


@dataclass(frozen=True, slots=True)
class ChangedToday:
    """One session of today that was made easy or moved to another day, as it stands now."""

    session: PlannedSession
    #: EASED or MOVED.
    how: str
    #: What stood on today before.
    title_before: str


def changed_today(db: Session, *, actor: Actor, zone: str, now: datetime) -> tuple[ChangedToday, ...]:
    """What a person made easy or moved off today and nobody has changed since, newest first."""
    today = local_day(now, zone)
    told = audit.entries_by(
        db,
        person_id=actor.person_id,
        subject="planned session",
        actions=(EASED, MOVED),
        since=start_of_day(today, zone),
    )
    versions: dict[int, list[PlannedSession]] = {}
    ids = [one.subject_id for one in told if one.subject_id is not None]
    for version in prescriptions.versions_of(db, planned_session_ids=ids):
        versions.setdefault(version.id, []).append(version)
    found: dict[int, ChangedToday] = {}
    for entry in told:
        before = json.loads(entry.change_json)["before"]
        some = versions.get(entry.subject_id or 0, [])
        if some and some[-1].id not in found and before["on"] == today.isoformat():
            found[some[-1].id] = ChangedToday(some[-1], entry.action, before["title"])
    return tuple(one for one in found.values() if _stands(one, versions[one.session.id]))


def _stands(one: ChangedToday, versions: list[PlannedSession]) -> bool:
    newest, before = versions[-1], versions[-2:-1]
    if one.how == EASED:
        return may_take_easy_back(versions, newest.planned_on)
    return not newest.is_cancelled and bool(before) and before[0].planned_on != newest.planned_on
