"""Screening: the answers, clearances, consents and readings that decide what a client may safely do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.people import Origin


class YesNo(StrEnum):
    """An answer that may be missing; unknown is never taken for no."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Intensity(StrEnum):
    """The screening's two wishes. Vigorous covers middle and hard."""

    LIGHT_MODERATE = "light_moderate"
    VIGOROUS = "vigorous"


@dataclass(frozen=True, slots=True)
class ScreeningAnswers:
    """One filled-in set of questions. `details_json` holds the single answers the three sums were made from."""

    id: int
    client_id: int
    answered_on: date
    active: YesNo
    disease: YesNo
    symptoms: YesNo
    pregnant: YesNo
    #: Takes a medicine or has a rhythm that uncouples heart rate from effort.
    heart_rate_medicine: YesNo
    details_json: str
    origin: Origin
    entered_at: datetime
    person_id: int


class ClearanceState(StrEnum):
    """Where a clearance stands; expiry is worked out from dates, never stored."""

    REQUESTED = "requested"
    GRANTED = "granted"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Clearance:
    """A clinician's answer, or the request for one."""

    id: int
    client_id: int
    state: ClearanceState
    scope: Intensity | None
    requested_on: date | None
    given_on: date | None
    ends_on: date | None
    signer: str | None
    profession: str | None
    how_seen: str | None
    limits: str | None
    recorded_at: datetime
    person_id: int


class ConsentKind(StrEnum):
    """What was agreed to. Stop signs are read and ticked like a consent."""

    COACHING = "coaching"
    HEALTH_DATA = "health_data"
    INTERVAL_PHASE = "interval_phase"
    STOP_SIGNS = "stop_signs"


@dataclass(frozen=True, slots=True)
class Consent:
    """One consent with the text's version, language and hash; withdrawn, never overwritten."""

    id: int
    client_id: int
    kind: ConsentKind
    text_version: str
    text_sha256: str
    given_on: date
    method: Origin
    withdrawn_on: date | None
    language: str
    #: When it was written down here; None for those kept before the hour was.
    recorded_at: datetime | None
    #: Who saw it given; None when nobody was named.
    witness: str | None
    withdrawn_at: datetime | None


@dataclass(frozen=True, slots=True)
class BloodPressure:
    """A seated resting reading in mmHg, with the resting heart rate if taken."""

    id: int
    client_id: int
    measured_on: date
    systolic_mmhg: int
    diastolic_mmhg: int
    resting_heart_rate_bpm: int | None
    origin: Origin
    entered_at: datetime
    person_id: int
