"""What is counted of technique, the last round against the second: strokes where somebody counted, else cadence."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

#: With two rounds the second is the last.
TECHNIQUE_ROUNDS_LEAST = 3


class Counted(Protocol):
    """A round of which something may have been counted."""

    @property
    def is_complete(self) -> bool:
        """Whether it was done in full."""

    @property
    def strokes(self) -> int | None:
        """Strokes of the whole round; None when nobody counted."""

    @property
    def cadence_per_min(self) -> float | None:
        """Turns, steps or strokes a minute; None when not recorded."""


@dataclass(frozen=True, slots=True)
class TechniqueChange:
    """What was counted in the second round and in the last."""

    #: "strokes" or "cadence".
    what: str
    unit: str
    second: float
    last: float

    @property
    def fraction(self) -> float:
        """The last against the second; 0 is the same, negative is less."""
        return (self.last - self.second) / self.second


def technique_change(second: Counted, last: Counted) -> TechniqueChange | None:
    """The change between two rounds of one set; None where nothing was counted in both.

    Strokes are compared between rounds done in full only: a round cut short has fewer of them and says nothing.
    """
    is_whole = second.is_complete and last.is_complete
    if is_whole and second.strokes and last.strokes is not None:
        return TechniqueChange("strokes", "strokes", second.strokes, last.strokes)
    if second.cadence_per_min and second.cadence_per_min > 0 and last.cadence_per_min is not None:
        return TechniqueChange("cadence", "a minute", second.cadence_per_min, last.cadence_per_min)
    return None
