"""What is kept about a client as a person: particulars, state, real week, goals and agreed leave."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.asked_afresh import unasked_words
from app.coaching.people import AvailableDay, Client, ClientState, Goal, Leave, age_on
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.screening_decision import screening_of
from app.coaching.weeks import day_words, local_day
from app.coaching.windows import WHOLE_BASE
from app.storage import accounts, clients, history, phases
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, NotYours, open_record

OLDER_FROM_YEARS = 60
LONGEST_LEAVE_DAYS = 365
LONGEST_REASON = 2000
BASE_WEEKS = (13, 26)
_BEFORE_TRAINING = frozenset({ClientState.ASKED, ClientState.INTAKE})


def change_client(
    db: Session, *, actor: Actor, client_id: int, revision: int, values: Mapping[str, Any], now: datetime
) -> tuple[str, ...]:
    """Change some particulars and return the names of those that changed; nothing is written when none did.

    Raises: NotYours, NotAllowed; StaleEdit when somebody changed the record after it was opened.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    if "coach_id" in values and values["coach_id"] != client.coach_id:
        _check_new_coach(db, actor=actor, person_id=values["coach_id"])
    if revision != client.revision:
        raise StaleEdit("Somebody changed this record while you had it open.")
    before = {name: getattr(client, name) for name in values if getattr(client, name) != values[name]}
    if not before:
        return ()
    after = {name: values[name] for name in before}
    if not clients.change(db, client_id=client_id, revision=revision, values=after):
        raise StaleEdit("Somebody changed this record while you had it open.")
    _trace(db, actor, client_id, "change_client", now, change={"before": before, "after": after})
    return tuple(before)


def change_state(
    db: Session, *, actor: Actor, client_id: int, state: ClientState, reason: str | None, now: datetime
) -> None:
    """Set where a client stands with the practice; pausing and leaving keep a reason.

    Raises: NotYours, NotAllowed; Refused when a reason is missing or nothing would change.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    if state is client.state:
        raise Refused(f"{client.name} is {state.value.replace('_', ' ')} already.")
    if state in (ClientState.PAUSED, ClientState.LEFT) and not reason:
        raise Refused("Pausing and leaving keep a reason; a few words will do.")
    clients.set_state(db, client_id=client_id, state=state)
    change = {"before": {"state": client.state}, "after": {"state": state}}
    _trace(db, actor, client_id, "change_state", now, change=change, reason=reason)


def set_real_week(db: Session, *, actor: Actor, client_id: int, days: Sequence[AvailableDay], now: datetime) -> None:
    """Keep the days a client really has. Raises: NotYours, NotAllowed."""
    open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    before = clients.available_days(db, client_id=client_id)
    clients.replace_available_days(db, client_id=client_id, days=days)
    change = {"before": _week_words(before), "after": _week_words(days)}
    _trace(db, actor, client_id, "set_real_week", now, change=change)


def add_goal(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    text: str,
    why: str | None,
    confidence: int | None,
    due_on: date | None,
    now: datetime,
) -> int:
    """Keep a goal agreed with the client. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    goal_id = clients.add_goal(
        db,
        client_id=client_id,
        text=text,
        why=why,
        confidence=confidence,
        due_on=due_on,
        agreed_on=local_day(now, client.zone),
    )
    _trace(
        db, actor, client_id, "add_goal", now, subject="goal", subject_id=goal_id, change={"after": {"text": text}}
    )
    return goal_id


def close_goal(db: Session, *, actor: Actor, client_id: int, goal_id: int, now: datetime) -> None:
    """Close a goal: reached or given up. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    if not clients.close_goal(db, goal_id=goal_id, client_id=client_id, on=local_day(now, client.zone)):
        raise NotYours("There is no such goal here.")
    _trace(db, actor, client_id, "close_goal", now, subject="goal", subject_id=goal_id)


def goals_of(db: Session, *, client_id: int) -> list[Goal]:
    """A client's goals; the caller has opened the record."""
    return clients.goals(db, client_id=client_id)


def week_of(db: Session, *, client_id: int) -> list[AvailableDay]:
    """A client's real week; the caller has opened the record."""
    return clients.available_days(db, client_id=client_id)


def leaves_of(db: Session, *, client_id: int) -> list[Leave]:
    """A client's agreed leave; the caller has opened the record."""
    return clients.leaves(db, client_id=client_id)


def add_leave(
    db: Session, *, actor: Actor, client_id: int, from_on: date, until_on: date, reason: str, now: datetime
) -> int:
    """Agree time off. Raises: NotYours, NotAllowed; Refused for days out of order, too many, or agreed already."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if until_on < from_on:
        raise Refused("The last day off comes before the first.")
    if until_on - from_on > timedelta(days=LONGEST_LEAVE_DAYS):
        raise Refused("That is over a year; pausing the client says it better.")
    for other in clients.leaves(db, client_id=client_id):
        if other.from_on <= until_on and from_on <= other.until_on:
            days = f"{day_words(other.from_on)} to {day_words(other.until_on)}"
            raise Refused(f"Leave from {days} is agreed already. Take it back first if it has changed.")
    leave_id = clients.add_leave(db, client_id=client_id, from_on=from_on, until_on=until_on, reason=reason)
    after = {"from_on": from_on, "until_on": until_on}
    _trace(
        db,
        actor,
        client_id,
        "add_leave",
        now,
        subject="leave",
        subject_id=leave_id,
        change={"after": after},
        reason=reason,
    )
    return leave_id


def take_leave_back(db: Session, *, actor: Actor, client_id: int, leave_id: int, now: datetime) -> None:
    """Take agreed time off back; the trail keeps what it said. Raises: NotYours, NotAllowed."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    found = next((one for one in clients.leaves(db, client_id=client_id) if one.id == leave_id), None)
    if found is None:
        raise NotYours("There is no such leave here.")
    clients.remove_leave(db, leave_id=leave_id, client_id=client_id)
    before = {"from_on": found.from_on, "until_on": found.until_on, "reason": found.reason}
    _trace(
        db, actor, client_id, "take_leave_back", now, subject="leave", subject_id=leave_id, change={"before": before}
    )


def may_ask_fewer_weeks(client: Client, today: date) -> bool:
    """Whether the coach sets the base weeks: from 60, or with the birth date unknown (common practice)."""
    return is_older(client.born_on, today)


def is_older(born_on: date | None, today: date) -> bool:
    """Whether somebody is sixty or older; an unknown birth date is treated with the same care."""
    age = age_on(born_on, today)
    return age is None or age >= OLDER_FROM_YEARS


def start_base(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    since_on: date,
    base_weeks_asked: int | None,
    reason: str,
    rules: Rules,
    now: datetime,
) -> int:
    """Decide that a client begins the aerobic base, and how many held weeks are asked. Returns the decision's id.

    Intake is over with it; somebody waiting for a clearance goes on waiting.
    Raises: NotYours, NotAllowed; Refused when a phase is running, the day has not come or lies before joining.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    asked = base_weeks_asked if may_ask_fewer_weeks(client, today) else None
    _check_start(db, client=client, since_on=since_on, asked=asked, today=today)
    if asked is not None and asked != client.base_weeks_asked:
        clients.change(db, client_id=client_id, revision=client.revision, values={"base_weeks_asked": asked})
    decision_id = _begin_base(db, actor=actor, client_id=client_id, since_on=since_on, reason=reason, now=now)
    if client.state in _BEFORE_TRAINING:
        clients.set_state(db, client_id=client_id, state=ClientState.ACTIVE)
    after = {"phase": Phase.AEROBIC_BASE, "since_on": since_on, "base_weeks": asked or rules.base_weeks}
    change = {"before": {"base_weeks_asked": client.base_weeks_asked}, "after": after}
    _trace(
        db,
        actor,
        client_id,
        "start_phase",
        now,
        subject="phase_decision",
        subject_id=decision_id,
        change=change,
        reason=reason,
    )
    return decision_id


def screening_on_start(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> str | None:
    """What screening still stops somebody who is about to begin, in a sentence; None when easy work may begin.

    Raises: NotYours.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    one = history.load(db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=today)[0]
    light = screening_of(one, today, rules).light
    return unasked_words(one, light) or (None if light.is_ok else light.comes_next)


def _begin_base(db: Session, *, actor: Actor, client_id: int, since_on: date, reason: str, now: datetime) -> int:
    return phases.decide(
        db,
        client_id=client_id,
        kind=DecisionKind.START,
        phase=Phase.AEROBIC_BASE,
        since_on=since_on,
        reason=reason,
        evidence_json="{}",
        person_id=actor.person_id,
        at=now,
    )


def _check_start(db: Session, *, client: Client, since_on: date, asked: int | None, today: date) -> None:
    if current_phase(phases.of_client(db, client_id=client.id)) is not None:
        raise Refused("A phase is running already. Promote, hold or step back on the promotion page.")
    if since_on > today:
        raise Refused("A phase begins today or has begun; this day has not come yet.")
    if since_on < client.joined_on:
        joined = day_words(client.joined_on)
        raise Refused(
            f"{client.name} joined on {joined}. What came before is brought in and attested, not decided here."
        )
    if asked is not None and not BASE_WEEKS[0] <= asked <= BASE_WEEKS[1]:
        raise Refused(
            f"Between {BASE_WEEKS[0]} and {BASE_WEEKS[1]} held weeks are asked before the first hard session."
        )


def _check_new_coach(db: Session, *, actor: Actor, person_id: int) -> None:
    if not actor.is_head:
        raise NotAllowed("Only the head coach hands a client to another coach for good.")
    if person_id not in {one.id for one in accounts.coaches(db) if one.is_active}:
        raise Refused("There is no such coach here.")


def _week_words(days: Sequence[AvailableDay]) -> list[str]:
    return [f"{day.weekday}: {day.minutes} min, {day.place or '-'}, {day.kit or '-'}" for day in days]


def _trace(
    db: Session,
    actor: Actor,
    client_id: int,
    action: str,
    now: datetime,
    *,
    subject: str = "client",
    subject_id: int | None = None,
    change: Mapping[str, Any] | None = None,
    reason: str | None = None,
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject=subject,
        subject_id=client_id if subject_id is None else subject_id,
        change=change,
        reason=reason,
    )
