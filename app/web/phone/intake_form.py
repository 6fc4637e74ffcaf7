"""Reading one screen of the intake: the answer as it waits, or the sentence beside the field."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from enum import StrEnum

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.intake import OLDEST_READING_DAYS, Answer, IntakeQuestion, Sort
from app.coaching.people import Client
from app.coaching.questions import Reply
from app.usecases.safety_file import DIASTOLIC_MMHG, HEART_RATE_BPM, SYSTOLIC_MMHG
from app.web.forms import Fields

REPLY_OPTIONS = ((Reply.YES.value, "Yes"), (Reply.NO.value, "No"), (Reply.NOT_SURE.value, "Not sure"))
ANY_MEDICINE_OPTIONS = ((Reply.NO.value, "No, none"), (Reply.YES.value, "Yes"), (Reply.NOT_SURE.value, "Not sure"))
#: Beside the medicines that are ticked: nothing of the list, or a doubt about the rest of it.
NONE, NOT_SURE = "none", "not_sure"
TICK_OPTIONS = ((NONE, "None of these"), (NOT_SURE, "Not sure about one of these"))
TICK_SOMETHING = "Tick what you take, or “None of these”, or “Not sure”."
TICKED_BOTH = "You ticked “None of these” and something else. Please leave only what is right."
KNOWN_OPTIONS = (("yes", "Yes, I have a reading"), ("no", "No, I do not know it"))
AGREED_OPTIONS = (("yes", "I have read this and agree"), ("not_yet", "Not yet, I want to ask first"))
TOO_OLD = "This reading is older than a year. Choose “I do not know it” and have it measured again."
SWAPPED = "The upper number is the higher one. Perhaps they were swapped?"


class Known(StrEnum):
    """Whether a reading is at hand."""

    YES = "yes"
    NO = "no"


class Agreed(StrEnum):
    """Agreed to a text, or not yet."""

    YES = "yes"
    NOT_YET = "not_yet"


def read_answer(fields: Fields, question: IntakeQuestion, today: date) -> Answer | None:
    """The answer as it waits to be sent; None when the screen has to be looked at again."""
    answer = _READERS[question.sort](fields, question, today)
    return None if fields.errors else answer


def initial_answer(question: IntakeQuestion, answer: Answer | None, client: Client) -> dict[str, object]:
    """What the screen shows at first: the waiting answer, else the contact as known. Health is asked afresh."""
    if answer is not None:
        return _as_ticked(answer) if question.sort is Sort.MEDICINES else dict(answer)
    if question.sort is Sort.CONTACT:
        return {"emergency_contact": client.emergency_contact, "emergency_phone": client.emergency_phone}
    return {}


def _reply(fields: Fields, _question: IntakeQuestion, _today: date) -> Answer:
    return {"reply": (fields.choice("reply", Reply) or Reply.NOT_SURE).value}


def _ticked(fields: Fields, question: IntakeQuestion, _today: date) -> Answer:
    """Each group of the screen: ticked is yes; the rest is no, or not sure where there is a doubt."""
    ticked = [group.key for group in question.groups if fields.yes(group.key)]
    is_none, is_doubt = fields.yes(NONE), fields.yes(NOT_SURE)
    if not (ticked or is_none or is_doubt):
        fields.refuse(question.groups[0].key, TICK_SOMETHING)
    if is_none and (ticked or is_doubt):
        fields.refuse(question.groups[0].key, TICKED_BOTH)
    rest = Reply.NOT_SURE if is_doubt else Reply.NO
    return {group.key: (Reply.YES if group.key in ticked else rest).value for group in question.groups}


def _as_ticked(answer: Answer) -> dict[str, object]:
    """The boxes of a screen as they were ticked."""
    said = set(answer.values())
    boxes: dict[str, object] = {NONE: said == {Reply.NO.value}, NOT_SURE: Reply.NOT_SURE.value in said}
    return boxes | {key: value == Reply.YES.value for key, value in answer.items()}


def _pressure(fields: Fields, _question: IntakeQuestion, today: date) -> Answer:
    if fields.choice("known", Known) is not Known.YES:
        return {"known": Known.NO.value}
    high = fields.whole("systolic_mmhg", lowest=SYSTOLIC_MMHG[0], highest=SYSTOLIC_MMHG[1], unit="mmHg")
    low = fields.whole("diastolic_mmhg", lowest=DIASTOLIC_MMHG[0], highest=DIASTOLIC_MMHG[1], unit="mmHg")
    rate = fields.whole(
        "resting_heart_rate_bpm", lowest=HEART_RATE_BPM[0], highest=HEART_RATE_BPM[1], required=False, unit="a minute"
    )
    oldest = today - timedelta(days=OLDEST_READING_DAYS)
    on = fields.day("measured_on", earliest=oldest, latest=today, too_early=TOO_OLD)
    if high is not None and low is not None and low >= high:
        fields.refuse("systolic_mmhg", SWAPPED)
    said = {
        "known": Known.YES.value,
        "systolic_mmhg": high,
        "diastolic_mmhg": low,
        "resting_heart_rate_bpm": rate,
        "measured_on": on,
    }
    return {name: str(value) for name, value in said.items() if value is not None}


def _contact(fields: Fields, _question: IntakeQuestion, _today: date) -> Answer:
    name = fields.text("emergency_contact")
    phone = fields.phone("emergency_phone", most=60)
    return {"emergency_contact": name or "", "emergency_phone": phone or ""}


def _consent(fields: Fields, question: IntakeQuestion, _today: date) -> Answer:
    agreed = fields.choice("agreed", Agreed)
    version = fields.text("text_version")
    if question.consent is None or version is None:
        fields.refuse("agreed", "Open this page again: it was not clear which text was meant.")
    return {"agreed": (agreed or Agreed.NOT_YET).value, "text_version": version or ""}


_READERS: dict[Sort, Callable[[Fields, IntakeQuestion, date], Answer]] = {
    Sort.REPLY: _reply,
    Sort.MEDICINE: _reply,
    Sort.ANY_MEDICINE: _reply,
    Sort.MEDICINES: _ticked,
    Sort.PRESSURE: _pressure,
    Sort.CONTACT: _contact,
    Sort.CONSENT: _consent,
}


def answer_words(question: IntakeQuestion, answer: Answer) -> str:
    """An answer as the last look-over shows it."""
    if question.sort is Sort.CONTACT:
        return f"{answer['emergency_contact']}, {answer['emergency_phone']}"
    if question.sort is Sort.CONSENT:
        return dict(AGREED_OPTIONS)[answer["agreed"]]
    if question.sort is Sort.PRESSURE:
        return _pressure_words(answer)
    if question.sort is Sort.MEDICINES:
        return _ticked_words(question, answer)
    return dict(options_of(question))[answer["reply"]]


def options_of(question: IntakeQuestion) -> tuple[tuple[str, str], ...]:
    """The answers a question with one answer offers."""
    return ANY_MEDICINE_OPTIONS if question.sort is Sort.ANY_MEDICINE else REPLY_OPTIONS


def _ticked_words(question: IntakeQuestion, answer: Answer) -> str:
    taken = [group.asked for group in question.groups if answer.get(group.key) == Reply.YES.value]
    doubt = ["not sure about the rest" if taken else "Not sure"] if Reply.NOT_SURE.value in answer.values() else []
    return "; ".join((*taken, *doubt)) or "None of these"


def _pressure_words(answer: Answer) -> str:
    if answer["known"] == Known.NO.value:
        return "Not known"
    rate = answer.get("resting_heart_rate_bpm")
    beats = f", heart rate {rate}" if rate else ""
    on = date.fromisoformat(answer["measured_on"])
    return f"{answer['systolic_mmhg']} over {answer['diastolic_mmhg']}{beats}, on {on:%-d %B %Y}"


def text_version(question: IntakeQuestion) -> str | None:
    """The version of the text on the screen; None where there is none."""
    return CONSENT_TEXTS[question.consent].version if question.consent is not None else None
