"""Hard sessions the phase no longer allows: made easy, or cancelled, all in one go."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from enum import StrEnum

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_version import eased
from app.coaching.hard_astray import hard_astray
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.weeks import local_day
from app.coaching.windows import PLANS_LISTED
from app.storage import history
from app.usecases.gate import open_record
from app.usecases.plan_sessions.keeping import keep_version


class AstrayWay(StrEnum):
    """What is done with hard sessions the phase does not allow."""

    EASE = "ease"
    CANCEL = "cancel"


def mend_astray(
    db: Session, *, actor: Actor, client_id: int, way: AstrayWay, seen: str, reason: str | None, now: datetime
) -> int:
    """Ease or cancel every hard session the client still has while the phase allows none; returns how many.

    Each becomes a version of its own that the client sees at once, with the reason.
    seen: the versions looked at, as `seen_of` names them. Raises: StaleEdit when they changed; Refused; ReasonNeeded.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    known = history.load(db, client_ids=[client_id], from_on=today, until_on=today + PLANS_LISTED)[0]
    found = hard_astray(known, today)
    if not found:
        raise Refused("No hard session stands in the way; there is nothing to change.")
    if seen != seen_of(found):
        raise StaleEdit("The plan changed while you looked at it. Nothing was changed; this is how it stands now.")
    if not reason:
        raise ReasonNeeded("Say why; the client reads it.")
    for session in found:
        after = eased(session) if way is AstrayWay.EASE else replace(session, is_cancelled=True)
        keep_version(db, actor, session, after, reason=reason, publish=True, action=_ACTIONS[way], now=now)
    return len(found)


def seen_of(sessions: tuple[PlannedSession, ...]) -> str:
    """The versions of some sessions, to notice when they change meanwhile."""
    return ",".join(str(session.version_id) for session in sessions)


_ACTIONS = {AstrayWay.EASE: "eased", AstrayWay.CANCEL: "cancelled"}
