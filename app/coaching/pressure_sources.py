"""What published limits for resting blood pressure say; they differ, which is why the practice's are a setting."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.reasons import Provenance


@dataclass(frozen=True, slots=True)
class PressureLimit:
    """One limit in mmHg as somebody published it, and how far we know it."""

    limit: str
    says: str
    provenance: Provenance


PUBLISHED_LIMITS = (
    PressureLimit("200 or 110 and above", "A relative reason not to do an exercise test", Provenance.PUBLISHED_READ),
    PressureLimit(
        "over 180 or over 110", "Left out of an exercise trial with many diseases", Provenance.PUBLISHED_READ
    ),
    PressureLimit("180 or 100 and above", "Do not exercise (a list for instructors, UK)", Provenance.PUBLISHED_READ),
    PressureLimit(
        "over 180 or over 100, or heart rate over 100",
        "Left out of the treadmill test of a national survey (US)",
        Provenance.PUBLISHED_READ,
    ),
    PressureLimit(
        "over 160 systolic, uncontrolled",
        "No high-intensity exercise until controlled (ESC 2020)",
        Provenance.FROM_MEMORY,
    ),
    PressureLimit("160 or 100 and above", "See a doctor before vigorous work", Provenance.FROM_MEMORY),
)
