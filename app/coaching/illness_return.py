"""The way back after fever or illness, from the day a hold was lifted: half, then usual, then hard (house choice)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.hold_rules import WELL_DAYS_BEFORE_HARD, Answer, MayTrain
from app.coaching.holds import ComputedStop, Hold, HoldKind, IllnessReturn, Stops
from app.coaching.people import Client, age_on
from app.coaching.questions import named_medicines
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.return_steps import COLD_AT_MOST
from app.coaching.screening import ScreeningAnswers, YesNo
from app.coaching.unsent_answers import UnsentAnswer, named_diseases, named_unsent
from app.coaching.weeks import day_words

#: Half the usual minutes for as many days as were lost, and never longer than this (house choice).
HALF_DAYS_MOST = 14
#: From this age on more than mild illness asks for medical advice first (a return table draws the line there).
ADVICE_FROM_YEARS = 65
#: Medicine groups that speak of heart or vessels.
_HEART_MEDICINES = frozenset({"beta_blocker", "rhythm", "device_or_rhythm", "pressure", "nitrates", "blood_thinner"})
FEVER_CAUSE = "Fever, or signs in the chest, the stomach or the whole body"
ABOVE_NECK_CAUSE = "Ill above the neck only"
#: Ends the cause of what is left of a pause of everything once easy work is back.
HARD_STILL_WAITS = " (hard work waits until seven days well)"
NEW_SIGNS = "New dizziness, chest pain, breathlessness or a racing heart: stop and see a doctor."


@dataclass(frozen=True, slots=True)
class ReturnPath:
    """The dated steps back."""

    half_from: date
    half_until: date
    hard_from: date

    def is_over(self, today: date) -> bool:
        """Whether everything is as usual again."""
        return today >= self.hard_from


def illness_pause(illness: Illness | None, open_holds: Sequence[Hold]) -> tuple[HoldKind, Stops, str] | None:
    """The pause an illness asks for, its kind, what it stops and its cause; None when one as wide stands already."""
    standing = {one.stops for one in open_holds if one.kind is HoldKind.ILLNESS}
    if illness is Illness.FEVER_OR_BELOW and Stops.ALL not in standing:
        return HoldKind.ILLNESS, Stops.ALL, FEVER_CAUSE
    if illness is Illness.ABOVE_NECK and not standing:
        return HoldKind.ILLNESS, Stops.HARD, ABOVE_NECK_CAUSE
    return None


def is_cold(hold: Hold) -> bool:
    """Whether a hold is an illness that stopped hard work from the start: above the neck, no fever."""
    is_open = hold.kind is HoldKind.ILLNESS and hold.lifted_at is None
    return is_open and hold.stops is Stops.HARD and not hold.cause.endswith(HARD_STILL_WAITS)


def has_cold(holds: Sequence[Hold]) -> bool:
    """Whether a cold stands: what is left is short, easy and alone."""
    return any(is_cold(one) for one in holds)


def within_a_cold(may: MayTrain, holds: Sequence[Hold]) -> MayTrain:
    """The same, with what a cold leaves in place of a session's own easy version: that one says nothing of it."""
    return replace(may, instead=COLD_AT_MOST) if may.answer is Answer.EASY_ONLY and has_cold(holds) else may


def last_ill_on(hold: Hold, notes: Sequence[ReadinessNote]) -> date:
    """The newest day of an illness: the day its hold began, or that of a later note that says ill again or still."""
    later = [one.noted_on for one in notes if one.illness is not Illness.NONE and one.noted_on > hold.began_on]
    return max(later, default=hold.began_on)


def days_lost(began_on: date, lifted_on: date) -> int:
    """Days without training, the day it began to the day before the lift; at least one."""
    return max(1, (lifted_on - began_on).days)


def path_of(known: IllnessReturn) -> ReturnPath:
    """Half the minutes for as many days as were lost (at most 14), then the usual easy ones, then hard work.

    Hard work comes after the half, and not before seven days free of fever and symptoms.
    Source: house choice.
    """
    half_until = known.lifted_on + timedelta(days=min(known.days_lost, HALF_DAYS_MOST) - 1)
    well = known.well_since_on + timedelta(days=WELL_DAYS_BEFORE_HARD)
    return ReturnPath(known.lifted_on, half_until, max(well, half_until + timedelta(days=1)))


def path_back(returns: Sequence[IllnessReturn], today: date) -> ReturnPath | None:
    """The steps that still count today, the longest of several; None when nobody is on the way back."""
    paths = [path_of(one) for one in returns if one.lifted_on <= today]
    walking = [one for one in paths if not one.is_over(today)]
    return max(walking, key=lambda one: (one.hard_from, one.half_until), default=None)


def return_stop(returns: Sequence[IllnessReturn], today: date) -> ComputedStop | None:
    """Hard work waits until the way back is walked.

    Source: house choice.
    """
    path = path_back(returns, today)
    if path is None:
        return None
    half = f"half the usual minutes until {day_words(path.half_until)}, " if today <= path.half_until else ""
    return ComputedStop(
        Stops.HARD, f"On the way back after illness: {half}easy only. Hard work from {day_words(path.hard_from)} on."
    )


def return_lines(returns: Sequence[IllnessReturn], today: date) -> tuple[str, ...]:
    """The steps with their dates, those that are over left out."""
    path = path_back(returns, today)
    if path is None:
        return ()
    half = (f"Until {day_words(path.half_until)}: half your usual minutes, easy enough to chat.",)
    usual = path.half_until + timedelta(days=1)
    gap = (f"From {day_words(usual)}: your usual minutes, easy.",) if usual < path.hard_from else ()
    hard = f"Hard work not before {day_words(path.hard_from)}."
    return (*(half if today <= path.half_until else ()), *gap, hard, NEW_SIGNS)


def advice_asked_because(
    client: Client, answers: ScreeningAnswers | None, today: date, *, unsent: Sequence[UnsentAnswer] = ()
) -> str | None:
    """Why medical advice comes before the way back from more than mild illness; None when it is not asked.

    An age or an answer that is not known counts as a reason, and so does a sign or a disease named in an answer that
    is not sent yet.
    Source: house choice after a return table of 2021 (published, read), whose day counts are dated and not used.
    """
    age = age_on(client.born_on, today)
    if age is None:
        return "the age is not known"
    if age >= ADVICE_FROM_YEARS:
        return f"aged {age}"
    if named_unsent(unsent):
        return "a sign for a doctor named in an answer that is not sent yet"
    if named_diseases(unsent):
        return "a disease named in an answer that is not sent yet"
    if answers is None or answers.disease is YesNo.UNKNOWN:
        return "nobody asked yet about heart and vessels"
    takes_one = answers.heart_rate_medicine is YesNo.YES or bool(_HEART_MEDICINES & named_medicines(answers))
    is_at_risk = answers.disease is YesNo.YES or takes_one
    return "a disease or a medicine that speaks of heart or vessels" if is_at_risk else None
