"""Tests: a value with its protocol, conditions, error and who measured it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.effort import Talk
from app.coaching.people import Mode, Origin


class Protocol(StrEnum):
    """Tests the desk knows. The standard loop is the same route at the same talk: distance and heart rate."""

    STANDARD_LOOP = "standard_loop"
    ONE_MILE_WALK = "one_mile_walk"
    SIX_MINUTE_WALK = "six_minute_walk"
    FIVE_KM = "five_km"
    TWELVE_MINUTE_RUN = "twelve_minute_run"
    LABORATORY = "laboratory"
    OTHER = "other"


PROTOCOL_WORDS = {
    Protocol.STANDARD_LOOP: "standard loop",
    Protocol.ONE_MILE_WALK: "one-mile walk",
    Protocol.SIX_MINUTE_WALK: "six-minute walk",
    Protocol.FIVE_KM: "5-km result",
    Protocol.TWELVE_MINUTE_RUN: "12-minute run",
    Protocol.LABORATORY: "laboratory test",
    Protocol.OTHER: "other test",
}


@dataclass(frozen=True, slots=True)
class FitnessTest:
    """One test result as recorded. Raw figures are kept; a derived value keeps its error and source."""

    id: int
    client_id: int
    tested_on: date
    protocol: Protocol
    mode: Mode
    distance_m: float | None
    duration_s: float | None
    heart_rate_bpm: int | None
    talk: Talk | None
    #: The result in the protocol's own terms, for example VO2max in mL/kg/min.
    value: float | None
    unit: str | None
    error: float | None
    conditions: str | None
    origin: Origin
    entered_at: datetime
    person_id: int
    #: Body as it was at the test; some published equations need it.
    weight_kg: float | None = None
    height_cm: float | None = None
