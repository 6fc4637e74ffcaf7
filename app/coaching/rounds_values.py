"""What reading a recording for rounds takes and gives: what was asked, what was found, and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.steps import Part, flatten, from_json

SHORTEST_ROUND_S = 5.0
MOST_ROUNDS = 60
LONGEST_STEP_S = 24 * 3600


class RoundSignal(StrEnum):
    """Which channel the rounds were read from."""

    POWER = "power"
    SPEED = "speed"
    #: Speed as it would have been on the flat for the same effort, by the altitude.
    SPEED_ON_THE_FLAT = "speed_on_the_flat"
    HEART_RATE = "heart_rate"


BY_SPEED = frozenset({RoundSignal.SPEED, RoundSignal.SPEED_ON_THE_FLAT})
#: By speed, rounds shorter than this are told from noise by their rhythm as much as by their level (house choice).
SHORT_BY_SPEED_S = 90
#: Shorter ones than this are lost in what blurs speed and altitude; the ground truth has them of 15 s (house choice).
VERY_SHORT_S = 25
#: What becomes of a hundred short rounds in the ground truth (docs/proof.md).
#: Each key: on wheels in hills, with their plan known, very short.
_OF_A_HUNDRED = {
    (False, True, False): "one to three are missed",
    (False, True, True): "about fifteen are missed, and three of those shown are none",
    (False, False, False): "ten to twenty are missed",
    (False, False, True): "nine in ten are missed",
    (True, True, False): "one to six are missed, and up to three of those shown are none",
    (True, True, True): "none is seen",
    (True, False, False): "nearly all are missed",
    (True, False, True): "none is seen",
}
SIGNAL_WORDS = {
    RoundSignal.POWER: "power",
    RoundSignal.SPEED: "speed",
    RoundSignal.SPEED_ON_THE_FLAT: "speed, corrected for the slope",
    RoundSignal.HEART_RATE: "heart rate alone, its edges moved back by how slowly a heart follows",
}
#: 95 of 100 edges lie within this in the ground truth of the tests (docs/proof.md).
EDGE_ERROR_S = {
    RoundSignal.POWER: 3.0,
    RoundSignal.SPEED: 6.0,
    RoundSignal.SPEED_ON_THE_FLAT: 6.0,
    RoundSignal.HEART_RATE: 20.0,
}


def short_by_speed(work_s: float, *, is_ride: bool, is_planned: bool) -> str:
    """What is said wherever short rounds are read from speed: how often that is wrong."""
    share = _OF_A_HUNDRED[is_ride, is_planned, work_s < VERY_SHORT_S]
    like = "on a hill on wheels" if is_ride else "on foot"
    known = "with a plan" if is_planned else "without a plan"
    return (
        f"rounds under {SHORT_BY_SPEED_S} s are short for speed: of a hundred like these {like}, {known}, {share}; "
        "look at the drawing and set by hand what is missing"
    )


class EdgesFrom(StrEnum):
    """What said where the rounds begin and end."""

    PLAN = "plan"
    RECORDING = "recording"
    HAND = "hand"


class Sureness(StrEnum):
    """How far the rounds can be trusted."""

    SURE = "sure"
    LIKELY = "likely"
    UNSURE = "unsure"


@dataclass(frozen=True, slots=True)
class RoundsAsked:
    """The rounds of a plan in order: how long each lasts and the recovery after it; the last one's may be 0."""

    work_s: tuple[int, ...]
    recovery_s: tuple[int, ...]
    #: Warm-up before the first; None when nobody said.
    lead_in_s: int | None = None

    def __post_init__(self) -> None:
        """Refuse a set that cannot be."""
        if not 1 <= len(self.work_s) <= MOST_ROUNDS or len(self.recovery_s) != len(self.work_s):
            raise DomainError(f"A set has 1 to {MOST_ROUNDS} rounds, each with its recovery.")
        if min(self.work_s) < SHORTEST_ROUND_S or min(self.recovery_s) < 0:
            raise DomainError("A round lasts at least 5 seconds, and a recovery cannot be shorter than nothing.")
        if max(*self.work_s, *self.recovery_s) > LONGEST_STEP_S:
            raise DomainError("No round and no recovery lasts longer than a day.")

    @classmethod
    def alike(cls, rounds: int, work_s: int, recovery_s: int) -> RoundsAsked:
        """So many rounds of the same length. Raises: DomainError for a set that cannot be."""
        # A number far beyond any set would not even fit into a computer's memory.
        rounds = min(rounds, MOST_ROUNDS + 1)
        return cls((work_s,) * rounds, (recovery_s,) * rounds)


@dataclass(frozen=True, slots=True)
class RoundEdges:
    """Where one round begins and ends, seconds from the first sample; the end is no longer part of it."""

    start_s: float
    end_s: float

    @property
    def duration_s(self) -> float:
        """How long it lasts."""
        return self.end_s - self.start_s


@dataclass(frozen=True, slots=True)
class FoundRound:
    """One round of work in a recording."""

    number: int
    start_s: float
    end_s: float
    #: The round of the plan it answers, from 1; None for one more than asked, or without a plan.
    asked_number: int | None = None
    #: How long the plan wanted it.
    asked_s: int | None = None

    @property
    def duration_s(self) -> float:
        """How long it lasts."""
        return self.end_s - self.start_s


@dataclass(frozen=True, slots=True)
class FoundRounds:
    """The rounds of a recording, what they were read from, and how sure that is.

    Rounds set by hand are kept over any reading: `edges_from` says so, and nothing recomputes them.
    """

    rounds: tuple[FoundRound, ...]
    edges_from: EdgesFrom
    #: None when nobody read them from a channel.
    signal: RoundSignal | None
    sureness: Sureness
    #: Sentences: what the sureness rests on, and what differs from the plan.
    because: tuple[str, ...]
    #: Rounds of the plan that were not done.
    skipped: tuple[int, ...] = ()

    @property
    def edge_error_s(self) -> float | None:
        """How far an edge may be off; None for edges set by hand."""
        return None if self.signal is None else EDGE_ERROR_S[self.signal]


def rounds_asked(planned: PlannedSession) -> RoundsAsked | None:
    """The rounds of a planned session; None when it has none.

    Raises: DomainError when its steps cannot be read.
    """
    work: list[int] = []
    recovery: list[int] = []
    lead_in = 0
    for step in flatten(from_json(planned.steps_json)):
        if step.part is Part.WORK:
            work.append(step.duration_s)
            recovery.append(0)
        elif work and step.part is Part.RECOVERY:
            recovery[-1] += step.duration_s
        elif not work:
            lead_in += step.duration_s
    return RoundsAsked(tuple(work), tuple(recovery), lead_in) if work else None


def rounds_by_hand(edges: Sequence[RoundEdges], *, duration_s: float, asked: RoundsAsked | None) -> FoundRounds:
    """Rounds whose edges the coach set: no reading changes them.

    Raises: DomainError when they overlap, are out of order, too short, or lie outside the recording.
    """
    if not 1 <= len(edges) <= MOST_ROUNDS:
        raise DomainError(f"Set 1 to {MOST_ROUNDS} rounds.")
    before = 0.0
    for number, one in enumerate(edges, start=1):
        if one.duration_s < SHORTEST_ROUND_S:
            raise DomainError(f"Round {number} must last at least {SHORTEST_ROUND_S:g} s.")
        if one.start_s < before or one.end_s > duration_s:
            raise DomainError(f"Round {number} must begin after the one before and end within the recording.")
        before = one.end_s
    wanted = asked.work_s if asked else ()
    rounds = tuple(
        FoundRound(
            n, one.start_s, one.end_s, n if n <= len(wanted) else None, wanted[n - 1] if n <= len(wanted) else None
        )
        for n, one in enumerate(edges, start=1)
    )
    skipped = tuple(range(len(edges) + 1, len(wanted) + 1))
    because = ("the coach set these edges; they stay whatever is read again",)
    return FoundRounds(rounds, EdgesFrom.HAND, None, Sureness.SURE, because, skipped)
