"""What a coach or a stand-in does with one session as it comes: take the easy version, or move it to another day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_version import eased
from app.coaching.effort import Band
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.move_days import MoveDay, asking, move_days, stands_on, stands_words
from app.coaching.people import Client
from app.coaching.plan_weeks import is_answered
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, Refused, is_reason
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.coaching.words import short_day
from app.storage import history, practice, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, open_planned_session

__all__ = ["Moved", "ReasonNeeded", "ease_today", "move_session", "suggest_days"]

MOVED_AHEAD_MOST = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class Moved:
    """What came of a move: the new version's number, and what stood on the day before and stays there."""

    version: int
    beside: tuple[PlannedSession, ...]

    @property
    def also_there(self) -> str:
        """What stays on the day beside it, to end a sentence with; "" for a day that held nothing."""
        return f"; {stands_words(self.beside)} stays there too" if self.beside else ""


def ease_today(
    db: Session, *, actor: Actor, client_id: int, planned_session_id: int, reason: str, now: datetime
) -> int:
    """Publish the easy version in place of today's harder session; returns the new version's number.

    Raises: Refused when it is not today's, already easy, entered, or all training is paused; ReasonNeeded.
    """
    client, _newest = _opened(db, actor, client_id, planned_session_id, now)
    session = _last_published(db, planned_session_id)
    today = local_day(now, client.zone)
    if session.planned_on != today:
        raise Refused(f"Only today's session is eased here; this one is on {short_day(session.planned_on)}.")
    if band_of_plan(session) is Band.EASY:
        raise Refused("This session is easy already.")
    if not reason.strip():
        raise ReasonNeeded("Say why it becomes easy today; the client reads it.")
    easy = eased(session)
    _refuse_breaches(_look_ahead(db, client, easy, today))
    version = _keep(db, actor, easy, reason=reason.strip(), publish=True, now=now)
    _trace(db, actor, session, easy, action="eased", reason=reason, now=now)
    return version


def move_session(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    planned_session_id: int,
    to_on: date,
    reason: str,
    now: datetime,
    despite: str | None = None,
) -> Moved:
    """Move a session to another day; what is published stays published and the client sees it at once.

    What stands on that day already stays, and so do the minutes of both.

    despite: why it goes where the look ahead asks for a reason; None when `reason` itself was written knowing that.
    Raises: Refused for a day that is over, an entered session, or what the look ahead refuses; ReasonNeeded when the
    session is published or the look ahead asks, and no reason was given.
    """
    client, session = _opened(db, actor, client_id, planned_session_id, now)
    today = local_day(now, client.zone)
    _refuse_move(db, session, to_on, today)
    moved = replace(session, planned_on=to_on)
    known = _known(db, client, moved, to_on, today)
    rules = practice.rules(db)
    found = breaches(known, [moved], today, rules)
    _refuse_breaches(found)
    is_published = session.published_at is not None
    asks = asking(breaches(known, [session], today, rules), found, is_published=is_published)
    answer = reason if despite is None else despite
    if is_published and not reason.strip():
        raise ReasonNeeded("Say why it moves; the reason is kept and the client reads it.", asks)
    if asks and not is_reason(answer):
        raise ReasonNeeded(f"This asks for a reason, which is kept. {REASON_ASKED}", asks)
    version = _keep(db, actor, moved, reason=reason.strip() or None, publish=is_published, now=now)
    for day in {week_start(session.planned_on), week_start(to_on)}:
        prescriptions.bump_week(db, client_id=client.id, starts_on=day, revision=None)
    kept = " ".join([reason.strip(), *([f"Even so: {despite.strip()}"] if asks and despite else [])])
    _trace(db, actor, session, moved, action="moved", reason=kept, now=now)
    return Moved(version, stands_on(known, session, to_on))


def suggest_days(
    db: Session, *, actor: Actor, client_id: int, planned_session_id: int, now: datetime
) -> tuple[MoveDay, ...]:
    """The days a session may go to, what breaks least first, each with what stands on it.

    Raises: NotYours; Refused when the session is cancelled or entered already.
    """
    client, session = _opened(db, actor, client_id, planned_session_id, now)
    today = local_day(now, client.zone)
    known = _known(db, client, session, today + FORTNIGHT, today)
    return move_days(known, session, today, practice.rules(db))


def _opened(
    db: Session, actor: Actor, client_id: int, planned_session_id: int, now: datetime
) -> tuple[Client, PlannedSession]:
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.LOG, now=now
    )
    if client.id != client_id:
        raise NotYours("There is no such session here.")
    if session.is_cancelled:
        raise Refused("This session is cancelled.")
    return client, session


def _last_published(db: Session, planned_session_id: int) -> PlannedSession:
    versions = prescriptions.versions(db, planned_session_id=planned_session_id)
    published = [version for version in versions if version.published_at is not None]
    if not published or published[-1].is_cancelled:
        raise Refused("This session is not published; change the draft instead.")
    return published[-1]


def _refuse_move(db: Session, session: PlannedSession, to_on: date, today: date) -> None:
    if session.planned_on < today:
        raise Refused(f"{short_day(session.planned_on)} is over; a day that is over is not changed any more.")
    if to_on < today:
        raise Refused(f"{short_day(to_on)} is over; nothing is planned into the past.")
    if to_on == session.planned_on:
        raise Refused(f"It is on {short_day(to_on)} already.")
    if to_on > today + MOVED_AHEAD_MOST:
        raise Refused(f"That is more than {MOVED_AHEAD_MOST.days} days ahead; copy the session there instead.")
    versions = prescriptions.versions(db, planned_session_id=session.id)
    if session.published_at is None and any(version.published_at is not None for version in versions):
        raise Refused("A change of this session waits unpublished. Publish that first, then move it.")


def _look_ahead(db: Session, client: Client, session: PlannedSession, today: date) -> tuple[Breach, ...]:
    known = _known(db, client, session, session.planned_on, today)
    return breaches(known, [session], today, practice.rules(db))


def _known(db: Session, client: Client, session: PlannedSession, last_on: date, today: date) -> History:
    """The client's records as far as a fortnight after the last day asked about. Raises: Refused once entered."""
    until_on = max(last_on, today) + FORTNIGHT
    known = history.load(db, client_ids=[client.id], from_on=today - WHOLE_BASE, until_on=until_on)[0]
    if is_answered(known, session.id):
        raise Refused("This session is entered already; what was done is compared with the plan as it stood.")
    return known


def _refuse_breaches(found: Sequence[Breach]) -> None:
    refused = [breach.sentence for breach in found if breach.level is Level.REFUSES]
    if refused:
        raise Refused(" ".join(refused))


def _keep(
    db: Session, actor: Actor, session: PlannedSession, *, reason: str | None, publish: bool, now: datetime
) -> int:
    return prescriptions.add_version(
        db,
        planned_session_id=session.id,
        client_id=session.client_id,
        draft=prescriptions.draft_from(session, reason=reason),
        person_id=actor.person_id,
        at=now,
        publish=publish,
    )


def _trace(
    db: Session,
    actor: Actor,
    before: PlannedSession,
    after: PlannedSession,
    *,
    action: str,
    reason: str,
    now: datetime,
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=before.client_id,
        action=action,
        subject="planned session",
        subject_id=before.id,
        change={
            "before": {"on": before.planned_on, "title": before.title, "minutes": before.minutes},
            "after": {"on": after.planned_on, "title": after.title, "minutes": after.minutes},
        },
        reason=reason.strip() or None,
    )
