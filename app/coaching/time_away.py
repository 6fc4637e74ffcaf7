"""Holidays and travel inside a block: what each stretch of days allows, and how a plan comes back from one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from app.coaching.people import Leave, Mode
from app.coaching.week_spread import least_of
from app.coaching.weeks import week_days, week_start
from app.coaching.words import counted, percent, short_day


class Possible(StrEnum):
    """What a stretch of days away allows."""

    NOTHING = "nothing"
    WALKING = "walking"
    LESS = "less"


POSSIBLE_WORDS = {
    Possible.NOTHING: "nothing",
    Possible.WALKING: "walking only",
    Possible.LESS: "less time, taken as half of each day",
}
#: Strictest first: where stretches overlap, the stricter one holds.
_STRICTEST = (Possible.NOTHING, Possible.WALKING, Possible.LESS)
#: Of each day's slot while "less" is possible (house choice).
LESS_SHARE = 0.5
#: Days off that change the weeks after them, and the share of the last full week each of those weeks takes.
#: Common practice, no published source; from 28 days on at least four weeks, whose shares are a house choice.
WAY_BACK = ((28, (0.5, 0.6, 0.75, 0.9)), (14, (0.5, 0.75)), (10, (0.75, 1.0)), (5, (1.0,)))
#: From so many days off the volume is built up again from where the way back ends.
BUILDS_AGAIN_FROM_DAYS = 14
#: A week that days away leave with at most this share of a full one is a rest (common practice, no published source:
#: an easier week has 70 to 75 %).
REST_MOST_SHARE = 0.75
REST_WORDS = "Days away leave so little that this is the easier week of its span; the count starts again after it."
#: A week counts as the first one back while it has at least its Tuesday.
_LAST_FULL_RETURN = 1


@dataclass(frozen=True, slots=True, order=True)
class Stretch:
    """Days on which the usual week is not possible."""

    from_on: date
    until_on: date  # the last such day
    possible: Possible


@dataclass(frozen=True, slots=True, order=True)
class Kept:
    """A test or race a block is written round."""

    on: date
    minutes: int
    title: str


@dataclass(frozen=True, slots=True)
class Life:
    """What a block has to fit round besides the usual week."""

    away: tuple[Stretch, ...] = ()
    #: Weekdays done another way than the rest.
    mode_by_weekday: tuple[tuple[int, Mode], ...] = ()
    strength_weekdays: tuple[int, ...] = ()
    #: Whether balance exercises go with strength.
    has_balance: bool = True
    #: Tests and races that stay: their days hold nothing else, and their minutes count.
    kept: tuple[Kept, ...] = ()

    def kept_in(self, monday: date) -> tuple[Kept, ...]:
        """Those of one week."""
        return tuple(one for one in self.kept if week_start(one.on) == monday)

    def mode_on(self, day: date, usual: Mode) -> Mode:
        """What the client moves by on a day; on foot while only walking is possible."""
        if possible_on(self.away, day) is Possible.WALKING:
            return Mode.WALK
        return dict(self.mode_by_weekday).get(day.weekday(), usual)


#: The usual week and nothing else.
NOTHING_BESIDES = Life()


@dataclass(frozen=True, slots=True)
class WayBack:
    """One week after days off: the share of the last full week it takes, and after how many days."""

    share: float
    days_off: int
    is_last: bool


def from_leaves(leaves: Iterable[Leave]) -> tuple[Stretch, ...]:
    """Agreed leave as stretches on which nothing is possible."""
    return tuple(sorted(Stretch(one.from_on, one.until_on, Possible.NOTHING) for one in leaves))


def to_agree(away: Iterable[Stretch], leaves: Sequence[Leave], today: date) -> tuple[Stretch, ...]:
    """What of the days wished free is new agreed leave: nothing possible, not over, and none of it agreed already.

    Days that allow a walk or less are no leave: what is planned on them still counts.
    """
    taken, found = [(one.from_on, one.until_on) for one in leaves], []
    for one in sorted(away):
        is_free = not any(first <= one.until_on and one.from_on <= last for first, last in taken)
        if one.possible is Possible.NOTHING and one.until_on >= today and is_free:
            taken.append((one.from_on, one.until_on))
            found.append(one)
    return tuple(found)


def possible_on(away: Sequence[Stretch], day: date) -> Possible | None:
    """What a day allows; None when nothing limits it."""
    found = {one.possible for one in away if one.from_on <= day <= one.until_on}
    return next((one for one in _STRICTEST if one in found), None)


def slots_in_week(slots: Mapping[int, int], monday: date, away: Sequence[Stretch]) -> dict[int, int]:
    """The week's slots as the stretches away leave them; half a day too short for an outing is no slot."""
    if not away:
        return dict(slots)
    left = {}
    for day in week_days(monday):
        slot, possible = slots.get(day.weekday(), 0), possible_on(away, day)
        if possible is Possible.LESS:
            slot = _half(slot)
        if slot and possible is not Possible.NOTHING:
            left[day.weekday()] = slot
    return left


def _half(slot: int) -> int:
    left = int(slot * LESS_SHARE)
    return left if left >= least_of(slot) else 0


def slots_beside_kept(slots: Mapping[int, int], monday: date, life: Life) -> dict[int, int]:
    """The week's slots without the days of tests and races."""
    taken = {one.on.weekday() for one in life.kept_in(monday)}
    return {day: slot for day, slot in slots.items() if day not in taken}


def kept_words(kept: Sequence[Kept]) -> list[str]:
    """What of a week stays as it is, each in a sentence."""
    return [f"{one.title} stays on {short_day(one.on)}; its {one.minutes} min count." for one in kept]


def away_words(monday: date, away: Sequence[Stretch]) -> str:
    """The week's stretches away in a sentence; "" without any."""
    first, last = monday, monday + timedelta(days=6)
    said = [
        f"{_span(max(first, one.from_on), min(last, one.until_on))} {POSSIBLE_WORDS[one.possible]}"
        for one in sorted(set(away))
        if one.from_on <= last and one.until_on >= first
    ]
    return f"Away: {'; '.join(said)}." if said else ""


def _span(first: date, last: date) -> str:
    return short_day(first) if first == last else f"{short_day(first)} to {short_day(last)}"


def ways_back(away: Sequence[Stretch]) -> dict[date, WayBack]:
    """By Monday: the weeks after days off that take less than the plan would, or at least do not rise.

    A week that begins after its Tuesday takes the first share, and the next one takes it again.
    Source: common practice, no published source.
    """
    found: dict[date, WayBack] = {}
    for first, last in runs_away(away):
        days = (last - first).days + 1
        shares = next((shares for least, shares in WAY_BACK if days >= least), ())
        back = last + timedelta(days=1)
        monday = week_start(back)
        if shares and back.weekday() > _LAST_FULL_RETURN:
            found[monday] = WayBack(shares[0], days, is_last=False)
            monday += timedelta(weeks=1)
        for number, share in enumerate(shares):
            found[monday + timedelta(weeks=number)] = WayBack(share, days, is_last=number == len(shares) - 1)
    return found


def back_words(back: WayBack) -> str:
    """Why a week after days off asks for less, in a sentence."""
    after = f"After {counted(back.days_off, 'day')} off"
    if back.share >= 1:
        return f"{after}: no rise this week."
    return f"{after}: {percent(back.share)} of the last full week."


def runs_away(away: Sequence[Stretch]) -> list[tuple[date, date]]:
    """Unbroken runs of days on which nothing is possible."""
    runs: list[tuple[date, date]] = []
    for one in sorted(stretch for stretch in away if stretch.possible is Possible.NOTHING):
        if runs and one.from_on <= runs[-1][1] + timedelta(days=1):
            runs[-1] = (runs[-1][0], max(runs[-1][1], one.until_on))
        else:
            runs.append((one.from_on, one.until_on))
    return runs
