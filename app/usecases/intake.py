"""The intake before it is sent: the questions a client meets, the answers that wait, what follows from sending."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching import intake_words
from app.coaching.access import Action, Actor
from app.coaching.client_voice import stop_words
from app.coaching.consents import CONSENT_TEXTS, missing_consents, told_of_missing
from app.coaching.hold_rules import COACHS_VOICE
from app.coaching.intake import (
    ANSWER_KEEPS_DAYS,
    ASKED_AT_INTAKE,
    Answer,
    IntakeQuestion,
    intake_questions,
    is_still_good,
    may_be_added,
    reply_of,
)
from app.coaching.intake_words import Receipt
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Client
from app.coaching.questions import Reply, details_of
from app.coaching.reasons import StaleEdit
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind, ScreeningAnswers, YesNo
from app.coaching.screening_decision import newest_answers, screening_of
from app.coaching.unsent_answers import AFFIRMED, counts_unsent
from app.coaching.weeks import local_day
from app.storage import history, intake, safety
from app.storage.audit import entries_of, leave_trace
from app.usecases.gate import NotYours, open_record

WINDOW_BACK = timedelta(days=400)
WINDOW_AHEAD = timedelta(days=14)
#: What the trail calls an answer to a question about a symptom or a disease, kept before it is sent.
UNSENT = "answer not sent"


@dataclass(frozen=True, slots=True)
class Intake:
    """One client's intake as it stands."""

    client: Client
    today: date
    questions: tuple[IntakeQuestion, ...]
    #: Not asked of this client, and free to be answered.
    more: tuple[IntakeQuestion, ...]
    #: By question key; only answers that still count.
    answers: Mapping[str, Answer]
    last: ScreeningAnswers | None

    @property
    def open_questions(self) -> tuple[IntakeQuestion, ...]:
        """Those without an answer yet."""
        return tuple(one for one in self.questions if one.key not in self.answers)

    @property
    def answered(self) -> int:
        """How many have an answer."""
        return len(self.questions) - len(self.open_questions)

    def question(self, key: str) -> IntakeQuestion:
        """The question with a key. Raises: NotYours when this client is not asked it."""
        found = next((one for one in (*self.questions, *self.more) if one.key == key), None)
        if found is None:
            raise NotYours("There is no such question here.")
        return found


def load(db: Session, *, actor: Actor, client_id: int, now: datetime) -> Intake:
    """The questions of one client and the answers that wait. An answer two weeks old is asked again."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    past = safety.screening_of(db, client_id=client_id)
    consents = safety.consents_of(db, client_id=client_id)
    today = local_day(now, client.zone)
    fresh_from = now - timedelta(days=ANSWER_KEEPS_DAYS)
    fresh = {
        one.question: one.answer for one in intake.waiting(db, client_id=client_id) if one.answered_at >= fresh_from
    }
    questions = intake_questions(client, past=past, consents=consents, today=today, answers=fresh)
    good = {one.key for one in questions if one.key in fresh and is_still_good(one, fresh[one.key])}
    return Intake(
        client=client,
        today=today,
        questions=questions,
        more=may_be_added(client, past=past, today=today, answers=fresh),
        answers={key: answer for key, answer in fresh.items() if key in good},
        last=past[-1] if past else None,
    )


def keep_answer(
    db: Session, *, actor: Actor, client_id: int, question: IntakeQuestion, answer: Answer, now: datetime
) -> None:
    """Keep one answer until all are sent; a symptom or disease named in it counts at once, and leaves a trace.

    Raises: StaleEdit when a consent was given to a text that has changed since it was shown.
    """
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if question.consent is not None and not is_still_good(question, answer):
        title = CONSENT_TEXTS[question.consent].title
        raise StaleEdit(f"The text “{title}” has changed since you opened it. Please read it again.")
    if counts_unsent(question.key):
        _trace_named(db, actor=actor, client_id=client_id, question=question, answer=answer, now=now)
    intake.keep(db, client_id=client_id, question=question.key, answer=answer, at=now)


def _trace_named(
    db: Session, *, actor: Actor, client_id: int, question: IntakeQuestion, answer: Answer, now: datetime
) -> None:
    """A trace of a yes or not sure, and of what it is changed to."""
    before = next((one for one in intake.waiting(db, client_id=client_id) if one.question == question.key), None)
    said, says = reply_of(before.answer) if before else None, reply_of(answer)
    if says == said or not {said, says} & set(AFFIRMED):
        return
    earlier = {"answer": said, "answered_at": before.answered_at} if before else {}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="answered, not sent",
        subject=UNSENT,
        change={"before": earlier, "after": {"answer": says, "answered_at": now}},
        reason=question.text,
    )


@dataclass(frozen=True, slots=True)
class ChangedAnswer:
    """A symptom or disease named and then answered otherwise before anything was sent."""

    text: str
    before: Reply
    before_at: datetime
    after: Reply
    after_at: datetime


def changed_before_sending(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[ChangedAnswer, ...]:
    """The symptoms and diseases somebody named and answered otherwise before sending, newest first."""
    open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    entries = entries_of(db, client_id=client_id, subject=UNSENT, since=now - WINDOW_BACK)
    changes = [(one, json.loads(one.change_json)) for one in entries]
    return tuple(
        ChangedAnswer(
            text=one.reason or "",
            before=Reply(said["before"]["answer"]),
            before_at=datetime.fromisoformat(said["before"]["answered_at"]),
            after=Reply(said["after"]["answer"]),
            after_at=one.at,
        )
        for one, said in changes
        if said["before"].get("answer") in AFFIRMED
    )


def forget_answers(db: Session, *, actor: Actor, client_id: int, now: datetime) -> None:
    """Drop the waiting answers once they stand in the record."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    intake.forget(db, client_id=client_id)


@dataclass(frozen=True, slots=True)
class Sent:
    """What was sent last and what follows from it today."""

    answered_on: date
    has_symptom: bool
    receipt: Receipt
    #: What becomes of each text that was not agreed to, in a sentence.
    not_agreed: tuple[str, ...]


def sent(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> Sent | None:
    """What happens next after the newest answers; None before any."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    found = history.load(db, client_ids=[client_id], from_on=today - WINDOW_BACK, until_on=today + WINDOW_AHEAD)[0]
    answers = newest_answers(found)
    if answers is None:
        return None
    screening = screening_of(found, today, rules)
    # The receipt has plainer words of its own for the screening, which it tells by the coach's.
    voice = replace(COACHS_VOICE, of_stop=stop_words)
    said = intake_words.receipt(screening, stopped_now(found, today, rules, voice=voice), details_of(answers))
    if ConsentKind.COACHING in missing_consents(found.consents, ASKED_AT_INTAKE):
        said = intake_words.with_questions_first(said)
    not_agreed = told_of_missing(found.consents, ASKED_AT_INTAKE)
    return Sent(answers.answered_on, answers.symptoms is YesNo.YES, said, not_agreed)
