"""Sessions to come whose target rests on a figure set aside, ready to print."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.target_words import aim_in_short
from app.usecases.plan_sessions import set_aside_targets as use
from app.usecases.plan_sessions.set_aside_targets import RestsOnAside
from app.web.deps import Desk
from app.web.filters import day_year


@dataclass(frozen=True, slots=True)
class RestingView:
    """One session: where it is, what it aims at, and whether the client reads that."""

    address: str
    day: str
    title: str
    target: str
    figure_on: str
    is_seen: bool


def resting_views(desk: Desk, client_id: int) -> tuple[RestingView, ...]:
    """Every such session of a client."""
    found = use.sessions_from_set_aside(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return tuple(_resting(one) for one in found)


def _resting(one: RestsOnAside) -> RestingView:
    seen = "" if one.seen is None else aim_in_short(one.seen)
    return RestingView(
        address=f"/plan/sessions/{one.newest.id}",
        day=day_year(one.newest.planned_on),
        title=one.newest.title,
        target=seen or aim_in_short(one.newest),
        figure_on=day_year(one.figure_on),
        is_seen=one.is_seen,
    )
