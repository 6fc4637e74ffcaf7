"""Applying a one-click mend to a plan as versions with a reason, and taking it back the same day."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.lookahead_mend_values import Mend
from app.coaching.plan_changes import Change
from app.coaching.reasons import StaleEdit
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import audit
from app.storage.audit import leave_trace
from app.storage.prescriptions import draft_from
from app.usecases.gate import NotYours, open_record
from app.usecases.plan_sessions.keeping import (
    history_around,
    keep_new,
    keep_version,
    open_to_change,
    refuse_frozen,
)
from app.usecases.plan_sessions.mended import MEND, MENDED, TOOK_BACK, kept_in, mended_today, versions_in
from app.usecases.plan_sessions.whole import look

#: The session and its version in a mend's key.
_TOUCHED = re.compile(r"(?<= )(\d{1,12})\.(\d{1,6})\.")
_TOUCHED_MOST = 60


def apply_mend(
    db: Session, *, actor: Actor, client_id: int, from_on: date, key: str, rules: Rules, now: datetime
) -> Mend:
    """Keep what a mend changes as drafts, each with the reason.

    from_on: the day the page began with, as the mend was found in the plan from there on.
    Raises: ChangedMeanwhile when a session it was made for has changed; StaleEdit when it no longer mends.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    for session_id, version in _touched(key):
        owner, _session = open_to_change(db, actor, session_id, version, now)
        if owner.id != client_id:
            raise NotYours("There is no such session here.")
    looked_at = look(db, client=client, from_on=from_on, rules=rules, now=now)
    offered = [mend for found in looked_at.mends(rules).values() for mend in found]
    mend = next((one for one in offered if one.key == key), None)
    if mend is None:
        raise StaleEdit("The plan around it changed. Nothing was changed by you; this is how it stands now.")
    kept = [_keep(db, actor, one, reason=mend.reason, now=now) for one in mend.changes]
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=MENDED,
        subject=MEND,
        change={"words": mend.words, "sessions": kept},
        reason=mend.reason,
    )
    return mend


def _keep(db: Session, actor: Actor, change: Change, *, reason: str, now: datetime) -> tuple[int, int, int]:
    """Keep one change as a draft: the session, its version before (0 for a new one) and after."""
    before, after = change.before, change.after
    if before is None:
        draft = draft_from(after, reason=reason)
        return keep_new(db, actor, after.client_id, draft, action="added", now=now), 0, 1
    keep_version(db, actor, before, after, reason=reason, publish=False, action="changed", now=now)
    return before.id, before.version, before.version + 1


def take_back_mend(db: Session, *, actor: Actor, client_id: int, mend_id: int, now: datetime) -> str:
    """Bring back what stood before a mend of today, as drafts; the client has seen none of it. Returns its words.

    Raises: StaleEdit when it is not of today, or a session was changed or published since; Refused for a day begun.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    mended = next((one for one in mended_today(db, client=client, now=now) if one.id == mend_id), None)
    entry = audit.entry(db, entry_id=mend_id)
    if mended is None or entry is None:
        raise StaleEdit("This mend cannot be taken back any more: what it made was changed or published since.")
    versions = versions_in(db, [session_id for session_id, _before, _after in kept_in(entry)])
    today = local_day(now, client.zone)
    for session_id, before, _after in kept_in(entry):
        newest = versions[session_id][-1]
        earlier = versions[session_id][before - 1] if before else replace(newest, is_cancelled=True)
        refuse_frozen(db, history_around(db, client_id, newest.planned_on, today), newest, today)
        reason = "Taken back on the day it was mended."
        keep_version(db, actor, newest, earlier, reason=reason, publish=False, action="changed", now=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=TOOK_BACK,
        subject=MEND,
        subject_id=mend_id,
    )
    return mended.words


def _touched(key: str) -> list[tuple[int, int]]:
    return [(int(session), int(version)) for session, version in _TOUCHED.findall(key)[:_TOUCHED_MOST]]
