"""Changing, cancelling and restoring one planned session: always a new version, never a rewritten one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_version import is_eased_from
from app.coaching.hard_words import wording_breaches
from app.coaching.heart_rate_trust import trust_of
from app.coaching.heart_rate_words import typed_rates
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead import Level, breaches
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.paused_told import not_drafted
from app.coaching.plan_changes import new_session
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import REASON_ASKED, DomainError, Refused, is_reason
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape
from app.coaching.taking_back import is_more
from app.coaching.weeks import local_day
from app.storage import prescriptions
from app.usecases.gate import open_record
from app.usecases.plan_sessions.keeping import (
    history_around,
    is_seen,
    keep_new,
    keep_version,
    open_to_change,
    refuse_frozen,
)
from app.usecases.plan_sessions.wishes import (
    Problems,
    SessionWish,
    content_of,
    day_problem,
    field_of,
    mode_of,
    wished,
)


def edit_session(
    db: Session,
    *,
    actor: Actor,
    planned_session_id: int,
    version: int,
    wish: SessionWish,
    rules: Rules,
    now: datetime,
) -> Problems:
    """Keep a change as the next version; returns what stands in its way, by field.

    A change of today's published session is published at once with its reason; any other waits as a draft.
    Raises: ChangedMeanwhile when `version` is not the newest; Refused for a day that is over; ReasonNeeded.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, max(session.planned_on, wish.planned_on), today)
    refuse_frozen(db, known, session, today)
    problem = day_problem(wish.planned_on, today)
    if problem:
        return (("planned_on", problem),)
    if problems := _steers_by_rate(wish, known):
        return problems
    try:
        changed = wished(session, wish, known, rules)
    except DomainError as refusal:
        return ((field_of(wish), str(refusal)),)
    if dropped := _not_taken(session, changed, wish):
        return (dropped,)
    if is_more(changed, session) and (refused := _refused(known, changed, today, rules)):
        return ((field_of(wish), refused),)
    is_sent = session.planned_on == today and is_seen(db, session)
    if is_sent:
        allow_sending(known, changed, wish.reason, today, rules)
    asked = _asked_words(session, changed, wish.despite) if is_sent else None
    keep_version(
        db, actor, session, changed, reason=wish.reason, despite=asked, publish=is_sent, action="changed", now=now
    )
    return ()


def _asked_words(session: PlannedSession, changed: PlannedSession, despite: str | None) -> str | None:
    """What was answered where new words sound hard; None where nothing was asked. Raises: ReasonNeeded."""
    said = {one.sentence for one in wording_breaches([session])}
    found = tuple(one for one in wording_breaches([changed]) if one.sentence not in said)
    if found and not is_reason(despite):
        raise ReasonNeeded(f"This asks for a reason, which is kept. {REASON_ASKED}", found)
    return despite if found else None


def _not_taken(session: PlannedSession, changed: PlannedSession, wish: SessionWish) -> tuple[str, str] | None:
    """What of an edit would be dropped without a word: minutes that follow from rounds, or an edit of nothing."""
    is_typed = wish.minutes is not None and wish.minutes not in (session.minutes, changed.minutes)
    if wish.shape is Shape.INTERVALS and is_typed:
        return "minutes", f"They follow from the rounds: {changed.minutes} min. Change the rounds, or leave it."
    if changed == session and (session.published_at is not None or not wish.reason):
        return "", "Nothing is different from how it stands; nothing is kept."
    return None


def add_session(
    db: Session, *, actor: Actor, client_id: int, wish: SessionWish, rules: Rules, now: datetime
) -> tuple[int | None, Problems]:
    """Add a session as a draft; returns its identity, or what stands in its way by field."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    problem = day_problem(wish.planned_on, today)
    if problem:
        return None, (("planned_on", problem),)
    known = history_around(db, client_id, wish.planned_on, today)
    if problems := _steers_by_rate(wish, known):
        return None, problems
    try:
        content = content_of(wish, known, rules)
    except DomainError as refusal:
        return None, ((field_of(wish), str(refusal)),)
    mode = mode_of(wish)
    made = new_session(
        content, client_id=client.id, number=1, on=wish.planned_on, mode=mode, place=wish.place, at=now
    )
    if refused := _refused(known, made, today, rules):
        return None, ((field_of(wish), refused),)
    draft = prescriptions.VersionDraft(
        planned_on=wish.planned_on,
        kind=content.kind,
        mode=mode,
        title=wish.title or content.title,
        purpose=wish.purpose or content.purpose,
        minutes=content.minutes,
        hard_minutes=content.hard_minutes,
        is_hard=content.is_hard,
        rounds=content.rounds,
        steps_json=content.steps_json,
        easy_version=wish.easy_version or content.easy_version,
        place=wish.place,
        reason=wish.reason,
    )
    return keep_new(db, actor, client_id, draft, action="added", now=now), ()


def _refused(known: History, draft: PlannedSession, today: date, rules: Rules) -> str:
    """Why a draft is not kept for a client who is stopped; "" where it may be."""
    return not_drafted(stopped_now(known, today, rules), draft, known.client.name)


def _steers_by_rate(wish: SessionWish, known: History) -> Problems:
    """Words that steer by heart rate for a client whose heart rate is not reliable that day."""
    trust = trust_of(known, wish.planned_on)
    if not trust.is_off:
        return ()
    texts = {"title": wish.title, "purpose": wish.purpose, "easy_version": wish.easy_version, "reason": wish.reason}
    return tuple((name, f"This speaks of heart rate. {trust.sentence}") for name in typed_rates(texts))


def cancel_session(
    db: Session, *, actor: Actor, planned_session_id: int, version: int, reason: str | None, now: datetime
) -> bool:
    """Cancel a session; the client sees it at once when it was published. Returns whether that was so.

    Raises: ChangedMeanwhile; Refused for a day that is over or an entered session; ReasonNeeded.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    refuse_frozen(db, history_around(db, client.id, session.planned_on, today), session, today)
    if session.is_cancelled:
        raise Refused("This session is cancelled already.")
    was_seen = is_seen(db, session)
    if was_seen and not reason:
        raise ReasonNeeded("Say why it is cancelled; the client reads it.")
    gone = replace(session, is_cancelled=True)
    keep_version(db, actor, session, gone, reason=reason, publish=was_seen, action="cancelled", now=now)
    return was_seen


def restore_session(
    db: Session, *, actor: Actor, planned_session_id: int, version: int, rules: Rules, now: datetime
) -> None:
    """Take a cancelling back: a new draft that says what was planned, to be published again."""
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    if not session.is_cancelled:
        raise Refused("This session is not cancelled.")
    back = replace(session, is_cancelled=False)
    if refused := _refused(known, back, today, rules):
        raise Refused(refused)
    keep_version(db, actor, session, back, reason=None, publish=False, action="restored", now=now)


def may_take_easy_back(versions: Sequence[PlannedSession], today: date) -> bool:
    """Whether the newest version is today's session made easy, so that the one before can be brought back."""
    if len(versions) < 2:
        return False
    newest, before = versions[-1], versions[-2]
    is_today = newest.planned_on == today and newest.published_at is not None and before.published_at is not None
    return is_today and is_eased_from(newest, before)


def _refuse_breaches(known: History, changed: PlannedSession, today: date, rules: Rules) -> None:
    refused = [one.sentence for one in breaches(known, [changed], today, rules) if one.level is Level.REFUSES]
    if refused:
        raise Refused(" ".join(refused))


def allow_sending(known: History, changed: PlannedSession, reason: str | None, today: date, rules: Rules) -> None:
    """Whether a change of today's session may reach the client at once. Raises: Refused; ReasonNeeded."""
    _refuse_breaches(known, changed, today, rules)
    if not reason:
        raise ReasonNeeded("Today's session changes at once; say why, the client reads it.")
