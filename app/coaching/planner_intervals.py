"""Interval and keeping blocks as drafts: one or two hard days a week, spaced, with easy days around."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.planner import (
    WEEKDAYS,
    SessionDraft,
    WeekDraft,
    easier_every,
    easy_outings,
)
from app.coaching.prescriptions import SessionKind
from app.coaching.protocols import IntervalProtocol, protocol_of, session_title
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_steps import easy_version, steps_for
from app.coaching.steps import total_minutes
from app.coaching.time_away import NOTHING_BESIDES
from app.coaching.week_spread import slots_of, spread_minutes
from app.coaching.weeks import DAYS_IN_WEEK

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


@dataclass(frozen=True, slots=True)
class IntervalWishes:
    """What an interval block is written from."""

    phase: Phase
    hard_weekdays: tuple[int, ...]
    protocol_key: str
    weeks: int
    volume_min: int
    is_introductory: bool
    age: int | None
    starts_on: date
    mode: Mode
    #: Weeks already spent in hard-work phases before this block.
    weeks_before: int = 0
    #: The longest easy outing; None: as long as the day's slot.
    longest_min: int | None = None


def spacing_hours(*, age: int | None, interval_weeks: int, rules: Rules) -> float:
    """Hours asked between the starts of two hard sessions: more in the first eight interval weeks and from 60."""
    is_careful = age is None or age >= OLDER_FROM or interval_weeks < FIRST_INTERVAL_WEEKS
    return rules.spacing_first_weeks_h if is_careful else rules.spacing_h


def ceiling_of(phase: Phase | None, rules: Rules) -> int:
    """Hard sessions in any 14 days that are full for a client of that phase."""
    return rules.fortnight_ceiling if phase is Phase.INTERVAL_TWO else rules.fortnight_ceiling_one_a_week


def interval_block(wishes: IntervalWishes, *, days: Sequence[AvailableDay], rules: Rules) -> tuple[WeekDraft, ...]:
    """Weeks with one hard day (two in the second interval phase) and easy days around them.

    In an easier week the hard session stays with half its rounds and easy minutes drop by a quarter.
    Raises: DomainError for a phase without hard work, no hard day, or a block that does not start on a Monday.
    Source: common practice, no published source.
    """
    if wishes.phase not in HARD_WORK_PHASES:
        raise DomainError("hard sessions belong to an interval or keeping phase")
    if not wishes.hard_weekdays or wishes.weeks < 1 or wishes.starts_on.weekday() != 0:
        raise DomainError("an interval block needs a hard day, a week, and a Monday to start on")
    protocol = protocol_of(wishes.protocol_key)
    every = easier_every(wishes.age, rules)
    slots = slots_of(days)
    return tuple(
        _week(_Place(wishes, protocol, number, every), slots=slots, rules=rules) for number in range(wishes.weeks)
    )


@dataclass(frozen=True, slots=True)
class _Place:
    """One week's place in its block, counted from 0."""

    wishes: IntervalWishes
    protocol: IntervalProtocol
    number: int
    every: int

    @property
    def is_easier(self) -> bool:
        return (self.number + 1) % self.every == 0

    @property
    def full_weeks_before(self) -> int:
        return self.number - self.number // self.every


def _week(place: _Place, *, slots: dict[int, int], rules: Rules) -> WeekDraft:
    wishes, number, is_easier = place.wishes, place.number, place.is_easier
    hard_days, said = _hard_days(wishes, number, rules)
    hard: list[SessionDraft] = []
    for order, day in enumerate(hard_days):
        rounds = _rounds(place, is_second=order > 0)
        session, words = _hard_session(place, day, rounds, slots.get(day, 0))
        hard += [session] if session else []
        said += words
    hard_minutes = sum(session.minutes for session in hard)
    easy_total = max(0, wishes.volume_min - hard_minutes)
    wanted = round(easy_total * EASIER_EASY_FRACTION) if is_easier else easy_total
    easy, words = _easy_sessions(wishes, wanted, {day: m for day, m in slots.items() if day not in hard_days})
    sessions = tuple(sorted([*hard, *easy], key=lambda session: session.weekday))
    starts_on = wishes.starts_on + timedelta(weeks=number)
    return WeekDraft(starts_on, is_easier, hard_minutes + wanted, sessions, tuple(said + words))


def _hard_days(wishes: IntervalWishes, number: int, rules: Rules) -> tuple[tuple[int, ...], list[str]]:
    most = 2 if wishes.phase is Phase.INTERVAL_TWO else 1
    asked = tuple(dict.fromkeys(wishes.hard_weekdays))
    said = []
    if len(asked) > most:
        said.append(f"{'Two hard days' if most == 2 else 'One hard day'} a week in this phase; the others stay easy.")
    days = asked[:most]
    if len(days) < 2:
        return days, said
    if 2 * len(days) > ceiling_of(wishes.phase, rules):
        said.append(
            f"The second hard day would pass {ceiling_of(wishes.phase, rules)} in a fortnight; it stays easy."
        )
        return days[:1], said
    needed = spacing_hours(age=wishes.age, interval_weeks=wishes.weeks_before + number, rules=rules)
    gap = abs(days[0] - days[1])
    apart = min(gap, DAYS_IN_WEEK - gap) * HOURS_A_DAY
    if apart < needed:
        names = f"{WEEKDAYS[days[0]]} and {WEEKDAYS[days[1]]}"
        said.append(f"{names} are {apart} h apart, {needed:g} h are needed; {WEEKDAYS[days[1]]} stays easy.")
        return days[:1], said
    return days, said


def _rounds(place: _Place, *, is_second: bool) -> int:
    """Rounds of one session: growing by one a full week when introductory, half when easier or newly second."""
    wishes, protocol = place.wishes, place.protocol
    grows = wishes.is_introductory and wishes.phase is Phase.INTERVAL_ONE and protocol.rounds <= MOST_LONG_ROUNDS
    rounds = min(protocol.rounds, FIRST_ROUNDS + place.full_weeks_before) if grows else protocol.rounds
    is_half_dose = is_second and wishes.is_introductory and place.number < HALF_DOSE_WEEKS
    return math.ceil(rounds / 2) if place.is_easier or is_half_dose else rounds


def _hard_session(place: _Place, day: int, rounds: int, slot: int) -> tuple[SessionDraft | None, list[str]]:
    wishes, protocol = place.wishes, place.protocol
    for count in range(rounds, 0, -1):
        steps = steps_for(
            protocol, mode=wishes.mode, rounds=count, age=wishes.age, first_of_phase=wishes.is_introductory
        )
        minutes = total_minutes(steps)
        if minutes <= slot:
            short = f"{WEEKDAYS[day]} holds {slot} min: {count} rounds instead of {rounds}."
            title = session_title(protocol, count)
            easier = easy_version(min(minutes, EASY_VERSION_MIN), wishes.mode)
            session = SessionDraft(
                day,
                minutes,
                SessionKind.INTERVALS,
                wishes.mode,
                title,
                protocol.purpose,
                steps,
                easier,
                is_hard=True,
            )
            return session, [short] if count < rounds else []
    return None, [f"{WEEKDAYS[day]} holds {slot} min, too short for a hard session; the week has none that day."]


def _easy_sessions(
    wishes: IntervalWishes, wanted: int, slots: dict[int, int]
) -> tuple[tuple[SessionDraft, ...], list[str]]:
    if wanted == 0:
        return (), []
    if not slots:
        return (), [f"No day is left for {wanted} easy minutes."]
    longest = wishes.longest_min or max(slots.values())
    spread = spread_minutes(wanted, slots, longest)
    sessions = easy_outings(spread, wishes.starts_on, wishes.mode, NOTHING_BESIDES)
    given = sum(spread.values())
    return sessions, [f"{given} of {wanted} easy min fit the days given."] if given < wanted else []
