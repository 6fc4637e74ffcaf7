"""What a look ahead finds: a level, a day, a sentence and its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.coaching.reasons import DomainError, Why


class Level(StrEnum):
    """What a breach does to publishing."""

    REFUSES = "refuses"
    ASKS = "asks"
    SAYS = "says"


LEVEL_WORDS = {
    Level.REFUSES: "is not published",
    Level.ASKS: "asks for a reason, which is kept",
    Level.SAYS: "is said",
}


@dataclass(frozen=True, slots=True)
class Breach:
    """One thing a draft would break."""

    level: Level
    kind: str
    on: date
    sentence: str
    why: Why


class ReasonNeeded(DomainError):
    """The change can be made with a reason that is kept; `found` is what asks for it."""

    def __init__(self, sentence: str, found: Sequence[Breach] = ()) -> None:
        super().__init__(sentence)
        self.found = tuple(found)
