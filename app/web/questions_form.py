"""The screening questions as a form, the same on the phone and on the coach's side."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.questions import (
    ACTIVITY_QUESTION,
    BEFORE_YOU_ANSWER,
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    SYMPTOM_QUESTIONS,
    MedicineGroup,
    Question,
    Reply,
)
from app.coaching.symptoms import NOT_READ_AT_ONCE, emergency_text
from app.usecases.questions import QuestionsEntry, QuestionsPage
from app.web.forms import Fields

NO_TRAINING_MEANWHILE = (
    "Your answers are not kept yet: look at the marked questions below and send them again. "
    "You named a sign that a doctor should know of: do not train until this is settled."
)
REPLIES = ((Reply.YES, "Yes"), (Reply.NO, "No"), (Reply.NOT_SURE, "Not sure"))


@dataclass(frozen=True, slots=True)
class QuestionsForm:
    """What the template needs beside the typed values."""

    action: str
    page: QuestionsPage
    is_by_coach: bool
    back: str | None = None

    @property
    def groups(self) -> tuple[tuple[str, tuple[Question, ...]], ...]:
        """The questions under their headings."""
        others = (*SYMPTOM_QUESTIONS, ACTIVITY_QUESTION, *DISEASE_QUESTIONS)
        more = tuple(one for one in self.page.asked if one not in others)
        return (
            ("How you have felt lately", SYMPTOM_QUESTIONS),
            ("What you do now", (ACTIVITY_QUESTION,)),
            ("What a doctor has found", DISEASE_QUESTIONS),
            *((("And", more),) if more else ()),
        )

    @property
    def medicines(self) -> tuple[MedicineGroup, ...]:
        """The medicine groups asked about."""
        return MEDICINE_GROUPS

    @property
    def replies(self) -> tuple[tuple[Reply, str], ...]:
        """The three answers."""
        return REPLIES

    @property
    def intro(self) -> str:
        """What the answers are for."""
        return BEFORE_YOU_ANSWER

    @property
    def today(self) -> date:
        """The client's local day."""
        return self.page.today

    @property
    def initial(self) -> dict[str, object]:
        """The contact as known. Answers are never filled in from the last time: each is asked afresh."""
        client = self.page.client
        return {
            "emergency_contact": client.emergency_contact,
            "emergency_phone": client.emergency_phone,
            "answered_on": self.page.today,
        }


def symptom_advice_meanwhile(fields: Fields, emergency_number: str | None) -> tuple[str, ...]:
    """What a ticked symptom asks for while the answers are not kept yet; nothing without one."""
    said = {fields.value(f"q_{one.key}") for one in SYMPTOM_QUESTIONS}
    if not fields.errors or not said & {Reply.YES.value, Reply.NOT_SURE.value}:
        return ()
    return (NO_TRAINING_MEANWHILE, emergency_text(emergency_number), NOT_READ_AT_ONCE)


def read_answers(fields: Fields, form: QuestionsForm) -> QuestionsEntry | None:
    """The answers as given; None when one is missing."""
    replies = {one.key: fields.choice(f"q_{one.key}", Reply) for one in form.page.asked}
    replies |= {one.key: fields.choice(f"q_{one.key}", Reply, required=False) for one in form.page.more}
    medicines = {group.key: fields.choice(f"m_{group.key}", Reply) for group in MEDICINE_GROUPS}
    contact = fields.text("emergency_contact")
    phone = fields.phone("emergency_phone", most=60)
    answered_on = fields.day("answered_on", latest=form.today) if form.is_by_coach else form.today
    if fields.errors or contact is None or phone is None:
        return None
    return QuestionsEntry(
        replies={key: reply for key, reply in replies.items() if reply is not None},
        medicines={key: reply for key, reply in medicines.items() if reply is not None},
        emergency_contact=contact,
        emergency_phone=phone,
        answered_on=answered_on,
    )
