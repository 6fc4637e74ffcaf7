"""Holds that a copy brought back lacked: said each morning until somebody has settled them."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Role
from app.storage.audit import LOST_HOLD, SETTLED, AuditEntry, leave_trace
from app.storage.audit import lost_holds as unsettled
from app.usecases.gate import NotYours, open_record, readable_clients


@dataclass(frozen=True, slots=True)
class LostHold:
    """One hold that is not in the copy."""

    entry_id: int
    #: None when the client is not in the copy either.
    client_id: int | None
    client: str
    kind: str
    began_on: date
    restored_at: datetime


def lost_holds(db: Session, *, actor: Actor, now: datetime) -> tuple[LostHold, ...]:
    """Those of the clients a person may read; of clients who are gone the head coach's alone."""
    entries = unsettled(db)
    if not entries:
        return ()
    names = {one.id: one.name for one in readable_clients(db, actor=actor, now=now)}
    found = (_lost(one, names) for one in entries)
    return tuple(one for one in found if one.client_id is not None or actor.role is Role.HEAD_COACH)


def settle_lost_hold(db: Session, *, actor: Actor, entry_id: int, now: datetime) -> LostHold:
    """Say that a lost hold is looked after; the entry stays. Raises: NotYours."""
    found = next((one for one in lost_holds(db, actor=actor, now=now) if one.entry_id == entry_id), None)
    if found is None:
        raise NotYours("There is no such hold to settle here.")
    if found.client_id is not None:
        open_record(db, actor=actor, client_id=found.client_id, action=Action.LOG, now=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=SETTLED,
        subject=LOST_HOLD,
        subject_id=entry_id,
    )
    return found


def _lost(one: AuditEntry, names: dict[int, str]) -> LostHold:
    said = json.loads(one.change_json)
    is_there = names.get(said["client_id"]) == said["client"]
    client_id = said["client_id"] if is_there else None
    return LostHold(one.id, client_id, said["client"], said["kind"], date.fromisoformat(said["day"]), one.at)
