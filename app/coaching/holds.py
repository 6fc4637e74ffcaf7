"""Holds: what pauses a client's training, what each stops, and who may lift it on which evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.coaching.people import Mode, Origin

#: House choices: a report on its way for so long is shown with both its times, and its day is doubted.
LATE_FROM = timedelta(minutes=5)
DOUBTED_FROM = timedelta(days=30)


class HoldKind(StrEnum):
    """Why training is paused."""

    SYMPTOM = "symptom"
    CLEARANCE = "clearance"
    ILLNESS = "illness"
    INJURY = "injury"
    STOPPED_EARLY = "stopped_early"
    MEDICINE_CHANGE = "medicine_change"
    PREGNANCY = "pregnancy"
    HEAT = "heat"
    COACH = "coach"


class Stops(StrEnum):
    """How much a hold stops. Hard includes middle: the screening's vigorous covers both."""

    ALL = "all"
    HARD = "hard"
    MODE_AND_HARD = "mode_and_hard"


@dataclass(frozen=True, slots=True)
class ComputedStop:
    """What the records stop by themselves, without anybody raising a hold: a reading, a gap, a pregnancy."""

    stops: Stops
    #: As a coach reads it.
    sentence: str
    #: As the client reads it, where it speaks to them in other words.
    to_client: str = ""


@dataclass(frozen=True, slots=True)
class Hold:
    """One pause. Holds are closed, never deleted."""

    id: int
    client_id: int
    kind: HoldKind
    stops: Stops
    mode: Mode | None
    cause: str
    #: The local day it is about (a symptom's day); a clearance must be dated after it.
    began_on: date
    raised_at: datetime
    person_id: int
    lifted_at: datetime | None
    lifted_by: int | None
    lifted_because: str | None
    clearance_id: int | None
    #: When the client first saw it on the phone; None: not seen there.
    seen_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class IllnessReturn:
    """What was known when a hold on all training after illness was lifted."""

    id: int
    client_id: int
    hold_id: int
    well_since_on: date
    lifted_on: date
    days_lost: int
    #: Who gave medical advice first, and when; asked from 65 on or with a heart or vessel risk.
    advice_from: str | None
    advice_on: date | None
    recorded_at: datetime
    person_id: int


class Family(StrEnum):
    """The three families of "something felt wrong" (house rule; a clinician should review them for a practice)."""

    A = "a"
    B = "b"
    C = "c"


@dataclass(frozen=True, slots=True)
class SymptomReport:
    """Something felt wrong: what, when it was entered, and the hold it raised. It cannot be withdrawn."""

    id: int
    client_id: int
    sign: str
    family: Family
    felt_on: date
    entered_at: datetime
    text: str | None
    mode: Mode | None
    origin: Origin
    person_id: int
    hold_id: int
    #: When the desk got it; known of a report a phone kept and sent, however soon.
    received_at: datetime | None = None

    @property
    def is_late(self) -> bool:
        """Whether it lay on a phone long enough for its two times to differ to a reader."""
        return self._way >= LATE_FROM

    @property
    def is_out_of_date(self) -> bool:
        """Whether it says to be from so long ago that the phone's clock may be at fault."""
        return self._way > DOUBTED_FROM

    @property
    def _way(self) -> timedelta:
        return (self.received_at or self.entered_at) - self.entered_at


def words_of(hold: Hold, reports: Sequence[SymptomReport]) -> tuple[str, ...]:
    """What the client wrote in the reports that raised a hold, in the order they came."""
    return tuple(one.text for one in reports if one.hold_id == hold.id and one.text)
