"""Sending the intake: each part goes to the use-case that keeps it elsewhere too, all in one transaction."""

from __future__ import annotations

from datetime import date

from app.coaching.intake import Answer, IntakeQuestion, Sort, medicine_replies, reply_of
from app.coaching.people import Origin
from app.coaching.questions import Reply
from app.usecases import intake, my_way, questions, safety_file
from app.usecases.intake import Intake
from app.web.deps import Desk, own_client_id
from app.web.phone.intake_form import Agreed, Known


def send(desk: Desk, found: Intake) -> None:
    """Keep a whole intake in the client's record: one set of answers, a reading, consents; then drop the draft.

    Raises: whatever a part refuses; then nothing may be kept.
    """
    questions.keep(
        desk.db,
        actor=desk.person,
        client_id=own_client_id(desk),
        entry=_entry(found),
        origin=Origin.CLIENT,
        now=desk.now,
    )
    for one in found.questions:
        _keep_rest(desk, found.answers[one.key], one)
    intake.forget_answers(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)


def _entry(found: Intake) -> questions.QuestionsEntry:
    contact = next(found.answers[one.key] for one in found.questions if one.sort is Sort.CONTACT)
    return questions.QuestionsEntry(
        replies=_replies(found),
        medicines=medicine_replies(found.answers),
        emergency_contact=contact["emergency_contact"],
        emergency_phone=contact["emergency_phone"],
        answered_on=found.today,
    )


def _replies(found: Intake) -> dict[str, Reply]:
    said = {one.key: reply_of(found.answers[one.key]) for one in found.questions if one.sort is Sort.REPLY}
    return {key: reply for key, reply in said.items() if reply is not None}


def _keep_rest(desk: Desk, answer: Answer, question: IntakeQuestion) -> None:
    if question.sort is Sort.PRESSURE and answer["known"] == Known.YES.value:
        _keep_pressure(desk, answer)
    if question.consent is not None and answer["agreed"] == Agreed.YES.value:
        my_way.give_consent(
            desk.db,
            actor=desk.person,
            client_id=own_client_id(desk),
            kind=question.consent,
            text_version=answer["text_version"],
            origin=Origin.CLIENT,
            now=desk.now,
        )


def _keep_pressure(desk: Desk, answer: Answer) -> None:
    rate = answer.get("resting_heart_rate_bpm")
    reading = safety_file.Reading(
        measured_on=date.fromisoformat(answer["measured_on"]),
        systolic_mmhg=int(answer["systolic_mmhg"]),
        diastolic_mmhg=int(answer["diastolic_mmhg"]),
        resting_heart_rate_bpm=int(rate) if rate else None,
        origin=Origin.CLIENT,
    )
    safety_file.add_pressure(
        desk.db, actor=desk.person, client_id=own_client_id(desk), reading=reading, rules=desk.rules, now=desk.now
    )
