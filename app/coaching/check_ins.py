"""The weekly check-in: six short questions, once a week, what each answer asks for, and its words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.coaching.people import Origin
from app.coaching.session_logs import WhyNot

#: From this weekday on the week is asked about: Friday, so that it is not forgotten over Sunday (house choice).
ASKED_FROM_WEEKDAY = 4
#: A week can still be told until the Wednesday after it (house choice).
ASKED_UNTIL_DAYS = 9
LOWEST_CONFIDENCE, HIGHEST_CONFIDENCE = 0, 10
#: Under this confidence a plan is worth talking over (from memory, unchecked: brief action planning asks for 7).
CONFIDENT_FROM = 7


class WeekFelt(StrEnum):
    """How the week was as a whole."""

    EASIER = "easier"
    AS_USUAL = "as_usual"
    HARDER = "harder"
    TOO_MUCH = "too_much"


class FallTold(StrEnum):
    """Whether there was a fall; a knock to the head asks for a clinician."""

    NO = "no"
    YES = "yes"
    HEAD_OR_THINNERS = "head_or_thinners"


FELT_WORDS = {
    WeekFelt.EASIER: "easier than usual",
    WeekFelt.AS_USUAL: "as usual",
    WeekFelt.HARDER: "harder than usual",
    WeekFelt.TOO_MUCH: "too much",
}

BARRIER_WORDS = {
    WhyNot.NO_TIME: "no time",
    WhyNot.TIRED: "tired",
    WhyNot.ILL: "ill",
    WhyNot.SORE: "sore or in pain",
    WhyNot.WEATHER: "the weather",
    WhyNot.TRAVEL: "travel",
    WhyNot.CARING: "caring for somebody",
    WhyNot.FORGOT: "forgot",
    WhyNot.NOT_IN_THE_MOOD: "not in the mood",
    WhyNot.OTHER: "something else",
}


@dataclass(frozen=True, slots=True)
class CheckIn:
    """One week as a client told it. `week_on` is its Monday; a week is told once."""

    id: int
    client_id: int
    week_on: date
    felt: WeekFelt
    #: A class, a match, heavy work: anything hard beside the plan.
    other_hard: bool
    medicine_changed: bool
    fell: bool
    #: What got most in the way; None when nothing did.
    barrier: WhyNot | None
    #: How sure they are of next week, 0 to 10.
    confidence: int | None
    text: str | None
    origin: Origin
    entered_at: datetime
    person_id: int


def week_asked_about(today: date) -> date | None:
    """The Monday of the week that is asked about on a day; None on a Thursday, when none is.

    Friday to Sunday the running week; Monday to Wednesday the one before.
    Source: common practice, no published source.
    """
    monday = today - timedelta(days=today.weekday())
    if today.weekday() >= ASKED_FROM_WEEKDAY:
        return monday
    before = monday - timedelta(weeks=1)
    return before if (today - before).days <= ASKED_UNTIL_DAYS else None


def said_in(one: CheckIn) -> tuple[str, ...]:
    """What a check-in says, answer by answer, the ones that want a question first."""
    asks = [
        words
        for applies, words in (
            (one.medicine_changed, "a medicine changed"),
            (one.fell, "a fall"),
            (one.other_hard, "something else hard"),
        )
        if applies
    ]
    barrier = [f"in the way: {BARRIER_WORDS[one.barrier]}"] if one.barrier else []
    sure = [f"sure of next week {one.confidence} of {HIGHEST_CONFIDENCE}"] if one.confidence is not None else []
    return (*asks, f"the week was {FELT_WORDS[one.felt]}", *barrier, *sure)
