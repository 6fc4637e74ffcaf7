"""Looking ahead at volume: how fast weeks and longest outings grow."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.planner import rise_step
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.weeks import week_start
from app.coaching.words import short_day

LONGEST_DAYS = 30
#: A rise counts from the larger of the two weeks before, so that the week after an easier one is not a large step.
WEEKS_COMPARED = 2


def volume_breaches(
    history: History,
    standing: Sequence[PlannedSession],
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
) -> list[Breach]:
    """Weeks that rise too fast and outings too long for what came before."""
    planned = [s for s in (*standing, *drafts) if is_endurance(s)]
    going = [draft for draft in drafts if is_endurance(draft)]
    return [*_steps(history, planned, going, today, rules), *_longest(history, planned, going, today, rules)]


def _steps(
    history: History, planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], today: date, rules: Rules
) -> list[Breach]:
    found = []
    for monday in sorted({week_start(draft.planned_on) for draft in drafts}):
        week = _week_minutes(history, planned, monday, today)
        before = max(
            _week_minutes(history, planned, monday - timedelta(weeks=n), today) for n in range(1, WEEKS_COMPARED + 1)
        )
        if before <= 0 or week <= before + rise_step(before, rules):
            continue
        is_large = week > before * (1 + rules.large_step_fraction)
        more = week - before
        allowed = rise_step(before, rules)
        why = Why(
            (Figure("this week", f"{week:.0f} min"), Figure("before", f"{before:.0f} min, the larger of two weeks")),
            "A week adds at most a tenth or 15 min, whichever is more, and never over 20; over 15 % is a large step.",
            Provenance.COMMON_PRACTICE,
        )
        sentence = (
            f"Week of {short_day(monday)}: {week:.0f} min, {more:.0f} more than before; {allowed:.0f} is the most"
            f"{'. A large step' if is_large else ''}."
        )
        found.append(Breach(Level.ASKS, "step", monday, sentence, why))
    return found


def _week_minutes(history: History, planned: Sequence[PlannedSession], monday: date, today: date) -> float:
    """Minutes done in a week that is over, else what is planned or already done, whichever is more."""
    end = monday + timedelta(days=7)
    done = sum(done_minutes(log) for log in history.logs if monday <= log.done_on < end and is_endurance(log))
    asked = float(sum(s.minutes for s in planned if monday <= s.planned_on < end))
    return done if end <= today else max(done, asked)


def _longest(
    history: History, planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], today: date, rules: Rules
) -> list[Breach]:
    found = []
    for draft in drafts:
        first = draft.planned_on - timedelta(days=LONGEST_DAYS)
        done = [done_minutes(e) for e in history.logs if first <= e.done_on < draft.planned_on and is_endurance(e)]
        ahead = [float(s.minutes) for s in planned if max(first, today) <= s.planned_on < draft.planned_on]
        before = max([*done, *ahead], default=0.0)
        if before <= 0 or draft.minutes <= before * rules.longest_fraction + 1e-9:
            continue
        why = Why(
            (Figure("planned", f"{draft.minutes} min"), Figure("longest in 30 days", f"{before:.0f} min")),
            "The longest outing grows by at most a tenth over the last 30 days' longest.",
            Provenance.COMMON_PRACTICE,
        )
        sentence = (
            f"{draft.title} on {short_day(draft.planned_on)}: {draft.minutes} min; the longest in the 30 days before "
            f"is {before:.0f}."
        )
        found.append(Breach(Level.ASKS, "longest", draft.planned_on, sentence, why))
    return found
