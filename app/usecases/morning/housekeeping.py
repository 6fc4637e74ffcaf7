"""The practice's own duties in the morning: copies that are too old, requests about data that wait."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.housekeeping import HouseLine, backup_stale, request_due
from app.coaching.people import Client
from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.files.backup import newest_copy_on
from app.storage import data_requests, practice


def house_lines(
    db: Session, *, actor: Actor, clients: Iterable[Client], data_dir: Path, rules: Rules, now: datetime
) -> tuple[HouseLine, ...]:
    """What waits, the request due first before the copy; one query more however many clients there are.

    clients: those whose records the person may read. Copies are the head coach's, and of invented people nobody
    needs one.
    """
    zones = {one.id: one.zone for one in clients}
    found = [
        request_due(one, local_day(now, zones[one.client_id]))
        for one in data_requests.waiting(db)
        if one.client_id in zones
    ]
    return tuple(one for one in (*found, _copy_line(db, actor, data_dir, rules, now)) if one is not None)


def _copy_line(db: Session, actor: Actor, data_dir: Path, rules: Rules, now: datetime) -> HouseLine | None:
    kept = practice.found(db)
    if not actor.is_head or kept is None or kept.kind is not PracticeKind.REAL:
        return None
    begun_on = local_day(practice.begun_at(db), kept.zone)
    return backup_stale(newest_copy_on(data_dir), begun_on, local_day(now, kept.zone), rules)
