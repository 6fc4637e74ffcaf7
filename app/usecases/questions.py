"""The screening questions answered by the client, or by the coach as told; what they stop works at once."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.consents import current_consent
from app.coaching.heart_rate_trust import names_other_groups
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Client, Origin
from app.coaching.questions import (
    MEDICINE_GROUPS,
    NEWS_QUESTION,
    PREGNANCY_QUESTION,
    Question,
    Reply,
    Sums,
    asked_of,
    may_be_said,
    sums_from,
)
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.screening import ClearanceState, ConsentKind, ScreeningAnswers, YesNo
from app.coaching.weeks import local_day
from app.storage import clients, felt_wrong, safety
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

PREGNANCY_CAUSE = "Pregnant, or gave birth in the last months"
MEDICINE_CAUSE = "A medicine or rhythm that changes heart rate was named for the first time"
#: Raised where no clinician's paper is on file; where one is, the news ends it and the screening stops hard work.
NEWS_CAUSE = "New since the last questions: a diagnosis, a heart or blood pressure medicine, or a stay in hospital"


@dataclass(frozen=True, slots=True)
class QuestionsEntry:
    """Single answers by key, and whom to call in an emergency."""

    replies: Mapping[str, Reply]
    medicines: Mapping[str, Reply]
    emergency_contact: str
    emergency_phone: str
    answered_on: date | None = None


@dataclass(frozen=True, slots=True)
class QuestionsPage:
    """What the form needs: which questions are asked, and when they were answered last."""

    client: Client
    today: date
    asked: tuple[Question, ...]
    #: Not asked of this client, and free to be answered.
    more: tuple[Question, ...]
    last: ScreeningAnswers | None
    #: Whether the client agreed that health answers are kept.
    may_be_kept: bool


def page(db: Session, *, actor: Actor, client_id: int, now: datetime) -> QuestionsPage:
    """The form for one client."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    past = safety.screening_of(db, client_id=client_id)
    agreed = current_consent(safety.consents_of(db, client_id=client_id), ConsentKind.HEALTH_DATA)
    today = local_day(now, client.zone)
    return QuestionsPage(
        client=client,
        today=today,
        asked=asked_of(client, past, today),
        more=may_be_said(client, past, today),
        last=past[-1] if past else None,
        may_be_kept=agreed is not None,
    )


def keep(db: Session, *, actor: Actor, client_id: int, entry: QuestionsEntry, origin: Origin, now: datetime) -> int:
    """Keep a full set of answers and the emergency contact; pregnancy, a new heart medicine and news pause hard work.

    Symptoms and diseases work through the screening decision from the next page on.
    Raises: Refused while a question stays open or the day has not come.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    answered_on = entry.answered_on or today
    if answered_on > today:
        raise Refused("This day has not come yet.")
    past = safety.screening_of(db, client_id=client_id)
    open_ones = [one for one in asked_of(client, past, today) if one.key not in entry.replies]
    if open_ones or any(group.key not in entry.medicines for group in MEDICINE_GROUPS):
        raise Refused("Every question needs an answer; not sure is one.")
    sums = sums_from(entry.replies, entry.medicines)
    pregnant = _pregnant(entry.replies.get(PREGNANCY_QUESTION.key))
    screening_id = _add(
        db,
        client_id,
        entry,
        sums=sums,
        pregnant=pregnant,
        answered_on=answered_on,
        actor=actor,
        origin=origin,
        now=now,
    )
    _confirm_contact(db, client, entry, today=answered_on, actor=actor, now=now)
    before = past[-1] if past else None
    _pause(
        db,
        client_id,
        pregnant=pregnant,
        is_news=entry.replies.get(NEWS_QUESTION.key) in (Reply.YES, Reply.NOT_SURE),
        before=before,
        day=answered_on,
        actor=actor,
        now=now,
    )
    return screening_id


def _pregnant(reply: Reply | None) -> YesNo:
    """Not asked stays unknown, never no; not sure counts as yes until it is settled."""
    if reply is None:
        return YesNo.UNKNOWN
    return YesNo.YES if reply in (Reply.YES, Reply.NOT_SURE) else YesNo.NO


def _add(
    db: Session,
    client_id: int,
    entry: QuestionsEntry,
    *,
    sums: Sums,
    pregnant: YesNo,
    answered_on: date,
    actor: Actor,
    origin: Origin,
    now: datetime,
) -> int:
    details = {**entry.replies, "medicines": dict(entry.medicines)}
    screening_id = safety.add_screening(
        db,
        client_id=client_id,
        answered_on=answered_on,
        active=sums.active,
        disease=sums.disease,
        symptoms=sums.symptoms,
        pregnant=pregnant,
        heart_rate_medicine=sums.heart_rate_medicine,
        details_json=json.dumps(details),
        origin=origin,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="answered",
        subject="screening questions",
        subject_id=screening_id,
        change={
            "after": {"active": sums.active, "disease": sums.disease, "symptoms": sums.symptoms, "origin": origin}
        },
    )
    return screening_id


def _confirm_contact(
    db: Session, client: Client, entry: QuestionsEntry, *, today: date, actor: Actor, now: datetime
) -> None:
    values = {
        "emergency_contact": entry.emergency_contact,
        "emergency_phone": entry.emergency_phone,
        "emergency_confirmed_on": today,
    }
    if not clients.change(db, client_id=client.id, revision=client.revision, values=values):
        raise StaleEdit("The record was changed meanwhile. What you typed is still here; send it again.")
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="confirmed",
        subject="emergency contact",
        subject_id=client.id,
        change={
            "before": {name: getattr(client, name) for name in values},
            "after": values,
        },
    )


def _pause(
    db: Session,
    client_id: int,
    *,
    pregnant: YesNo,
    is_news: bool,
    before: ScreeningAnswers | None,
    day: date,
    actor: Actor,
    now: datetime,
) -> None:
    open_holds = [one for one in safety.holds_of(db, client_id=client_id) if one.lifted_at is None]
    # A coach's own pause for another reason does not stand for a review of the news.
    standing = {one.kind for one in open_holds if one.kind is not HoldKind.COACH or one.cause == NEWS_CAUSE}
    kept = max(safety.screening_of(db, client_id=client_id), key=lambda one: one.id)
    is_new_medicine = names_other_groups(before, kept)
    wanted = (
        (HoldKind.PREGNANCY, pregnant is YesNo.YES, PREGNANCY_CAUSE),
        (HoldKind.MEDICINE_CHANGE, is_new_medicine, MEDICINE_CAUSE),
        (HoldKind.COACH, is_news and not _has_paper(db, client_id), NEWS_CAUSE),
    )
    for kind, is_due, cause in wanted:
        if is_due and kind not in standing:
            felt_wrong.raise_traced(
                db,
                client_id=client_id,
                kind=kind,
                stops=Stops.HARD,
                mode=None,
                cause=cause,
                began_on=day,
                person_id=actor.person_id,
                at=now,
            )


def _has_paper(db: Session, client_id: int) -> bool:
    return any(one.state is ClearanceState.GRANTED for one in safety.clearances_of(db, client_id=client_id))
