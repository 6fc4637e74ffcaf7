"""Taking back that today's session was made easy: looked at first, since harder work comes back with it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_back import back_asks, back_refused
from app.coaching.lookahead_values import Breach, ReasonNeeded
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, Refused, is_reason
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import prescriptions
from app.usecases.gate import open_planned_session
from app.usecases.plan_sessions.changing import may_take_easy_back
from app.usecases.plan_sessions.keeping import history_around, keep_version, open_to_change, refuse_frozen

NOTHING_TO_TAKE_BACK = "This is not an easy version of today; there is nothing to take back."
BACK_REASON = "The easy version is taken back; it is as it was planned."


@dataclass(frozen=True, slots=True)
class EasyBack:
    """What taking it back would bring, and what stands in the way."""

    client: Client
    #: The easy version as it stands.
    easy: PlannedSession
    #: What comes back.
    before: PlannedSession
    #: Why it may not come back, as sentences; empty when it may.
    refused: tuple[str, ...]
    #: What of it asks for a second look.
    asks: tuple[Breach, ...]


def look_at_easy_back(db: Session, *, actor: Actor, planned_session_id: int, rules: Rules, now: datetime) -> EasyBack:
    """What comes back with today's session.

    Raises: NotYours, NotAllowed; Refused where nothing is to be taken back.
    """
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.LOG, now=now
    )
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    before = _before(db, session, now, client)
    refused = back_refused(known, before, today, rules)
    return EasyBack(client, session, before, refused, back_asks(known, before, today, rules))


def take_easy_back(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    version: int,
    despite: str | None = None,
    rules: Rules,
    now: datetime,
) -> None:
    """Bring back what stood before today's session was made easy, as a version of its own the client sees at once.

    despite: why it comes back where the look ahead asks for a reason.
    Raises: ChangedMeanwhile; Refused when it is entered, was not made easy today, or may not be hard any more;
    ReasonNeeded where the look ahead asks and no reason was given.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now, action=Action.LOG)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    before = _before(db, session, now, client)
    if refused := back_refused(known, before, today, rules):
        raise Refused(" ".join(refused))
    asks = back_asks(known, before, today, rules)
    if asks and not is_reason(despite):
        raise ReasonNeeded(f"This asks for a reason, which is kept. {REASON_ASKED}", asks)
    keep_version(
        db,
        actor,
        session,
        before,
        reason=BACK_REASON,
        publish=True,
        action="took easy back",
        now=now,
        despite=despite if asks else None,
    )


def _before(db: Session, session: PlannedSession, now: datetime, client: Client) -> PlannedSession:
    versions = prescriptions.versions(db, planned_session_id=session.id)
    if not may_take_easy_back(versions, local_day(now, client.zone)):
        raise Refused(NOTHING_TO_TAKE_BACK)
    return versions[-2]
