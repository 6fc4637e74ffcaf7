"""The practice's hills: the list, adding one, changing it, taking it out of use and back; and what a client rides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.hills import Hill, Rider
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import StaleEdit
from app.coaching.weeks import local_day
from app.storage import accounts, fitness_tests, hills, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, NotYours, open_record, readable_clients

#: How far ahead sessions on a hill are looked for.
AHEAD = timedelta(days=400)
_SUBJECT = "hill"


@dataclass(frozen=True, slots=True)
class HillList:
    """All hills of the practice, those out of use apart."""

    in_use: tuple[Hill, ...]
    retired: tuple[Hill, ...]


@dataclass(frozen=True, slots=True)
class HillPage:
    """One hill, who added it, and the sessions to come that are given for it."""

    hill: Hill
    added_by: str | None
    coming: tuple[tuple[Client, PlannedSession], ...]


@dataclass(frozen=True, slots=True)
class RiderPage:
    """What a client weighs and rides; a mass weighed with a test stands beside it."""

    client: Client
    rider: Rider
    today: date
    tested_mass: tuple[float, date] | None


def may_plan(actor: Actor) -> bool:
    """Whether a person plans, and so keeps the list of hills."""
    return Action.DECIDE in actions_for(actor.role, Relation.OWN_CLIENT)


def require_planner(actor: Actor) -> None:
    """Hills are kept by those who plan. Raises: NotAllowed for a stand-in."""
    if not may_plan(actor):
        raise NotAllowed("A stand-in looks after clients; the list of hills is kept by those who plan.")


def every_hill(db: Session) -> HillList:
    """All hills, by name."""
    found = hills.every(db)
    return HillList(
        tuple(one for one in found if one.retired_at is None),
        tuple(one for one in found if one.retired_at is not None),
    )


def open_hill(db: Session, *, actor: Actor, hill_id: int, now: datetime) -> HillPage:
    """One hill with the sessions to come on it, of clients this person may read. Raises: NotYours."""
    hill = _one(db, hill_id)
    readable = {client.id: client for client in readable_clients(db, actor=actor, now=now)}
    from_on = now.date() - timedelta(days=1)
    ahead = prescriptions.newest_between(db, client_ids=list(readable), from_on=from_on, until_on=from_on + AHEAD)
    coming = tuple(
        (readable[one.client_id], one)
        for one in ahead
        if one.hill_id == hill_id
        and not one.is_cancelled
        and one.planned_on >= local_day(now, readable[one.client_id].zone)
    )
    names = accounts.names_of(db, person_ids={hill.person_id})
    return HillPage(hill, names.get(hill.person_id), coming)


def add_hill(db: Session, *, actor: Actor, values: Mapping[str, Any], now: datetime) -> tuple[int | None, str]:
    """Add a hill; returns it, or what stands in its way in a sentence."""
    require_planner(actor)
    if hills.by_name(db, name=values["name"]) is not None:
        return None, _taken(values["name"])
    hill_id = hills.add(db, values=values, person_id=actor.person_id, at=now)
    _trace(db, actor, hill_id, "added", now=now, change={"after": dict(values)})
    return hill_id, ""


def change_hill(
    db: Session, *, actor: Actor, hill_id: int, revision: int, values: Mapping[str, Any], now: datetime
) -> str:
    """Change what is said of a hill; returns what stands in the way in a sentence, "" when nothing does.

    Raises: StaleEdit when somebody changed it meanwhile.
    """
    require_planner(actor)
    hill = _one(db, hill_id)
    same = hills.by_name(db, name=values["name"])
    if same is not None and same.id != hill_id:
        return _taken(values["name"])
    before = {name: getattr(hill, name) for name in values if getattr(hill, name) != values[name]}
    if not before and revision == hill.revision:
        return ""
    if not hills.change(db, hill_id=hill_id, revision=revision, values=values):
        raise StaleEdit("Somebody changed this hill while you had it open.")
    _trace(
        db,
        actor,
        hill_id,
        "changed",
        now=now,
        change={"before": before, "after": {name: values[name] for name in before}},
    )
    return ""


def retire_hill(db: Session, *, actor: Actor, hill_id: int, now: datetime) -> str:
    """Take a hill out of use: it is offered no more, and phones say so where it is planned. Returns its name."""
    require_planner(actor)
    hill = _one(db, hill_id)
    if hill.retired_at is None:
        hills.change(db, hill_id=hill_id, revision=hill.revision, values={"retired_at": now})
        _trace(
            db, actor, hill_id, "retired", now=now, change={"before": {"in use": True}, "after": {"in use": False}}
        )
    return hill.name


def restore_hill(db: Session, *, actor: Actor, hill_id: int, now: datetime) -> str:
    """Take a hill back into use. Returns its name."""
    require_planner(actor)
    hill = _one(db, hill_id)
    if hill.retired_at is not None:
        hills.change(db, hill_id=hill_id, revision=hill.revision, values={"retired_at": None})
        _trace(
            db, actor, hill_id, "restored", now=now, change={"before": {"in use": False}, "after": {"in use": True}}
        )
    return hill.name


def open_rider(db: Session, *, actor: Actor, client_id: int, now: datetime) -> RiderPage:
    """What a client weighs and rides. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    weighed = [one for one in fitness_tests.of_client(db, client_id=client_id) if one.weight_kg is not None]
    tested = (weighed[-1].weight_kg, weighed[-1].tested_on) if weighed and weighed[-1].weight_kg else None
    return RiderPage(client, hills.rider(db, client_id=client_id), local_day(now, client.zone), tested)


def keep_rider(db: Session, *, actor: Actor, rider: Rider, now: datetime) -> tuple[str, ...]:
    """Set what a client weighs and rides; returns the names of what changed. Raises: NotYours, NotAllowed."""
    open_record(db, actor=actor, client_id=rider.client_id, action=Action.DECIDE, now=now)
    was, is_now = asdict(hills.rider(db, client_id=rider.client_id)), asdict(rider)
    changed = tuple(name for name in is_now if is_now[name] != was[name])
    if not changed:
        return ()
    hills.keep_rider(db, rider=rider)
    change = {"before": {name: was[name] for name in changed}, "after": {name: is_now[name] for name in changed}}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=rider.client_id,
        action="change_rider",
        subject="client",
        subject_id=rider.client_id,
        change=change,
    )
    return changed


def _one(db: Session, hill_id: int) -> Hill:
    found = hills.one(db, hill_id=hill_id)
    if found is None:
        raise NotYours("There is no such hill here.")
    return found


def _taken(name: str) -> str:
    return f"A hill is called {name} already; give this one another name."


def _trace(
    db: Session, actor: Actor, hill_id: int, action: str, *, now: datetime, change: Mapping[str, object]
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=action,
        subject=_SUBJECT,
        subject_id=hill_id,
        change=change,
    )
