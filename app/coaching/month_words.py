"""A month in words: its name, and one plain sentence on what was done in it."""

from __future__ import annotations

from app.coaching.matching import STATUS_WORDS, Pair
from app.coaching.month import MonthCounts, MonthSummary
from app.coaching.weeks import month_days
from app.coaching.words import percent

NO_PLAN_KEPT = "logged, no plan kept here"

_MINUTES_AN_HOUR = 60


def month_title(month: str) -> str:
    """October 2026. Raises: ValueError when it is not a month."""
    first, _ = month_days(month)
    return f"{first:%B} {first.year}"


def month_sentence(summary: MonthSummary) -> str:
    """What was done, in one sentence without praise or blame."""
    counts = summary.counts
    so_far = "" if summary.is_over else "so far "
    if not counts.done_sessions and not counts.planned_sessions:
        paused = f"; {_sessions(counts.paused)} paused" if counts.paused else ""
        return f"Nothing was planned or logged {so_far}in this month{paused}.".replace("  ", " ")
    parts = [_done_words(counts, so_far), *_effort_words(summary)]
    return f"{'; '.join(parts)}."


def line_title(pair: Pair) -> str:
    """What a line of the month is called."""
    if pair.planned is not None:
        return pair.planned.title
    return pair.log.kind.value.replace("_", " ") if pair.log is not None else ""


def status_words(pair: Pair, summary: MonthSummary) -> str:
    """What became of a line; history brought in without its plan is not called extra."""
    if pair.log is not None and pair.log.id in summary.logs_without_plan:
        return NO_PLAN_KEPT
    return STATUS_WORDS[pair.status]


def _done_words(counts: MonthCounts, so_far: str) -> str:
    done = f"{_sessions(counts.done_sessions)} {so_far}done"
    if not counts.planned_sessions:
        plan = "no plan kept here" if counts.without_plan else "without a plan"
        return f"{done}, {_hours(counts.done_minutes)}, {plan}"
    said = (
        f"{done}, {counts.planned_sessions} planned; {_hours(counts.compared_minutes)} against "
        f"{_hours(counts.planned_minutes)}"
    )
    more = f"; {_sessions(counts.without_plan)} of them brought in, with no plan kept here"
    return said + more if counts.without_plan else said


def _effort_words(summary: MonthSummary) -> list[str]:
    share = summary.easy_share.fraction
    easy = [f"{percent(share)} of it easy"] if share is not None and summary.counts.done_sessions else []
    if not summary.hard_sessions:
        return [*easy, "no hard session"]
    most = summary.fullest.count if summary.fullest else 0
    hard = f"{summary.hard_sessions} hard, at most {most} in any 14 days (the ceiling is {summary.ceiling})"
    return [*easy, hard]


def _sessions(count: int) -> str:
    return f"{count} session" if count == 1 else f"{count} sessions"


def _hours(minutes: float) -> str:
    hours, rest = divmod(round(minutes), _MINUTES_AN_HOUR)
    if not hours:
        return f"{rest} min"
    return f"{hours} h" if not rest else f"{hours} h {rest:02d}"
