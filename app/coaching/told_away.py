"""What a client says about days on which the usual week is not possible: told, never guessed from silence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.people import Origin
from app.coaching.session_logs import WhyNot
from app.coaching.time_away import POSSIBLE_WORDS, Possible, Stretch
from app.coaching.words import counted, short_day


class AwayKind(StrEnum):
    """What is told: a journey, or days off."""

    TRAVEL = "travel"
    OFF = "off"


class AwayAnswer(StrEnum):
    """What became of it; nothing changes before the coach has answered."""

    OPEN = "open"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    #: Told by mistake, or it came otherwise.
    TAKEN_BACK = "taken_back"


#: What was declined or taken back does not count.
COUNTS = frozenset({AwayAnswer.OPEN, AwayAnswer.ACCEPTED})


@dataclass(frozen=True, slots=True)
class ToldAway:
    """A stretch of days a client travels or was off, with what the coach answered."""

    id: int
    client_id: int
    kind: AwayKind
    from_on: date
    until_on: date  # the last such day
    possible: Possible
    #: Why the days were off; None for a journey.
    why_off: WhyNot | None
    text: str | None
    origin: Origin
    told_at: datetime
    person_id: int
    answer: AwayAnswer
    answered_at: datetime | None
    answered_by: int | None
    answered_because: str | None

    @property
    def days(self) -> int:
        """How many days it is."""
        return (self.until_on - self.from_on).days + 1

    @property
    def is_open(self) -> bool:
        """Whether it waits for the coach's answer."""
        return self.answer is AwayAnswer.OPEN

    @property
    def stretch(self) -> Stretch:
        """The days and what they allow, as the planner reads them."""
        return Stretch(self.from_on, self.until_on, self.possible)

    @property
    def words(self) -> str:
        """What is told, as the head of a sentence: "Off Mon 2 Nov to Thu 12 Nov, 11 days"."""
        head = "Off" if self.kind is AwayKind.OFF else f"Travels, {POSSIBLE_WORDS[self.possible]} possible:"
        return f"{head} {short_day(self.from_on)} to {short_day(self.until_on)}, {counted(self.days, 'day')}"


def waiting_words(told: Sequence[ToldAway]) -> str:
    """What a client reads of what waits for the coach's answer; empty when nothing does."""
    waiting = [one for one in told if one.is_open]
    if not waiting:
        return ""
    said = "; ".join(f"{one.words[:1].lower()}{one.words[1:]}" for one in waiting)
    return f"You told your coach: {said}. Your coach decides; until then nothing of your plan is changed."


def told_on(told: Sequence[ToldAway], day: date) -> ToldAway | None:
    """What was told of a day and counts; None when nothing was."""
    return next((one for one in told if one.answer in COUNTS and one.from_on <= day <= one.until_on), None)


def told_stretches(told: Sequence[ToldAway], since: date) -> tuple[Stretch, ...]:
    """The days told that end on a day or later, as the planner reads them."""
    return tuple(sorted(one.stretch for one in told if one.answer in COUNTS and one.until_on >= since))
