"""What was prescribed: blocks, weeks, planned sessions and their versions."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.people import Mode
from app.coaching.phases import Phase


class SessionKind(StrEnum):
    """What sort of session it is; matching looks for the same kind on another day."""

    EASY = "easy"
    MIDDLE = "middle"
    INTERVALS = "intervals"
    TEST = "test"
    RACE = "race"
    STRENGTH = "strength"


KIND_WORDS = {
    SessionKind.EASY: "easy",
    SessionKind.MIDDLE: "middle effort",
    SessionKind.INTERVALS: "intervals",
    SessionKind.TEST: "test",
    SessionKind.RACE: "race",
    SessionKind.STRENGTH: "strength",
}


@dataclass(frozen=True, slots=True)
class Block:
    """Weeks with one aim inside one phase."""

    id: int
    client_id: int
    phase: Phase
    aim: str
    starts_on: date  # a Monday
    weeks: int
    is_introductory: bool
    #: What the block was written from (start volume, days, rise, easier weeks), as JSON text.
    wishes_json: str
    created_at: datetime
    person_id: int


@dataclass(frozen=True, slots=True)
class PlannedWeek:
    """One ISO week of a client's plan. `revision` counts its edits; a stale edit is refused."""

    id: int
    client_id: int
    starts_on: date  # a Monday
    block_id: int | None
    is_easier: bool
    target_minutes: int | None
    note: str | None
    revision: int


@dataclass(frozen=True, slots=True)
class PlannedSession:
    """One version of one planned session.

    `id` is the session's identity and stays the same over its versions; `version` counts from 1. A version is a
    draft while `published_at` is None. No version is ever rewritten.
    """

    id: int
    version_id: int
    version: int
    client_id: int
    planned_on: date
    kind: SessionKind
    mode: Mode
    title: str
    purpose: str
    minutes: int
    hard_minutes: float
    is_hard: bool
    rounds: int
    #: The tree of steps, see `app.coaching.steps`.
    steps_json: str
    easy_version: str | None
    place: str | None
    is_cancelled: bool
    created_at: datetime
    person_id: int
    reason: str | None
    published_at: datetime | None
    seen_at: datetime | None
    #: The hill of the practice that its rounds are done on; None: no hill, or one the coach named in words.
    hill_id: int | None = None
    #: The target of its rounds, see `app.coaching.session_target`; None: by the words of its steps.
    target_json: str | None = None
