"""Days away: what a client tells, the changed plan that follows, and the coach's answer to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.holds import Hold, HoldKind
from app.coaching.illness_return import illness_pause
from app.coaching.people import Client, Origin
from app.coaching.readiness import Illness
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.session_logs import WhyNot
from app.coaching.time_away import Possible
from app.coaching.told_away import COUNTS, AwayAnswer, AwayKind, ToldAway
from app.coaching.weeks import local_day
from app.coaching.windows import PLANS_LISTED, WHOLE_BASE
from app.coaching.words import short_day
from app.storage import accounts, felt_wrong, history, safety, told_away
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, allowed_actions, open_record

LONGEST_DAYS = 366
#: A client tells of days that ended at most so long ago; the coach of any.
CLIENT_DAYS_BACK = 60
AHEAD_MOST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class Telling:
    """What somebody says about days away."""

    kind: AwayKind
    from_on: date
    until_on: date
    possible: Possible
    why_off: WhyNot | None = None
    #: How ill, where illness was the reason.
    illness: Illness | None = None
    text: str | None = None


@dataclass(frozen=True, slots=True)
class DaysAway:
    """Everything a client told, newest first."""

    client: Client
    today: date
    told: tuple[ToldAway, ...]
    names: Mapping[int, str]
    open_holds: tuple[Hold, ...]
    may_decide: bool


def tell(
    db: Session, *, actor: Actor, client_id: int, telling: Telling, origin: Origin, now: datetime
) -> tuple[int, tuple[int, ...]]:
    """Keep what is told about days away; illness pauses at once. Returns its id and the holds raised.

    Nothing of the plan changes by it. Raises: NotYours, NotAllowed; Refused for days that cannot be, or told already.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    _refuse_days(db, actor, client_id, telling, today)
    told = ToldAway(
        id=0,
        client_id=client_id,
        kind=telling.kind,
        from_on=telling.from_on,
        until_on=telling.until_on,
        possible=telling.possible,
        why_off=telling.why_off,
        text=telling.text,
        origin=origin,
        told_at=now,
        person_id=actor.person_id,
        answer=AwayAnswer.OPEN,
        answered_at=None,
        answered_by=None,
        answered_because=None,
    )
    away_id = told_away.add(db, told=told)
    after = {"from_on": told.from_on, "until_on": told.until_on, "possible": told.possible, "why_off": told.why_off}
    trace_away(
        db, actor, client_id, away_id=away_id, action="told", change={"after": after}, reason=telling.text, now=now
    )
    return away_id, _pause_when_ill(db, actor, client_id, telling.illness, telling.from_on, today=today, now=now)


def keep_illness(
    db: Session, *, actor: Actor, client_id: int, illness: Illness, from_on: date | None, now: datetime
) -> tuple[Hold, ...]:
    """Pause for an illness whose days could not be kept; returns the illness holds that stand then.

    from_on: its first day as far as it is known. Raises: NotYours, NotAllowed.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    _pause_when_ill(db, actor, client_id, illness, from_on or today, today=today, now=now)
    standing = (one for one in safety.holds_of(db, client_id=client_id) if one.lifted_at is None)
    return tuple(one for one in standing if one.kind is HoldKind.ILLNESS)


def days_away(db: Session, *, actor: Actor, client_id: int, now: datetime) -> DaysAway:
    """Everything a client told about days away. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    known = known_ahead(db, client, local_day(now, client.zone))
    told = tuple(sorted(known.told_away, key=lambda one: (one.from_on, one.id), reverse=True))
    people = {one.person_id for one in told} | {one.answered_by for one in told if one.answered_by}
    names = accounts.names_of(db, person_ids=people)
    may_decide = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    return DaysAway(client, local_day(now, client.zone), told, names, known.open_holds, may_decide)


def take_back(db: Session, *, actor: Actor, client_id: int, away_id: int, now: datetime) -> None:
    """Take back what was told, while nobody has answered. Raises: NotYours, NotAllowed, StaleEdit."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    told_one(db, client_id, away_id)
    keep_answer(
        db,
        actor=actor,
        client_id=client_id,
        away_id=away_id,
        answer=AwayAnswer.TAKEN_BACK,
        because=None,
        now=now,
    )


def _refuse_days(db: Session, actor: Actor, client_id: int, telling: Telling, today: date) -> None:
    if telling.until_on < telling.from_on:
        raise Refused("The last day comes before the first.")
    if telling.until_on - telling.from_on >= timedelta(days=LONGEST_DAYS):
        raise Refused("That is over a year.")
    if telling.until_on > today + AHEAD_MOST:
        raise Refused("That is more than a year ahead.")
    if not actor.is_coach and telling.until_on < today - timedelta(days=CLIENT_DAYS_BACK):
        raise Refused("That is long over. Tell your coach; your coach can still enter it.")
    known = history.load(db, client_ids=[client_id], from_on=today, until_on=today)[0]
    for one in known.told_away:
        if one.answer in COUNTS and one.from_on <= telling.until_on and telling.from_on <= one.until_on:
            days = f"{short_day(one.from_on)} to {short_day(one.until_on)}"
            otherwise = (
                "Take it back first if it was otherwise, or choose the days beside it."
                if one.is_open
                else "It is answered; if it was otherwise, speak with each other, and choose the days beside it here."
            )
            raise Refused(f"{days} is told already. {otherwise}")


def _pause_when_ill(
    db: Session, actor: Actor, client_id: int, illness: Illness | None, from_on: date, *, today: date, now: datetime
) -> tuple[int, ...]:
    open_holds = [one for one in safety.holds_of(db, client_id=client_id) if one.lifted_at is None]
    pause = illness_pause(illness, open_holds)
    if pause is None:
        return ()
    kind, stops, cause = pause
    hold_id = felt_wrong.raise_traced(
        db,
        client_id=client_id,
        kind=kind,
        stops=stops,
        mode=None,
        cause=cause,
        began_on=min(from_on, today),
        person_id=actor.person_id,
        at=now,
    )
    return (hold_id,)


def known_ahead(db: Session, client: Client, today: date) -> History:
    """A client's records as far as plans are listed."""
    return history.load(db, client_ids=[client.id], from_on=today - WHOLE_BASE, until_on=today + PLANS_LISTED)[0]


def told_one(db: Session, client_id: int, away_id: int) -> ToldAway:
    """What was told, of this client. Raises: NotYours."""
    told = told_away.one(db, away_id=away_id)
    if told is None or told.client_id != client_id:
        raise NotYours("There is no such record here.")
    return told


def keep_answer(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    away_id: int,
    answer: AwayAnswer,
    because: str | None,
    now: datetime,
) -> None:
    """Answer what is open, with its trace. Raises: StaleEdit."""
    if not told_away.keep_answer(
        db, away_id=away_id, answer=answer, because=because, person_id=actor.person_id, at=now
    ):
        raise StaleEdit("This is answered already. Nothing was changed.")
    change = {"after": {"answer": answer}}
    trace_away(db, actor, client_id, away_id=away_id, action=answer.value, change=change, reason=because, now=now)


def trace_away(
    db: Session,
    actor: Actor,
    client_id: int,
    *,
    away_id: int,
    action: str,
    change: Mapping[str, object],
    reason: str | None,
    now: datetime,
) -> None:
    """Leave a trace about days away."""
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject="days away",
        subject_id=away_id,
        change=change,
        reason=reason,
    )
