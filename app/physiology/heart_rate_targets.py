"""What switches heart-rate targets off: medicines, rhythm, devices, and a maximum nobody has measured."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from enum import StrEnum


class HeartFact(StrEnum):
    """Something known about a person that decides what their heart rate is worth."""

    BETA_BLOCKER_TABLETS = "beta_blocker_tablets"
    BETA_BLOCKER_EYE_DROPS = "beta_blocker_eye_drops"
    OTHER_SLOWING_MEDICINE = "other_slowing_medicine"
    PACEMAKER = "pacemaker"
    DEFIBRILLATOR = "defibrillator"
    ATRIAL_FIBRILLATION = "atrial_fibrillation"
    TRANSPLANTED_HEART = "transplanted_heart"
    RAISING_MEDICINE = "raising_medicine"
    MAXIMUM_NOT_MEASURED = "maximum_not_measured"


_OFF = {
    HeartFact.BETA_BLOCKER_TABLETS: "a beta-blocker lowers heart rate at rest and in exercise; how far is unknown",
    HeartFact.BETA_BLOCKER_EYE_DROPS: "beta-blocker eye drops may lower heart rate too (from memory, unchecked)",
    HeartFact.OTHER_SLOWING_MEDICINE: "a medicine that slows or flattens heart rate (from memory, unchecked)",
    HeartFact.PACEMAKER: "with a pacemaker heart rate need not follow effort (from memory, unchecked)",
    HeartFact.DEFIBRILLATOR: "with a defibrillator a clinician sets an upper rate (from memory, unchecked)",
    HeartFact.ATRIAL_FIBRILLATION: "in atrial fibrillation it does not follow effort (from memory, unchecked)",
    HeartFact.TRANSPLANTED_HEART: "a transplanted heart follows effort late (from memory, unchecked)",
}
_UNCERTAIN = {
    HeartFact.RAISING_MEDICINE: "a medicine that may raise heart rate (from memory, unchecked)",
    HeartFact.MAXIMUM_NOT_MEASURED: "the maximum is predicted from age: often 10 to 12 beats away, so only a guide",
}


@dataclass(frozen=True, slots=True)
class HeartRateWorth:
    """Whether heart rate may steer, how sure that is, and why."""

    may_steer: bool
    is_uncertain: bool
    reasons: tuple[str, ...]


def heart_rate_worth(facts: Collection[HeartFact]) -> HeartRateWorth:
    """Whether heart rate may steer this person's work; where it may not, talk and effort do.

    facts: what is known of medicines, rhythm, devices and the maximum, no unit, any of the named facts.
    Returns: whether it may steer and how sure that is, no unit; with the reasons.
    Raises: nothing.
    Limits: it reminds; medicines are the doctor's business, and an upper rate set by a clinician always wins.
    Error: not found.
    Source: [garber2011] steering by effort where heart rate fails is common practice, no published source for the
        list; the effect of beta-blocker tablets was read, the rest is from memory, unchecked.
    Checked in tests/physiology/test_heart_rate_targets.py.
    """
    off = tuple(words for fact, words in _OFF.items() if fact in facts)
    uncertain = tuple(words for fact, words in _UNCERTAIN.items() if fact in facts)
    return HeartRateWorth(not off, bool(uncertain) and not off, off + uncertain)
