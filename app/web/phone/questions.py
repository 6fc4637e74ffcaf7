"""The screening questions on the phone."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Origin
from app.usecases import questions
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.questions_form import QuestionsForm, read_answers, symptom_advice_meanwhile
from app.web.render import render, see_other

router = APIRouter()


@router.get("/me/my-way/questions")
def show(desk: PhoneDesk) -> Response:
    """The questions, asked afresh."""
    form = _form(desk)
    return _page(desk, Fields(initial=form.initial), form)


@router.post("/me/my-way/questions")
def keep(desk: PhoneDesk) -> Response:
    """Keep a full set of answers."""
    form = _form(desk)
    fields = Fields(desk.form)
    entry = read_answers(fields, form)
    if entry is None:
        return _page(desk, fields, form, status=422)
    questions.keep(
        desk.db, actor=desk.person, client_id=own_client_id(desk), entry=entry, origin=Origin.CLIENT, now=desk.now
    )
    return see_other(desk, "/me/my-way", flash="Your answers are kept. Below stands what they mean for you.")


def _form(desk: Desk) -> QuestionsForm:
    page = questions.page(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)
    return QuestionsForm("/me/my-way/questions", page, is_by_coach=False)


def _page(desk: Desk, fields: Fields, form: QuestionsForm, status: int = 200) -> Response:
    return render(
        desk,
        "phone/questions.html",
        part="phone/_questions_form.html",
        status=status,
        fields=fields,
        form=form,
        meanwhile=symptom_advice_meanwhile(fields, desk.practice.emergency_number),
    )
