"""Blocks as drafts: an aerobic base that rises gently, and what every kind of week shares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.effort import Band
from app.coaching.people import AvailableDay, Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_steps import NOUNS, easy_steps, long_steps
from app.coaching.steps import Node, minutes_in_band, work_rounds
from app.coaching.weeks import DAYS_IN_WEEK

#: Common practice, no published source: what a never-trained client adds at first, and how long an outing is.
START_RISE_MIN = 30
SHORTEST_OUTING_MIN = 20
USUAL_OUTING_MIN = 40
FIRST_LONGEST_MIN = 30
USUAL_DAYS = 3
#: The longest outing of a week against an even share (house choice).
LONGEST_SHARE = 1.25
#: Minutes are handed out in steps of five, so that a plan reads like a plan (house choice).
STEP_MIN = 5
#: From so many minutes on an easier week is rounded to five and stays within 70 to 75 %.
EASED_TIDY_FROM_MIN = 90
LOOK_BACK_WEEKS = 4
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@dataclass(frozen=True, slots=True)
class SessionDraft:
    """One proposed session of a week; nothing is kept until the coach says so."""

    weekday: int
    minutes: int
    kind: SessionKind
    mode: Mode
    title: str
    purpose: str
    steps: tuple[Node, ...]
    easy_version: str | None = None
    is_hard: bool = False

    @property
    def hard_minutes(self) -> float:
        """Minutes of steps in the hard band."""
        return minutes_in_band(self.steps, Band.HARD)

    @property
    def rounds(self) -> int:
        """Work rounds in the steps."""
        return work_rounds(self.steps)


@dataclass(frozen=True, slots=True)
class WeekDraft:
    """One proposed week; `said` holds, in sentences, every wish it does not meet."""

    starts_on: date
    is_easier: bool
    target_minutes: int
    sessions: tuple[SessionDraft, ...]
    said: tuple[str, ...] = ()

    @property
    def minutes(self) -> int:
        """Endurance minutes the sessions add up to."""
        return sum(session.minutes for session in self.sessions)


def starting_volume(minutes_now: int) -> int:
    """What a never-trained client starts with: what they do now and 30 minutes (common practice, no source)."""
    return minutes_now + START_RISE_MIN


def rise_step(minutes: float, rules: Rules) -> float:
    """How many minutes the next week may add: a tenth or 15 minutes, whichever is more, at most 20.

    Source: common practice, no published source.
    """
    return min(max(minutes * rules.rise_fraction, rules.rise_minutes), rules.rise_minutes_most)


def easier_every(age: int | None, rules: Rules) -> int:
    """Every how many weeks an easier one; an unknown age counts as 60 and more."""
    return rules.easier_every_from_60 if age is None or age >= 60 else rules.easier_every


def base_block(
    *,
    start_volume_min: int,
    days: Sequence[AvailableDay],
    target_min: int,
    weeks: int,
    rules: Rules,
    every: int,
    starts_on: date,
    mode: Mode,
    longest_before_min: int | None = None,
) -> tuple[WeekDraft, ...]:
    """A block of easy weeks that rises no faster than the rules allow, over the client's real days.

    A rise counts from the last week that was not an easier one. `longest_before_min` is the longest outing of the
    last 30 days; unknown lets the first week decide.
    Raises: DomainError without a day, a week or a minute to plan, when it does not start on a Monday, or when it
    would have to begin above its target.
    Source: common practice, no published source.
    """
    _refuse_nonsense(start_volume_min, days, weeks, starts_on)
    if start_volume_min > target_min:
        raise DomainError(
            f"the first week, {start_volume_min} min, is above the {target_min} min it should grow towards; "
            "make one larger or the other smaller"
        )
    slots = slots_of(days)
    drafts: list[WeekDraft] = []
    longest = [longest_before_min or _first_longest(start_volume_min, slots)] * LOOK_BACK_WEEKS
    full: WeekDraft | None = None
    for number in range(weeks):
        is_easier = full is not None and (number + 1) % every == 0
        wanted = _wanted_minutes(full, is_easier, start_volume_min, target_min, rules)
        allowed_longest = _longest_allowed(longest, is_first=number == 0 and longest_before_min is None, rules=rules)
        spread = spread_minutes(wanted, slots, allowed_longest, fewest_days=_days_of(full))
        week = _easy_week(starts_on + timedelta(weeks=number), is_easier, wanted, spread, mode)
        said = _said_of_week(week, slots, allowed_longest)
        drafts.append(replace(week, said=said))
        longest = [*longest[1:], max(spread.values())]
        full = full if is_easier else week
    return _with_last_word(drafts, target_min, rules)


def slots_of(days: Sequence[AvailableDay]) -> dict[int, int]:
    """Longest slot in minutes by weekday."""
    return {day.weekday: day.minutes for day in sorted(days, key=lambda d: d.weekday) if day.minutes > 0}


def spread_minutes(
    total: int, slots: Mapping[int, int], longest: int, *, fewest_days: Sequence[int] = ()
) -> dict[int, int]:
    """Minutes by weekday: as many days as the total needs, one longest outing, no slot overrun.

    Days in `fewest_days` are kept. What does not fit is left out: compare the sum with the total.
    """
    usual = min(
        len(slots), max(USUAL_DAYS, math.ceil(total / USUAL_OUTING_MIN)), max(1, total // SHORTEST_OUTING_MIN)
    )
    first = max(usual, len(fewest_days))
    best: dict[int, int] = {}
    for count in range(first, len(slots) + 1):
        chosen = _spaced_days(slots, count, kept=fewest_days)
        best = _fill(total, {day: min(slots[day], longest) for day in chosen})
        if sum(best.values()) >= total:
            break
    return best


def _refuse_nonsense(start_volume_min: int, days: Sequence[AvailableDay], weeks: int, starts_on: date) -> None:
    if not any(day.minutes > 0 for day in days):
        raise DomainError("no day of the week has time for training")
    if weeks < 1 or start_volume_min < 1:
        raise DomainError("a block has at least one week and one minute")
    if starts_on.weekday() != 0:
        raise DomainError("a block starts on a Monday")


def _first_longest(start_volume_min: int, slots: Mapping[int, int]) -> int:
    return max(FIRST_LONGEST_MIN, math.ceil(start_volume_min / len(slots)))


def _longest_allowed(longest: Sequence[int], *, is_first: bool, rules: Rules) -> int:
    """Longest outing against the last weeks' longest; the very first week's own guess is not raised."""
    return max(longest) if is_first else math.floor(max(longest) * rules.longest_fraction + 1e-9)


def _wanted_minutes(
    full: WeekDraft | None, is_easier: bool, start_volume_min: int, target_min: int, rules: Rules
) -> int:
    if full is None:
        return start_volume_min
    if is_easier:
        eased = round(full.minutes * rules.easier_fraction)
        return max(1, _tidy(eased) if eased >= EASED_TIDY_FROM_MIN else eased)
    risen = math.floor(full.minutes + rise_step(full.minutes, rules) + 1e-9)
    tidy = risen - risen % STEP_MIN
    return min(max(tidy, full.minutes) if tidy > full.minutes else risen, max(target_min, full.minutes))


def _tidy(minutes: int) -> int:
    """The nearest five minutes."""
    return round(minutes / STEP_MIN) * STEP_MIN


def _days_of(full: WeekDraft | None) -> tuple[int, ...]:
    return tuple(session.weekday for session in full.sessions) if full else ()


def _spaced_days(slots: Mapping[int, int], count: int, *, kept: Sequence[int]) -> tuple[int, ...]:
    """Kept days first, then the day furthest from those chosen; of equals the longer slot, then the earlier."""
    chosen = [day for day in kept if day in slots][:count]
    while len(chosen) < count:
        left = [day for day in slots if day not in chosen]
        chosen.append(max(left, key=lambda day: (_distance(day, chosen), slots[day], -day)))
    return tuple(sorted(chosen))


def _distance(day: int, chosen: Sequence[int]) -> int:
    apart = [abs(day - other) for other in chosen]
    return min((min(gap, DAYS_IN_WEEK - gap) for gap in apart), default=0)


def _fill(total: int, caps: Mapping[int, int]) -> dict[int, int]:
    longest_day = max(caps, key=lambda day: (caps[day], day))
    share = math.floor(total / len(caps) * LONGEST_SHARE)
    minutes = dict.fromkeys(caps, 0)
    minutes[longest_day] = min(caps[longest_day], share - share % STEP_MIN, total)
    for unit in (STEP_MIN, 1):
        while sum(minutes.values()) + unit <= total:
            room = [day for day in minutes if minutes[day] + unit <= caps[day]]
            if not room:
                break
            minutes[min(room, key=lambda day: (minutes[day], day))] += unit
    return {day: amount for day, amount in minutes.items() if amount > 0}


def _easy_week(starts_on: date, is_easier: bool, wanted: int, spread: Mapping[int, int], mode: Mode) -> WeekDraft:
    longest_day = max(spread, key=lambda day: (spread[day], day))
    sessions = tuple(
        easy_session(day, minutes, mode, is_longest=day == longest_day and len(spread) > 1)
        for day, minutes in sorted(spread.items())
    )
    return WeekDraft(starts_on, is_easier, wanted, sessions)


def easy_session(weekday: int, minutes: int, mode: Mode, *, is_longest: bool) -> SessionDraft:
    """An easy session, named as the week's longest when it is."""
    noun = NOUNS[mode]
    if is_longest:
        purpose = "Time on your feet." if mode in (Mode.WALK, Mode.RUN) else "Time at it."
        steps = long_steps(minutes, mode)
        return SessionDraft(weekday, minutes, SessionKind.EASY, mode, f"Longest easy {noun}", purpose, steps)
    steps = easy_steps(minutes, mode)
    purpose = "Build the base at a talking effort."
    return SessionDraft(weekday, minutes, SessionKind.EASY, mode, f"Easy {noun}", purpose, steps)


def _said_of_week(week: WeekDraft, slots: Mapping[int, int], longest: int) -> tuple[str, ...]:
    if week.minutes >= week.target_minutes:
        return ()
    short = week.target_minutes - week.minutes
    room = sum(slots.values())
    why = (
        f"the days given hold {room} min together"
        if room < week.target_minutes
        else f"no outing may be longer than {longest} min yet"
    )
    return (f"{week.minutes} of {week.target_minutes} min: {short} short, because {why}.",)


def _with_last_word(drafts: Sequence[WeekDraft], target_min: int, rules: Rules) -> tuple[WeekDraft, ...]:
    """Say in the last week whether the target was reached, and in the first whether its days can hold a week."""
    full = [week for week in drafts if not week.is_easier]
    weeks = list(drafts)
    if full[-1].minutes < target_min:
        word = (
            f"The target of {target_min} min a week is not reached in this block; the last full week holds "
            f"{full[-1].minutes} min."
        )
        weeks[-1] = replace(weeks[-1], said=(*weeks[-1].said, word))
    if len(full[-1].sessions) < rules.held_days:
        word = f"{len(full[-1].sessions)} days a week: a week counts as held from {rules.held_days} days on."
        weeks[0] = replace(weeks[0], said=(*weeks[0].said, word))
    return tuple(weeks)
