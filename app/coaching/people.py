"""The client, the client's real week, and the small records around a person: goals, leave, contacts, notes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.physiology.values import Sex as Sex  # noqa: PLC0414 - records and equations share it; mypy wants it said


class ClientState(StrEnum):
    """Where a person stands with the practice."""

    ASKED = "asked"
    INTAKE = "intake"
    WAITING_FOR_CLEARANCE = "waiting_for_clearance"
    ACTIVE = "active"
    PAUSED = "paused"
    LEFT = "left"


class Mode(StrEnum):
    """What the client moves by."""

    WALK = "walk"
    RUN = "run"
    RIDE = "ride"
    INDOOR_RIDE = "indoor_ride"
    ROW = "row"
    SWIM = "swim"
    TREADMILL = "treadmill"
    CROSS_TRAIN = "cross_train"
    STRENGTH = "strength"
    OTHER = "other"


class Origin(StrEnum):
    """Where a record comes from; every number knows it."""

    CLIENT = "client"
    TOLD_BY_PHONE = "told_by_phone"
    FROM_PAPER = "from_paper"
    FILE = "file"
    COACH = "coach"
    CLINIC = "clinic"
    COMPUTED = "computed"


ORIGIN_WORDS = {
    Origin.CLIENT: "typed by the client",
    Origin.TOLD_BY_PHONE: "told by phone",
    Origin.FROM_PAPER: "from paper",
    Origin.FILE: "brought in from a file",
    Origin.COACH: "measured by the coach",
    Origin.CLINIC: "measured at a clinic",
    Origin.COMPUTED: "computed",
}
#: What is entered with the client at hand was seen or told there, not measured.
ENTRY_ORIGIN_WORDS = ORIGIN_WORDS | {Origin.COACH: "with the coach present"}


class HeartRateUse(StrEnum):
    """Whether heart rate may be used to steer this client."""

    UNKNOWN = "unknown"
    RELIABLE = "reliable"
    NOT_RELIABLE = "not_reliable"


@dataclass(frozen=True, slots=True)
class Client:
    """One person on the roster."""

    id: int
    name: str
    email: str | None
    phone: str | None
    born_on: date | None
    sex: Sex | None
    zone: str
    state: ClientState
    coach_id: int
    has_phone: bool
    #: Held base weeks asked of this client before the first hard session; None: the practice's default.
    base_weeks_asked: int | None
    #: The coach confirmed that the client was regularly active at intake (no transition needed).
    regularly_active_confirmed_on: date | None
    heart_rate_use: HeartRateUse
    heart_rate_source: str | None
    #: How the client is steered when heart rate is not reliable, in the coach's words.
    effort_plan: str | None
    emergency_contact: str | None
    emergency_phone: str | None
    emergency_confirmed_on: date | None
    joined_on: date
    #: Counts up with every change of this record; a stale edit is refused with the difference.
    revision: int


@dataclass(frozen=True, slots=True)
class AvailableDay:
    """One day of the client's real week: the longest slot in minutes, the place and the kit."""

    client_id: int
    weekday: int  # 0 is Monday
    minutes: int
    place: str | None
    kit: str | None


@dataclass(frozen=True, slots=True)
class Goal:
    """What the client wants, why, and how sure the client is of reaching it (0-10)."""

    id: int
    client_id: int
    text: str
    why: str | None
    confidence: int | None
    due_on: date | None
    agreed_on: date
    closed_on: date | None


@dataclass(frozen=True, slots=True)
class Leave:
    """Agreed time off: travel, family, holidays. Days on leave are neither missed nor quiet."""

    id: int
    client_id: int
    from_on: date
    until_on: date  # the last day off
    reason: str


class ContactKind(StrEnum):
    """How coach and client met."""

    CALL = "call"
    VISIT = "visit"
    MESSAGE = "message"


@dataclass(frozen=True, slots=True)
class Contact:
    """A human contact; the contact interval counts from the last one."""

    id: int
    client_id: int
    contact_on: date
    kind: ContactKind
    text: str
    person_id: int


class Visibility(StrEnum):
    """Who may read a note; private is the default."""

    PRIVATE = "private"
    CLIENT = "client"
    CLINIC = "clinic"


@dataclass(frozen=True, slots=True)
class Note:
    """A note about a client. One with visibility `client` is shown on the client's Today."""

    id: int
    client_id: int
    written_at: datetime
    person_id: int
    text: str
    visibility: Visibility
    read_at: datetime | None


def age_on(born_on: date | None, day: date) -> int | None:
    """Whole years of age on a day; None when the birth date is unknown."""
    if born_on is None:
        return None
    had_birthday = (day.month, day.day) >= (born_on.month, born_on.day)
    return day.year - born_on.year - (0 if had_birthday else 1)
