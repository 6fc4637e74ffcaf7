"""What a look ahead found, told once for all the sessions it is true of, and what the plan breaks as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.history import History
from app.coaching.lookahead import as_if_sent, breaches
from app.coaching.lookahead_values import DAYS_OFF, HARD_WEEK, PAPER_ENDS, UNASKED, Breach, Level
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Why
from app.coaching.rules import Rules
from app.coaching.words import counted, short_day, short_days

#: What a published plan can break by itself; how it grows and whose days it takes was said when it was published.
_STANDING_KINDS = frozenset(
    {"ceiling", HARD_WEEK, "spacing", "gap", DAYS_OFF, "hold", "stopped", "no_leave", PAPER_ENDS, UNASKED, "phase"}
)
#: Days named one by one before the rest is counted.
_DAYS_NAMED = 4
_CEILING_TAILS = {Level.ASKS: " A reason is asked for and kept.", Level.REFUSES: " It is not published."}


@dataclass(frozen=True, slots=True)
class Gathered:
    """One sentence for everything it is true of."""

    level: Level
    kind: str
    #: The first day it is about.
    on: date
    sentence: str
    why: Why
    #: How many sessions it is true of.
    count: int
    #: What was found, one by one.
    of: tuple[Breach, ...] = ()


def gathered(found: Sequence[Breach], sessions: int) -> tuple[Gathered, ...]:
    """What was found before publishing some sessions, each thing once, in the order it was found."""
    return tuple(_one(group, _before_sending(group, sessions)) for group in _groups(found))


def as_it_stands(history: History, today: date, rules: Rules) -> tuple[Gathered, ...]:
    """What the plan breaks as the client has it: ceiling, spacing, holds, leave and phase.

    A long gap is looked for with the drafts in place, since they may be there to fill it.
    """
    given = [b for b in breaches(history, _ahead(history, today), today, rules) if b.kind != "gap"]
    whole = as_if_sent(history, today)
    gaps = [b for b in breaches(whole, _ahead(whole, today), today, rules) if b.kind == "gap"]
    found = [breach for breach in (*given, *gaps) if breach.kind in _STANDING_KINDS]
    return tuple(_one(group, _standing(group)) for group in _groups(found))


def _ahead(history: History, today: date) -> list[PlannedSession]:
    answered = {log.planned_session_id for log in history.logs}
    return [s for s in history.planned if s.planned_on >= today and not s.is_cancelled and s.id not in answered]


def _groups(found: Sequence[Breach]) -> list[list[Breach]]:
    groups: dict[tuple[Level, str, str], list[Breach]] = {}
    for breach in found:
        groups.setdefault((breach.level, breach.kind, breach.shared or breach.sentence), []).append(breach)
    return list(groups.values())


def _one(group: Sequence[Breach], sentence: str) -> Gathered:
    first = group[0]
    return Gathered(first.level, first.kind, first.on, sentence, first.why, len(group), tuple(group))


def _before_sending(group: Sequence[Breach], sessions: int) -> str:
    first, count = group[0], len(group)
    if count == 1:
        return first.sentence
    if first.kind == "ceiling":
        return f"{first.shared}{_CEILING_TAILS[first.level]}"
    if first.level is not Level.REFUSES:
        return f"{counted(count, 'session')} ({_days(group)}): {first.shared}"
    if count == sessions:
        return f"None of the {sessions} sessions can be published: {first.shared}"
    return f"{count} of the {sessions} sessions cannot be published ({_days(group)}): {first.shared}"


def _standing(group: Sequence[Breach]) -> str:
    first = group[0]
    if first.kind == "ceiling":
        return first.shared
    if len(group) == 1:
        return first.sentence
    return f"{counted(len(group), 'published session')} ({_days(group)}): {first.shared}"


def _days(group: Sequence[Breach]) -> str:
    days = sorted({breach.on for breach in group})
    if len(days) <= _DAYS_NAMED:
        return short_days(days)
    return f"{len(days)} days, {short_day(days[0])} to {short_day(days[-1])}"
