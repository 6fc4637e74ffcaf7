"""One logged session as the coach reads it: what was planned, in every version, beside what was done."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.matching import Pair, compare_weeks
from app.coaching.people import Client, Note, Visibility
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.trail import TrailEntry, trail_entry
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import WHOLE_BASE
from app.storage import accounts, history, prescriptions, session_logs
from app.storage import heart_rate as trusts
from app.storage.audit import trail_about
from app.usecases.gate import NotAllowed, NotYours, allowed_actions, open_record

NOTE_DAYS = 7
#: The words entries about a session log are kept under.
_SUBJECTS = ("session log", "session_log")


@dataclass(frozen=True, slots=True)
class LoggedSession:
    """An entry, the plan it answers, and what was written about it."""

    client: Client
    may: frozenset[Action]
    log: SessionLog
    #: How it compares; None when its week cannot be read.
    pair: Pair | None
    #: Every published version of the plan, oldest first; the one compared with is `pair.planned`.
    versions: tuple[PlannedSession, ...]
    corrections: tuple[TrailEntry, ...]
    #: Notes of the days after it, private ones only for those who may read them.
    notes: tuple[Note, ...]
    names: Mapping[int, str]
    heart_rate: HeartRateTrust

    def name_of(self, person_id: int) -> str:
        """Who it was."""
        return self.names.get(person_id, "somebody who has left")


def open_logged(
    db: Session, *, actor: Actor, client_id: int, log_id: int, rules: Rules, now: datetime
) -> LoggedSession:
    """A client's entry with its plan. Raises: NotYours for a foreign or missing entry."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    if not actor.is_coach:
        raise NotAllowed("This page belongs to the coach's side of the desk.")
    log = session_logs.one(db, log_id=log_id)
    if log is None or log.client_id != client_id:
        raise NotYours("There is no such entry here.")
    may = allowed_actions(db, actor=actor, client=client, now=now)
    pair, notes = _pair_and_notes(db, client, log, rules, now)
    versions = _versions(db, pair, log)
    writers = {log.person_id, *(one.person_id for one in versions), *(one.person_id for one in notes)}
    return LoggedSession(
        client=client,
        may=may,
        log=log,
        pair=pair,
        versions=versions,
        corrections=_corrections(db, client_id, log_id),
        notes=tuple(n for n in notes if Action.READ_PRIVATE in may or n.visibility is not Visibility.PRIVATE),
        names=accounts.names_of(db, person_ids=writers),
        heart_rate=trusts.trust_on(db, client=client, day=local_day(now, client.zone)),
    )


def _pair_and_notes(
    db: Session, client: Client, log: SessionLog, rules: Rules, now: datetime
) -> tuple[Pair | None, tuple[Note, ...]]:
    day = log.done_on
    loaded = history.load(
        db, client_ids=[client.id], from_on=day - WHOLE_BASE, until_on=day + timedelta(days=NOTE_DAYS)
    )[0]
    week = compare_weeks(loaded, (week_start(day),), local_day(now, client.zone), rules)[0]
    pair = next((one for one in week.pairs if one.log is not None and one.log.id == log.id), None)
    last = day + timedelta(days=NOTE_DAYS)
    notes = tuple(one for one in loaded.notes if day <= local_day(one.written_at, client.zone) <= last)
    return pair, notes


def _versions(db: Session, pair: Pair | None, log: SessionLog) -> tuple[PlannedSession, ...]:
    planned_id = log.planned_session_id or (
        pair.planned.id if pair is not None and pair.planned is not None else None
    )
    if planned_id is None:
        return ()
    return tuple(
        one for one in prescriptions.versions(db, planned_session_id=planned_id) if one.published_at is not None
    )


def _corrections(db: Session, client_id: int, log_id: int) -> tuple[TrailEntry, ...]:
    found = trail_about(db, client_id=client_id, subjects=_SUBJECTS, subject_id=log_id)
    return tuple(
        trail_entry(at=one.at, who=one.person_name, action=one.action, change_json=one.change_json, reason=one.reason)
        for one in found
    )
