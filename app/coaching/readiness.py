"""Readiness notes: how the client is, in four items where high is worse, and a mood apart."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.people import Origin


class Illness(StrEnum):
    """What the client says about being ill; fever rules come on top of days off."""

    NONE = "none"
    ABOVE_NECK = "above_neck"
    FEVER_OR_BELOW = "fever_or_below"


@dataclass(frozen=True, slots=True)
class ReadinessNote:
    """One note. Sleep, fatigue, stress and soreness run 1-7 and high is worse; mood runs 1-5, high is better."""

    id: int
    client_id: int
    noted_on: date
    sleep: int | None
    fatigue: int | None
    stress: int | None
    soreness: int | None
    mood: int | None
    slept_h: float | None
    resting_heart_rate_bpm: int | None
    ln_rmssd: float | None
    illness: Illness
    medicine_changed: bool
    not_right_today: bool
    text: str | None
    origin: Origin
    entered_at: datetime
    person_id: int
