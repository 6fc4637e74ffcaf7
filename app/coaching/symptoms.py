"""The signs of "something felt wrong", what to do about each, and the hold each raises.

Families and advice are a house choice after exercise-test stop lists; a clinician should review them for a practice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.holds import Family, Hold, HoldKind, Stops, SymptomReport
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.coaching.weeks import day_words

LOCAL_EMERGENCY = "your local emergency number"


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign a client can choose, in plain words."""

    key: str
    words: str
    family: Family
    #: Only a clinician's clearance lifts the hold, whatever the family.
    needs_clinician: bool = False


SIGNS = (
    Sign("chest", "Pain, pressure or tightness in the chest, jaw, neck or arm", Family.A),
    Sign("breath", "Much more out of breath than the effort explains, or wheezing", Family.A),
    Sign("fainted", "Fainted, or nearly", Family.A),
    Sign("dizzy", "Dizzy, confused or unsteady", Family.A),
    Sign("heartbeat", "Heart racing, pounding, skipping or out of step", Family.A),
    Sign("pale", "Pale, blue lips, cold and clammy", Family.A),
    Sign("head", "Sudden bad headache, or seeing badly all at once", Family.A),
    Sign("one_side", "One side weak or numb, or speech slurred", Family.A),
    Sign("calf", "One calf swollen, warm or sore", Family.A),
    Sign("leg_cramp", "Cramping leg pain that made me stop", Family.A),
    Sign("nausea", "Feeling sick, and it lasts", Family.A),
    Sign("not_sure", "Something else, or I am not sure", Family.A),
    Sign(
        "fall_head",
        "A fall with a knock to the head, or a fall while on blood thinners",
        Family.B,
        needs_clinician=True,
    ),
    Sign("joint", "New pain in a joint", Family.B),
    Sign("muscle", "New pain in a muscle or tendon", Family.B),
    Sign("fall", "A fall, head not knocked, no blood thinners", Family.B),
    Sign("wanted_to_stop", "I just wanted to stop", Family.C),
    Sign("too_hard", "It was too hard", Family.C),
    Sign("briefly_sick", "Briefly sick right after, nothing else, and gone", Family.C),
    Sign("kit", "Something broke or did not work", Family.C),
)

_BY_KEY = {sign.key: sign for sign in SIGNS}

_STOP_AND_REST = "Stop now and rest, sitting or lying. Do not be alone."
_DOCTOR = (
    "Do not train again until a doctor has seen you and said so in writing. "
    "Your coach cannot clear this; a clinician can."
)
_INJURY = (
    "Stop using what hurts. No hard work until you have spoken with your coach. "
    "See a doctor if it swells, gives way, or is no better in a few days."
)
_INJURY_NO_TRAINING = _INJURY.replace("No hard work until", "No training at all, not even easy, until")
# What is left to do depends on everything in force, so it stands beside this and not in it.
_STOPPED = "You did right to stop. No hard work until you and your coach have spoken."
_TELL = "Tell your coach in person or by phone."
#: Why an injury pauses everything, and what to do about it.
WAY_LEFT_OPEN = (
    "This pauses all training because you did not say which way of moving it was. Tell your coach which it was, in "
    "person or by phone: your coach decides what may go on."
)
NOT_READ_AT_ONCE = "Your coach may not see this before their next morning. Do not wait for an answer here."


def sign_of(key: str) -> Sign:
    """The sign with a key.

    Raises: DomainError for a sign that is not on the list.
    """
    sign = _BY_KEY.get(key)
    if sign is None:
        raise DomainError("choose what felt wrong from the list")
    return sign


def emergency_text(emergency_number: str | None = None) -> str:
    """When to call, and whom."""
    number = (emergency_number or "").strip() or LOCAL_EMERGENCY
    return (
        f"Call {number} now if it does not settle within a few minutes of rest, if you fainted, if one side is weak, "
        "if speech is slurred, or if you cannot get your breath."
    )


def advice(sign: Sign, emergency_number: str | None = None, *, is_all_paused: bool = False) -> tuple[str, ...]:
    """What the client is told at once, one sentence group a line; the last line is always the same.

    is_all_paused: all training is paused, so that nobody reads beside it that only hard work is.
    """
    if sign.family is Family.A or sign.needs_clinician:
        emergency = (emergency_text(emergency_number),)
        return (_STOP_AND_REST, *emergency, _DOCTOR, _TELL, NOT_READ_AT_ONCE)
    if sign.family is Family.B:
        return (_INJURY_NO_TRAINING if is_all_paused else _INJURY, _TELL, NOT_READ_AT_ONCE)
    return (_STOPPED, _TELL, NOT_READ_AT_ONCE)


def leaves_the_way_open(hold: Hold) -> bool:
    """Whether an injury stops everything only because nobody said which way of moving it was."""
    return hold.kind is HoldKind.INJURY and hold.stops is Stops.ALL and hold.mode is None and hold.lifted_at is None


def way_words(report: SymptomReport, zone: str) -> str | None:
    """When a report was entered and when it came, as local times; None where a reader need not tell them apart."""
    if report.received_at is None or not report.is_late:
        return None
    words = f"Entered on the phone {_moment(report.entered_at, zone)}; it came {_moment(report.received_at, zone)}."
    if not report.is_out_of_date:
        return words
    return f"{words} Over 30 days lie between: the phone's clock may be wrong, so ask when it was."


def _moment(instant: datetime, zone: str) -> str:
    local = instant.astimezone(ZoneInfo(zone))
    return f"{day_words(local.date())}, {local:%H:%M}"


def open_hold_of(sign: Sign, holds: Sequence[Hold]) -> Hold | None:
    """The open hold another report of the same reason is added to; None where each report raises its own.

    Only of signs that are nothing worse: of the others a later day asks for later evidence.
    """
    if sign.family is not Family.C:
        return None
    return next(
        (
            one
            for one in holds
            if one.lifted_at is None and one.kind is HoldKind.STOPPED_EARLY and one.cause == sign.words
        ),
        None,
    )


def hold_for(sign: Sign, mode: Mode | None) -> tuple[HoldKind, Stops, Mode | None]:
    """The hold a sign raises. An injury without a known mode stops everything."""
    if sign.family is Family.A or sign.needs_clinician:
        return HoldKind.SYMPTOM, Stops.ALL, None
    if sign.family is Family.C:
        return HoldKind.STOPPED_EARLY, Stops.HARD, None
    return (HoldKind.INJURY, Stops.MODE_AND_HARD, mode) if mode else (HoldKind.INJURY, Stops.ALL, None)
