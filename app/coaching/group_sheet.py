"""A sheet for hard rounds done together: one clock, a row for each name with their own rounds and their own words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.people import Client, HeartRateUse
from app.coaching.prescriptions import PlannedSession
from app.coaching.session_target import TargetForm, target_from_json
from app.coaching.steps import Part, flatten, from_json
from app.coaching.target_words import short_target

#: More names than this nobody can watch by one clock (common practice, no published source).
MOST_NAMES = 10


@dataclass(frozen=True, slots=True)
class RoundsPlan:
    """The rounds of a planned session: how many, how long, and what is said of the first."""

    rounds: int
    work_s: int
    recovery_s: int
    warm_up_s: int
    say: str


@dataclass(frozen=True, slots=True)
class Clock:
    """When each round begins and ends, in seconds from the start of the warm-up."""

    work_s: int
    recovery_s: int
    rounds: tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class Member:
    """One client of the group with the session published for the day, and whether it is paused."""

    client: Client
    session: PlannedSession | None
    is_paused: bool
    #: Whether all training is paused, easy work included.
    is_all_paused: bool = False
    #: It was noted as hot for them that day: effort alone steers.
    is_hot: bool = False


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line of the sheet."""

    name: str
    #: What to do, in words; never a reason why somebody pauses, others read the sheet.
    target: str
    rounds: int
    is_paused: bool


@dataclass(frozen=True, slots=True)
class GroupSheet:
    """The sheet; without a clock nobody on it has hard rounds to do."""

    clock: Clock | None
    rows: tuple[SheetRow, ...]


PAUSED = "Paused: do not start hard work."
ALL_PAUSED = "Paused: do not start hard work, and nothing easy either today."
NOTHING_HARD = "No hard rounds planned for this day: easy, talking in whole sentences."
OWN_CLOCK = "Not by this clock: {}. It stands step by step on their own phone or paper."
HOT_WORDS = "Hot today: by effort only, indoors or early, or easy."
BY_EFFORT_ONLY = "By effort and talk only, no heart rate."


def rounds_plan(session: PlannedSession) -> RoundsPlan | None:
    """The rounds of a session; None when it has none, or they or the rests between them are not all alike."""
    steps = list(flatten(from_json(session.steps_json)))
    work = [step for step in steps if step.part is Part.WORK]
    rest = [step.duration_s for step in steps if step.part is Part.RECOVERY]
    if not work or len({step.duration_s for step in work}) > 1 or len(set(rest)) > 1:
        return None
    warm_up = sum(step.duration_s for step in steps if step.part is Part.WARM_UP)
    return RoundsPlan(len(work), work[0].duration_s, rest[0] if rest else work[0].duration_s, warm_up, work[0].say)


def group_sheet(members: Sequence[Member]) -> GroupSheet:
    """The sheet of a group; the clock is the one most of those who may do their rounds have."""
    plans = [None if one.is_paused or one.session is None else rounds_plan(one.session) for one in members]
    clock = _clock([plan for plan in plans if plan is not None])
    rows = tuple(_row(one, plan, clock) for one, plan in zip(members, plans, strict=True))
    return GroupSheet(clock, rows)


def _clock(plans: Sequence[RoundsPlan]) -> Clock | None:
    if not plans:
        return None
    counts = Counter((plan.work_s, plan.recovery_s) for plan in plans)
    work_s, recovery_s = min(counts, key=lambda one: (-counts[one], one))
    alike = [plan for plan in plans if (plan.work_s, plan.recovery_s) == (work_s, recovery_s)]
    begins, each = max(plan.warm_up_s for plan in alike), work_s + recovery_s
    count = max(plan.rounds for plan in alike)
    return Clock(work_s, recovery_s, tuple((begins + n * each, begins + n * each + work_s) for n in range(count)))


def _row(one: Member, plan: RoundsPlan | None, clock: Clock | None) -> SheetRow:
    if one.is_paused:
        return SheetRow(one.client.name, ALL_PAUSED if one.is_all_paused else PAUSED, 0, True)
    if plan is None or clock is None:
        is_hard = one.session is not None and one.session.is_hard
        words = OWN_CLOCK.format(one.session.title) if one.session is not None and is_hard else NOTHING_HARD
        return SheetRow(one.client.name, words, 0, False)
    parts = [plan.say]
    if (plan.work_s, plan.recovery_s) != (clock.work_s, clock.recovery_s) and one.session is not None:
        parts.insert(0, f"Not by this clock, own rounds: {one.session.title}.")
    target = target_from_json(one.session.target_json) if one.session is not None else None
    if target is not None and target.has_figures and target.form is not TargetForm.EFFORT:
        parts.insert(0, f"Target: {short_target(target, plan.work_s)}.")
    if one.is_hot:
        parts.insert(0, HOT_WORDS)
    if one.client.heart_rate_use is HeartRateUse.NOT_RELIABLE:
        parts.append(BY_EFFORT_ONLY)
    return SheetRow(one.client.name, " ".join(parts), min(plan.rounds, len(clock.rounds)), False)
