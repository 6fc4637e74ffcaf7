"""Interval and keeping blocks as drafts: one or two hard days a week, spaced, with easy days around."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from app.coaching.base_words import short_before_words
from app.coaching.effort import Band
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.planner import (
    WEEKDAYS,
    WEEKS_COMPARED,
    easier_every,
    easy_outings,
    most_after,
    risen,
    strength_of,
)
from app.coaching.prescriptions import SessionKind
from app.coaching.protocols import IntervalProtocol, protocol_of, session_title
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_steps import easy_version, steps_for
from app.coaching.steps import Node, minutes_in_band, total_minutes
from app.coaching.strength_beside import slots_beside_strength
from app.coaching.time_away import (
    BUILDS_AGAIN_FROM_DAYS,
    NOTHING_BESIDES,
    REST_MOST_SHARE,
    REST_WORDS,
    Life,
    WayBack,
    away_words,
    back_words,
    kept_words,
    slots_beside_kept,
    slots_in_week,
    ways_back,
)
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.coaching.week_spread import SHORTEST_OUTING_MIN, slots_of, spread_minutes
from app.coaching.words import counted, percent

HOURS_A_DAY = 24
#: Common practice, no published source.
FIRST_INTERVAL_WEEKS = 8
FIRST_ROUNDS = 2
HALF_DOSE_WEEKS = 4
EASIER_EASY_FRACTION = 0.75
EASY_VERSION_MIN = 30
OLDER_FROM = 60
#: Above so many rounds they are short ones, which do not grow by one.
MOST_LONG_ROUNDS = 6
#: Days off after which the rounds begin again at two; from fewer on they take one round, or stop at three, once.
ROUNDS_AFRESH_FROM_DAYS = 14
ROUNDS_EASED_FROM_DAYS = 10
EASED_ROUNDS = 3


@dataclass(frozen=True, slots=True)
class IntervalWishes:
    """What an interval block is written from."""

    phase: Phase
    hard_weekdays: tuple[int, ...]
    #: The library's entry of the hard sessions; `own` where it is one of the practice's own.
    protocol_key: str
    weeks: int
    volume_min: int
    is_introductory: bool
    age: int | None
    starts_on: date
    mode: Mode
    #: The day the client turns 60, from which hard sessions stand further apart; None: not in this block.
    older_from: date | None = None
    #: Weeks already spent in hard-work phases before this block.
    weeks_before: int = 0
    #: The longest easy outing; None: as long as the day's slot.
    longest_min: int | None = None
    #: Minutes of the last weeks, from which the volume may rise step by step; None: it begins where it is wished.
    before_min: int | None = None
    life: Life = NOTHING_BESIDES
    #: Hard days that stand already, done or planned.
    hard_there: tuple[date, ...] = ()
    #: Rounds an introductory block begins with.
    first_rounds: int = FIRST_ROUNDS
    #: Days that cannot be hard since something else stays there, or heavy leg work there or on the day before.
    blocked: tuple[date, ...] = ()
    own: IntervalProtocol | None = None

    @property
    def protocol(self) -> IntervalProtocol:
        """The entry the hard sessions are made from. Raises: DomainError when the library has none."""
        return self.own or protocol_of(self.protocol_key)

    @property
    def most_a_week(self) -> int:
        """Hard sessions a week the phase allows."""
        return most_a_week(self.phase)


def most_a_week(phase: Phase) -> int:
    """Hard sessions a week, from Monday to Sunday, that a phase of hard work goes by."""
    return 2 if phase is Phase.INTERVAL_TWO else 1


def spacing_hours(*, age: int | None, interval_weeks: int, rules: Rules) -> float:
    """Hours asked between the starts of two hard sessions: more in the first eight interval weeks and from 60."""
    is_careful = age is None or age >= OLDER_FROM or interval_weeks < FIRST_INTERVAL_WEEKS
    return rules.spacing_first_weeks_h if is_careful else rules.spacing_h


def ceiling_of(phase: Phase | None, rules: Rules) -> int:
    """Hard sessions in any 14 days that are full for a client of that phase."""
    return rules.fortnight_ceiling if phase is Phase.INTERVAL_TWO else rules.fortnight_ceiling_one_a_week


def refuse_nonsense(wishes: IntervalWishes) -> None:
    """Raises: DomainError for a phase without hard work, no hard day, or a block that does not start on a Monday."""
    if wishes.phase not in HARD_WORK_PHASES:
        raise DomainError("hard sessions belong to an interval or keeping phase")
    if not wishes.hard_weekdays or wishes.weeks < 1 or wishes.starts_on.weekday() != 0:
        raise DomainError("an interval block needs a hard day, a week, and a Monday to start on")


def shortest_minutes(wishes: IntervalWishes) -> int:
    """How long a hard session of as few rounds as it may have takes."""
    protocol = wishes.protocol
    least = min(protocol.rounds_least, FIRST_ROUNDS) if wishes.is_introductory else protocol.rounds_least
    return total_minutes(_steps(wishes, protocol, least))


def interval_weeks(
    wishes: IntervalWishes, hard_days: Sequence[Sequence[int]], *, days: Sequence[AvailableDay], rules: Rules
) -> tuple[WeekDraft, ...]:
    """The weeks of a block whose hard weekdays are known, with easy days around them.

    In an easier week the hard session stays with half its rounds and easy minutes drop by a quarter. The weekly time
    rises by the step of the rules, and not in a week that adds a round.
    Source: common practice, no published source.
    """
    course = _Course(wishes, slots_of(days), rules, ways_back(wishes.life.away), easier_every(wishes.age, rules))
    weeks = [course.next_week(tuple(sorted(week))) for week in hard_days]
    return (replace(weeks[0], said=(*_rises_to(wishes, weeks, rules), *weeks[0].said)), *weeks[1:])


def _rises_to(wishes: IntervalWishes, weeks: Sequence[WeekDraft], rules: Rules) -> list[str]:
    """Why the weeks begin below the weekly time wished for, and whether they get there."""
    most, before = max(week.target_minutes for week in weeks), wishes.before_min
    if before is None or weeks[0].target_minutes >= wishes.volume_min:
        return []
    reached = "" if most >= wishes.volume_min else f"; the most in these weeks is {most}"
    return [
        f"{wishes.volume_min} min a week are wished; {before} were done a week lately, and a week adds "
        f"{rules.rise_minutes_most:g} min at most and none while rounds grow: it begins with "
        f"{weeks[0].target_minutes}{reached}."
    ]


@dataclass(slots=True)
class _Course:
    """The weeks of a block one after the other, and what the next one grows from."""

    wishes: IntervalWishes
    slots: dict[int, int]
    rules: Rules
    back: dict[date, WayBack]
    every: int
    number: int = 0
    #: Weeks since the last easier one, since days away made one, or since the way back from them.
    unbroken: int = 0
    was_rest: bool = False
    #: Full weeks with rounds so far since the block or the way back from a long absence began.
    grown: int = 0
    volume: int = 0
    rounds_before: int = 0
    is_afresh: bool = False
    #: Minutes of each week so far, and whether days away cut it.
    held: list[int] = field(default_factory=list)
    was_cut: list[bool] = field(default_factory=list)

    def next_week(self, hard_days: Sequence[int]) -> WeekDraft:
        """The week that comes next."""
        back = self.back.get(self.wishes.starts_on + timedelta(weeks=self.number))
        is_due = back is None and self.unbroken + 1 >= self.every
        is_rest = back is None and self._is_rest(hard_days)
        self._begin_afresh(back)
        full = self._rounds(self.wishes.protocol, back)
        is_easier = is_due and not is_rest
        wished = self._volume(full, back, rises=not (is_easier or is_rest))
        volume = self._after_short_weeks(wished) if back is None else wished
        week = self._week(hard_days, back, full, volume, is_easier=is_easier)
        if back is None and not is_easier and self._was_short:
            week = replace(week, said=(*week.said, *self._short_before(week, is_held_back=volume < wished)))
        if is_rest:
            words = () if self.was_rest else (REST_WORDS,)
            week = replace(week, is_rest=True, said=(*week.said, *words))
        self._grow(week, full, is_back=back is not None)
        return week

    def _is_rest(self, hard_days: Sequence[int]) -> bool:
        """Whether days away leave so little of the coming week, rounds and minutes, that it is an easier one."""
        monday = self.wishes.starts_on + timedelta(weeks=self.number)
        if not away_words(monday, self.wishes.life.away):
            return False
        full, volume = self._rounds(self.wishes.protocol, None), self.volume or self._first_volume()
        week = self._week(hard_days, None, full, volume, is_easier=False)
        rounds = max((one.rounds for one in week.sessions if one.is_hard), default=0)
        return rounds <= self._half(full) < full and week.minutes + week.kept_minutes <= REST_MOST_SHARE * volume

    def _week(
        self, hard_days: Sequence[int], back: WayBack | None, full: int, volume: int, *, is_easier: bool
    ) -> WeekDraft:
        wishes, protocol = self.wishes, self.wishes.protocol
        monday = wishes.starts_on + timedelta(weeks=self.number)
        doses = [
            self._half(full) if is_easier or self._is_half_dose(order) else full for order in range(len(hard_days))
        ]
        there = wishes.life.kept_in(monday)
        kept_min = sum(one.minutes for one in there)
        slots = slots_beside_kept(slots_in_week(self.slots, monday, wishes.life.away), monday, wishes.life)
        hard, said = _hard_sessions(wishes, protocol, dict(zip(hard_days, doses, strict=True)), slots)
        hard, words = _within_share(wishes, protocol, hard, volume, self.rules)
        said += words
        wanted = self._easy_wanted(volume - kept_min, hard, back, is_easier=is_easier)
        free = {day: slot for day, slot in slots_beside_strength(slots, wishes.life).items() if day not in hard_days}
        easy, words = _easy_sessions(wishes, monday, wanted, free)
        sessions = (
            *hard,
            *easy,
            *strength_of(slots_beside_kept(self.slots, monday, wishes.life), monday, wishes.life),
        )
        away = away_words(monday, wishes.life.away)
        return WeekDraft(
            monday,
            is_easier,
            sum(one.minutes for one in hard) + wanted + kept_min,
            tuple(sorted(sessions, key=lambda one: (one.weekday, one.kind))),
            (*([away] if away else []), *kept_words(there), *([back_words(back)] if back else []), *said, *words),
            kept_min,
        )

    def _begin_afresh(self, back: WayBack | None) -> None:
        if back is not None and back.days_off >= ROUNDS_AFRESH_FROM_DAYS:
            self.grown, self.is_afresh = 0, True

    def _rounds(self, protocol: IntervalProtocol, back: WayBack | None) -> int:
        """Rounds of a full session: growing by one a full week when introductory, fewer after days off."""
        is_first = self.wishes.is_introductory and self.wishes.phase is Phase.INTERVAL_ONE
        is_long = protocol.has_long_rounds or protocol.rounds <= MOST_LONG_ROUNDS
        grows = (is_first or self.is_afresh) and is_long
        first = FIRST_ROUNDS if self.is_afresh else self.wishes.first_rounds
        rounds = min(protocol.rounds, first + self.grown) if grows else protocol.rounds
        if back is None or not is_long:
            return rounds
        return min(rounds, EASED_ROUNDS) if back.days_off >= ROUNDS_EASED_FROM_DAYS else max(1, rounds - 1)

    def _half(self, rounds: int) -> int:
        """Half the rounds; two of four minutes are the least that is a hard session."""
        return min(rounds, max(FIRST_ROUNDS, math.ceil(rounds / 2)))

    def _is_half_dose(self, order: int) -> bool:
        return order > 0 and self.wishes.is_introductory and self.number < HALF_DOSE_WEEKS

    def _volume(self, rounds: int, back: WayBack | None, *, rises: bool) -> int:
        """Minutes of a full week now; one thing grows at a time, the rounds before the minutes."""
        if not self.volume:
            self.volume = self._first_volume()
        elif rises and back is None and rounds <= self.rounds_before:
            self.volume = min(self.wishes.volume_min, risen(self.volume, self.rules))
        if back is None:
            return self.volume
        eased = math.floor(self.volume * back.share)
        if back.is_last and back.days_off >= BUILDS_AGAIN_FROM_DAYS:
            self.volume = eased
        return eased

    def _first_volume(self) -> int:
        wished, before = self.wishes.volume_min, self.wishes.before_min
        return wished if before is None else min(wished, risen(before, self.rules))

    @property
    def _was_short(self) -> bool:
        """Whether days away cut the two weeks before, or one of them beside an easier one."""
        return any(self.was_cut[-WEEKS_COMPARED:])

    def _after_short_weeks(self, volume: int) -> int:
        """Minutes after two short weeks: what a full one held, and no more than one of the last four did."""
        most = most_after(self.held, volume, self.rules) if self._was_short else None
        return volume if most is None else min(volume, most)

    def _short_before(self, week: WeekDraft, *, is_held_back: bool) -> list[str]:
        given = week.minutes + week.kept_minutes
        steady = risen(max(self.held[-WEEKS_COMPARED:], default=given), self.rules)
        return short_before_words(self.held, given, steady, is_held_back=is_held_back and given <= steady)

    def _easy_wanted(
        self, volume: int, hard: Sequence[SessionDraft], back: WayBack | None, *, is_easier: bool
    ) -> int:
        easy = max(0, volume - sum(session.minutes for session in hard))
        return round(easy * EASIER_EASY_FRACTION) if is_easier and back is None else easy

    def _grow(self, week: WeekDraft, rounds: int, *, is_back: bool) -> None:
        self.number += 1
        self.unbroken = 0 if week.is_easier or week.is_rest or is_back else self.unbroken + 1
        self.was_rest = week.is_rest
        self.held.append(week.minutes + week.kept_minutes)
        self.was_cut.append(bool(away_words(week.starts_on, self.wishes.life.away)))
        self.grown += any(one.is_hard for one in week.sessions) and not week.is_easier
        self.rounds_before = rounds


def _steps(wishes: IntervalWishes, protocol: IntervalProtocol, rounds: int) -> tuple[Node, ...]:
    return steps_for(protocol, mode=wishes.mode, rounds=rounds, age=wishes.age, first_of_phase=wishes.is_introductory)


def _hard_sessions(
    wishes: IntervalWishes, protocol: IntervalProtocol, rounds_on: dict[int, int], slots: dict[int, int]
) -> tuple[tuple[SessionDraft, ...], list[str]]:
    """The week's hard sessions, each with as many of its rounds as its day holds."""
    found, said = [], []
    for day, rounds in rounds_on.items():
        slot = slots.get(day, 0)
        least = min(rounds, protocol.rounds_least)
        fitting = (_hard_session(wishes, protocol, day, count) for count in range(rounds, least - 1, -1))
        session = next((one for one in fitting if one.minutes <= slot), None)
        if session is None:
            said.append(
                f"{WEEKDAYS[day]} holds {slot} min, too short for a hard session; the week has none that day."
            )
            continue
        found.append(session)
        if session.rounds < rounds:
            said.append(f"{WEEKDAYS[day]} holds {slot} min: {counted(session.rounds, 'round')} instead of {rounds}.")
    return tuple(found), said


def _hard_session(wishes: IntervalWishes, protocol: IntervalProtocol, day: int, rounds: int) -> SessionDraft:
    steps = _steps(wishes, protocol, rounds)
    minutes = total_minutes(steps)
    return SessionDraft(
        day,
        minutes,
        SessionKind.INTERVALS,
        wishes.mode,
        session_title(protocol, rounds),
        protocol.purpose,
        steps,
        easy_version(min(minutes, EASY_VERSION_MIN), wishes.mode),
        is_hard=True,
    )


def _within_share(
    wishes: IntervalWishes, protocol: IntervalProtocol, hard: Sequence[SessionDraft], volume: int, rules: Rules
) -> tuple[tuple[SessionDraft, ...], list[str]]:
    """The hard sessions with as few rounds less as keep the week's easy share; the largest gives way first."""
    kept, before = list(hard), sum(one.rounds for one in hard)
    while kept and _above_easy(kept) > (1 - rules.easy_share) * max(volume, sum(one.minutes for one in kept)):
        largest = max(range(len(kept)), key=lambda place: (kept[place].rounds, place))
        if kept[largest].rounds <= protocol.rounds_least:
            break
        kept[largest] = _hard_session(wishes, protocol, kept[largest].weekday, kept[largest].rounds - 1)
    fewer, whole = before - sum(one.rounds for one in kept), max(volume, sum(one.minutes for one in kept))
    if kept and _above_easy(kept) > (1 - rules.easy_share) * whole:
        easy = percent(1 - _above_easy(kept) / whole)
        return tuple(kept), [
            f"{easy} of {whole} min are easy where {percent(rules.easy_share)} is the aim: the session has "
            f"{counted(protocol.rounds_least, 'round')} at least, and the week is too short for it."
        ]
    if not fewer:
        return tuple(kept), []
    return tuple(kept), [
        f"{counted(fewer, 'round')} fewer, so that {percent(rules.easy_share)} of {volume} min stay easy."
    ]


def _above_easy(sessions: Sequence[SessionDraft]) -> float:
    return sum(minutes_in_band(one.steps, band) for one in sessions for band in (Band.MIDDLE, Band.HARD))


def _easy_sessions(
    wishes: IntervalWishes, monday: date, wanted: int, slots: dict[int, int]
) -> tuple[tuple[SessionDraft, ...], list[str]]:
    if wanted == 0:
        return (), []
    if wanted < SHORTEST_OUTING_MIN:
        return (), [f"{wanted} easy min are left out: an outing has {SHORTEST_OUTING_MIN} at least."]
    if not slots:
        return (), [f"No day is left for {wanted} easy minutes."]
    longest = wishes.longest_min or max(slots.values())
    spread = spread_minutes(wanted, slots, longest)
    sessions = easy_outings(spread, monday, wishes.mode, wishes.life)
    given = sum(spread.values())
    return sessions, [f"{given} of {wanted} easy min fit the days given."] if given < wanted else []
