"""A week laid onto other weeks: a template or a client's week, for one client or several, looked at and then kept."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead_gathered import Gathered
from app.coaching.people import Client
from app.coaching.plan_changes import Change
from app.coaching.plan_weeks import PlanEntry, entries_of
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import StaleEdit
from app.coaching.rules import Rules
from app.coaching.week_templates import Ground, There, from_template, lay
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history, prescriptions
from app.storage.many_plans import keep_changes
from app.storage.reading import grouped
from app.usecases.gate import open_record, planned_clients
from app.usecases.plan_many.board import look_ahead
from app.usecases.plan_many.templates import going_in, open_template


@dataclass(frozen=True, slots=True)
class Source:
    """What is laid: a template, or a client's week."""

    template_id: int | None
    client_id: int | None
    monday: date | None


@dataclass(frozen=True, slots=True)
class OpenSource:
    """What is laid, opened: its name and its sessions as they stand."""

    name: str
    sessions: tuple[PlannedSession, ...]


@dataclass(frozen=True, slots=True)
class LaidRow:
    """The week on one client's days."""

    client: Client
    changes: tuple[Change, ...]
    left_out: tuple[str, ...]
    #: What stands there and stays.
    stays: tuple[PlannedSession, ...]
    found: tuple[Gathered, ...]

    @property
    def looked_at(self) -> str:
        """The print of it, to notice when the plan or the wish changes after the preview."""
        said = [
            (str(one.after.planned_on), one.after.title, one.after.steps_json, _version(one)) for one in self.changes
        ]
        stays = [one.version_id for one in self.stays]
        return hashlib.sha256(repr((self.client.id, said, stays)).encode()).hexdigest()


def open_source(db: Session, *, actor: Actor, source: Source, now: datetime) -> OpenSource | None:
    """What is to be laid; None when nothing was chosen. Raises: NotYours; NotAllowed."""
    if source.template_id is not None:
        found = open_template(db, template_id=source.template_id)
        anywhere = date(1970, 1, 5)
        return OpenSource(found.template.name, tuple(from_template(one, anywhere, now) for one in found.sessions))
    if source.client_id is not None and source.monday is not None:
        client = open_record(db, actor=actor, client_id=source.client_id, action=Action.DECIDE, now=now)
        return OpenSource(client.name, tuple(going_in(db, client_id=client.id, monday=source.monday)))
    return None


def preview_laid(
    db: Session,
    *,
    actor: Actor,
    source: OpenSource,
    client_ids: Collection[int],
    to_monday: date,
    there: There,
    rules: Rules,
    now: datetime,
) -> tuple[LaidRow, ...]:
    """The week on the days of some clients; clients of others are passed over."""
    chosen = [one.id for one in planned_clients(db, actor=actor, now=now) if one.id in client_ids]
    sunday, day = to_monday + timedelta(days=6), now.date()
    newest = prescriptions.newest_between(db, client_ids=chosen, from_on=to_monday, until_on=sunday)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    entries = grouped(entries_of(newest, published), lambda entry: entry.session.client_id)
    known = history.load(
        db, client_ids=chosen, from_on=min(to_monday, day - WHOLE_BASE), until_on=max(sunday, day) + FORTNIGHT
    )
    week = [replace(one, planned_on=to_monday + timedelta(days=one.planned_on.weekday())) for one in source.sessions]
    rows, number = [], 1
    for one in known:
        rows.append(_row(one, week, entries.get(one.client.id, ()), there, first_number=number, rules=rules, now=now))
        number += len(week)
    return tuple(rows)


def keep_laid(
    db: Session, *, actor: Actor, rows: Sequence[LaidRow], looked_at: Mapping[int, str], now: datetime
) -> tuple[int, int]:
    """Keep what was looked at as drafts; returns how many sessions for how many clients. The rows were opened for it.

    Raises: StaleEdit when a row is not what was looked at.
    """
    for row in rows:
        if looked_at.get(row.client.id) != row.looked_at:
            raise StaleEdit(
                f"This is not what was looked at for {row.client.name}. Nothing was kept; look at it as it is now."
            )
    changes = [change for row in rows for change in row.changes]
    keep_changes(db, changes=changes, person_id=actor.person_id, at=now)
    return len(changes), sum(bool(row.changes) for row in rows)


def _version(change: Change) -> int:
    return 0 if change.before is None else change.before.version_id


def _row(
    known: History,
    week: Sequence[PlannedSession],
    entries: Sequence[PlanEntry],
    there: There,
    *,
    first_number: int,
    rules: Rules,
    now: datetime,
) -> LaidRow:
    today = local_day(now, known.client.zone)
    answered = {log.planned_session_id for log in known.logs}
    going = [entry for entry in entries if entry.is_going]
    fixed = [one for one in going if one.session.id in answered or (one.frozen_on or one.session.planned_on) < today]
    ground = Ground(
        known=known,
        stopped=stopped_now(known, today, rules),
        standing=tuple(entry for entry in going if entry not in fixed),
        taken=frozenset(one.session.planned_on for one in fixed),
        today=today,
    )
    laid = lay(week, ground, there=there, first_number=first_number, rules=rules, at=now)
    gone = {change.after.id for change in laid.changes}
    return LaidRow(
        client=known.client,
        changes=laid.changes,
        left_out=laid.left_out,
        stays=tuple(entry.session for entry in going if entry.session.id not in gone),
        found=look_ahead(known, [change.after for change in laid.changes], today, rules),
    )
