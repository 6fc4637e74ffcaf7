"""Looking ahead at hard work after days off: the easy week or the two easy sessions that come before it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from app.coaching.after_days_off import runs_off
from app.coaching.days_off import DaysOffRow, Run, row_for
from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.lookahead_values import DAYS_OFF, Breach, Level
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.time_away import Possible, Stretch, ways_back
from app.coaching.weeks import week_start
from app.coaching.words import counted, percent, short_day

#: Easy sessions that have not been planned or done so long after days off are no longer waited for (house choice).
_EASY_FIRST_WITHIN = timedelta(days=14)


def days_off_breaches(
    history: History, standing: Sequence[PlannedSession], drafts: Sequence[PlannedSession]
) -> list[Breach]:
    """Middle and hard drafts that come sooner after days off than the table has them.

    Days off from two weeks on stop hard work by themselves and are said there.
    Source: common practice, no published source.
    """
    planned = (*standing, *drafts)
    found = (_too_soon(history, planned, draft) for draft in drafts if is_hard_or_middle(draft))
    return [breach for breach in found if breach is not None]


def _too_soon(history: History, planned: Sequence[PlannedSession], draft: PlannedSession) -> Breach | None:
    """What the last days off that ask something ask of a draft; a day off since then takes nothing back."""
    for run in reversed(runs_off(history.told_away, history.leaves, draft.planned_on)):
        row = row_for(run.days)
        if row is None or row.is_base_only:
            continue
        if words := _easy_week(run, draft) or _easy_sessions(history, planned, run, row, draft):
            return _breach(draft, run, words)
    return None


def _easy_week(run: Run, draft: PlannedSession) -> str | None:
    back = ways_back([Stretch(run.first_on, run.last_on, Possible.NOTHING)]).get(week_start(draft.planned_on))
    if back is None or back.share >= 1:
        return None
    return f"an easy week comes first, {percent(back.share)} of the last full one"


def _easy_sessions(
    history: History, planned: Sequence[PlannedSession], run: Run, row: DaysOffRow, draft: PlannedSession
) -> str | None:
    if draft.planned_on >= run.back_on + _EASY_FIRST_WITHIN:
        return None
    easy = {one.planned_on for one in planned if is_endurance(one) and not is_hard_or_middle(one)}
    easy |= {log.done_on for log in history.logs if is_endurance(log) and done_minutes(log) > 0}
    before = [day for day in easy if run.back_on <= day < draft.planned_on]
    return f"{row.easy_first} easy sessions come first" if len(before) < row.easy_first else None


def _breach(draft: PlannedSession, run: Run, words: str) -> Breach:
    days = f"{short_day(run.first_on)} to {short_day(run.last_on)}"
    shared = f"after {counted(run.days, 'day')} off, {days}, {words}."
    why = Why(
        (
            Figure("days off", f"{run.days}, {days}"),
            Figure("planned", f"{draft.title}, {short_day(draft.planned_on)}"),
        ),
        "After 5-9 days off two easy sessions come before hard work, after 10-13 an easy week.",
        Provenance.COMMON_PRACTICE,
        None,
        "Other days than were told or agreed.",
    )
    sentence = f"{draft.title} on {short_day(draft.planned_on)}: {shared}"
    return Breach(Level.ASKS, DAYS_OFF, draft.planned_on, sentence, why, shared)
