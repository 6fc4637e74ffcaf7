"""Blocks as drafts: an aerobic base that rises gently, and what every kind of week shares."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from app.coaching.base_words import few_days_words, short_before_words, short_days_words, unmet_words
from app.coaching.people import AvailableDay, Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_steps import (
    NOUNS,
    STRENGTH,
    STRENGTH_AND_BALANCE,
    easy_steps,
    long_steps,
    strength_and_balance_steps,
    strength_steps,
)
from app.coaching.steps import Node
from app.coaching.strength_beside import STRENGTH_MIN, slots_beside_strength, taken_words, without_words
from app.coaching.time_away import (
    BUILDS_AGAIN_FROM_DAYS,
    NOTHING_BESIDES,
    REST_MOST_SHARE,
    REST_WORDS,
    Life,
    Possible,
    WayBack,
    away_words,
    back_words,
    kept_words,
    possible_on,
    slots_beside_kept,
    slots_in_week,
    ways_back,
)
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.coaching.week_spread import SHORTEST_OUTING_MIN, STEP_MIN, slots_of, spread_minutes
from app.coaching.weeks import DAYS_IN_WEEK

#: Common practice, no published source: what a never-trained client adds at first.
START_RISE_MIN = 30
FIRST_LONGEST_MIN = 30
#: An outing under this is not called the week's longest (house choice).
LONGEST_NAMED_FROM_MIN = 30
#: From so many minutes on an easier week is rounded to five and stays within 70 to 75 %.
EASED_TIDY_FROM_MIN = 90
#: Weeks whose longest outing the next may grow from, and the days before an outing that the look ahead holds it to.
LOOK_BACK_WEEKS = 4
#: A rise counts from the larger of so many weeks before, so that the week after an easier one is not a large step.
WEEKS_COMPARED = 2
LONGEST_DAYS = 30
WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def starting_volume(minutes_now: int) -> int:
    """What a never-trained client starts with: what they do now and 30 minutes (common practice, no source)."""
    return minutes_now + START_RISE_MIN


def rise_step(minutes: float, rules: Rules) -> float:
    """How many minutes the next week may add: a tenth or 15 minutes, whichever is more, at most 20.

    Source: common practice, no published source.
    """
    return min(max(minutes * rules.rise_fraction, rules.rise_minutes), rules.rise_minutes_most)


def risen(minutes: int, rules: Rules) -> int:
    """The most the week after one of so many minutes may hold, in steps of five where that is a rise at all."""
    most = math.floor(minutes + rise_step(minutes, rules) + 1e-9)
    tidy = most - most % STEP_MIN
    return tidy if tidy > minutes else most


def most_after(before: Sequence[int], full_min: int, rules: Rules) -> int | None:
    """The most a week may hold after those before it, oldest first; None while they are too few to say.

    It rises from the larger of the last two. Where both were short it may come back to the last full week, as far as
    one of the last four held that much, and does not rise above it.
    Source: common practice, no published source; how far back a full week counts: house choice.
    """
    if len(before) < WEEKS_COMPARED:
        return None
    return max(risen(max(before[-WEEKS_COMPARED:]), rules), min(full_min, max(before[-LOOK_BACK_WEEKS:])))


def longest_after(before: float, rules: Rules) -> int:
    """The longest outing after the longest of the last 30 days; up to 30 minutes is where everybody may begin.

    Source: common practice, no published source.
    """
    return max(FIRST_LONGEST_MIN, math.floor(before * rules.longest_fraction + 1e-9))


def easier_every(age: int | None, rules: Rules) -> int:
    """Every how many weeks an easier one; an unknown age counts as 60 and more."""
    return rules.easier_every_from_60 if age is None or age >= 60 else rules.easier_every


@dataclass(frozen=True, slots=True)
class BaseWishes:
    """What a base block is written from. A rise counts from the last full week."""

    start_volume_min: int
    target_min: int
    weeks: int
    every: int
    starts_on: date
    mode: Mode
    #: The longest outing of the last 30 days, 0 when there was none; None: unknown, and the first week decides.
    longest_before_min: int | None = None
    life: Life = NOTHING_BESIDES


def base_block(wishes: BaseWishes, *, days: Sequence[AvailableDay], rules: Rules) -> tuple[WeekDraft, ...]:
    """A block of easy weeks that rises no faster than the rules allow, over the client's real days.

    A rise counts from the last full week: not an easier one, not one cut short by days away. After two short weeks in
    a row the last full one comes back without a rise, and the week says so. After days off the weeks take the shares
    of `time_away.WAY_BACK`, and easier weeks are counted from where that way back ends; a week that days away leave
    with little work is the easier one of its span. What a week does not meet it says.
    Raises: DomainError without a day, a week or a minute to plan, when it does not start on a Monday, or when it
    would have to begin above its target.
    Source: common practice, no published source.
    """
    slots = slots_of(days)
    _refuse_nonsense(wishes, slots)
    course = _Course(wishes, slots, rules, ways_back(wishes.life.away))
    return _with_last_word([course.next_week() for _ in range(wishes.weeks)], wishes, slots, rules)


@dataclass(slots=True)
class _Course:
    """The weeks of a base block one after the other, and what the next one grows from."""

    wishes: BaseWishes
    slots: dict[int, int]
    rules: Rules
    back: dict[date, WayBack]
    number: int = 0
    #: Weeks since the last easier one, since days away made one, or since the way back from them.
    unbroken: int = 0
    was_rest: bool = False
    #: Minutes and days of the last full week; 0 before there is one.
    full_min: int = 0
    full_days: tuple[int, ...] = ()
    #: Minutes of each week so far.
    held: list[int] = field(default_factory=list)
    longest: list[int] | None = None
    outings: list[tuple[date, int]] = field(default_factory=list)

    def next_week(self) -> WeekDraft:
        """The week that comes next."""
        monday = self.wishes.starts_on + timedelta(weeks=self.number)
        back = self.back.get(monday)
        is_due = back is None and self.full_min > 0 and self.unbroken + 1 >= self.wishes.every
        week = self._week(monday, back, is_easier=False)
        if back is None and self._is_rest(week):
            words = () if self.was_rest else (REST_WORDS,)
            week = replace(week, is_rest=True, said=(*week.said, *words))
        elif is_due:
            week = self._week(monday, back, is_easier=True)
        self._grow(week, back, is_cut=bool(away_words(monday, self.wishes.life.away)))
        return week

    def _week(self, monday: date, back: WayBack | None, *, is_easier: bool) -> WeekDraft:
        wishes = self.wishes
        wanted = self._wanted(is_easier, back)
        there = wishes.life.kept_in(monday)
        room = slots_beside_kept(slots_in_week(self.slots, monday, wishes.life.away), monday, wishes.life)
        slots = slots_beside_strength(room, wishes.life)
        longest = self._longest_allowed()
        kept = [day for day in (self.full_days if back is None else ()) if day in slots]
        easy = max(0, wanted - sum(one.minutes for one in there))
        has_outing = bool(slots) and easy >= (SHORTEST_OUTING_MIN if there else 1)
        spread, longest = self._spread(easy, slots, longest, kept) if has_outing else ({}, longest)
        sessions = (
            *easy_outings(spread, monday, wishes.mode, wishes.life),
            *strength_of(slots_beside_kept(self.slots, monday, wishes.life), monday, wishes.life),
        )
        week = WeekDraft(monday, is_easier, wanted, tuple(sorted(sessions, key=lambda one: (one.weekday, one.kind))))
        week = replace(week, kept_minutes=sum(one.minutes for one in there))
        away = away_words(monday, wishes.life.away)
        said = (*([away] if away else []), *kept_words(there), *([back_words(back)] if back else []))
        if back is None and not is_easier:
            said = (*said, *self._short_before(wanted, week.minutes + week.kept_minutes))
        return replace(week, said=(*said, *unmet_words(week, slots, longest, kept, is_away=bool(away))))

    def _short_before(self, wanted: int, given: int) -> list[str]:
        steady = risen(max(self.held[-WEEKS_COMPARED:], default=given), self.rules)
        is_held_back = wanted <= steady and wanted < self._grown()
        return short_before_words(self.held, given, steady, is_held_back=is_held_back)

    def _is_rest(self, week: WeekDraft) -> bool:
        """Whether days away leave so little of a week that it rests like an easier one."""
        is_cut = bool(away_words(week.starts_on, self.wishes.life.away))
        full = self.full_min or self.wishes.start_volume_min
        return is_cut and week.minutes + week.kept_minutes <= REST_MOST_SHARE * full

    def _spread(
        self, easy: int, slots: dict[int, int], longest: int, kept: Sequence[int]
    ) -> tuple[dict[int, int], int]:
        """The week's minutes and the cap they keep: each outing against the 30 days before its own day."""
        monday = self.wishes.starts_on + timedelta(weeks=self.number)
        spread = spread_minutes(easy, slots, longest, fewest_days=kept)
        caps = {day: self._cap_on(monday + timedelta(days=day), longest) for day in spread}
        if all(minutes <= caps[day] for day, minutes in spread.items()):
            return spread, longest
        tight = self._cap_on(monday + timedelta(days=DAYS_IN_WEEK - 1), longest)
        return spread_minutes(easy, slots, tight, fewest_days=kept), tight

    def _cap_on(self, day: date, longest: int) -> int:
        """The longest an outing of a day may be after those of the block in the 30 days before it."""
        first = day - timedelta(days=LONGEST_DAYS)
        if first < self.wishes.starts_on:
            return longest
        return min(longest, longest_after(max((m for on, m in self.outings if on >= first), default=0), self.rules))

    def _wanted(self, is_easier: bool, back: WayBack | None) -> int:
        if back is not None:
            return max(1, math.floor((self.full_min or self.wishes.start_volume_min) * back.share))
        if not self.full_min:
            return self.wishes.start_volume_min
        if is_easier:
            eased = round(self.full_min * self.rules.easier_fraction)
            return max(1, _tidy(eased) if eased >= EASED_TIDY_FROM_MIN else eased)
        most = most_after(self.held, self.full_min, self.rules)
        return self._grown() if most is None else min(self._grown(), most)

    def _grown(self) -> int:
        """The step after the last full week, whatever came since."""
        if not self.full_min:
            return self.wishes.start_volume_min
        return min(risen(self.full_min, self.rules), max(self.wishes.target_min, self.full_min))

    def _longest_allowed(self) -> int:
        """Longest outing against the last weeks' longest; the very first week's own guess is not raised."""
        before = self.wishes.longest_before_min
        guess = max(FIRST_LONGEST_MIN, math.ceil(self.wishes.start_volume_min / len(self.slots)))
        if self.longest is None:
            self.longest = [guess if before is None else before] * LOOK_BACK_WEEKS
            if before is None:
                return guess
        return longest_after(max(self.longest), self.rules)

    def _grow(self, week: WeekDraft, back: WayBack | None, *, is_cut: bool) -> None:
        self.number += 1
        self.unbroken = 0 if week.is_easier or week.is_rest or back is not None else self.unbroken + 1
        self.was_rest = week.is_rest
        self.held.append(week.minutes + week.kept_minutes)
        self.longest = [*(self.longest or [])[1:], max((one.minutes for one in week.outings), default=0)]
        self.outings += [(week.starts_on + timedelta(days=one.weekday), one.minutes) for one in week.outings]
        is_short = is_cut and week.short > 0
        builds_again = back is not None and back.is_last and back.days_off >= BUILDS_AGAIN_FROM_DAYS
        is_full = not week.is_easier and not is_short and (back is None or builds_again)
        if is_full and week.minutes:
            self.full_min = week.minutes + min(week.kept_minutes, max(0, week.target_minutes - week.minutes))
            self.full_days = tuple(one.weekday for one in week.outings)


def _refuse_nonsense(wishes: BaseWishes, slots: Mapping[int, int]) -> None:
    if not slots:
        raise DomainError("no day of the week has time for training")
    if wishes.weeks < 1 or wishes.start_volume_min < 1:
        raise DomainError("a block has at least one week and one minute")
    if wishes.starts_on.weekday() != 0:
        raise DomainError("a block starts on a Monday")
    if wishes.start_volume_min > wishes.target_min:
        raise DomainError(
            f"the first week, {wishes.start_volume_min} min, is above the {wishes.target_min} min it should grow "
            "towards; make one larger or the other smaller"
        )


def _tidy(minutes: int) -> int:
    """The nearest five minutes."""
    return round(minutes / STEP_MIN) * STEP_MIN


def strength_of(slots: Mapping[int, int], monday: date, life: Life) -> tuple[SessionDraft, ...]:
    """The week's strength sessions: on the days wished for that have the time and are not spent away."""
    found = []
    for weekday in sorted(set(life.strength_weekdays)):
        is_away = possible_on(life.away, monday + timedelta(days=weekday)) in (Possible.NOTHING, Possible.WALKING)
        minutes = min(STRENGTH_MIN, slots.get(weekday, 0))
        if minutes < SHORTEST_OUTING_MIN or is_away:
            continue
        title, purpose, steps = _strength(minutes, has_balance=life.has_balance)
        found.append(SessionDraft(weekday, minutes, SessionKind.STRENGTH, Mode.STRENGTH, title, purpose, steps))
    return tuple(found)


def _strength(minutes: int, *, has_balance: bool) -> tuple[str, str, tuple[Node, ...]]:
    if has_balance:
        return STRENGTH_AND_BALANCE, "Strong legs and steady balance.", strength_and_balance_steps(minutes)
    return STRENGTH, "Strong legs.", strength_steps(minutes)


def easy_outings(spread: Mapping[int, int], monday: date, mode: Mode, life: Life) -> tuple[SessionDraft, ...]:
    """The easy sessions of a week; the one that is longer than all others is named so."""
    most = max(spread.values(), default=0)
    is_named = most >= LONGEST_NAMED_FROM_MIN and list(spread.values()).count(most) == 1 and len(spread) > 1
    return tuple(
        easy_session(
            day,
            minutes,
            life.mode_on(monday + timedelta(days=day), mode),
            is_longest=is_named and minutes == most,
        )
        for day, minutes in sorted(spread.items())
    )


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


def _with_last_word(
    drafts: Sequence[WeekDraft], wishes: BaseWishes, slots: Mapping[int, int], rules: Rules
) -> tuple[WeekDraft, ...]:
    """Say in the last week whether the target was reached, and in the first what its days make of it."""
    weeks = list(drafts)
    full = [week for week in weeks if not week.is_easier and week.outings] or weeks
    if max(week.minutes for week in full) < wishes.target_min:
        word = (
            f"The target of {wishes.target_min} min a week is not reached in this block; the last full week holds "
            f"{full[-1].minutes} min."
        )
        weeks[-1] = replace(weeks[-1], said=(*weeks[-1].said, word))
    first = [
        *few_days_words(weeks, slots, rules),
        *short_days_words(weeks, slots),
        *without_words(slots, wishes.life),
        *taken_words(slots, wishes.life),
    ]
    weeks[0] = replace(weeks[0], said=(*weeks[0].said, *first))
    return tuple(weeks)
