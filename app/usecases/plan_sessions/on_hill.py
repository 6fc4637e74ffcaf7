"""A hill for a planned session: which of the practice's fit its rounds and its client, and choosing one."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.hill_choice import HillQuestion, HillsHeld, held_against, mode_on_hills
from app.coaching.hill_effort import ROUNDS_COUNT_FOR, standing_aim
from app.coaching.hill_fit import round_of
from app.coaching.hills import ON_HILLS, Hill, Rider
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Client, Mode, age_on
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.session_steps import OLDER_FROM, recovery_said
from app.coaching.session_target import uphill_target
from app.coaching.weeks import local_day
from app.storage import hills, measured, prescriptions
from app.usecases.gate import NotYours, open_planned_session, open_record
from app.usecases.plan_sessions.changing import allow_sending
from app.usecases.plan_sessions.keeping import (
    history_around,
    is_seen,
    keep_version,
    open_to_change,
    refuse_frozen,
)

#: How far ahead rounds that are planned speak for those on a hill.
AHEAD = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class HillAnswer:
    """The practice's hills for one client's rounds, the best first."""

    client: Client
    rider: Rider
    question: HillQuestion
    session: PlannedSession | None
    held: HillsHeld
    #: Why hard work is stopped; empty when it is not.
    stopped: tuple[str, ...]
    #: Whether hard rounds should begin indoors or on foot, with somebody present.
    is_older: bool
    may_choose: bool
    #: Whether a change reaches the client at once, and so asks for a reason.
    is_sent_at_once: bool


def hills_for(
    db: Session, *, actor: Actor, client_id: int, question: HillQuestion, rules: Rules, now: datetime
) -> HillAnswer:
    """The practice's hills held against rounds that are not planned yet. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    return _answered(db, client, question, None, rules=rules, now=now)


def hills_for_session(
    db: Session, *, actor: Actor, planned_session_id: int, typed: float | None, rules: Rules, now: datetime
) -> HillAnswer | PlannedSession:
    """The practice's hills held against a planned session's own rounds; the session alone when it has none.

    Raises: NotYours.
    """
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.READ, now=now
    )
    asked = round_of(session)
    if asked is None or session.mode not in ON_HILLS:
        return session
    question = HillQuestion(session.mode, asked, typed)
    return _answered(db, client, question, session, rules=rules, now=now)


def open_to_choose(db: Session, *, actor: Actor, planned_session_id: int, now: datetime) -> None:
    """Whether a person may give this session a hill. Raises: NotYours, NotAllowed."""
    open_planned_session(db, actor=actor, planned_session_id=planned_session_id, action=Action.DECIDE, now=now)


def choose_hill(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    version: int,
    hill_id: int | None,
    reason: str | None,
    rules: Rules,
    now: datetime,
) -> str | None:
    """Give a session a hill, or take it away, as its next version; returns the hill's name.

    Today's published session changes at once with its reason; any other waits as a draft.
    Raises: ChangedMeanwhile; Refused for a hill that is out of use, not for this way of moving, or without room to
    turn for a rider, and for a day that is over; ReasonNeeded.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    hill = _allowed(db, hill_id, session)
    changed = replace(
        session,
        hill_id=hill.id if hill else None,
        place=hill.place if hill else None,
        steps_json=recovery_said(session.steps_json, session.mode, is_uphill=hill is not None),
    )
    if hill is not None:
        changed = replace(changed, target_json=uphill_target(session.target_json))
    is_sent = session.planned_on == today and is_seen(db, session)
    if is_sent:
        allow_sending(known, changed, reason, today, rules)
    keep_version(db, actor, session, changed, reason=reason, publish=is_sent, action="changed", now=now)
    return hill.name if hill else None


def hill_of(db: Session, session: PlannedSession) -> Hill | None:
    """The hill a session is given for."""
    return None if session.hill_id is None else hills.one(db, hill_id=session.hill_id)


def usual_mode(db: Session, *, actor: Actor, client_id: int, now: datetime) -> Mode:
    """How a client would go up a hill: as the next rounds are planned, else as they move most. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    ahead = [one.mode for one in _rounds_near(db, client.id, today) if one.planned_on >= today]
    return mode_on_hills(history_around(db, client.id, today, today), ahead)


def _rounds_near(db: Session, client_id: int, today: date) -> list[PlannedSession]:
    """Sessions of rounds of the last weeks and those to come, as they stand, by day."""
    from_on, until_on = today - ROUNDS_COUNT_FOR, today + AHEAD
    found = prescriptions.newest_between(db, client_ids=[client_id], from_on=from_on, until_on=until_on)
    return sorted((one for one in found if round_of(one) and not one.is_cancelled), key=lambda one: one.planned_on)


def _allowed(db: Session, hill_id: int | None, session: PlannedSession) -> Hill | None:
    if hill_id is None:
        return None
    hill = hills.one(db, hill_id=hill_id)
    if hill is None:
        raise NotYours("There is no such hill here.")
    if hill.retired_at is not None:
        raise Refused(f"{hill.name} is out of use.")
    if round_of(session) is None or not hill.is_for(session.mode):
        raise Refused(f"{hill.name} is not used for this.")
    if session.mode is Mode.RIDE and not hill.has_room_to_turn:
        raise Refused(f"{hill.name} has no room to turn; rounds on a bicycle are not done there.")
    return hill


def _answered(
    db: Session,
    client: Client,
    question: HillQuestion,
    session: PlannedSession | None,
    *,
    rules: Rules,
    now: datetime,
) -> HillAnswer:
    today = local_day(now, client.zone)
    known = history_around(db, client.id, today, today)
    rider, found = hills.rider(db, client_id=client.id), measured.of_client(db, client_id=client.id)
    sessions = _rounds_near(db, client.id, today)
    question = replace(question, aim=standing_aim(sessions, session, question.mode, found, today))
    stopped = stopped_now(known, today, rules)
    age = age_on(client.born_on, today)
    return HillAnswer(
        client=client,
        rider=rider,
        question=question,
        session=session,
        held=held_against(hills.every(db), question, known=known, measured=found, rider=rider, today=today),
        stopped=(*stopped.all_because, *stopped.hard_because, *stopped.mode_because(question.mode)),
        is_older=age is None or age >= OLDER_FROM,
        is_sent_at_once=session is not None and session.planned_on == today and is_seen(db, session),
        may_choose=session is not None and session.planned_on >= today and not session.is_cancelled,
    )
