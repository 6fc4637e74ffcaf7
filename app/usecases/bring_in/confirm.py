"""What was brought in becomes a coach's decision: one client's phase, or all that wait."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Client
from app.coaching.phases import DecisionKind, Phase, PhaseDecision
from app.coaching.reasons import Refused
from app.storage import imports, phases
from app.storage.audit import leave_trace
from app.usecases.bring_in.roster import open_roster
from app.usecases.gate import NotYours, open_record


@dataclass(frozen=True, slots=True)
class Waiting:
    """A brought-in phase that does not count until a coach confirms it."""

    decision_id: int
    client_id: int
    client_name: str
    phase: Phase
    since_on: date
    attested_by: str


def waiting(db: Session, *, actor: Actor, now: datetime) -> list[Waiting]:
    """Every brought-in phase that waits for this coach, in the order of the clients' names.

    Raises: NotAllowed for a stand-in or a client.
    """
    known = {client.id: client for client in open_roster(db, actor=actor, now=now).clients}
    found = imports.waiting_decisions(db, client_ids=list(known))
    return sorted((_waiting(one, known[one.client_id]) for one in found), key=lambda w: (w.client_name, w.client_id))


def _waiting(decision: PhaseDecision, client: Client) -> Waiting:
    return Waiting(
        decision.id, client.id, client.name, decision.phase, decision.since_on, decision.attested_by or "not said"
    )


def confirm_brought_in(db: Session, actor: Actor, client_id: int, decision_id: int, now: datetime) -> None:
    """Confirm a client's brought-in phase as a decision, "as brought in"; once confirmed it stays as it is.

    Raises: NotYours, NotAllowed; Refused when something was decided after it.
    """
    open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    decisions = phases.of_client(db, client_id=client_id)
    decision = next((d for d in decisions if d.id == decision_id and d.kind is DecisionKind.BROUGHT_IN), None)
    if decision is None:
        raise NotYours("There is no such decision here.")
    if decision.confirmed_at is not None:
        return
    if decisions[-1].id != decision_id:
        raise Refused("Something was decided about this client after the import; that stands.")
    _confirm(db, decision, actor=actor, now=now)


def confirm_all(db: Session, *, actor: Actor, decision_ids: Sequence[int], now: datetime) -> int:
    """Confirm the waiting phases that were shown; how many. Raises: NotAllowed for a stand-in or a client."""
    known = [client.id for client in open_roster(db, actor=actor, now=now).clients]
    found = [one for one in imports.waiting_decisions(db, client_ids=known) if one.id in set(decision_ids)]
    for decision in found:
        _confirm(db, decision, actor=actor, now=now)
    return len(found)


def _confirm(db: Session, decision: PhaseDecision, *, actor: Actor, now: datetime) -> None:
    phases.confirm(db, decision_id=decision.id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=decision.client_id,
        action="confirm_brought_in",
        subject="phase_decision",
        subject_id=decision.id,
        change={
            "before": {"confirmed_at": None},
            "after": {"confirmed_at": now, "phase": decision.phase, "since_on": decision.since_on},
        },
        reason="as brought in",
    )
