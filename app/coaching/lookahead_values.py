"""What a look ahead finds: a level, a day, a sentence and its reasons."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError, Figure, Provenance, Why
from app.coaching.screening_table import CARD, SOURCE, Decision
from app.coaching.words import short_day


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
    #: What it says without naming a session, the same for all it is said of; "" when it is about this one only.
    shared: str = ""


#: The kind of a breach that only the answered safety questions mend.
UNASKED = "unasked"
#: The kind of a breach on a day after the end of the clearance.
PAPER_ENDS = "paper_ends"
#: The kind of a week with more hard sessions than the phase goes by.
HARD_WEEK = "hard_week"
#: The kind of hard work too soon after days off.
DAYS_OFF = "days_off"
#: Kinds of breaches that stop middle and hard work as such; no mend leaves any where one stands.
STOPS_HARD_WORK = frozenset({"no_leave", UNASKED, PAPER_ENDS, "hold", "stopped", "phase"})
#: What is found of a session whatever its day; it was answered for when the session was published.
OF_ITSELF = frozenset({"longest", "easy_version", "early_test"})
#: A large week was answered for when it was published; an exchange or a move inside it makes it no larger.
OF_THE_WEEK = "step"
_UNASKED_WORDS = "the safety questions are not answered yet"


def without_leave(
    decision: Decision, drafts: Sequence[PlannedSession], *, rule: str, lacking: str, is_asked: bool
) -> list[Breach]:
    """Drafts that are refused since the screening gives no leave for them; `lacking` says which leave.

    is_asked: whether the client ever answered the safety questions; if not, that is what is said.
    """
    kind, shared = ("no_leave", f"{lacking}. {decision.comes_next}") if is_asked else (UNASKED, f"{_UNASKED_WORDS}.")
    why = Why(
        (Figure("screening", f"{decision.outcome.value}, row {decision.branch}"),),
        rule,
        Provenance.PUBLISHED_SECOND_HAND,
        SOURCE,
        decision.comes_next,
        (CARD,),
    )
    return [
        Breach(
            Level.REFUSES,
            kind,
            draft.planned_on,
            f"{draft.title} on {short_day(draft.planned_on)}: {shared}",
            why,
            shared,
        )
        for draft in drafts
    ]


class ReasonNeeded(DomainError):
    """The change can be made with a reason that is kept; `found` is what asks for it."""

    def __init__(self, sentence: str, found: Sequence[Breach] = ()) -> None:
        super().__init__(sentence)
        self.found = tuple(found)
