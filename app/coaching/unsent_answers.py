"""Answers a client has given and not sent: a symptom or disease named among them counts from when it is kept."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from app.coaching.intake import reply_of
from app.coaching.questions import DISEASE_QUESTIONS, SYMPTOM_QUESTIONS, Reply
from app.coaching.weeks import local_day

#: Not sure counts as yes until it is settled, as among sent answers.
AFFIRMED = (Reply.YES, Reply.NOT_SURE)
REPLY_WORDS = {Reply.YES: "yes", Reply.NO: "no", Reply.NOT_SURE: "not sure"}
_SYMPTOMS = {one.key: one.text for one in SYMPTOM_QUESTIONS}
_DISEASES = {one.key: one.text for one in DISEASE_QUESTIONS}
_TEXTS = _SYMPTOMS | _DISEASES


@dataclass(frozen=True, slots=True)
class UnsentAnswer:
    """One answer of the intake that waits to be sent."""

    client_id: int
    question: str
    answer_json: str
    answered_at: datetime

    @property
    def reply(self) -> Reply | None:
        """Yes, no or not sure; None for another kind of answer."""
        found = json.loads(self.answer_json)
        return reply_of(found) if isinstance(found, dict) else None

    @property
    def text(self) -> str:
        """The question as it was asked."""
        return _TEXTS.get(self.question, self.question)

    @property
    def names_a_symptom(self) -> bool:
        """Whether it says yes, or not sure, to a sign a clinician should look at."""
        return self.question in _SYMPTOMS and self.reply in AFFIRMED

    @property
    def names_a_disease(self) -> bool:
        """Whether it says yes, or not sure, to a disease that the screening asks about."""
        return self.question in _DISEASES and self.reply in AFFIRMED


def counts_unsent(key: str) -> bool:
    """Whether an answer to a question counts before it is sent: signs and known diseases do."""
    return key in _TEXTS


def named_unsent(unsent: Sequence[UnsentAnswer]) -> tuple[UnsentAnswer, ...]:
    """The symptoms named in answers that are not sent yet, however old: they count until they are answered anew."""
    return tuple(one for one in unsent if one.names_a_symptom)


def named_diseases(unsent: Sequence[UnsentAnswer]) -> tuple[UnsentAnswer, ...]:
    """The diseases named in answers that are not sent yet; they too count until they are answered anew."""
    return tuple(one for one in unsent if one.names_a_disease)


def named_days(named: Sequence[UnsentAnswer], zone: str) -> list[date]:
    """The local days on which something was named in answers that are not sent yet."""
    return [local_day(one.answered_at, zone) for one in named]
