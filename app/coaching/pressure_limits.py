"""Two numbers a clinician set for one client: from them on all training stops, in place of the practice's two."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Protocol

from app.coaching.clearance_papers import HOW_SEEN, TELEPHONE

#: No paper lets anybody train at or above what rules out even a test under supervision: 200 over 110 mmHg is a
#: relative reason not to test (published, read); lower ends are plausibility.
SYSTOLIC_MMHG = (100, 200)
DIASTOLIC_MMHG = (60, 110)
#: In writing only; a telephone call alone does not count.
IN_WRITING = {key: words for key, words in HOW_SEEN.items() if key != TELEPHONE}


class Limits(Protocol):
    """The four limits a reading is held against, in mmHg; the practice's rules are such limits."""

    @property
    def pressure_systolic_all(self) -> int:
        """No session at all from here on."""

    @property
    def pressure_diastolic_all(self) -> int:
        """No session at all from here on."""

    @property
    def pressure_systolic_hard(self) -> int:
        """No hard work from here on."""

    @property
    def pressure_diastolic_hard(self) -> int:
        """No hard work from here on."""


@dataclass(frozen=True, slots=True)
class OwnPressureLimit:
    """A clinician's two numbers for one client, from a paper; taken back, never changed."""

    id: int
    client_id: int
    systolic_mmhg: int
    diastolic_mmhg: int
    given_on: date
    signer: str
    profession: str
    how_seen: str
    recorded_at: datetime
    person_id: int
    taken_back_at: datetime | None
    taken_back_by: int | None


@dataclass(frozen=True, slots=True)
class LimitsInForce:
    """The limits that count for one client today, and the clinician's paper they come from, if any."""

    pressure_systolic_all: int
    pressure_diastolic_all: int
    pressure_systolic_hard: int
    pressure_diastolic_hard: int
    own: OwnPressureLimit | None


def newest_own(given: Sequence[OwnPressureLimit]) -> OwnPressureLimit | None:
    """The clinician's last word on the numbers that was not taken back."""
    standing = [one for one in given if one.taken_back_at is None]
    return max(standing, key=lambda one: (one.given_on, one.id), default=None)


def limits_with(own: OwnPressureLimit | None, practice: Limits) -> LimitsInForce:
    """The practice's limits with a clinician's two numbers in place of those that stop everything.

    For hard work the lower of practice and clinician counts, so the paper can narrow hard work but never widen it.
    Source: house choice: "the strict diastolic limit stops everything, until a clinician sets two numbers".
    """
    if own is None:
        return LimitsInForce(
            practice.pressure_systolic_all,
            practice.pressure_diastolic_all,
            practice.pressure_systolic_hard,
            practice.pressure_diastolic_hard,
            None,
        )
    return LimitsInForce(
        own.systolic_mmhg,
        own.diastolic_mmhg,
        min(practice.pressure_systolic_hard, own.systolic_mmhg),
        min(practice.pressure_diastolic_hard, own.diastolic_mmhg),
        own,
    )
