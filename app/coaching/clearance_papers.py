"""What makes a clinician's paper sound: who signed, as what, when, for what, and how it was seen."""

from __future__ import annotations

from datetime import date

from app.coaching.screening import Clearance, ClearanceState

TELEPHONE = "telephone"

#: How a clearance reached the practice; these keys are what `Clearance.how_seen` holds.
HOW_SEEN = {
    "paper": "the signed paper itself",
    "copy": "a copy or photo of the signed paper",
    "from_clinic": "sent by the clinic",
    TELEPHONE: "told by telephone (does not lift a hold alone)",
}


def paper_faults(paper: Clearance, today: date) -> tuple[str, ...]:
    """Why a clearance does not count, as sentences; empty when it is sound.

    Source: house choice.
    """
    given_on = paper.given_on
    tests = (
        (paper.state is ClearanceState.GRANTED, "The clearance has not been granted."),
        (bool((paper.signer or "").strip()), "Say who signed the clearance."),
        (bool((paper.profession or "").strip()), "Say the signer's profession."),
        (given_on is not None, "Say on which day the clearance was given."),
        (given_on is None or given_on <= today, "The clearance is dated in the future."),
        (paper.scope is not None, "Say what the clearance is for: light to moderate, or vigorous work."),
        (paper.how_seen in HOW_SEEN, "Say how the clearance was seen."),
        (paper.how_seen != TELEPHONE, "A telephone call alone does not count; ask for it in writing."),
    )
    return tuple(sentence for is_fine, sentence in tests if not is_fine)


def has_paper(answer: Clearance) -> bool:
    """Whether there is a paper: an answer, neither a mere request nor only told by telephone."""
    return answer.state is not ClearanceState.REQUESTED and answer.how_seen != TELEPHONE


def paper_day(paper: Clearance) -> date:
    """The day a paper was given, else the day it was recorded."""
    return paper.given_on or paper.recorded_at.date()


def paper_order(paper: Clearance) -> tuple[date, int]:
    """Which of two papers is the newer."""
    return paper_day(paper), paper.id
