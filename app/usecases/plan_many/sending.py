"""Publishing for many clients in one go: what each has seen against what would be sent, and what that would break."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.execution_values import Execution
from app.coaching.history import History
from app.coaching.lookahead_fit import before_sending
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.plan_changes import Change
from app.coaching.plan_sending import TODAY_CHANGED, Waiting
from app.coaching.plan_weeks import PlanEntry, entries_of, given_days
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, Refused, StaleEdit, is_reason
from app.coaching.rules import Rules
from app.coaching.target_eased import Judge
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import clients, history, prescriptions
from app.storage.audit import Trace, leave_trace, leave_traces
from app.storage.many_plans import bump_weeks, keep_said
from app.storage.reading import grouped
from app.usecases.gate import planned_clients
from app.usecases.plan_many.templates import require_planner

#: What the trail calls one sending for many.
SENT_TO_MANY = "plans of many"


def look_at_many(
    db: Session, *, actor: Actor, monday: date, weeks: int, judge: Judge, rules: Rules, now: datetime
) -> tuple[Waiting, ...]:
    """What waits in some weeks for everybody a person plans for; clients without anything are left out.

    judge: what their recordings say of the sessions before.
    The number of queries does not depend on how many clients there are. Raises: NotAllowed for a stand-in.
    """
    require_planner(actor)
    people = {one.id: one for one in planned_clients(db, actor=actor, now=now)}
    last = monday + timedelta(weeks=weeks) - timedelta(days=1)
    newest = prescriptions.newest_between(db, client_ids=list(people), from_on=monday, until_on=last)
    drafts = [one for one in newest if one.published_at is None]
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in drafts])
    waiting = grouped(
        [
            entry
            for entry in entries_of(drafts, published)
            if entry.may_be_sent(local_day(now, people[entry.session.client_id].zone))
        ],
        _whose,
    )
    if not waiting:
        return ()
    standing = grouped(entries_of([one for one in newest if one.published_at is not None], []), _whose)
    day = now.date()
    known = history.load(db, client_ids=list(waiting), from_on=day - WHOLE_BASE, until_on=max(last, day) + FORTNIGHT)
    judged = judge([(one, [entry.session for entry in waiting[one.client.id]]) for one in known])
    rows = ((one, waiting[one.client.id], standing.get(one.client.id, ())) for one in known)
    return tuple(_row(one, entries, stays, judged=judged, rules=rules, now=now) for one, entries, stays in rows)


def _whose(entry: PlanEntry) -> int:
    return entry.session.client_id


def _row(
    known: History,
    entries: Sequence[PlanEntry],
    stays: Sequence[PlanEntry],
    *,
    judged: Mapping[int, Execution],
    rules: Rules,
    now: datetime,
) -> Waiting:
    today = local_day(now, known.client.zone)
    found = before_sending(known, [entry.session for entry in entries], today, rules, judged=judged)
    return Waiting(known.client, today, tuple(entries), found, known.consents, given_days(stays))


def publish_many(
    db: Session,
    *,
    actor: Actor,
    rows: Sequence[Waiting],
    seen: Mapping[int, str],
    reason: str | None,
    is_said: bool,
    now: datetime,
) -> tuple[int, int]:
    """Publish for everybody named in `seen` whose rows are not refused; returns how many sessions and clients.

    is_said: whether each client gets a note that says what is new.
    Raises: StaleEdit when a plan changed since it was looked at; ReasonNeeded; Refused when nothing is left to send.
    """
    going = [row for row in rows if row.client.id in seen and not row.is_refused]
    changed = [row.client.name for row in going if seen[row.client.id] != row.seen]
    if changed or set(seen) - {row.client.id for row in rows}:
        names = ", ".join(changed) or "a client"
        raise StaleEdit(f"The plan of {names} changed while you looked. Nothing was published; see it as it is now.")
    if not going:
        raise Refused("Nothing is left to publish: what was ticked may not go out.")
    asking = [row.client.name for row in going if row.asks_reason]
    if asking and not is_reason(reason):
        names = ", ".join(asking)
        raise ReasonNeeded(f"Write why it goes out all the same for {names}; the reason is kept. {REASON_ASKED}")
    _send(db, actor, going, now=now)
    if is_said:
        notes = [(row.client.id, row.message) for row in going if row.message]
        clients.add_shared_notes(db, notes=notes, person_id=actor.person_id, at=now)
    _trace(db, actor, going, reason=reason, is_said=is_said, now=now)
    return sum(len(row.entries) for row in going), len(going)


def _send(db: Session, actor: Actor, rows: Sequence[Waiting], *, now: datetime) -> None:
    """Stamp drafts; a change of what a client was given for today becomes a version of its own with a reason.

    That is the session's own: what the coach typed may be about somebody else, and stands in the trail only.
    """
    pairs = [(row, entry) for row in rows for entry in row.entries]
    stamped = [entry.session.version_id for row, entry in pairs if not row.is_same_day(entry)]
    prescriptions.publish(db, version_ids=stamped, at=now)
    today = [_with_its_reason(entry.session) for row in rows for entry in row.today_changes]
    keep_said(db, changes=today, person_id=actor.person_id, at=now, publish=True)
    bump_weeks(db, weeks={(row.client.id, week_start(entry.session.planned_on)) for row, entry in pairs})


def _with_its_reason(session: PlannedSession) -> Change:
    return Change(session, replace(session, reason=session.reason or TODAY_CHANGED))


def _trace(
    db: Session, actor: Actor, rows: Sequence[Waiting], *, reason: str | None, is_said: bool, now: datetime
) -> None:
    traces = [
        Trace(
            client_id=row.client.id,
            action="published",
            subject="plan",
            subject_id=None,
            change={
                "weeks": sorted({week_start(one.session.planned_on).isoformat() for one in row.entries}),
                "versions": [one.session.version_id for one in row.entries],
                "told": is_said,
                "said": list(row.said),
            },
            reason=reason if row.asks_reason else None,
        )
        for row in rows
    ]
    leave_traces(db, at=now, person_id=actor.person_id, traces=traces)
    sessions = {str(row.client.id): [one.session.id for one in row.entries] for row in rows}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="published",
        subject=SENT_TO_MANY,
        change={"person": actor.person_id, "sessions": sessions},
    )
