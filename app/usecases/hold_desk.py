"""Holds at the coach's desk: raised at once, lifted only on what each asks for, and a lift taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.done_work import done_minutes
from app.coaching.hold_rules import LiftEvidence, covering_hold, lifting_clearance, may_lift, remains_after_illness
from app.coaching.holds import Hold, HoldKind, Stops, words_of
from app.coaching.illness_return import HARD_STILL_WAITS, advice_asked_because, days_lost, last_ill_on
from app.coaching.lift_words import field_of
from app.coaching.people import Client, ContactKind, Mode
from app.coaching.reasons import Refused
from app.coaching.screening import Clearance, ClearanceState
from app.coaching.weeks import day_words, local_day
from app.storage import clients, illness, intake, readiness, safety, session_logs
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, open_record

#: Kinds that stop everything whatever is asked for, and kinds about one way of moving.
_STOPS_ALL = frozenset({HoldKind.SYMPTOM})
#: Kinds that only a paper lifts.
PAPER_KINDS = frozenset({HoldKind.SYMPTOM, HoldKind.CLEARANCE, HoldKind.PREGNANCY})
#: What says more than a second hold of a kind would.
_INSTEAD_OF_A_SECOND = {
    HoldKind.ILLNESS: "Enter how they are, ill again or still: the way back counts from the newest ill day."
}
_MAY_NAME_A_MODE = frozenset({HoldKind.INJURY, HoldKind.HEAT, HoldKind.COACH})


@dataclass(frozen=True, slots=True)
class LiftGiven:
    """What the person lifting a hold typed."""

    because: str = ""
    #: What was said with the client; kept as a contact.
    talk: str | None = None
    pain_free_easy_on: date | None = None
    heart_rate_source_reviewed: bool = False
    well_since_on: date | None = None
    #: Who gave medical advice before the way back from illness, and when.
    advice_from: str | None = None
    advice_on: date | None = None
    password_confirmed: bool = False


@dataclass(frozen=True, slots=True)
class HoldOpened:
    """One hold with its client and what could lift it."""

    client: Client
    hold: Hold
    today: date
    #: The paper that lifts it, if there is one.
    paper: Clearance | None
    has_talk: bool
    #: What the client wrote in the reports that raised it.
    own_words: tuple[str, ...]
    #: Why medical advice comes before this one is lifted; None when it is not asked.
    advice_because: str | None
    #: The newest day of the illness, where it is about one: the way back counts from it.
    last_ill_on: date | None


@dataclass(frozen=True, slots=True)
class RaisedAgain:
    """A hold that is up again after its lift was taken back."""

    client_id: int
    hold_id: int


def raise_hold(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    kind: HoldKind,
    stops: Stops,
    mode: Mode | None,
    cause: str,
    began_on: date,
    now: datetime,
) -> int:
    """Raise a hold; it stops training from this moment and cannot be taken back, only lifted. Returns its id.

    Raises: NotYours, NotAllowed; Refused for a day to come, a hold that stops too little for its kind, or one that
    an open hold covers already.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if began_on > local_day(now, client.zone):
        raise Refused("A hold begins today or earlier; this day has not come yet.")
    if not cause.strip():
        raise Refused("Say what happened.")
    fault = hold_fault(kind, stops, mode)
    if fault is not None:
        raise Refused(fault[1])
    standing = safety.holds_of(db, client_id=client.id)
    covering = covering_hold(standing, kind=kind, stops=stops, mode=mode, began_on=began_on)
    if covering is not None:
        raise Refused(
            f"A hold for this is open since {day_words(covering.began_on)} and stops as much; a second would add "
            f"nothing. {_INSTEAD_OF_A_SECOND.get(kind, 'Write what is new as a note.')}"
        )
    return _raise(
        db, actor=actor, client_id=client.id, kind=kind, stops=stops, mode=mode, cause=cause, on=began_on, now=now
    )


def hold_fault(kind: HoldKind, stops: Stops, mode: Mode | None) -> tuple[str, str] | None:
    """What is wrong with a hold as it was asked for: the field and the sentence; None when it is sound."""
    if kind in _STOPS_ALL and stops is not Stops.ALL:
        return "stops", "After a symptom everything stops, until a clinician's clearance dated later."
    if stops is Stops.MODE_AND_HARD and kind not in _MAY_NAME_A_MODE:
        return "stops", "This kind of hold is not about one way of moving."
    if stops is Stops.MODE_AND_HARD and mode is None:
        return "mode", "Say which way of moving stops."
    if stops is not Stops.MODE_AND_HARD and mode is not None:
        return "mode", "Leave this empty unless one way of moving stops."
    return None


def open_hold(db: Session, *, actor: Actor, hold_id: int, now: datetime) -> HoldOpened:
    """A hold for the page that lifts it. Raises: NotYours, NotAllowed."""
    hold, client = _find(db, actor=actor, hold_id=hold_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    papers = _answers(db, client.id)
    has_talk = _has_talk(db, hold, client.zone)
    said = words_of(hold, safety.symptoms_of(db, client_id=client.id))
    paper = lifting_clearance(hold, papers, today)
    return HoldOpened(
        client,
        hold,
        today,
        paper,
        has_talk,
        said,
        advice_because=_advice_because(db, client, hold, today),
        last_ill_on=_last_ill_on(db, hold, today),
    )


def lift(db: Session, *, actor: Actor, hold_id: int, given: LiftGiven, now: datetime) -> list[tuple[str, str]]:
    """Lift a hold, or say beside which field what is missing; nobody overrides a symptom hold.

    Raises: NotYours, NotAllowed.
    """
    hold, client = _find(db, actor=actor, hold_id=hold_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    papers = _answers(db, client.id)
    evidence = LiftEvidence(
        because=given.because,
        talk_recorded=bool((given.talk or "").strip()) or _has_talk(db, hold, client.zone),
        pain_free_easy_on=given.pain_free_easy_on,
        heart_rate_source_reviewed=given.heart_rate_source_reviewed,
        well_since_on=given.well_since_on,
        last_ill_on=_last_ill_on(db, hold, today),
        advice_because=_advice_because(db, client, hold, today),
        advice_on=given.advice_on if (given.advice_from or "").strip() else None,
        password_confirmed=given.password_confirmed,
    )
    refusals = may_lift(hold, clearances=papers, today=today, evidence=evidence)
    problems = [(field_of(hold, sentence), sentence) for sentence in refusals]
    problems += _unlogged_outing(db, hold, given, today)
    if problems:
        return problems
    _close(db, actor=actor, hold=hold, given=given, papers=papers, today=today, now=now)
    return []


def undo_lift(db: Session, *, actor: Actor, hold_id: int, now: datetime) -> RaisedAgain:
    """Take back a lift on the day it was made: the same hold is raised again at once.

    Raises: NotYours, NotAllowed; Refused when it is still open, or was lifted on another day.
    """
    hold, client = _find(db, actor=actor, hold_id=hold_id, action=Action.LOG, now=now)
    if not may_undo_lift(hold, client, now=now):
        raise Refused("A lift can be taken back on its own day. Raise a new hold instead; it works at once.")
    is_back = any(
        one.lifted_at is None and (one.kind, one.began_on, one.cause) == (hold.kind, hold.began_on, hold.cause)
        for one in safety.holds_of(db, client_id=client.id)
    )
    if is_back:
        raise Refused("This lift was taken back already; the hold is open.")
    raised_id = _raise(
        db,
        actor=actor,
        client_id=client.id,
        kind=hold.kind,
        stops=hold.stops,
        mode=hold.mode,
        cause=hold.cause,
        on=hold.began_on,
        now=now,
        undoes=hold.id,
    )
    return RaisedAgain(client.id, raised_id)


def may_undo_lift(hold: Hold, client: Client, *, now: datetime) -> bool:
    """Whether a lift was made today."""
    lifted_at = hold.lifted_at
    return lifted_at is not None and local_day(lifted_at, client.zone) == local_day(now, client.zone)


def _find(db: Session, *, actor: Actor, hold_id: int, action: Action, now: datetime) -> tuple[Hold, Client]:
    hold = safety.hold(db, hold_id=hold_id)
    if hold is None:
        raise NotYours("There is no such hold here.")
    return hold, open_record(db, actor=actor, client_id=hold.client_id, action=action, now=now)


def _raise(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    kind: HoldKind,
    stops: Stops,
    mode: Mode | None,
    cause: str,
    on: date,
    now: datetime,
    undoes: int | None = None,
) -> int:
    hold_id = safety.raise_hold(
        db,
        client_id=client_id,
        kind=kind,
        stops=stops,
        mode=mode,
        cause=cause,
        began_on=on,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="raise_hold" if undoes is None else "undo_lift",
        subject="hold",
        subject_id=hold_id,
        change={"after": {"kind": kind, "stops": stops, "mode": mode, "began_on": on, "undoes": undoes}},
        reason=cause,
    )
    return hold_id


def _answers(db: Session, client_id: int) -> list[Clearance]:
    """What clinicians answered; what was only asked for is left out."""
    papers = safety.clearances_of(db, client_id=client_id)
    return [one for one in papers if one.state is not ClearanceState.REQUESTED]


def _has_talk(db: Session, hold: Hold, zone: str) -> bool:
    """Whether a contact was kept since the hold was raised: an earlier one was about something else."""
    raised_on = local_day(hold.raised_at, zone)
    return any(one.contact_on >= raised_on for one in clients.contacts(db, client_id=hold.client_id))


def _unlogged_outing(db: Session, hold: Hold, given: LiftGiven, today: date) -> list[tuple[str, str]]:
    """An easy session that was named has to be on record: somebody did it, and said how it went."""
    on = given.pain_free_easy_on
    if hold.kind is not HoldKind.INJURY or on is None or not hold.began_on < on <= today:
        return []
    logs = session_logs.between(db, client_ids=[hold.client_id], from_on=on, until_on=on)
    if any(done_minutes(log) > 0 for log in logs):
        return []
    return [("pain_free_easy_on", "No session is logged on that day. Enter it first, told by phone will do.")]


def _last_ill_on(db: Session, hold: Hold, today: date) -> date | None:
    """The newest day of the illness behind a hold; None for a hold of another kind."""
    if hold.kind is not HoldKind.ILLNESS:
        return None
    notes = readiness.between(db, client_ids=[hold.client_id], from_on=hold.began_on, until_on=today)
    return last_ill_on(hold, notes)


def _close(
    db: Session,
    *,
    actor: Actor,
    hold: Hold,
    given: LiftGiven,
    papers: Sequence[Clearance],
    today: date,
    now: datetime,
) -> None:
    because = given.because.strip()
    paper = lifting_clearance(hold, papers, today) if hold.kind in PAPER_KINDS else None
    _keep_talk(db, actor=actor, hold=hold, given=given, today=today)
    paper_id = paper.id if paper else None
    safety.lift_hold(db, hold_id=hold.id, because=because, clearance_id=paper_id, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=hold.client_id,
        action="lift_hold",
        subject="hold",
        subject_id=hold.id,
        change={"before": {"lifted_at": None}, "after": {"lifted_at": now, "clearance_id": paper_id}},
        reason=because,
    )
    since = given.well_since_on
    if since is not None and hold.kind is HoldKind.ILLNESS and hold.stops is Stops.ALL:
        _keep_way_back(db, actor=actor, hold=hold, given=given, since=since, today=today, now=now)
    remains = None if since is None else remains_after_illness(hold, since, today)
    if remains is not None:
        _keep_what_remains(db, actor=actor, hold=hold, remains=remains, now=now)


def _keep_talk(db: Session, *, actor: Actor, hold: Hold, given: LiftGiven, today: date) -> None:
    talk = (given.talk or "").strip()
    if talk:
        clients.add_contact(
            db,
            client_id=hold.client_id,
            contact_on=today,
            kind=ContactKind.CALL,
            text=talk,
            person_id=actor.person_id,
        )


def _keep_way_back(
    db: Session, *, actor: Actor, hold: Hold, given: LiftGiven, since: date, today: date, now: datetime
) -> None:
    """Keep how many days were lost: half the usual minutes follows for as many, and hard work after that."""
    advice_from = (given.advice_from or "").strip() or None
    advice_on = given.advice_on if advice_from else None
    lost = days_lost(hold.began_on, today)
    return_id = illness.add_return(
        db,
        client_id=hold.client_id,
        hold_id=hold.id,
        well_since_on=since,
        lifted_on=today,
        days_lost=lost,
        advice_from=advice_from if advice_on else None,
        advice_on=advice_on,
        person_id=actor.person_id,
        at=now,
    )
    after = {"well_since_on": since, "days_lost": lost, "advice_from": advice_from, "advice_on": advice_on}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=hold.client_id,
        action="way_back_after_illness",
        subject="illness return",
        subject_id=return_id,
        change={"after": after},
    )


def _advice_because(db: Session, client: Client, hold: Hold, today: date) -> str | None:
    """Why medical advice comes first, for a hold on all training after illness."""
    if hold.kind is not HoldKind.ILLNESS or hold.stops is not Stops.ALL:
        return None
    answers = safety.screening_of(db, client_id=client.id)
    newest = max(answers, key=lambda one: (one.answered_on, one.id), default=None)
    return advice_asked_because(client, newest, today, unsent=intake.unsent_of(db, client_id=client.id))


def _keep_what_remains(db: Session, *, actor: Actor, hold: Hold, remains: Stops, now: datetime) -> None:
    """After fever, easy work comes back first: a hold on hard work takes the place of the one on everything."""
    _raise(
        db,
        actor=actor,
        client_id=hold.client_id,
        kind=hold.kind,
        stops=remains,
        mode=None,
        cause=f"{hold.cause[: 2000 - len(HARD_STILL_WAITS)]}{HARD_STILL_WAITS}",
        on=hold.began_on,
        now=now,
    )
