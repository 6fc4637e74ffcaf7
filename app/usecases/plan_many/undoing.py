"""Undo for the day: what was published for many goes back to what each client had, towards less work only."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.history import History
from app.coaching.lookahead import Level, breaches
from app.coaching.people import Client
from app.coaching.plan_changes import Change
from app.coaching.plan_sending import TODAY_CHANGED
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.taking_back import TakenBack, taken_back
from app.coaching.weeks import local_day, start_of_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import audit, clients, history, prescriptions
from app.storage.audit import AuditEntry, Trace, leave_trace, leave_traces
from app.storage.many_plans import keep_changes, keep_said
from app.storage.reading import grouped
from app.usecases.gate import NotYours, planned_clients
from app.usecases.plan_many.sending import SENT_TO_MANY
from app.usecases.plan_many.templates import require_planner

TOOK_BACK = "took back"
UNDONE_REASON = "Taken back by your coach on the day it was sent."


@dataclass(frozen=True, slots=True)
class Sent:
    """One sending for many that may still be undone today."""

    id: int
    at: datetime
    clients: int


@dataclass(frozen=True, slots=True)
class UndoRow:
    """What undoing makes of one client's plan."""

    client: Client
    #: Why nothing of this client's is undone; "" when it is looked at session by session.
    left_because: str
    sessions: tuple[TakenBack, ...]

    @property
    def changes(self) -> tuple[Change, ...]:
        """What is undone."""
        return () if self.left_because else tuple(one.change for one in self.sessions if one.change is not None)

    @property
    def is_whole(self) -> bool:
        """Whether everything that was sent to this client is undone, so that nothing is left to be told of."""
        return bool(self.changes) and len(self.changes) == len(self.sessions)


@dataclass(frozen=True, slots=True)
class Undo:
    """Undoing one sending, client by client."""

    sent: Sent
    rows: tuple[UndoRow, ...]

    @property
    def changes(self) -> tuple[Change, ...]:
        """Everything that is undone."""
        return tuple(change for row in self.rows for change in row.changes)

    @property
    def seen(self) -> str:
        """The versions looked at, to notice when they change meanwhile."""
        return ",".join(str(one.before.version_id) for one in self.changes if one.before is not None)


def sent_today(db: Session, *, actor: Actor, zone: str, now: datetime) -> tuple[Sent, ...]:
    """What a person published for many today and has not taken back, newest first."""
    found = audit.entries_on(db, subject=SENT_TO_MANY, since=start_of_day(local_day(now, zone), zone))
    gone = {one.subject_id for one in found if one.action == TOOK_BACK}
    own = [one for one in found if one.action == "published" and one.id not in gone and _is_by(one, actor)]
    return tuple(Sent(one.id, one.at, len(_sessions(one))) for one in own)


def open_undo(db: Session, *, actor: Actor, sent_id: int, zone: str, rules: Rules, now: datetime) -> Undo:
    """What undoing one sending would do. Raises: NotYours when it is not this person's of today; NotAllowed."""
    require_planner(actor)
    sent = next((one for one in sent_today(db, actor=actor, zone=zone, now=now) if one.id == sent_id), None)
    if sent is None:
        raise NotYours("There is nothing of today to take back here.")
    entry = audit.entry(db, entry_id=sent_id)
    by_client = _sessions(entry) if entry else {}
    own = [one.id for one in planned_clients(db, actor=actor, now=now) if one.id in by_client]
    ids = [session_id for client_id in own for session_id in by_client[client_id]]
    versions = grouped(prescriptions.versions_of(db, planned_session_ids=ids), lambda one: one.id)
    last = max((one[-1].planned_on for one in versions.values()), default=now.date())
    day = now.date()
    known = history.load(db, client_ids=own, from_on=day - WHOLE_BASE, until_on=max(last, day) + FORTNIGHT)
    rows = [_row(one, [versions[n] for n in by_client[one.client.id]], sent.at, rules, now) for one in known]
    return Undo(sent, tuple(rows))


def undo(db: Session, *, actor: Actor, undoing: Undo, seen: str, now: datetime) -> tuple[int, int]:
    """Take back what can be; what was sent waits as a draft again. Returns how many sessions for how many clients.

    Raises: StaleEdit when something changed since it was looked at; Refused when nothing can be taken back.
    """
    if seen != undoing.seen:
        raise StaleEdit("Something changed while you looked. Nothing was taken back; see how it is now.")
    changes = undoing.changes
    if not changes:
        raise Refused("Nothing of it can be taken back.")
    keep_changes(db, changes=changes, person_id=actor.person_id, at=now, reason=UNDONE_REASON, publish=True)
    again = [_as_draft(one, undoing) for one in changes]
    keep_said(db, changes=again, person_id=actor.person_id, at=now)
    _take_notes_back(db, actor, undoing, now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=TOOK_BACK,
        subject=SENT_TO_MANY,
        subject_id=undoing.sent.id,
        change={"person": actor.person_id, "sessions": [one.after.id for one in changes]},
    )
    return len(changes), sum(bool(row.changes) for row in undoing.rows)


def _take_notes_back(db: Session, actor: Actor, undoing: Undo, now: datetime) -> None:
    """A note that names a plan nobody has any more would send a client looking; one that was read stays on record."""
    whole = [row.client.id for row in undoing.rows if row.is_whole]
    gone = clients.take_back_shared_notes(db, client_ids=whole, person_id=actor.person_id, written_at=undoing.sent.at)
    traces = [
        Trace(client_id, TOOK_BACK, "note", note_id, {"before": {"text": text}}) for note_id, client_id, text in gone
    ]
    leave_traces(db, at=now, person_id=actor.person_id, traces=traces)


def _as_draft(change: Change, undoing: Undo) -> Change:
    """What was sent, once more as a draft on top of the version that took it back, with the reason it had."""
    sent = next(one.session for row in undoing.rows for one in row.sessions if one.session.id == change.after.id)
    before = change.before or change.after
    restored = replace(change.after, version=before.version + 1)
    return Change(restored, replace(sent, reason=None if sent.reason == TODAY_CHANGED else sent.reason))


def _row(
    known: History, versions: Sequence[Sequence[PlannedSession]], sent_at: datetime, rules: Rules, now: datetime
) -> UndoRow:
    today = local_day(now, known.client.zone)
    answered = {log.planned_session_id for log in known.logs}
    if any(one[-1].id in answered for one in versions):
        return UndoRow(known.client, "something of it is entered already.", ())
    return UndoRow(known.client, "", tuple(_session(known, one, sent_at, today, rules) for one in versions))


def _session(
    known: History, versions: Sequence[PlannedSession], sent_at: datetime, today: date, rules: Rules
) -> TakenBack:
    """Nothing comes back that may not be published now."""
    found = taken_back(versions, sent_at, today)
    if found.change is None or found.change.after.is_cancelled:
        return found
    refused = [b for b in breaches(known, [found.change.after], today, rules) if b.level is Level.REFUSES]
    return (
        TakenBack(found.session, None, f"what stood before may not go out now: {refused[0].sentence}")
        if refused
        else found
    )


def _is_by(entry: AuditEntry, actor: Actor) -> bool:
    return bool(json.loads(entry.change_json).get("person") == actor.person_id)


def _sessions(entry: AuditEntry) -> dict[int, list[int]]:
    said = json.loads(entry.change_json).get("sessions", {})
    return {int(client_id): list(ids) for client_id, ids in said.items()}
