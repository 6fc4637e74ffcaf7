"""Whether an easy session was easy, ready to print."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.easy_judged import EasyJudged
from app.coaching.reasons import Figure, Provenance, Why

_RULE = (
    "The talk answer comes before the number, the number before heart rate. Heart rate alone decides only where "
    "nothing was answered: easy is at most 5 min above 77 % of a measured maximum, where the published classes begin "
    "vigorous; never of a maximum from a formula, not on a hot day, and not where heart rate is not reliable. Drift "
    "is output for each heartbeat in the second half of an hour against the first, without the first ten minutes, "
    "stops and what follows them; it never decides."
)


@dataclass(frozen=True, slots=True)
class EasyView:
    """A heading, the sentence, what speaks otherwise, and the reasons."""

    headline: str
    sentence: str
    disagreements: tuple[str, ...]
    figures: tuple[Figure, ...]
    why: Why


def easy_view(judged: EasyJudged) -> EasyView:
    """The judgement in words."""
    return EasyView(
        headline={True: "Easy was easy", False: "Easy was not easy", None: "Whether it was easy is not known"}[
            judged.was_easy
        ],
        sentence=judged.sentence,
        disagreements=judged.disagreements,
        figures=judged.reasons,
        why=Why(
            (*judged.reasons, Figure("decided by", judged.decided_by)),
            _RULE,
            Provenance.COMMON_PRACTICE,
            "Edge of vigorous: Garber et al. 2011",
            "A talk answer or an effort in the entry.",
        ),
    )
