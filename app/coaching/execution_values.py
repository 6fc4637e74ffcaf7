"""What judging hard rounds gives: a verdict in words, what it counts as, its reasons, and a figure for next time."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.coaching.reasons import Figure


class Verdict(StrEnum):
    """How a set of rounds went, in one word."""

    EVEN = "even"
    STARTED_HOT = "started_hot"
    SAGGED = "sagged"
    FADED = "faded"
    BUILT = "built"
    #: Further apart than even, and none of the patterns above.
    UNEVEN = "uneven"
    CUT_SHORT = "cut_short"
    #: No figure of the rounds says how even they were.
    NOT_SEEN = "not_seen"


VERDICT_WORDS = {
    Verdict.EVEN: "even",
    Verdict.STARTED_HOT: "started hot",
    Verdict.SAGGED: "sagged and came back",
    Verdict.FADED: "faded",
    Verdict.BUILT: "built",
    Verdict.UNEVEN: "uneven",
    Verdict.CUT_SHORT: "cut short",
    Verdict.NOT_SEEN: "not seen",
}


class CountsAs(StrEnum):
    """What a hard session counts as on the way to the next step."""

    GOOD = "good"
    BAD = "bad"
    #: Spoilt by heat, kit or traffic: neither good nor bad.
    NEITHER = "neither"
    #: Something needed is not known.
    UNKNOWN = "unknown"


class Blame(StrEnum):
    """Whether the target or its holding went wrong; the client is not blamed for a wrong target."""

    NOTHING = "nothing"
    TARGET_WRONG = "target_wrong"
    NOT_HELD = "not_held"


#: The one condition that is not about how the rounds were done.
READINESS_USUAL = "readiness usual within 48 h"
READINESS_DOWN = "readiness was down within two days"


@dataclass(frozen=True, slots=True)
class Check:
    """One condition of a well-executed session: met, not met, or not known (None)."""

    name: str
    is_met: bool | None
    text: str


@dataclass(frozen=True, slots=True)
class NextTime:
    """What to try next time: always one figure, and the sentence that says it."""

    sentence: str
    power_w: float | None = None
    speed_m_per_s: float | None = None
    rounds: int | None = None
    #: Change of the target, %; 0 is the same again.
    change_percent: float | None = None


@dataclass(frozen=True, slots=True)
class Execution:
    """How a hard session was executed.

    `counts_as` and `blame` feed progression; `verdict`, `bent_or_sat`, `technique_lost` the morning.
    """

    verdict: Verdict
    counts_as: CountsAs
    blame: Blame
    sentence: str
    reasons: tuple[Figure, ...]
    #: The conditions of "well executed", one line each.
    checks: tuple[Check, ...]
    next_time: NextTime | None
    rounds_done: int
    rounds_asked: int | None
    bent_or_sat: bool
    technique_lost: bool

    @property
    def is_well_executed(self) -> bool:
        """Whether every condition is met; unknown is not met."""
        return self.counts_as is CountsAs.GOOD
