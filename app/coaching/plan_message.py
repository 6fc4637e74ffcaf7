"""The words a coach sends along with a published plan: from when, what is new, what changed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.plan_weeks import PlanEntry
from app.coaching.words import counted, minutes_words, short_day, short_days

#: Hard days named one by one before only the first is.
_HARD_NAMED = 3


def plan_message(name: str, entries: Sequence[PlanEntry]) -> str:
    """A first wording of the message, for the coach to change; "" when nothing is sent."""
    if not entries:
        return ""
    going = [entry for entry in entries if entry.is_going]
    gone = [entry for entry in entries if not entry.is_going]
    parts = [f"Hello {name.split(maxsplit=1)[0]},", *_going_words(going)]
    if gone:
        days = sorted({entry.frozen_on or entry.session.planned_on for entry in gone})
        parts.append(f"No longer planned: {short_days(days)}.")
    return " ".join([*parts, "Tell me if a day does not fit."])


def _going_words(going: Sequence[PlanEntry]) -> list[str]:
    if not going:
        return ["your plan has changed."]
    days = sorted({entry.session.planned_on for entry in going})
    first = min(going, key=lambda entry: (entry.session.planned_on, entry.session.id)).session
    until = f" to {short_day(days[-1])}" if len(days) > 1 else ""
    words = [
        f"your plan from {short_day(days[0])}{until} is there.",
        f"It begins with: {first.title}, {minutes_words(first.minutes)}.",
    ]
    new = [entry for entry in going if entry.frozen_on is None]
    changed = sorted({entry.session.planned_on for entry in going if entry.frozen_on is not None})
    hard = sorted({entry.session.planned_on for entry in new if entry.session.is_hard})
    if new:
        words.append(f"New: {counted(len(new), 'session')}, {_hard_words(hard)}.")
    if changed:
        words.append(f"Changed: {short_days(changed)}.")
    return words


def _hard_words(hard: Sequence[date]) -> str:
    if not hard:
        return "none of them hard"
    if len(hard) <= _HARD_NAMED:
        return f"hard on {short_days(hard)}"
    return f"hard on {len(hard)} days, the first {short_day(hard[0])}"
