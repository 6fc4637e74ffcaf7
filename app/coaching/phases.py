"""Phases: a history of decisions, each with who, when, why and the evidence as it stood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum


class Phase(StrEnum):
    """What a client is training for now."""

    AEROBIC_BASE = "aerobic_base"
    INTERVAL_ONE = "interval_one"
    INTERVAL_TWO = "interval_two"
    KEEPING = "keeping"
    RETURNING = "returning"


PHASE_WORDS = {
    Phase.AEROBIC_BASE: "aerobic base",
    Phase.INTERVAL_ONE: "interval phase, one a week",
    Phase.INTERVAL_TWO: "interval phase, two a week",
    Phase.KEEPING: "keeping",
    Phase.RETURNING: "returning",
}

INTERVAL_PHASES = frozenset({Phase.INTERVAL_ONE, Phase.INTERVAL_TWO})
HARD_WORK_PHASES = INTERVAL_PHASES | {Phase.KEEPING}


class DecisionKind(StrEnum):
    """What was decided about the phase."""

    START = "start"
    PROMOTE = "promote"
    STAY = "stay"
    STEP_BACK = "step_back"
    BROUGHT_IN = "brought_in"
    UNDO = "undo"


@dataclass(frozen=True, slots=True)
class PhaseDecision:
    """One entry of the phase history; entries are added, never changed."""

    id: int
    client_id: int
    kind: DecisionKind
    phase: Phase
    since_on: date
    decided_at: datetime
    person_id: int
    reason: str
    #: The conditions as they stood, as JSON text; empty object when none were looked at.
    evidence_json: str
    #: For what was brought in: where it is known from, and whether the coach has confirmed it.
    attested_by: str | None
    confirmed_at: datetime | None


def current_phase(decisions: Sequence[PhaseDecision]) -> PhaseDecision | None:
    """The decision in force: the last one entered; what was brought in counts once confirmed."""
    valid = [d for d in decisions if d.kind is not DecisionKind.BROUGHT_IN or d.confirmed_at is not None]
    return max(valid, key=lambda d: d.id, default=None)


def waiting_decision(decisions: Sequence[PhaseDecision]) -> PhaseDecision | None:
    """The brought-in phase a coach has still to confirm; None once anything was decided after it."""
    last = max(decisions, key=lambda d: d.id, default=None)
    is_waiting = last is not None and last.kind is DecisionKind.BROUGHT_IN and last.confirmed_at is None
    return last if is_waiting else None


def phase_since(decisions: Sequence[PhaseDecision]) -> date | None:
    """The day the present phase began: the earliest of the unbroken last run of decisions for it."""
    now = current_phase(decisions)
    if now is None:
        return None
    since = now.since_on
    valid = [d for d in decisions if d.kind is not DecisionKind.BROUGHT_IN or d.confirmed_at is not None]
    for decision in sorted(valid, key=lambda d: d.id, reverse=True):
        if decision.phase is not now.phase:
            break
        since = min(since, decision.since_on)
    return since
