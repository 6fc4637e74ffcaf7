"""The limit a clinician set with the paper in force, in the clinician's own words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.clearance_papers import paper_day
from app.coaching.history import History
from app.coaching.screening_decision import newest_paper
from app.coaching.weeks import day_words


@dataclass(frozen=True, slots=True)
class ClinicianLimit:
    """What the newest paper that counts limits, who said it and when."""

    said: str
    signer: str
    said_on: date

    @property
    def to_the_coach(self) -> str:
        """The limit as the coach reads it."""
        return f"Limit set by {self.signer} on {day_words(self.said_on)}: {self.said}"

    @property
    def to_the_client(self) -> str:
        """The limit as the client reads it."""
        return f"Your doctor's limit: {self.said}"


def clinician_limit(history: History, today: date) -> ClinicianLimit | None:
    """The limit in force; None without one.

    A newer paper that counts replaces an older one with its limit. A paper that has ended keeps its limit: its end
    stops hard work, and lifts no limit.
    Source: house choice.
    """
    paper = newest_paper(history, today)
    said = (paper.limits or "").strip() if paper else ""
    if paper is None or not said:
        return None
    return ClinicianLimit(said, (paper.signer or "a clinician").strip(), paper_day(paper))
