"""The words a coach sends along with a published plan: from when, what is new, what changed."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from app.coaching.plan_weeks import PlanEntry
from app.coaching.words import counted, minutes_words, short_day, short_days

#: Hard days named one by one before only the first is.
_HARD_NAMED = 3
#: Days taken away named one by one before they are counted.
_GONE_NAMED = 7


def plan_message(name: str, entries: Sequence[PlanEntry], standing_on: Collection[date] = ()) -> str:
    """A first wording of the message, for the coach to change; "" when nothing is sent.

    standing_on: the days on which the client keeps something that these entries do not touch.
    """
    if not entries:
        return ""
    going = [entry for entry in entries if entry.is_going]
    gone = sorted({entry.frozen_on or entry.session.planned_on for entry in entries if not entry.is_going})
    words = [*_going_words(going), *_gone_words(gone, going, standing_on)]
    return " ".join([f"Hello {name.split(maxsplit=1)[0]},", *words, "Tell me if a day does not fit."])


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


def _gone_words(gone: Sequence[date], going: Sequence[PlanEntry], standing_on: Collection[date]) -> list[str]:
    """What becomes of the days something was taken from: another session, one less, or none any more."""
    filled = {entry.session.planned_on for entry in going if entry.frozen_on != entry.session.planned_on}
    kept = {entry.session.planned_on for entry in going} | set(standing_on)
    parts = (
        ("Replaced", [day for day in gone if day in filled]),
        ("One session less", [day for day in gone if day in kept - filled]),
        ("No longer planned", [day for day in gone if day not in kept]),
    )
    return [f"{label}: {_days_words(days)}." for label, days in parts if days]


def _days_words(days: Sequence[date]) -> str:
    if len(days) <= _GONE_NAMED:
        return short_days(days)
    return f"{len(days)} days from {short_day(days[0])} to {short_day(days[-1])}"


def _hard_words(hard: Sequence[date]) -> str:
    if not hard:
        return "none of them hard"
    if len(hard) <= _HARD_NAMED:
        return f"hard on {short_days(hard)}"
    return f"hard on {len(hard)} days, the first {short_day(hard[0])}"
