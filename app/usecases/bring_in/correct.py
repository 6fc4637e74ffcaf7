"""A brought-in phase that is wrong: what was meant is kept as a decision of its own, beside what the file said."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Client
from app.coaching.phases import DecisionKind, Phase, PhaseDecision, waiting_decision
from app.coaching.reasons import Refused
from app.coaching.weeks import local_day
from app.storage import accounts, phases
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

LONGEST_REASON = 2000


@dataclass(frozen=True, slots=True)
class ToCorrect:
    """The brought-in phase that waits, and who brought it in."""

    client: Client
    today: date
    decision: PhaseDecision
    by: str


def to_correct(db: Session, *, actor: Actor, client_id: int, now: datetime) -> ToCorrect:
    """The brought-in phase that waits for a client. Raises: NotYours, NotAllowed; Refused when none waits."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    decision = _waiting(db, client)
    names = accounts.names_of(db, person_ids={decision.person_id})
    by = names.get(decision.person_id, "somebody who has left")
    return ToCorrect(client, local_day(now, client.zone), decision, by)


def correct_brought_in(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    phase: Phase,
    since_on: date,
    attested_by: str,
    reason: str,
    now: datetime,
) -> int:
    """Keep what the file should have said, confirmed by the coach who says it. Returns the new decision's id.

    The file's own line stays in the story, unconfirmed and no longer waiting.
    Raises: NotYours, NotAllowed; Refused when none waits, nothing is different, or the day has not come.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    wrong = _waiting(db, client)
    if since_on > local_day(now, client.zone):
        raise Refused("A phase began today or earlier; this day has not come yet.")
    if (phase, since_on, attested_by) == (wrong.phase, wrong.since_on, wrong.attested_by):
        raise Refused("This is what was brought in. Confirm it, or say what is different.")
    decision_id = phases.decide(
        db,
        client_id=client_id,
        kind=DecisionKind.BROUGHT_IN,
        phase=phase,
        since_on=since_on,
        reason=reason,
        evidence_json=json.dumps({"corrects": wrong.id}),
        person_id=actor.person_id,
        at=now,
        attested_by=attested_by,
        confirmed_at=now,
    )
    after = {"phase": phase, "since_on": since_on, "known_from": attested_by}
    _trace(db, actor, wrong, after, decision_id=decision_id, reason=reason, now=now)
    return decision_id


def _trace(
    db: Session,
    actor: Actor,
    wrong: PhaseDecision,
    after: dict[str, object],
    *,
    decision_id: int,
    reason: str,
    now: datetime,
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=wrong.client_id,
        action="correct_brought_in",
        subject="phase_decision",
        subject_id=decision_id,
        change={
            "before": {"phase": wrong.phase, "since_on": wrong.since_on, "known_from": wrong.attested_by},
            "after": after,
        },
        reason=reason,
    )


def _waiting(db: Session, client: Client) -> PhaseDecision:
    found = waiting_decision(phases.of_client(db, client_id=client.id))
    if found is None:
        raise Refused(f"Nothing that was brought in waits for {client.name}; the last decision stands.")
    return found
