"""The intake as a client meets it: one question a screen, which are asked, and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
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
    Question,
    Reply,
    asked_of,
)
from app.coaching.screening import Consent, ConsentKind

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
    MEDICINE = "medicine"
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
    #: Stands above the text and belongs to the question.
    lead: str | None = None
    consent: ConsentKind | None = None


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


def intake_questions(
    client: Client, *, is_first_time: bool, consents: Sequence[Consent]
) -> tuple[IntakeQuestion, ...]:
    """Every screen one client meets, in order: pregnancy where it can apply, consents while not in force."""
    asked = {one.key: one for one in asked_of(client, is_first_time=is_first_time)}
    missing = missing_consents(consents, ASKED_AT_INTAKE)
    last = [asked[PREGNANCY_QUESTION.key]] if PREGNANCY_QUESTION.key in asked else []
    return (
        *(_reply(asked[key]) for key in _IN_THIS_ORDER if key in asked),
        *(_medicine(group.key, group.text) for group in MEDICINE_GROUPS),
        *(_reply(one) for one in last),
        PRESSURE,
        CONTACT,
        *(_consent(kind) for kind in missing),
    )


def _reply(one: Question) -> IntakeQuestion:
    return IntakeQuestion(one.key, _SECTION_OF[one.key], Sort.REPLY, one.text, _HINTS.get(one.key))


def _medicine(key: str, text: str) -> IntakeQuestion:
    hint = "The packet or your doctor's list names it. Not sure is a good answer."
    lead = "Do you take or have any of these?"
    return IntakeQuestion(key, "Medicines and devices", Sort.MEDICINE, text, hint, lead)


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
