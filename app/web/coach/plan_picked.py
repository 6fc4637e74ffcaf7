"""A session picked up on the plan's page, to be put on another day by a tap, a key or a drop."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.coaching.plan_weeks import PlanEntry, Standing
from app.coaching.words import short_day
from app.usecases.plan_sessions.whole import PlanPage


@dataclass(frozen=True, slots=True)
class PickedView:
    """What is picked up, and the form that puts it down."""

    session_id: int
    words: str
    action: str
    #: What the button on each day says.
    put: str
    values: tuple[tuple[str, object], ...]
    #: Whether the client has it, so that a reason is asked for.
    asks_reason: bool
    #: Days it cannot be put on, beside those that are over: the one it is on.
    on: str


def picked_of(page: PlanPage, query: Mapping[str, str]) -> PickedView | None:
    """What the address says is picked up: `moving` or `copying` with a session's number; None when nothing is."""
    if not page.may_plan:
        return None
    entries = {str(e.session.id): e for week in page.weeks for day in week.days for e in day.entries if e.is_going}
    if (entry := entries.get(query.get("moving", ""))) and entry.session.planned_on >= page.today:
        return _moving(entry)
    if entry := entries.get(query.get("copying", "")):
        return _copying(page, entry)
    return None


def _moving(entry: PlanEntry) -> PickedView:
    session = entry.session
    return PickedView(
        session.id,
        f"Moving {session.title}, {short_day(session.planned_on)}.",
        f"/plan/sessions/{session.id}/move",
        "Put it here",
        (("version", session.version), ("back", "plan")),
        asks_reason=entry.standing is Standing.PUBLISHED,
        on=session.planned_on.isoformat(),
    )


def _copying(page: PlanPage, entry: PlanEntry) -> PickedView:
    session = entry.session
    return PickedView(
        session.id,
        f"Copying {session.title}, {short_day(session.planned_on)}.",
        f"/plan/sessions/{session.id}/copy",
        "Copy it here",
        (("to_client_id", page.client.id),),
        asks_reason=False,
        on=session.planned_on.isoformat(),
    )
