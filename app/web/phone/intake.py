"""The intake on the phone: one question a screen, kept at once, looked over and sent at the end."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.intake import IntakeQuestion, reply_of
from app.coaching.intake_words import IF_YOU_HAVE_IT_NOW, AtOnce, said_at_once
from app.coaching.questions import BEFORE_YOU_ANSWER, Reply
from app.coaching.symptoms import NOT_READ_AT_ONCE, emergency_text
from app.usecases import intake
from app.usecases.intake import Intake
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.phone.intake_form import (
    AGREED_OPTIONS,
    KNOWN_OPTIONS,
    TICK_OPTIONS,
    answer_words,
    initial_answer,
    options_of,
    read_answer,
)
from app.web.phone.intake_sending import send
from app.web.render import render, see_other

router = APIRouter()

START = "/me/intake"
LOOK_OVER = "/me/intake-look-over"
SENT = "/me/intake-sent"
#: Said by a form field: the answer was changed from the look-over and leads back to it.
FROM_LOOK_OVER = "look_over"
STILL_OPEN = "Some questions are still open; not sure is an answer."


@dataclass(frozen=True, slots=True)
class Line:
    """One answer of the look-over."""

    question: IntakeQuestion
    #: None while it is open.
    words: str | None

    @property
    def address(self) -> str:
        """Where it is changed."""
        return f"{START}/{self.question.key}?from={FROM_LOOK_OVER}"


@router.get("/me/intake")
def begin(desk: PhoneDesk) -> Response:
    """What it is for, and where to go on."""
    found = _load(desk)
    return render(
        desk,
        "phone/intake_begin.html",
        found=found,
        intro=BEFORE_YOU_ANSWER,
        go_on=_next_open(found) or LOOK_OVER,
        # Once the rest was sent, a text that waited is agreed to by itself; the answers need not be given again.
        to_agree=[CONSENT_TEXTS[one.consent].title for one in found.questions if one.consent] if found.last else [],
    )


@router.get("/me/intake-look-over")
def look_over(desk: PhoneDesk) -> Response:
    """Every answer, each changeable, before anything is sent."""
    return _look_over(desk, _load(desk), Fields())


@router.post("/me/intake-look-over")
def send_all(desk: PhoneDesk) -> Response:
    """Send everything to the coach, once."""
    found = _load(desk)
    if not found.answers and found.last is not None:
        return see_other(desk, SENT)  # sent before, perhaps from another phone
    if found.open_questions:
        fields = Fields(desk.form)
        fields.refuse("", STILL_OPEN)
        return _look_over(desk, found, fields, status=422)
    # Whatever a part refuses from here on ends the request, and the transaction keeps nothing of the others.
    send(desk, found)
    return see_other(desk, SENT)


@router.get("/me/intake-sent")
def show_sent(desk: PhoneDesk) -> Response:
    """What happens next."""
    sent = intake.sent(desk.db, actor=desk.person, client_id=own_client_id(desk), rules=desk.rules, now=desk.now)
    return render(
        desk,
        "phone/intake_sent.html",
        sent=sent,
        emergency=emergency_text(desk.practice.emergency_number),
        not_read_at_once=NOT_READ_AT_ONCE,
    )


@router.get("/me/intake/{question}")
def show_question(desk: PhoneDesk, question: str) -> Response:
    """One question, with the answer that waits."""
    found = _load(desk)
    asked = found.question(question)
    fields = Fields(initial=initial_answer(asked, found.answers.get(asked.key), found.client))
    return _page(desk, found, asked, fields, is_back=desk.request.query_params.get("from") == FROM_LOOK_OVER)


@router.post("/me/intake/{question}")
def keep_question(desk: PhoneDesk, question: str) -> Response:
    """Keep one answer and go on to the next question."""
    found = _load(desk)
    asked = found.question(question)
    fields = Fields(desk.form)
    is_back = fields.value("from") == FROM_LOOK_OVER
    answer = read_answer(fields, asked, found.today)
    if answer is None:
        return _page(desk, found, asked, fields, is_back=is_back, status=422)
    intake.keep_answer(
        desk.db,
        actor=desk.person,
        client_id=own_client_id(desk),
        question=asked,
        answer=answer,
        now=desk.now,
    )
    # Read again: which questions follow depends on the answer.
    return see_other(desk, LOOK_OVER if is_back else _after(_load(desk), asked))


def _load(desk: Desk) -> Intake:
    return intake.load(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)


def _next_open(found: Intake) -> str | None:
    return f"{START}/{found.open_questions[0].key}" if found.open_questions else None


def _after(found: Intake, asked: IntakeQuestion) -> str:
    number = _number(found, asked)
    return f"{START}/{found.questions[number].key}" if number < len(found.questions) else LOOK_OVER


def _before(found: Intake, asked: IntakeQuestion) -> str:
    place = _number(found, asked) - 1
    return f"{START}/{found.questions[place - 1].key}" if place else START


def _number(found: Intake, asked: IntakeQuestion) -> int:
    """Which of the questions it is; one that is not asked would be the next."""
    return found.questions.index(asked) + 1 if asked in found.questions else len(found.questions) + 1


def _page(
    desk: Desk, found: Intake, asked: IntakeQuestion, fields: Fields, *, is_back: bool, status: int = 200
) -> Response:
    return render(
        desk,
        "phone/intake_question.html",
        status=status,
        found=found,
        asked=asked,
        fields=fields,
        number=_number(found, asked),
        before=LOOK_OVER if is_back else _before(found, asked),
        is_back=is_back,
        from_look_over=FROM_LOOK_OVER,
        if_now=IF_YOU_HAVE_IT_NOW,
        at_once=said_at_once(asked.key, desk.practice.emergency_number),
        consent=CONSENT_TEXTS[asked.consent] if asked.consent else None,
        reply_options=options_of(asked),
        tick_options=TICK_OPTIONS,
        known_options=KNOWN_OPTIONS,
        agreed_options=AGREED_OPTIONS,
        not_read_at_once=NOT_READ_AT_ONCE,
    )


def _look_over(desk: Desk, found: Intake, fields: Fields, status: int = 200) -> Response:
    sections: dict[str, list[Line]] = {}
    for one in found.questions:
        answer = found.answers.get(one.key)
        line = Line(one, answer_words(one, answer) if answer is not None else None)
        sections.setdefault(one.section, []).append(line)
    named = _named_symptoms(desk, found)
    return render(
        desk,
        "phone/intake_look_over.html",
        status=status,
        found=found,
        fields=fields,
        sections=sections,
        go_on=_next_open(found),
        named=named,
        is_emergency=any(said.emergency for _, said in named),
        emergency=emergency_text(desk.practice.emergency_number),
        not_read_at_once=NOT_READ_AT_ONCE,
    )


def _named_symptoms(desk: Desk, found: Intake) -> list[tuple[IntakeQuestion, AtOnce]]:
    """The symptoms answered with yes or not sure."""
    said = [
        (one, said_at_once(one.key, desk.practice.emergency_number))
        for one in found.questions
        if reply_of(found.answers.get(one.key)) in (Reply.YES, Reply.NOT_SURE)
    ]
    return [(one, at_once) for one, at_once in said if at_once is not None and at_once.is_symptom]
