"""A month's sessions and minutes in words: beside their plan, and apart where no plan is kept."""

from __future__ import annotations

from app.coaching.month import MonthCounts
from app.coaching.month_words import NO_PLAN_KEPT
from app.coaching.words import counted
from app.web.filters import minutes


def sessions_of(counts: MonthCounts) -> str:
    """Sessions done of those planned; alone where nothing was planned."""
    if not counts.planned_sessions:
        return str(counts.compared_sessions or counts.without_plan)
    return f"{counts.compared_sessions} of {counts.planned_sessions}"


def time_of(counts: MonthCounts) -> str:
    """Time done of that planned; alone where nothing was planned."""
    if not counts.planned_sessions:
        return minutes(counts.compared_minutes or counts.without_plan_minutes)
    return f"{minutes(counts.compared_minutes)} of {minutes(counts.planned_minutes)}"


def no_plan_note(counts: MonthCounts) -> str:
    """What was brought in for weeks whose plan was never kept here."""
    if not counts.without_plan:
        return ""
    if counts.is_history_alone:
        return NO_PLAN_KEPT
    return f"and {counts.without_plan} logged, {minutes(counts.without_plan_minutes)}, no plan kept here"


def plain_facts(counts: MonthCounts) -> tuple[tuple[bool, str, str], ...]:
    """Sessions and minutes beside their plan, and apart from them what has none."""
    brought_in = f"{counted(counts.without_plan, 'session')}, {minutes(counts.without_plan_minutes)} (brought in)"
    is_compared = not counts.is_history_alone
    return (
        (is_compared, "Sessions", f"{counts.compared_sessions} done, {counts.planned_sessions} planned"),
        (
            is_compared,
            "Minutes",
            f"{minutes(counts.compared_minutes)} done, {minutes(counts.planned_minutes)} planned",
        ),
        (counts.without_plan > 0, NO_PLAN_KEPT.capitalize(), brought_in),
    )
