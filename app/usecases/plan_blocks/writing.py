"""Keeping a block with its weeks and sessions as drafts."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.planner import WEEKDAYS
from app.coaching.reasons import StaleEdit
from app.storage import clients, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import open_record
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.wishes import BlockPreview

LEAVE_REASON = "Told for the block that was written round it."


def keep_block(
    db: Session,
    *,
    actor: Actor,
    desk: BlockDesk,
    preview: BlockPreview,
    seen: str,
    may_replace: bool,
    may_cancel: bool,
    keeps_days: bool = False,
    now: datetime,
) -> tuple[tuple[str, str], ...]:
    """Keep a block with its weeks and sessions as drafts; returns what stands in its way, by field.

    What stood there becomes a draft of its own that takes it away: the client sees no change before publishing.
    Raises: StaleEdit when those weeks changed since the preview.
    """
    open_record(db, actor=actor, client_id=desk.client.id, action=Action.DECIDE, now=now)
    if seen != preview.seen:
        raise StaleEdit(
            "The form or these weeks changed since the preview. Nothing was kept; see how it would be now."
        )
    problems = _unasked(preview, may_replace=may_replace, may_cancel=may_cancel)
    if problems:
        return problems
    _take_away(db, actor, desk, preview, now)
    if keeps_days and not desk.days:
        _keep_days(db, actor, desk, preview, now)
    block_id = _add_block(db, actor, desk, preview, now)
    _add_sessions(db, actor, desk, preview, now)
    _agree_leave(db, actor, desk, preview, now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=desk.client.id,
        action="wrote",
        subject="block",
        subject_id=block_id,
        change=_told(preview),
    )
    return ()


def _keep_days(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> None:
    """The days the block was written over become the client's real week, which was empty."""
    clients.replace_available_days(db, client_id=desk.client.id, days=preview.days)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=desk.client.id,
        action="set_real_week",
        subject="client",
        subject_id=desk.client.id,
        change={"before": {}, "after": {WEEKDAYS[day.weekday]: day.minutes for day in preview.days}},
    )


def _agree_leave(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> None:
    """The days off told for the block become agreed leave, so that they are neither missed nor quiet."""
    for one in preview.agrees:
        leave_id = clients.add_leave(
            db, client_id=desk.client.id, from_on=one.from_on, until_on=one.until_on, reason=LEAVE_REASON
        )
        leave_trace(
            db,
            at=now,
            person_id=actor.person_id,
            client_id=desk.client.id,
            action="add_leave",
            subject="leave",
            subject_id=leave_id,
            change={"after": {"from_on": one.from_on, "until_on": one.until_on}},
            reason=LEAVE_REASON,
        )


def _add_block(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> int:
    block_id = prescriptions.add_block(
        db,
        client_id=desk.client.id,
        phase=preview.phase,
        aim=preview.aim,
        starts_on=preview.starts_on,
        weeks=len(preview.weeks),
        is_introductory=preview.is_introductory,
        wishes_json=preview.wishes_json,
        person_id=actor.person_id,
        at=now,
    )
    prescriptions.keep_weeks(
        db,
        client_id=desk.client.id,
        block_id=block_id,
        weeks=[(week.starts_on, week.is_easier, week.target_minutes) for week in preview.weeks],
    )
    return block_id


def _add_sessions(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> None:
    places = preview.place_by_weekday
    drafts = [prescriptions.draft_from(one, place=places.get(one.planned_on.weekday())) for one in preview.planned]
    prescriptions.add_sessions(db, client_id=desk.client.id, drafts=drafts, person_id=actor.person_id, at=now)


def _unasked(preview: BlockPreview, *, may_replace: bool, may_cancel: bool) -> tuple[tuple[str, str], ...]:
    problems = []
    if preview.drafts_there and not may_replace:
        problems.append(("replace", "Tick to replace the drafts that stand in these weeks."))
    if preview.published_there and not may_cancel:
        problems.append(("cancel_published", "Tick to take published sessions away when this block is published."))
    return tuple(problems)


def _take_away(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> None:
    gone = [entry.session for entry in (*preview.drafts_there, *preview.published_there)]
    reason = "Replaced by a new block."
    prescriptions.add_next_versions(
        db,
        client_id=desk.client.id,
        drafts=[(one, prescriptions.draft_from(one, is_cancelled=True, reason=reason)) for one in gone],
        person_id=actor.person_id,
        at=now,
    )


def _told(preview: BlockPreview) -> dict[str, object]:
    return {
        "before": {"sessions": [one.session.id for one in (*preview.drafts_there, *preview.published_there)]},
        "after": {
            "aim": preview.aim,
            "starts_on": preview.starts_on.isoformat(),
            "weeks": len(preview.weeks),
            "minutes": [week.minutes for week in preview.weeks],
        },
    }
