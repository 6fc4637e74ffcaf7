"""Phase decisions: what stands on the way to hard work, and the coach's decision with the evidence as it stood."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.condition import Condition, Group, evidence_from, evidence_json
from app.coaching.forecast_kept import KeptForecast
from app.coaching.hard_astray import hard_sent
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.phase_moves import Looks, Move, move_to, moves_from
from app.coaching.phases import (
    PHASE_WORDS,
    DecisionKind,
    Phase,
    PhaseDecision,
    current_phase,
    phase_since,
    waiting_decision,
)
from app.coaching.prescriptions import PlannedSession
from app.coaching.promotion import conditions, may_promote
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.second_week import may_take_second, second_week_conditions
from app.coaching.training_weeks import WeekFacts, all_week_facts
from app.coaching.weeks import local_day, weeks_back
from app.coaching.windows import PLANS_LISTED, WHOLE_BASE
from app.storage import accounts, forecasts, history, phases, practice
from app.storage.audit import leave_trace
from app.usecases.gate import allowed_actions, open_record

WEEKS_SHOWN = 8
LONGEST_REASON = 2000
KEEPING_MOST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class DecisionLine:
    """One decision of the phase story, with what was looked at."""

    decision: PhaseDecision
    by: str
    evidence: tuple[Condition, ...]
    override_reason: str | None
    until_on: date | None
    is_undoable: bool
    #: Whether it was brought in and waits to be confirmed.
    is_waiting: bool


@dataclass(frozen=True, slots=True)
class OnTheWay:
    """Everything the promotion page shows."""

    history: History
    today: date
    rules: Rules
    phase: Phase | None
    since_on: date | None
    #: The one list, safety first.
    conditions: tuple[Condition, ...]
    #: What speaks for a second hard session; empty unless on one a week.
    second: tuple[Condition, ...]
    #: The last eight whole weeks.
    weeks: tuple[WeekFacts, ...]
    moves: tuple[Move, ...]
    story: tuple[DecisionLine, ...]
    may_decide: bool
    #: When training will likely be ready for the decision, as last reckoned.
    forecast: KeptForecast | None

    @property
    def hard_ahead(self) -> tuple[PlannedSession, ...]:
        """Hard sessions already published and not entered, from today on."""
        return hard_sent(self.history, self.today)

    @property
    def client(self) -> Client:
        """Whose page it is."""
        return self.history.client

    def looked_at(self, move: Move) -> tuple[Condition, ...]:
        """The conditions a move is decided on."""
        return _looked_at(move, self.conditions, self.second)

    def refusals(self, move: Move, override_reason: str | None = None) -> tuple[str, ...]:
        """Why a move may not be taken now."""
        return _refusals(move, self.looked_at(move), override_reason)


def on_the_way(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> OnTheWay:
    """A client's conditions, possible decisions and story. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    one = _load(db, client_id, today)
    found = conditions(one, today, rules)
    second = second_week_conditions(one, today, rules) if one.phase is Phase.INTERVAL_ONE else ()
    may_decide = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    return OnTheWay(
        history=one,
        today=today,
        rules=rules,
        phase=one.phase,
        since_on=one.phase_since_on,
        conditions=found,
        second=second,
        weeks=all_week_facts(one, weeks_back(today, WEEKS_SHOWN), today, rules),
        moves=moves_from(one.phase),
        story=_story(db, one, today),
        may_decide=may_decide,
        forecast=forecasts.kept(db, client_id=client_id, rules=rules),
    )


def decide(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    kind: DecisionKind,
    phase: Phase,
    since_on: date,
    reason: str,
    override_reason: str | None,
    now: datetime,
    until_on: date | None = None,
) -> int:
    """Take a phase decision and keep the conditions as they stood. Returns the decision's id.

    Safety conditions are asked of every step towards hard work and overridden by nobody; practice conditions with a
    reason that is kept. until_on: the last day of keeping.
    Raises: NotYours, NotAllowed; Refused with everything that stands in the way.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    one = _load(db, client_id, today)
    move = move_to(one.phase, kind, phase)
    if move is None:
        raise Refused(_not_from_here(one.phase))
    _check_words(move, one, since_on=since_on, until_on=until_on, reason=reason, today=today)
    rules = practice.rules(db)
    found = conditions(one, today, rules)
    looked_at = _looked_at(move, found, second_week_conditions(one, today, rules))
    refusals = _refusals(move, looked_at, override_reason)
    if refusals:
        raise Refused(" ".join(refusals))
    kept = looked_at or found
    override = override_reason if any(not c.is_met for c in looked_at) else None
    return _keep(
        db,
        actor=actor,
        one=one,
        move=move,
        since_on=since_on,
        reason=reason.strip(),
        evidence=_evidence(kept, override, until_on),
        override_reason=override,
        now=now,
    )


def undo_promotion(db: Session, *, actor: Actor, client_id: int, now: datetime) -> int:
    """Take back a promotion on its own day: the phase before it is in force again at once. Returns the entry's id.

    Raises: NotYours, NotAllowed; Refused when the last decision was no promotion, or not today's.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    one = _load(db, client_id, today)
    last = current_phase(one.decisions)
    if last is None or not _is_undoable(last, one, today):
        raise Refused("Only a promotion made today can be taken back. Step back instead; it works at once.")
    before = [decision for decision in one.decisions if decision.id < last.id]
    earlier = current_phase(before)
    since = phase_since(before)
    if earlier is None or since is None:
        raise Refused("There is no phase before this one.")
    move = Move(DecisionKind.UNDO, earlier.phase, "Take back")
    return _keep(
        db,
        actor=actor,
        one=one,
        move=move,
        since_on=since,
        reason=f"Taken back on the same day: {PHASE_WORDS[last.phase]}.",
        evidence=_evidence((), None, None, undoes=last.id),
        override_reason=None,
        now=now,
    )


def _load(db: Session, client_id: int, today: date) -> History:
    return history.load(
        db,
        client_ids=[client_id],
        from_on=today - WHOLE_BASE,
        until_on=today + PLANS_LISTED,
    )[0]


def _looked_at(move: Move, found: Sequence[Condition], second: Sequence[Condition]) -> tuple[Condition, ...]:
    if move.looks is Looks.WHOLE_LIST:
        return tuple(found)
    if move.looks is Looks.SECOND_WEEK:
        return (*(one for one in found if one.group is Group.SAFETY), *second)
    return ()


def _refusals(move: Move, looked_at: Sequence[Condition], override_reason: str | None) -> tuple[str, ...]:
    if move.looks is Looks.WHOLE_LIST:
        return may_promote(looked_at, override_reason)
    if move.looks is Looks.SECOND_WEEK:
        return may_take_second(looked_at, override_reason)
    return ()


def _not_from_here(phase: Phase | None) -> str:
    if phase is None:
        return "Nothing is decided yet: everybody begins with the aerobic base, or with what is brought in."
    if phase is Phase.AEROBIC_BASE:
        return "From the aerobic base the next step is one hard session a week; two come after that."
    return f"This decision cannot follow {PHASE_WORDS[phase]}."


def _check_words(
    move: Move, one: History, *, since_on: date, until_on: date | None, reason: str, today: date
) -> None:
    if not reason.strip():
        raise Refused("Say why; the reason is kept with the decision.")
    if len(reason) > LONGEST_REASON:
        raise Refused(f"Please keep the reason under {LONGEST_REASON} characters.")
    if since_on > today:
        raise Refused("A decision counts from today or earlier; this day has not come yet.")
    if move.looks is not Looks.NOTHING and since_on != today:
        raise Refused("A step towards hard work counts from today: the conditions are looked at today.")
    if one.phase_since_on is not None and since_on < one.phase_since_on:
        raise Refused("This is before the present phase began.")
    if move.has_end_date and (until_on is None or not today < until_on <= today + KEEPING_MOST):
        raise Refused("Say until which day, within a year from now.")


def _evidence(
    found: Sequence[Condition], override_reason: str | None, until_on: date | None, undoes: int | None = None
) -> str:
    """The conditions as they stand, with what else belongs to the decision."""
    kept = json.loads(evidence_json(found))
    kept["override_reason"] = override_reason
    kept["until_on"] = until_on.isoformat() if until_on else None
    kept["undoes"] = undoes
    return json.dumps(kept, ensure_ascii=False, sort_keys=True)


def _keep(
    db: Session,
    *,
    actor: Actor,
    one: History,
    move: Move,
    since_on: date,
    reason: str,
    evidence: str,
    override_reason: str | None,
    now: datetime,
) -> int:
    client = one.client
    decision_id = phases.decide(
        db,
        client_id=client.id,
        kind=move.kind,
        phase=move.phase,
        since_on=since_on,
        reason=reason,
        evidence_json=evidence,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action=move.kind.value,
        subject="phase",
        subject_id=decision_id,
        change={
            "before": {"phase": one.phase, "since_on": one.phase_since_on},
            "after": {"phase": move.phase, "since_on": since_on, "override_reason": override_reason},
        },
        reason=reason,
    )
    return decision_id


def _story(db: Session, one: History, today: date) -> tuple[DecisionLine, ...]:
    """The decisions, newest first."""
    names = accounts.names_of(db, person_ids={decision.person_id for decision in one.decisions})
    last, waiting = current_phase(one.decisions), waiting_decision(one.decisions)
    lines = []
    for decision in reversed(one.decisions):
        extra = json.loads(decision.evidence_json or "{}")
        until = extra.get("until_on")
        lines.append(
            DecisionLine(
                decision=decision,
                by=names.get(decision.person_id, "somebody who is no longer here"),
                evidence=evidence_from(decision.evidence_json),
                override_reason=extra.get("override_reason"),
                until_on=date.fromisoformat(until) if until else None,
                is_undoable=last is not None and decision.id == last.id and _is_undoable(decision, one, today),
                is_waiting=waiting is not None and decision.id == waiting.id,
            )
        )
    return tuple(lines)


def _is_undoable(decision: PhaseDecision, one: History, today: date) -> bool:
    return decision.kind is DecisionKind.PROMOTE and local_day(decision.decided_at, one.client.zone) == today
