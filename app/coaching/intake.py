"""The intake as a client meets it: one question a screen, which are asked, and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.coaching.consents import CONSENT_TEXTS, missing_consents
from app.coaching.people import Client
from app.coaching.questions import (
    ACTIVITY_QUESTION,
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    NEWS_QUESTION,
    PREGNANCY_QUESTION,
    SYMPTOM_QUESTIONS,
    MedicineGroup,
    Question,
    Reply,
    asked_of,
    may_be_said,
)
from app.coaching.screening import Consent, ConsentKind, ScreeningAnswers

#: An answer that was not sent for longer than this is asked again: symptoms and medicines change (house choice).
ANSWER_KEEPS_DAYS = 14
#: A reading older than this says too little about today (house choice).
OLDEST_READING_DAYS = 365
#: Agreed to at the start. Consent to hard work is asked for later, when it comes near.
ASKED_AT_INTAKE = (ConsentKind.COACHING, ConsentKind.HEALTH_DATA)

#: One question's answer as it waits to be sent: the form's fields by name.
Answer = Mapping[str, str]


class Sort(StrEnum):
    """What kind of answer a screen takes."""

    REPLY = "reply"
    #: A medicine or device that is asked about whatever else is taken.
    MEDICINE = "medicine"
    #: Whether any medicine is taken at all.
    ANY_MEDICINE = "any_medicine"
    #: Several groups of medicines on one screen, to be ticked.
    MEDICINES = "medicines"
    PRESSURE = "pressure"
    CONTACT = "contact"
    CONSENT = "consent"


@dataclass(frozen=True, slots=True)
class IntakeQuestion:
    """One screen of the intake. Its key names it in the address and in what is kept."""

    key: str
    section: str
    sort: Sort
    text: str
    hint: str | None = None
    consent: ConsentKind | None = None
    #: The medicines that are ticked here.
    groups: tuple[MedicineGroup, ...] = ()


_SECTION_OF = {
    ACTIVITY_QUESTION.key: "What you do now",
    PREGNANCY_QUESTION.key: "Pregnancy",
    NEWS_QUESTION.key: "Since the last time",
    **{one.key: "What a doctor has found" for one in DISEASE_QUESTIONS},
    **{one.key: "How you have felt lately" for one in SYMPTOM_QUESTIONS},
}
_HINTS = {
    ACTIVITY_QUESTION.key: "Brisk walks, a class, cycling: what you set out to do, not the way to the shops.",
    "heart": "For example a heart attack, a stent, a bypass, heart failure, a valve, or narrow leg arteries.",
    "diabetes": "Also when it is well treated.",
    "kidney": "Also when it is well treated.",
    "chest": "At rest, or when you exert yourself. Also when it went away again.",
    "breath": "For example sitting, dressing, or walking a few steps on the flat.",
    "dizzy": "Lately, at rest or when you exert yourself.",
    "flat": "For example, that you need more pillows than before.",
    "heartbeat": "Lately, and without a reason such as a fright.",
    "tired": "Things that were no trouble some months ago.",
}
_IN_THIS_ORDER = (
    ACTIVITY_QUESTION.key,
    NEWS_QUESTION.key,
    *(one.key for one in DISEASE_QUESTIONS),
    *(one.key for one in SYMPTOM_QUESTIONS),
)
PRESSURE = IntakeQuestion(
    "blood_pressure",
    "Blood pressure",
    Sort.PRESSURE,
    "Do you know your blood pressure?",
    "Measured sitting, after five minutes of rest. A reading from your doctor or from a cuff at home will do.",
)
CONTACT = IntakeQuestion(
    "emergency_contact", "Whom to call", Sort.CONTACT, "Whom should we call if something happens to you?"
)

_GROUPS = {group.key: group for group in MEDICINE_GROUPS}
_MEDICINES_SECTION = "Medicines and devices"
DEVICE = IntakeQuestion(
    "device_or_rhythm",
    _MEDICINES_SECTION,
    Sort.MEDICINE,
    "Do you have a pacemaker or defibrillator, a heartbeat out of step (atrial fibrillation), or a transplanted "
    "heart?",
    _GROUPS["device_or_rhythm"].examples,
)
ANY_MEDICINE = IntakeQuestion(
    "any_medicine",
    _MEDICINES_SECTION,
    Sort.ANY_MEDICINE,
    "Do you take any medicine?",
    "Tablets, injections, sprays, inhalers, patches, eye drops. Also what you take only now and then, and "
    "antibiotics or cortisone in the last weeks.",
)


def _ticked(key: str, text: str, *groups: str) -> IntakeQuestion:
    hint = "Tick all that you take. The packet or your doctor's list names the active substance."
    found = tuple(_GROUPS[group] for group in groups)
    return IntakeQuestion(f"medicines_{key}", _MEDICINES_SECTION, Sort.MEDICINES, text, hint, groups=found)


#: Every group but the device stands on one of these.
MEDICINES = (
    _ticked("heart", "Do you take any of these for the heart?", "beta_blocker", "rhythm", "nitrates"),
    _ticked("blood", "Any of these for blood pressure or the blood?", "pressure", "blood_thinner", "statin"),
    _ticked("sugar", "Any of these for sugar (diabetes)?", "insulin", "sglt2"),
    _ticked("other", "Or any of these?", "raises", "tendon"),
)


def intake_questions(
    client: Client,
    *,
    past: Sequence[ScreeningAnswers],
    consents: Sequence[Consent],
    today: date,
    answers: Mapping[str, Answer],
) -> tuple[IntakeQuestion, ...]:
    """Every screen one client meets, in order, given the answers so far.

    Pregnancy where it is asked or was said; medicines one by one only where any is taken; consents not in force.
    """
    asked = {one.key: one for one in asked_of(client, past, today)}
    said = (one for one in may_be_said(client, past, today) if one.key in answers)
    last = [*(one for one in asked.values() if one is PREGNANCY_QUESTION), *said]
    missing = missing_consents(consents, ASKED_AT_INTAKE)
    return (
        *(_reply(asked[key]) for key in _IN_THIS_ORDER if key in asked),
        DEVICE,
        ANY_MEDICINE,
        *(MEDICINES if takes_any(answers) else ()),
        *(_reply(one) for one in last),
        PRESSURE,
        CONTACT,
        *(_consent(kind) for kind in missing),
    )


def may_be_added(
    client: Client, *, past: Sequence[ScreeningAnswers], today: date, answers: Mapping[str, Answer]
) -> tuple[IntakeQuestion, ...]:
    """Screens a client is not led to and may open all the same."""
    return tuple(_reply(one) for one in may_be_said(client, past, today) if one.key not in answers)


def takes_any(answers: Mapping[str, Answer]) -> bool:
    """Whether a medicine is taken, or may be."""
    return reply_of(answers.get(ANY_MEDICINE.key)) in (Reply.YES, Reply.NOT_SURE)


def medicine_replies(answers: Mapping[str, Answer]) -> dict[str, Reply]:
    """One answer for every group of medicines: all no where none is taken; what was not said is not sure."""
    is_none = reply_of(answers.get(ANY_MEDICINE.key)) is Reply.NO
    said = {} if is_none else {key: value for one in MEDICINES for key, value in answers.get(one.key, {}).items()}
    unsaid = Reply.NO if is_none else Reply.NOT_SURE
    return {group.key: Reply(said.get(group.key, unsaid)) for group in MEDICINE_GROUPS} | {
        DEVICE.key: reply_of(answers.get(DEVICE.key)) or Reply.NOT_SURE
    }


def _reply(one: Question) -> IntakeQuestion:
    return IntakeQuestion(one.key, _SECTION_OF[one.key], Sort.REPLY, one.text, _HINTS.get(one.key))


def _consent(kind: ConsentKind) -> IntakeQuestion:
    text = CONSENT_TEXTS[kind]
    return IntakeQuestion(f"consent_{kind.value}", "What you agree to", Sort.CONSENT, text.title, consent=kind)


def is_still_good(question: IntakeQuestion, answer: Answer) -> bool:
    """Whether a waiting answer still fits its question: a consent counts for the text as it is now only."""
    if question.consent is None:
        return True
    return answer.get("text_version") == CONSENT_TEXTS[question.consent].version


def reply_of(answer: Answer | None) -> Reply | None:
    """The yes, no or not sure of an answer; None when there is none."""
    said = (answer or {}).get("reply")
    return Reply(said) if said in set(Reply) else None
