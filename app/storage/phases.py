"""The phase history."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.phases import DecisionKind, Phase, PhaseDecision, current_phase
from app.storage.reading import grouped, read, read_one
from app.storage.tables.training import PhaseDecisionRow


def decide(
    db: Session,
    *,
    client_id: int,
    kind: DecisionKind,
    phase: Phase,
    since_on: date,
    reason: str,
    evidence_json: str,
    person_id: int,
    at: datetime,
    attested_by: str | None = None,
    confirmed_at: datetime | None = None,
) -> int:
    """Add a decision with the evidence as it stands."""
    row = PhaseDecisionRow(
        client_id=client_id,
        kind=kind,
        phase=phase,
        since_on=since_on,
        decided_at=at,
        person_id=person_id,
        reason=reason,
        evidence_json=evidence_json,
        attested_by=attested_by,
        confirmed_at=confirmed_at,
    )
    db.add(row)
    db.flush()
    return row.id


def confirm(db: Session, *, decision_id: int, at: datetime) -> None:
    """Confirm what was brought in."""
    db.get_one(PhaseDecisionRow, decision_id).confirmed_at = at
    db.flush()


def decision(db: Session, *, decision_id: int) -> PhaseDecision | None:
    """A decision by id."""
    return read_one(db, PhaseDecision, PhaseDecisionRow, PhaseDecisionRow.id == decision_id)


def of_client(db: Session, *, client_id: int) -> list[PhaseDecision]:
    """A client's decisions, oldest first."""
    return read(
        db,
        PhaseDecision,
        PhaseDecisionRow,
        PhaseDecisionRow.client_id == client_id,
        order_by=[PhaseDecisionRow.id],
    )


def current_of(db: Session, *, client_ids: Sequence[int]) -> dict[int, Phase]:
    """The phase in force of some clients; those without a decision are left out."""
    found = read(db, PhaseDecision, PhaseDecisionRow, PhaseDecisionRow.client_id.in_(client_ids))
    decisions = {
        client_id: current_phase(own) for client_id, own in grouped(found, lambda one: one.client_id).items()
    }
    return {client_id: one.phase for client_id, one in decisions.items() if one is not None}
