"""Looking ahead at a week's hard sessions: no more from Monday to Sunday than the phase goes by.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.facts import FactsOnDemand
from app.coaching.history import History
from app.coaching.lookahead_hard import hard_days_with
from app.coaching.lookahead_values import HARD_WEEK, Breach, Level
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS
from app.coaching.planner_intervals import most_a_week
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day, short_days


def week_breaches(
    history: History,
    standing: Sequence[PlannedSession],
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    facts: FactsOnDemand | None = None,
) -> list[Breach]:
    """Weeks of the drafts with more hard sessions, done or planned, than the phase; told on the last draft."""
    phase, drafted = history.phase, sorted(draft.planned_on for draft in drafts if draft.is_hard)
    # Without a phase for hard work it is refused as such.
    if phase not in HARD_WORK_PHASES or phase is None or not drafted:
        return []
    days = sorted([*hard_days_with(history, standing, today, rules, facts=facts), *drafted])
    most, found = most_a_week(phase), []
    for monday in sorted({week_start(day) for day in drafted}):
        inside = [day for day in days if week_start(day) == monday]
        if len(inside) > most:
            last = max(day for day in drafted if week_start(day) == monday)
            found.append(_breach(monday, inside, last, most, PHASE_WORDS[phase]))
    return found


def _breach(monday: date, inside: Sequence[date], last: date, most: int, phase: str) -> Breach:
    why = Why(
        (Figure("hard sessions", short_days(inside)), Figure("phase", phase)),
        "One hard session a week, two once that is decided, from Monday to Sunday; one more asks for a reason.",
        Provenance.COMMON_PRACTICE,
        None,
        "Another week for one of them, or its easy version.",
    )
    sentence = (
        f"Week of {short_day(monday)}: {counted(len(inside), 'hard session')} ({short_days(inside)}) where "
        f"{most} a week is agreed."
    )
    return Breach(Level.ASKS, HARD_WEEK, last, sentence, why)
