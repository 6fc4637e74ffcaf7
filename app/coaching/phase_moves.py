"""Which decision may follow which phase, what it is called, and what has to be looked at before it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.coaching.phases import DecisionKind, Phase


class Looks(StrEnum):
    """What has to be looked at before a decision."""

    #: The safer direction: nothing stands in the way.
    NOTHING = "nothing"
    #: From base to hard work: the whole list.
    WHOLE_LIST = "whole_list"
    #: A second hard session a week: the safety conditions and its own list.
    SECOND_WEEK = "second_week"


@dataclass(frozen=True, slots=True)
class Move:
    """One decision a coach may take from a phase."""

    kind: DecisionKind
    phase: Phase
    label: str
    looks: Looks = Looks.NOTHING

    @property
    def has_end_date(self) -> bool:
        """Keeping is agreed until a day."""
        return self.phase is Phase.KEEPING and self.kind is not DecisionKind.STAY

    @property
    def key(self) -> str:
        """The move as one word of a form."""
        return f"{self.kind.value}-{self.phase.value}"


_TO_ONE = Move(DecisionKind.PROMOTE, Phase.INTERVAL_ONE, "Promote to one a week", Looks.WHOLE_LIST)
_TO_TWO = Move(DecisionKind.PROMOTE, Phase.INTERVAL_TWO, "Promote to two a week", Looks.SECOND_WEEK)
_TO_KEEPING = Move(DecisionKind.PROMOTE, Phase.KEEPING, "Begin keeping", Looks.WHOLE_LIST)
_BACK_TO_ONE = Move(DecisionKind.STEP_BACK, Phase.INTERVAL_ONE, "Step back to one a week")
_BACK_TO_KEEPING = Move(DecisionKind.STEP_BACK, Phase.KEEPING, "Keeping, until a day")
_BACK_TO_BASE = Move(DecisionKind.STEP_BACK, Phase.AEROBIC_BASE, "Step back to base")
_RETURN = Move(DecisionKind.STEP_BACK, Phase.RETURNING, "Returning after time off")

_MOVES: dict[Phase, tuple[Move, ...]] = {
    Phase.AEROBIC_BASE: (_TO_ONE, _TO_KEEPING, _RETURN),
    Phase.INTERVAL_ONE: (_TO_TWO, _BACK_TO_KEEPING, _RETURN, _BACK_TO_BASE),
    Phase.INTERVAL_TWO: (_BACK_TO_ONE, _BACK_TO_KEEPING, _RETURN, _BACK_TO_BASE),
    Phase.KEEPING: (_TO_ONE, _RETURN, _BACK_TO_BASE),
    Phase.RETURNING: (_TO_ONE, _TO_KEEPING, _BACK_TO_BASE),
}


def moves_from(phase: Phase | None) -> tuple[Move, ...]:
    """Every decision that may be taken from a phase, the next step up first, staying last.

    None before the first phase: the base is started with its weeks, or an earlier phase is brought in.
    """
    return () if phase is None else (*_MOVES[phase], Move(DecisionKind.STAY, phase, "Stay in this phase"))


def move_to(phase: Phase | None, kind: DecisionKind, to: Phase) -> Move | None:
    """The decision of a kind from one phase to another; None when it may not be taken."""
    return next((one for one in moves_from(phase) if one.kind is kind and one.phase is to), None)
