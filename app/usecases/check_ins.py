"""The weekly check-in: which week is asked about, keeping what is told, and the pauses it brings at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.check_ins import CheckIn, FallTold, WeekFelt, week_asked_about
from app.coaching.falls import takes_blood_thinners
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Client, ClientState, Mode, Origin
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.reasons import Refused
from app.coaching.session_logs import WhyNot
from app.coaching.symptoms import sign_of
from app.coaching.weeks import local_day
from app.storage import conversations, felt_wrong, history, readiness, safety
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

MEDICINE_CAUSE = "A medicine was changed"


@dataclass(frozen=True, slots=True)
class CheckInPage:
    """The week asked about and what was told of it."""

    client: Client
    #: None on a day on which no week is asked about, and for whoever does not train here now.
    week_on: date | None
    told: CheckIn | None


@dataclass(frozen=True, slots=True)
class Told:
    """What somebody says about a week."""

    felt: WeekFelt
    other_hard: bool
    medicine_changed: bool
    fall: FallTold
    #: How they moved when they fell; None stops everything.
    fall_mode: Mode | None
    barrier: WhyNot | None
    confidence: int | None
    text: str | None


def page(db: Session, *, actor: Actor, client_id: int, now: datetime) -> CheckInPage:
    """Which week is asked about, and what was told of it already. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    week_on = week_asked_about(local_day(now, client.zone)) if client.state is ClientState.ACTIVE else None
    told = conversations.check_in(db, client_id=client_id, week_on=week_on) if week_on else None
    return CheckInPage(client, week_on, told)


def keep(
    db: Session, *, actor: Actor, client_id: int, told: Told, origin: Origin, now: datetime
) -> tuple[int, tuple[int, ...]]:
    """Keep a week as it was told; a changed medicine and a fall pause at once. Returns its id and the holds raised.

    Raises: NotYours, NotAllowed; Refused when no week is asked about today, or this one was told already.
    """
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    found = page(db, actor=actor, client_id=client_id, now=now)
    if found.week_on is None:
        raise Refused("A week is told from Friday to the Wednesday after it; come back then.")
    if found.told is not None:
        raise Refused("This week was told already. What came since belongs under How I am, or in a call.")
    today = local_day(now, found.client.zone)
    one = CheckIn(
        id=0,
        client_id=client_id,
        week_on=found.week_on,
        felt=told.felt,
        other_hard=told.other_hard,
        medicine_changed=told.medicine_changed,
        fell=told.fall is not FallTold.NO,
        barrier=told.barrier,
        confidence=told.confidence,
        text=told.text,
        origin=origin,
        entered_at=now,
        person_id=actor.person_id,
    )
    check_in_id = conversations.add_check_in(db, told=one)
    change = {"week_on": one.week_on, "felt": one.felt, "origin": origin}
    _trace(db, one, action="told", subject="week", subject_id=check_in_id, change=change)
    holds = [
        *(_medicine(db, one, today=today) if one.medicine_changed else []),
        *([_fall(db, one, told, today=today)] if one.fell else []),
    ]
    return check_in_id, tuple(holds)


def _trace(
    db: Session, one: CheckIn, *, action: str, subject: str, subject_id: int, change: dict[str, object]
) -> None:
    leave_trace(
        db,
        at=one.entered_at,
        person_id=one.person_id,
        client_id=one.client_id,
        action=action,
        subject=subject,
        subject_id=subject_id,
        change={"after": change},
    )


def _medicine(db: Session, one: CheckIn, *, today: date) -> list[int]:
    """The same as under How I am: a note of the day, and hard work pauses unless it does already."""
    note_id = readiness.add(db, note=_note(one, today))
    change = {"noted_on": today, "medicine_changed": True, "origin": one.origin}
    _trace(db, one, action="noted", subject="readiness note", subject_id=note_id, change=change)
    held = safety.holds_of(db, client_id=one.client_id)
    if any(hold.lifted_at is None and hold.kind is HoldKind.MEDICINE_CHANGE for hold in held):
        return []
    return [
        felt_wrong.raise_traced(
            db,
            client_id=one.client_id,
            kind=HoldKind.MEDICINE_CHANGE,
            stops=Stops.HARD,
            mode=None,
            cause=MEDICINE_CAUSE,
            began_on=today,
            person_id=one.person_id,
            at=one.entered_at,
        )
    ]


def _note(one: CheckIn, today: date) -> ReadinessNote:
    return ReadinessNote(
        id=0,
        client_id=one.client_id,
        noted_on=today,
        sleep=None,
        fatigue=None,
        stress=None,
        soreness=None,
        mood=None,
        slept_h=None,
        resting_heart_rate_bpm=None,
        ln_rmssd=None,
        illness=Illness.NONE,
        medicine_changed=True,
        not_right_today=False,
        text=None,
        origin=one.origin,
        entered_at=one.entered_at,
        person_id=one.person_id,
    )


def _fall(db: Session, one: CheckIn, told: Told, *, today: date) -> int:
    known = history.load(db, client_ids=[one.client_id], from_on=today, until_on=today)[0]
    is_serious = told.fall is FallTold.HEAD_OR_THINNERS or takes_blood_thinners(known)
    recorded = felt_wrong.record(
        db,
        client_id=one.client_id,
        sign=sign_of("fall_head" if is_serious else "fall"),
        felt_on=today,
        mode=told.fall_mode,
        text=one.text,
        origin=one.origin,
        person_id=one.person_id,
        at=one.entered_at,
    )
    return recorded.hold_id
