"""What the weeks of a base block say they do not meet, in sentences."""

from __future__ import annotations

import calendar
from collections.abc import Mapping, Sequence

from app.coaching.rules import Rules
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import SHORTEST_OUTING_MIN, least_of
from app.coaching.words import counted

_DAY_NAMES = tuple(calendar.day_name)


def unmet_words(
    week: WeekDraft, slots: Mapping[int, int], longest: int, kept: Sequence[int], *, is_away: bool
) -> list[str]:
    """What of a week falls away, and where its outings are fewer or shorter than usual.

    slots: what its days hold; longest: the most an outing may have; kept: days of the last full week it could keep.
    """
    short = week.short
    if is_away and not slots:
        return [f"{short} min fall away."]
    said = []
    if 0 < len(week.outings) < len(kept):
        said.append(
            f"{len(week.outings)} of the {len(kept)} days before, since an outing is hardly shorter than "
            f"{SHORTEST_OUTING_MIN} min."
        )
    said += _short_outing_words(week, slots)
    if short > 0:
        why = _why_short(week.target_minutes - week.kept_minutes, slots, longest)
        said.append(f"{week.target_minutes - short} of {week.target_minutes} min: {short} short, because {why}.")
    return said


def _why_short(wanted: int, slots: Mapping[int, int], longest: int) -> str:
    room, capped = sum(slots.values()), sum(min(slot, longest) for slot in slots.values())
    reasons = [f"the days given hold {room} min together"] if room < wanted else []
    reasons += [f"no outing may be longer than {longest} min yet"] if capped < min(room, wanted) else []
    if reasons:
        return " and ".join(reasons)
    return f"another outing would be shorter than {SHORTEST_OUTING_MIN} min"


def _short_outing_words(week: WeekDraft, slots: Mapping[int, int]) -> list[str]:
    """Why an outing is shorter than the shortest; a day that has no more time is told once for the block."""
    short = [one.minutes for one in week.outings if one.minutes < least_of(slots[one.weekday])]
    why = "the whole week has no more" if len(week.outings) == 1 else "the longer ones are as long as they may be"
    return [f"An outing of {minutes} min: {why}." for minutes in short]


def short_before_words(before: Sequence[int], given: int, steady: int, *, is_held_back: bool) -> list[str]:
    """What a week says that follows on two short ones.

    before: minutes of the weeks before, oldest first. given: its own. steady: the step after the larger of the last
    two. is_held_back: whether it would have held more after the last full week.
    """
    if len(before) < 2 or not (is_held_back or given > steady):
        return []
    head = f"The two weeks before hold {before[-2]} and {before[-1]} min"
    if given > steady:
        return [f"{head}: this one comes back to {given} min and rises no further. Publishing asks about the step."]
    return [f"{head}: this one rises from the larger of them."]


def few_days_words(weeks: Sequence[WeekDraft], slots: Mapping[int, int], rules: Rules) -> list[str]:
    """Why some of the client's days stay free at first, and whether the days can ever hold a week."""
    outings, most = len(weeks[0].outings), max(len(week.outings) for week in weeks)
    said = []
    if 0 < outings < min(len(slots), rules.held_days):
        later = next((n for n, week in enumerate(weeks, start=1) if len(week.outings) >= rules.held_days), None)
        until = f" until week {later}" if later else ""
        makes = "1 outing makes" if outings == 1 else f"{outings} outings make"
        said.append(
            f"{makes} the {weeks[0].minutes} min, since one is hardly shorter than {SHORTEST_OUTING_MIN} min; "
            f"the other days stay free{until}."
        )
    if most < rules.held_days:
        said.append(f"{counted(most, 'day')} a week: a week counts as held from {rules.held_days} days on.")
    return said


def short_days_words(weeks: Sequence[WeekDraft], slots: Mapping[int, int]) -> list[str]:
    """Which days have less time than an outing takes, where outings stand on them all the same."""
    used = {one.weekday for week in weeks for one in week.outings}
    return [
        f"{_DAY_NAMES[day]} has {slot} min: outings there are that short."
        for day, slot in sorted(slots.items())
        if day in used and slot < SHORTEST_OUTING_MIN
    ]
