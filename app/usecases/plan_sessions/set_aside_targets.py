"""Sessions still to come whose target rests on a figure that was set aside: naming them, and taking targets away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.measured import Measured
from app.coaching.plan_weeks import is_answered
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused
from app.coaching.target_set_aside import from_set_aside
from app.coaching.weeks import local_day
from app.coaching.windows import PLANS_LISTED
from app.storage import measured, plan_window, prescriptions
from app.usecases.gate import open_planned_session, open_record
from app.usecases.plan_sessions.keeping import history_around, keep_version


@dataclass(frozen=True, slots=True)
class RestsOnAside:
    """A session to come: as it stands now, as the client sees it, and the day of the figure it rests on."""

    newest: PlannedSession
    #: The version the client sees; None while there is none.
    seen: PlannedSession | None
    figure_on: date

    @property
    def is_seen(self) -> bool:
        """Whether the client reads a target now."""
        return self.seen is not None and self.seen.target_json is not None


def sessions_from_set_aside(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[RestsOnAside, ...]:
    """Every session from today on with such a target, in its draft or as published. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    return _found(db, client_id, local_day(now, client.zone))


def is_from_set_aside(db: Session, *, actor: Actor, planned_session_id: int, now: datetime) -> bool:
    """Whether the target of one session, as it stands or as the client sees it, rests on a figure set aside."""
    _client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.READ, now=now
    )
    figures = measured.of_client(db, client_id=session.client_id)
    published = prescriptions.published_of(db, planned_session_ids=[session.id])
    return any(from_set_aside(one.target_json, figures) for one in (session, *published[-1:]))


def take_targets_away(db: Session, *, actor: Actor, client_id: int, reason: str, now: datetime) -> int:
    """Take every such target away, each with a new version and the reason; returns of how many sessions.

    What the client sees changes at once; a draft that waits on top of it waits on without its target.
    Raises: NotYours, NotAllowed; Refused when there is none.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    found = _found(db, client_id, local_day(now, client.zone))
    if not found:
        raise Refused("No session to come has a target from a figure that was set aside.")
    figures = measured.of_client(db, client_id=client_id)
    for one in found:
        _take_away(db, actor, one, figures, reason=reason, now=now)
    return len(found)


def _take_away(
    db: Session, actor: Actor, one: RestsOnAside, figures: Sequence[Measured], *, reason: str, now: datetime
) -> None:
    """First what the client sees, then what waits as a draft, so that no draft is sent along."""
    action = "took the target away, its figure was set aside"
    before = one.newest
    is_draft = one.seen is None or one.newest.version != one.seen.version
    if one.seen is not None and from_set_aside(one.seen.target_json, figures):
        bare = replace(one.seen, target_json=None)
        keep_version(db, actor, before, bare, reason=reason, publish=True, action=action, now=now)
        before = bare
    if is_draft:
        rests = from_set_aside(one.newest.target_json, figures) is not None
        after = replace(one.newest, target_json=None if rests else one.newest.target_json)
        keep_version(db, actor, before, after, reason=reason, publish=False, action=action, now=now)


def _found(db: Session, client_id: int, today: date) -> tuple[RestsOnAside, ...]:
    figures = measured.of_client(db, client_id=client_id)
    if all(one.set_aside_at is None for one in figures):
        return ()
    until_on = today + PLANS_LISTED
    ours = [client_id]
    published = plan_window.published_between(db, client_ids=ours, from_on=today, until_on=until_on)
    seen = {one.id: one for one in published}
    upcoming = prescriptions.newest_between(db, client_ids=ours, from_on=today, until_on=until_on)
    newest = {one.id: one for one in upcoming}
    for session_id in seen.keys() - newest.keys():
        last = prescriptions.newest(db, planned_session_id=session_id)
        if last is not None:
            newest[session_id] = last
    known = history_around(db, client_id, until_on, today)
    found = [_resting(newest[one], seen.get(one), figures, today) for one in newest if not is_answered(known, one)]
    return tuple(sorted((one for one in found if one), key=lambda one: (one.newest.planned_on, one.newest.id)))


def _resting(
    last: PlannedSession, published: PlannedSession | None, figures: Sequence[Measured], today: date
) -> RestsOnAside | None:
    """A session with such a target, none of whose days is over; None otherwise."""
    shown = published if published is not None and not published.is_cancelled else None
    standing = [one for one in (last, shown) if one is not None and not one.is_cancelled]
    days = [on for one in standing if (on := from_set_aside(one.target_json, figures)) is not None]
    if not days or min(one.planned_on for one in standing) < today:
        return None
    return RestsOnAside(last, shown, days[0])
