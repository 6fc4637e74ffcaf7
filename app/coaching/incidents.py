"""Incidents: what happened to a client while training, and what was done. A record is added to, never changed."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.coaching.holds import Family
from app.coaching.symptoms import sign_of
from app.coaching.weeks import local_day

#: An open incident nobody wrote a word about for so long wants the coach's eye (house choice).
FOLLOW_UP_DAYS = 7


class IncidentWord(StrEnum):
    """What an added entry does."""

    FOLLOW_UP = "follow_up"
    CORRECTION = "correction"
    CLOSED = "closed"
    REOPENED = "reopened"


INCIDENT_WORDS = {
    IncidentWord.FOLLOW_UP: "Follow-up",
    IncidentWord.CORRECTION: "Correction; what stood before stays",
    IncidentWord.CLOSED: "Closed",
    IncidentWord.REOPENED: "Opened again",
}
#: Words that only a coach who decides for the client may add.
DECIDING_WORDS = frozenset({IncidentWord.CLOSED})


class HeadKnock(StrEnum):
    """Whether there was a fall, and a knock to the head; not sure counts as yes."""

    NO_FALL = "no_fall"
    NO = "no"
    YES = "yes"


#: A fall, and a fall with a knock to the head or on blood thinners, as signs of "something felt wrong".
FALL, FALL_HEAD = "fall", "fall_head"
_FALL_WORDS = re.compile(
    r"\b(fall(s|ing|en)?|fell|slip(s|ped)?|trip(s|ped)?|crash(es|ed)?|tumbled?|stumbled?|collided?|collision"
    r"|thrown|went over|came off|landed)\b",
    re.IGNORECASE,
)
_HEAD_WORDS = re.compile(
    r"\b(heads?|helmet|skull|face|forehead|temple|concuss\w*|knocked out|blacked out)\b", re.IGNORECASE
)


def asks_about_head(told: Sequence[str], sign: str | None) -> bool:
    """Whether the words of an incident speak of a fall or of the head, so that a knock to it has to be asked about.

    sign: the sign chosen, None for none. A sign that stops all training until a clinician has cleared it needs no
    further question; "head not knocked" answers for a fall where the words say nothing of the head.
    Source: house choice.
    """
    if _is_for_a_clinician(sign):
        return False
    words = " ".join(told)
    return bool(_HEAD_WORDS.search(words) or (sign != FALL and _FALL_WORDS.search(words)))


def sign_with_fall(sign: str | None, head: HeadKnock | None, *, takes_blood_thinners: bool) -> str | None:
    """The sign whose hold an incident raises: a knock to the head, or any fall on blood thinners, is for a clinician.

    Any other fall pauses as an injury does, whatever was chosen beside it. Never a gentler one than was chosen.
    Source: house choice.
    """
    is_fall = sign == FALL or head in (HeadKnock.NO, HeadKnock.YES)
    is_serious = head is HeadKnock.YES or (is_fall and takes_blood_thinners)
    if is_serious:
        return sign if _is_for_a_clinician(sign) else FALL_HEAD
    return FALL if is_fall and not _is_of_the_body(sign) else sign


def _is_of_the_body(sign: str | None) -> bool:
    return sign is not None and sign_of(sign).family is not Family.C


def _is_for_a_clinician(sign: str | None) -> bool:
    found = sign_of(sign) if sign else None
    return found is not None and (found.family is Family.A or found.needs_clinician)


@dataclass(frozen=True, slots=True)
class IncidentEntry:
    """One entry added to an incident."""

    id: int
    client_id: int
    incident_id: int
    word: IncidentWord
    text: str
    added_at: datetime
    person_id: int


@dataclass(frozen=True, slots=True)
class Incident:
    """One incident as it was first written down, with everything added since, oldest first."""

    id: int
    client_id: int
    happened_on: date
    #: The time of day in the words of whoever was there ("about 18:40").
    about_when: str
    activity: str
    place: str
    symptoms: str
    action_taken: str
    outcome: str
    hold_id: int | None
    recorded_at: datetime
    person_id: int
    entries: tuple[IncidentEntry, ...] = ()

    @property
    def is_open(self) -> bool:
        """Whether nobody has closed it, or it was opened again since."""
        turns = [one.word for one in self.entries if one.word in (IncidentWord.CLOSED, IncidentWord.REOPENED)]
        return not turns or turns[-1] is IncidentWord.REOPENED

    @property
    def last_word_at(self) -> datetime:
        """When the last entry was added, else when it was recorded."""
        return self.entries[-1].added_at if self.entries else self.recorded_at


def days_without_word(incident: Incident, today: date, zone: str) -> int:
    """Days since anybody wrote about it."""
    return max(0, (today - local_day(incident.last_word_at, zone)).days)


def waits_for_word(incident: Incident, today: date, zone: str) -> bool:
    """Whether an open incident went without a follow-up for seven days.

    Source: house choice.
    """
    return incident.is_open and days_without_word(incident, today, zone) >= FOLLOW_UP_DAYS


def entry_fault(incident: Incident, word: IncidentWord) -> str | None:
    """Why an entry of that kind does not fit now; None when it does."""
    if word is IncidentWord.CLOSED and not incident.is_open:
        return "This incident is closed already."
    if word is IncidentWord.REOPENED and incident.is_open:
        return "This incident is open."
    return None


def longest_waiting(incidents: tuple[Incident, ...], today: date, zone: str) -> Incident | None:
    """The open incident that waited longest for a word beyond the limit; None when none did."""
    waiting = [one for one in incidents if waits_for_word(one, today, zone)]
    return min(waiting, key=lambda one: (one.last_word_at, one.id), default=None)


#: Nothing may be recorded further back than this; older papers belong to the note.
LONGEST_BACK = timedelta(days=366)
