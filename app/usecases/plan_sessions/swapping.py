"""Today's session exchanged with another of the coming days, at once and with the look ahead; and taken back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.lookahead import Level, breaches
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.people import Client
from app.coaching.plan_weeks import is_answered
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, Refused, StaleEdit, is_reason
from app.coaching.rules import Rules
from app.coaching.swaps import SwapOption, brings_more_today, swap_options, swapped
from app.coaching.weeks import local_day, start_of_day
from app.coaching.words import short_day
from app.storage import audit, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, open_planned_session, open_record
from app.usecases.plan_sessions.keeping import history_around, keep_version

#: What the practice's trail calls an exchange.
SWAPPED = "sessions swapped"
TOOK_BACK = "take_back"
_BACK_BECAUSE = "Swapped back by your coach on the same day."


@dataclass(frozen=True, slots=True)
class Swap:
    """Today's session, and those it may change places with."""

    client: Client
    session: PlannedSession
    options: tuple[SwapOption, ...]


@dataclass(frozen=True, slots=True)
class SwappedToday:
    """One exchange of today, which may be taken back."""

    entry_id: int
    client_id: int
    #: The sessions, the one that stood on today first, each with the version the exchange made.
    versions: tuple[tuple[int, int], ...]
    titles: tuple[str, str]
    #: Where the one that stood on today went.
    other_on: date
    #: Whether taking it back would put more work on today: then it is swapped again, and the look ahead runs.
    brings_more: bool


def look_at_swap(
    db: Session, *, actor: Actor, client_id: int, planned_session_id: int, rules: Rules, now: datetime
) -> Swap:
    """What today's session may change places with. Raises: NotYours, NotAllowed; Refused when it is not today's,
    entered, cancelled, or a change of it waits unpublished."""
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.LOG, now=now
    )
    if client.id != client_id:
        raise NotYours("There is no such session here.")
    today = local_day(now, client.zone)
    known = history_around(db, client.id, today, today)
    _refuse(known, session)
    if session.planned_on != today:
        raise Refused(f"Only today's session is swapped here; this one is on {short_day(session.planned_on)}.")
    return Swap(client, session, swap_options(known, session, today, rules))


def swap(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    planned_session_id: int,
    other_id: int,
    seen: str,
    reason: str,
    reason_of_other: str,
    despite: str,
    rules: Rules,
    now: datetime,
) -> SwapOption:
    """Exchange the days of two published sessions; both get a version that the client sees at once.

    seen: the versions that were looked at (`seen_of`); reason_of_other: what the client reads beside
    the session brought to today; despite: why even so, where the look ahead asks for it.
    Raises: as `look_at_swap`; StaleEdit when one of them changed meanwhile or is not to be had any more; Refused for
    what the look ahead refuses; ReasonNeeded.
    """
    found = look_at_swap(
        db, actor=actor, client_id=client_id, planned_session_id=planned_session_id, rules=rules, now=now
    )
    chosen = next((one for one in found.options if one.session.id == other_id), None)
    if chosen is None or seen_of(found.session, chosen.session) != seen:
        raise StaleEdit("One of the two changed since the page was shown. Nothing was swapped; see how they stand.")
    if chosen.refused:
        raise Refused(" ".join(one.sentence for one in chosen.refused))
    if chosen.asks and not is_reason(despite):
        raise ReasonNeeded(f"This asks for a reason, which is kept. {REASON_ASKED}", chosen.asks)
    kept = " ".join([reason.strip(), *([f"Even so: {despite.strip()}"] if chosen.asks else [])])
    reasons = (reason.strip(), reason_of_other.strip())
    _exchange(db, actor, found.session, chosen.session, action="swapped", reasons=reasons, now=now)
    _leave_way_back(db, actor, found.session, chosen.session, reason=kept, now=now)
    return chosen


def _leave_way_back(
    db: Session, actor: Actor, session: PlannedSession, other: PlannedSession, *, reason: str, now: datetime
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="swapped",
        subject=SWAPPED,
        change={
            "client": session.client_id,
            "person": actor.person_id,
            "versions": [(one.id, one.version + 1) for one in (session, other)],
            "titles": [session.title, other.title],
            "other_on": other.planned_on,
            "brings_more": brings_more_today(now=other, before=session),
        },
        reason=reason,
    )


def seen_of(session: PlannedSession, other: PlannedSession) -> str:
    """Which state of two sessions was looked at."""
    return f"{session.id}.{session.version}-{other.id}.{other.version}"


def swapped_today(db: Session, *, actor: Actor, zone: str, now: datetime) -> tuple[SwappedToday, ...]:
    """What a person swapped today and has not taken back, newest first."""
    entries = audit.entries_on(db, subject=SWAPPED, since=start_of_day(local_day(now, zone), zone))
    gone = {one.subject_id for one in entries if one.action == TOOK_BACK}
    said = [(one.id, json.loads(one.change_json)) for one in entries if one.action != TOOK_BACK]
    return tuple(
        SwappedToday(
            entry_id,
            change["client"],
            tuple((id_, version) for id_, version in change["versions"]),
            (change["titles"][0], change["titles"][1]),
            date.fromisoformat(change["other_on"]),
            change["brings_more"],
        )
        for entry_id, change in said
        if entry_id not in gone and change["person"] == actor.person_id
    )


def take_swap_back(db: Session, *, actor: Actor, entry_id: int, zone: str, rules: Rules, now: datetime) -> int:
    """Put both sessions back on their days, towards less work today only. Returns the client's id.

    Raises: NotYours, NotAllowed; StaleEdit when one of them changed since; Refused when it would bring more work to
    today than stands there, or the look ahead refuses it.
    """
    done = next((o for o in swapped_today(db, actor=actor, zone=zone, now=now) if o.entry_id == entry_id), None)
    if done is None:
        raise NotYours("There is nothing of today to take back here.")
    client = open_record(db, actor=actor, client_id=done.client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    sessions = [prescriptions.newest(db, planned_session_id=id_) for id_, _version in done.versions]
    moved, brought = (one for one in sessions if one is not None)
    if [(one.id, one.version) for one in (moved, brought)] != list(done.versions):
        raise StaleEdit("One of the two was changed since; nothing was taken back.")
    known = history_around(db, client.id, moved.planned_on, today)
    for one in (moved, brought):
        _refuse(known, one)
    if brought.planned_on != today:
        raise Refused("The day it was swapped on is over.")
    if brings_more_today(now=brought, before=moved):
        raise Refused("Taking it back would put more work on today: swap it again, and the look ahead runs.")
    _refuse_found(known, swapped(moved, brought), rules, now)
    _exchange(db, actor, moved, brought, action="swap_taken_back", reasons=(_BACK_BECAUSE,) * 2, now=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=TOOK_BACK,
        subject=SWAPPED,
        subject_id=entry_id,
        change={"client": client.id, "person": actor.person_id},
    )
    return client.id


def _refuse(known: History, session: PlannedSession) -> None:
    if session.is_cancelled:
        raise Refused("This session is cancelled.")
    if session.published_at is None:
        raise Refused("A change of this session waits unpublished. Publish that first.")
    if is_answered(known, session.id):
        raise Refused("This session is entered already; what was done is compared with the plan as it stood.")


def _refuse_found(known: History, drafts: Sequence[PlannedSession], rules: Rules, now: datetime) -> None:
    found = breaches(known, drafts, local_day(now, known.client.zone), rules)
    refused = [one.sentence for one in found if one.level is Level.REFUSES]
    if refused:
        raise Refused(" ".join(refused))


def _exchange(
    db: Session,
    actor: Actor,
    one: PlannedSession,
    other: PlannedSession,
    *,
    action: str,
    reasons: tuple[str, str],
    now: datetime,
) -> None:
    for before, after, reason in zip((one, other), swapped(one, other), reasons, strict=True):
        keep_version(db, actor, before, after, reason=reason, publish=True, action=action, now=now)
