"""Copying sessions to another day, client or week; copies are drafts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_version import eased
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead_fit import fit_breaches
from app.coaching.paused_told import not_drafted
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.week_templates import said_to_another
from app.coaching.weeks import local_day
from app.coaching.words import short_day
from app.storage import prescriptions
from app.usecases.gate import open_planned_session, open_record
from app.usecases.plan_sessions.keeping import history_around, keep_new
from app.usecases.plan_sessions.wishes import AHEAD_MOST, Problems, day_problem


def copy_session(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    to_client_id: int,
    to_on: date,
    is_eased: bool,
    rules: Rules,
    now: datetime,
) -> tuple[int | None, tuple[str, ...], Problems]:
    """Copy a session to a day of the same or another client, as a draft.

    Returns its identity, what to know of it there, and what stands in the way by field. Middle and hard work is not
    copied to somebody whose hard work is stopped; is_eased: its easy version is.
    """
    _client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.DECIDE, now=now
    )
    target = open_record(db, actor=actor, client_id=to_client_id, action=Action.DECIDE, now=now)
    today = local_day(now, target.zone)
    problem = day_problem(to_on, today)
    if problem:
        return None, (), (("to_on", problem),)
    said = session if target.id == session.client_id else said_to_another(session)
    said = replace(said, planned_on=to_on, is_cancelled=False)
    if is_eased and is_hard_or_middle(said):
        said = eased(said)
    known = history_around(db, target.id, to_on, today)
    if refused := not_drafted(stopped_now(known, today, rules), said, target.name):
        return None, (), (("to_client_id", f"{refused} Tick its easy version to copy that."),)
    draft = prescriptions.draft_from(said, planned_on=to_on, is_cancelled=False)
    new_id = keep_new(db, actor, target.id, draft, action="copied", now=now)
    return new_id, tuple(one.sentence for one in fit_breaches(known, [said], today, rules)), ()


def copy_week(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    from_monday: date,
    to_monday: date,
    is_beside: bool,
    rules: Rules,
    now: datetime,
) -> tuple[int, Problems]:
    """Copy a week's sessions to another week as drafts; returns how many, or what stands in the way by field.

    `is_beside` lets them stand beside what the other week holds already. Days that are over are left out. A week
    with middle or hard work is not copied for somebody whose hard work is stopped.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    going = _going(db, client_id, from_monday)
    shift = to_monday - from_monday
    moved = [replace(one, planned_on=one.planned_on + shift) for one in going if one.planned_on + shift >= today]
    stopped = stopped_now(history_around(db, client_id, to_monday, today), today, rules)
    if refused := next(filter(None, (not_drafted(stopped, one, client.name) for one in moved)), ""):
        return 0, (("to_week", f"{refused} Laying this week leaves such sessions out."),)
    drafts = [prescriptions.draft_from(one) for one in moved]
    standing = _going(db, client_id, to_monday)
    problem = _copy_problem(going, drafts, standing, to_monday, is_beside=is_beside, today=today)
    if problem:
        return 0, (problem,)
    for draft in drafts:
        keep_new(db, actor, client_id, draft, action="copied", now=now)
    return len(drafts), ()


def _copy_problem(
    going: Sequence[PlannedSession],
    drafts: Sequence[prescriptions.VersionDraft],
    standing: Sequence[PlannedSession],
    to_monday: date,
    *,
    is_beside: bool,
    today: date,
) -> tuple[str, str] | None:
    if not going:
        return ("to_week", "This week holds nothing to copy.")
    if not drafts or to_monday > today + AHEAD_MOST:
        return ("to_week", "Choose a week that is not over and at most a year ahead.")
    if standing and not is_beside:
        names = ", ".join(one.title for one in standing)
        return ("beside", f"The week of {short_day(to_monday)} holds {names} already. Tick to add beside them.")
    return None


def _going(db: Session, client_id: int, monday: date) -> list[PlannedSession]:
    until_on = monday + timedelta(days=6)
    newest = prescriptions.newest_between(db, client_ids=[client_id], from_on=monday, until_on=until_on)
    return [one for one in newest if not one.is_cancelled]
