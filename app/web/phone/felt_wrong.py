"""Something felt wrong: on every screen of the phone; answers at once and pauses training."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.holds import Stops
from app.coaching.people import Origin
from app.coaching.symptoms import WAY_LEFT_OPEN, advice, emergency_text, leaves_the_way_open, sign_of, way_words
from app.coaching.weeks import local_day
from app.usecases import felt_wrong
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.felt_wrong_form import (
    ADDRESS,
    WrongForm,
    entered_at,
    is_for_a_clinician,
    read_report,
    sign_advice_meanwhile,
)
from app.web.forms import Fields
from app.web.phone.seen import note_holds_seen
from app.web.render import render, see_other

router = APIRouter()


@router.get("/me/felt-wrong")
def show_form(desk: PhoneDesk) -> Response:
    """The emergency words first, then the list; nothing is raised before one is chosen and confirmed."""
    return _page(desk, Fields(initial={"felt_on": desk.today}))


@router.post("/me/felt-wrong")
def report(desk: PhoneDesk) -> Response:
    """Keep the report and pause training in one step."""
    fields = Fields(desk.form)
    entered = entered_at(fields, desk.now)
    wanted = read_report(fields, _form(local_day(entered or desk.now, desk.zone)))
    if wanted is None:
        return _page(desk, fields, status=422)
    hold_id = felt_wrong.report(
        desk.db,
        actor=desk.person,
        client_id=own_client_id(desk),
        report=replace(wanted, entered_at=entered, request_id=desk.form_id),
        origin=Origin.CLIENT,
        now=desk.now,
    )
    return see_other(desk, f"/me/felt-wrong/{hold_id}")


@router.get("/me/felt-wrong/{hold_id}")
def show_answer(desk: PhoneDesk, hold_id: int) -> Response:
    """What to do at once."""
    found = felt_wrong.reported_hold(desk.db, actor=desk.person, hold_id=hold_id, now=desk.now)
    note_holds_seen(desk, [found.hold])
    sign, together = sign_of(found.reports[0].sign), desk.paused_together
    return render(
        desk,
        "phone/felt_wrong_answer.html",
        found=found,
        sign=sign,
        advice=advice(sign, desk.practice.emergency_number, is_all_paused=together.stops is Stops.ALL),
        with_call=is_for_a_clinician(sign),
        together=together,
        why_all=WAY_LEFT_OPEN if leaves_the_way_open(found.hold) else "",
        came=[(one, way_words(one, desk.zone)) for one in found.reports],
    )


def _form(today: date) -> WrongForm:
    return WrongForm(ADDRESS, today, is_by_coach=False)


def _page(desk: Desk, fields: Fields, status: int = 200) -> Response:
    past = felt_wrong.past_reports(desk.db, actor=desk.person, client_id=own_client_id(desk), now=desk.now)
    return render(
        desk,
        "phone/felt_wrong.html",
        part="phone/_felt_wrong_form.html",
        status=status,
        fields=fields,
        form=_form(desk.today),
        emergency=emergency_text(desk.practice.emergency_number),
        meanwhile=sign_advice_meanwhile(fields, desk.practice.emergency_number),
        past=[(one, sign_of(one.reports[0].sign)) for one in past],
    )
