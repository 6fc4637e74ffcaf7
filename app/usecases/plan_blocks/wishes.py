"""What a block is written from, and the block as it would be kept."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from datetime import date

from app.coaching.interval_plans import IntervalPlan, PlanKey
from app.coaching.lookahead_gathered import Gathered
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import Phase
from app.coaching.plan_reasons import PlanReason
from app.coaching.plan_weeks import PlanEntry
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocols import IntervalProtocol
from app.coaching.time_away import NOTHING_BESIDES, Life, Stretch
from app.coaching.week_drafts import WeekDraft


@dataclass(frozen=True, slots=True)
class BaseWish:
    """What a base block is written from."""

    starts_on: date
    weeks: int
    start_minutes: int
    target_minutes: int
    #: The most a week may add; never more than the practice's rule.
    rise_minutes: int
    every: int
    mode: Mode
    minutes_by_weekday: Mapping[int, int]
    life: Life = NOTHING_BESIDES


@dataclass(frozen=True, slots=True)
class HardWish:
    """What an interval block is written from."""

    starts_on: date
    weeks: int
    volume_minutes: int
    hard_weekdays: tuple[int, ...]
    protocol_key: str
    is_introductory: bool
    mode: Mode
    minutes_by_weekday: Mapping[int, int]
    life: Life = NOTHING_BESIDES
    #: Which of the nearest plans; None: the nearest.
    choice: PlanKey | None = None
    #: The entry where it is one of the practice's own: kept whole, so that a change of it after the look is noticed.
    own: IntervalProtocol | None = None


@dataclass(frozen=True, slots=True)
class BlockPreview:
    """A block as it would be kept, and what stands in its weeks already."""

    phase: Phase
    aim: str
    is_introductory: bool
    weeks: tuple[WeekDraft, ...]
    #: Its sessions as planned sessions, each under a number of its own below zero.
    planned: tuple[PlannedSession, ...]
    #: In sentences: what of the first week is left out because its day is over.
    left_out: tuple[str, ...]
    drafts_there: tuple[PlanEntry, ...]
    published_there: tuple[PlanEntry, ...]
    #: Tests, races and strength in its weeks, which stay.
    kept_there: tuple[PlanEntry, ...]
    #: The plans an interval block can be, the nearest first; one when it meets every wish, none for a base block.
    plans: tuple[IntervalPlan, ...]
    chosen: PlanKey | None
    #: What the weeks go by, each with where it is from.
    reasons: tuple[PlanReason, ...]
    #: Weekdays on which strength would fit better than on those wished for; empty where it fits.
    strength_instead: tuple[int, ...]
    #: In sentences: what it takes the place of, and which drafts stay outside its weeks.
    replaces: tuple[str, ...]
    found: tuple[Gathered, ...]
    wishes_json: str
    place_by_weekday: Mapping[int, str | None]
    #: Days off that keeping it agrees as leave.
    agrees: tuple[Stretch, ...]
    #: The days it was written over.
    days: tuple[AvailableDay, ...]

    @property
    def seen(self) -> str:
        """The wishes and the versions standing there, to notice when either changes after the preview."""
        there = (*self.drafts_there, *self.published_there)
        versions = ",".join(str(number) for number in sorted(entry.session.version_id for entry in there))
        return hashlib.sha256(f"{self.wishes_json}|{versions}".encode()).hexdigest()

    @property
    def starts_on(self) -> date:
        """Its first Monday."""
        return self.weeks[0].starts_on


def wishes_json(wish: BaseWish | HardWish) -> str:
    """The wishes as they are kept with the block; which of the offered plans was taken is no wish."""
    values = asdict(wish)
    values.pop("choice", None)
    return json.dumps(values, default=str)
