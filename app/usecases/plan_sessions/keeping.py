"""What every change of a planned session shares: finding it unchanged meanwhile, freezing, keeping, the trace."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.plan_weeks import is_answered
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.weeks import week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.coaching.words import short_day
from app.storage import accounts, history, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, open_planned_session


class ChangedMeanwhile(StaleEdit):
    """Somebody else changed the session; `before` is what was opened, `newest` how it stands."""

    def __init__(self, before: PlannedSession, newest: PlannedSession, author: str) -> None:
        super().__init__(f"{author} changed this session while you had it open. Nothing of yours is lost.")
        self.before, self.newest, self.author = before, newest, author


def open_to_change(
    db: Session,
    actor: Actor,
    planned_session_id: int,
    version: int,
    now: datetime,
    *,
    action: Action = Action.DECIDE,
) -> tuple[Client, PlannedSession]:
    """The client and the newest version, for a change of a given version. Raises: ChangedMeanwhile."""
    client, newest = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=action, now=now
    )
    if version == newest.version:
        return client, newest
    versions = {one.version: one for one in prescriptions.versions(db, planned_session_id=planned_session_id)}
    if version not in versions:
        raise NotYours("There is no such version here.")
    author = accounts.person(db, person_id=newest.person_id)
    raise ChangedMeanwhile(versions[version], newest, author.name if author else "Somebody")


def history_around(db: Session, client_id: int, day: date, today: date) -> History:
    """Everything a look ahead at a day needs."""
    until_on = max(day, today) + FORTNIGHT
    from_on = min(day, today - WHOLE_BASE)
    return history.load(db, client_ids=[client_id], from_on=from_on, until_on=until_on)[0]


def refuse_frozen(db: Session, known: History, session: PlannedSession, today: date) -> None:
    """A day that is over and a session that is entered are not changed any more. Raises: Refused.

    The day that counts is the one the client saw, also when an unpublished draft has moved it since.
    """
    published = prescriptions.published_of(db, planned_session_ids=[session.id])
    days = [session.planned_on] + [one.planned_on for one in published[-1:] if not one.is_cancelled]
    if min(days) < today:
        raise Refused(f"{short_day(min(days))} is over; a day that is over is not changed any more.")
    if is_answered(known, session.id):
        raise Refused("This session is entered already; what was done is compared with the plan as it stood.")


def is_seen(db: Session, session: PlannedSession) -> bool:
    """Whether the client sees the session: its last published version is not a cancelled one."""
    published = prescriptions.published_of(db, planned_session_ids=[session.id])
    return bool(published) and not published[-1].is_cancelled


def keep_version(
    db: Session,
    actor: Actor,
    before: PlannedSession,
    after: PlannedSession,
    *,
    reason: str | None,
    publish: bool,
    action: str,
    now: datetime,
    despite: str | None = None,
) -> None:
    """Keep the next version with its trace; `despite` answers what was asked and stands in the trail alone."""
    prescriptions.add_version(
        db,
        planned_session_id=before.id,
        client_id=before.client_id,
        draft=prescriptions.draft_from(after, reason=reason),
        person_id=actor.person_id,
        at=now,
        publish=publish,
    )
    for monday in {week_start(before.planned_on), week_start(after.planned_on)}:
        prescriptions.bump_week(db, client_id=before.client_id, starts_on=monday, revision=None)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=before.client_id,
        action=action,
        subject="planned session",
        subject_id=before.id,
        change={"before": _told(before), "after": _told(after)},
        reason=reason if despite is None else f"{reason or ''} Even so: {despite}".strip(),
    )


def keep_new(
    db: Session, actor: Actor, client_id: int, draft: prescriptions.VersionDraft, *, action: str, now: datetime
) -> int:
    """Keep a new session as a draft with its trace; returns its identity."""
    session_id = prescriptions.add_session(
        db, client_id=client_id, draft=draft, person_id=actor.person_id, at=now, publish=False
    )
    prescriptions.bump_week(db, client_id=client_id, starts_on=week_start(draft.planned_on), revision=None)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject="planned session",
        subject_id=session_id,
        change={"after": {"on": draft.planned_on, "title": draft.title, "minutes": draft.minutes}},
        reason=draft.reason,
    )
    return session_id


def _told(session: PlannedSession) -> dict[str, object]:
    return {
        "version": session.version,
        "on": session.planned_on,
        "title": session.title,
        "minutes": session.minutes,
        "hard": session.is_hard,
        "cancelled": session.is_cancelled,
    }
