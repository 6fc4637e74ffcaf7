"""What the library keeps about one way to do hard rounds."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.people import Mode
from app.coaching.reasons import Provenance

COMMON = Provenance.COMMON_PRACTICE
NO_SOURCE = "common practice, no published source"
#: A round from here on is a long one: long rounds grow one at a time, short ones do not (house choice).
LONG_ROUND_S = 120
#: How a session ends, unless an entry says otherwise (common practice, no published source).
FINISH_RULE = (
    "After the last round stay upright and walk on. Whoever had to bend or sit went too fast. An effort above 8 at "
    "the end of the second round: finish easy that day."
)


@dataclass(frozen=True, slots=True)
class IntervalProtocol:
    """One way to do hard rounds, as the library keeps it."""

    key: str
    name: str
    purpose: str
    suits: str
    work_s: int
    recovery_s: int
    rounds: int
    rounds_least: int
    rounds_most: int
    modes: tuple[Mode, ...]
    #: What is known about it, in one sentence.
    evidence: str
    source: str | None
    provenance: Provenance
    #: How the target of one round is said; None: the common words of a round.
    round_words: str | None
    step_up: str | None
    step_down: str | None
    #: When the session is over, and when it ends early.
    finish_rule: str = FINISH_RULE
    #: Rounds before a longer recovery; 0: none is longer.
    set_of: int = 0
    #: That longer recovery.
    set_recovery_s: int = 0
    #: Words of the practice's own said after the target.
    also_words: str | None = None

    @property
    def is_own(self) -> bool:
        """Whether the practice wrote it itself."""
        return self.key.startswith(OWN_KEY)

    @property
    def has_sets(self) -> bool:
        """Whether some recoveries are longer than the others."""
        return self.set_of > 0

    @property
    def has_long_rounds(self) -> bool:
        """Whether its rounds grow one at a time."""
        return self.work_s >= LONG_ROUND_S


#: What the keys of the practice's own entries begin with.
OWN_KEY = "own_"
