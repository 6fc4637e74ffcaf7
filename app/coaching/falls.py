"""A fall on blood thinners: a clinician's to judge, whichever way it was told."""

from __future__ import annotations

from app.coaching.history import History
from app.coaching.incidents import FALL, FALL_HEAD
from app.coaching.questions import named_medicines
from app.coaching.screening_decision import newest_answers


def takes_blood_thinners(history: History) -> bool:
    """Whether the last answers name blood thinners, not sure among them."""
    return "blood_thinner" in named_medicines(newest_answers(history))


def sign_with_thinners(sign: str, history: History) -> str:
    """The sign a report counts as: on blood thinners any fall is for a clinician, whichever fall was chosen.

    Source: house choice.
    """
    return FALL_HEAD if sign == FALL and takes_blood_thinners(history) else sign
