"""The target of a planned session: every form side by side, choosing one, taking it away."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, DomainError, Figure, Refused, is_reason
from app.coaching.rules import Rules
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json, target_to_json
from app.coaching.target_values import Option, TargetScene, TargetWishes
from app.coaching.targets import (
    TriedLine,
    chosen_target,
    looked_at_twice,
    proposed_of,
    target_options,
    target_refused,
    target_scene,
    tried_pace,
    tried_power,
)
from app.coaching.weeks import local_day
from app.physiology.values import Missing
from app.storage import measured
from app.usecases.gate import allowed_actions, open_planned_session
from app.usecases.plan_sessions.changing import allow_sending
from app.usecases.plan_sessions.judged import judged_by_recordings
from app.usecases.plan_sessions.keeping import (
    history_around,
    is_seen,
    keep_version,
    open_to_change,
    refuse_frozen,
)


@dataclass(frozen=True, slots=True)
class TargetPage:
    """A session with every form of target for it."""

    client: Client
    session: PlannedSession
    today: date
    #: Why none is offered; None while they are.
    refused: str | None
    scene: TargetScene | None
    options: tuple[Option, ...]
    proposed: Option | None
    chosen: SessionTarget | None
    may_plan: bool
    is_sent_at_once: bool
    #: What the forms say of a figure that is tried; None while none is.
    tried: tuple[TriedLine, ...] | Missing | None

    def option(self, key: str) -> Option | None:
        """A form by its key."""
        return next((one for one in self.options if one.key == key), None)


def open_targets(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    wishes: TargetWishes,
    tried: float | None = None,
    rules: Rules,
    now: datetime,
    action: Action = Action.READ,
) -> TargetPage:
    """Every form of target of a session; `tried` is a power or a pace to try on its rounds."""
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=action, now=now
    )
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refused = target_refused(known, session, today, rules)
    scene = None if refused else _scene(db, known, session, today=today, rules=rules, wishes=wishes)
    options = () if scene is None else target_options(scene)
    return TargetPage(
        client=client,
        session=session,
        today=today,
        refused=refused,
        scene=scene,
        options=options,
        proposed=proposed_of(options) if options else None,
        chosen=target_from_json(session.target_json),
        may_plan=Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now),
        is_sent_at_once=session.planned_on == today and is_seen(db, session),
        tried=None if scene is None or tried is None else _tried(scene, tried),
    )


def choose_target(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    version: int,
    key: str | None,
    typed: float | None,
    wishes: TargetWishes,
    reason: str | None,
    rules: Rules,
    now: datetime,
) -> SessionTarget | None:
    """Keep a target with the session's next version, or take it away (no key); returns what is kept.

    Today's published session changes at once with its reason; any other waits as a draft.
    Raises: ChangedMeanwhile; Refused while hard work is stopped, for a form that is not offered, a figure that is too
    hard, and a day that is over; ReasonNeeded, also for a target far above what was done.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    target = None
    if key is not None:
        refused = target_refused(known, session, today, rules)
        if refused:
            raise Refused(refused)
        target = _chosen(_scene(db, known, session, today=today, rules=rules, wishes=wishes), key, typed, reason)
    changed = replace(session, target_json=target_to_json(target))
    is_sent = session.planned_on == today and is_seen(db, session)
    if is_sent:
        allow_sending(known, changed, reason, today, rules)
    action = "gave a target" if target is not None else "took the target away"
    keep_version(db, actor, session, changed, reason=reason, publish=is_sent, action=action, now=now)
    return target


def _chosen(scene: TargetScene, key: str, typed: float | None, reason: str | None) -> SessionTarget:
    options = {one.key: one for one in target_options(scene)}
    if key not in options:
        raise Refused("Choose one of the forms of this page.")
    try:
        target = chosen_target(options[key], typed)
    except DomainError as refusal:
        raise Refused(str(refusal)) from refusal
    remark = looked_at_twice(scene, target)
    if not remark:
        return target
    if not is_reason(reason):
        raise ReasonNeeded(f"{remark} Say why, or take a gentler one. {REASON_ASKED}")
    return replace(target, why=replace(target.why, figures=(*target.why.figures, Figure("mind", remark))))


def _scene(
    db: Session, known: History, session: PlannedSession, *, today: date, rules: Rules, wishes: TargetWishes
) -> TargetScene:
    figures = measured.of_client(db, client_id=session.client_id)
    judged = judged_by_recordings(db, known, today, rules)
    return target_scene(known, session, figures, today=today, rules=rules, wishes=wishes, judged=judged)


def _tried(scene: TargetScene, tried: float) -> tuple[TriedLine, ...] | Missing:
    is_pace = any(one.form is TargetForm.PACE for one in target_options(scene))
    return tried_pace(scene, tried) if is_pace else tried_power(scene, tried)
