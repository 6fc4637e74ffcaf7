"""How I am: a readiness note, and what it means for today."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.client_voice import hold_line, holds_told
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Origin
from app.coaching.readiness import Illness
from app.coaching.readiness_rules import HardDay
from app.coaching.return_steps import ABOVE_NECK, RETURN_AFTER_ILLNESS
from app.coaching.symptoms import NOT_READ_AT_ONCE, emergency_text
from app.usecases import readiness
from app.web.deps import Desk, PhoneDesk, own_client_id
from app.web.forms import Fields
from app.web.phone.seen import note_holds_seen
from app.web.phone.today import readiness_words
from app.web.readiness_form import ReadinessForm, pause_advice_meanwhile, read_note
from app.web.render import render, see_other

router = APIRouter()

WELL_AGAIN = (
    "Kept: not ill today. Your coach reads it and opens the way back with you. "
    "Until then what is paused stays paused."
)


@router.get("/me/how-i-am")
def show(desk: PhoneDesk, ill: str = "") -> Response:
    """The form; after today's first note, what it means. ill: chosen on the page before, and still to be sent."""
    chosen = {"illness": ill} if ill in set(Illness) else {}
    return _page(desk, Fields(initial={"noted_on": desk.today, **chosen}), is_asked=bool(chosen))


@router.post("/me/how-i-am")
def keep(desk: PhoneDesk) -> Response:
    """Keep a note; illness, a changed medicine or a fall pause training in the same step."""
    fields = Fields(desk.form)
    entry = read_note(fields, _form(desk))
    if entry is None:
        return _page(desk, fields, status=422)
    kept = readiness.keep(
        desk.db, actor=desk.person, client_id=own_client_id(desk), entry=entry, origin=Origin.CLIENT, now=desk.now
    )
    if kept.tells_well:
        return see_other(desk, "/me/how-i-am", flash=WELL_AGAIN)
    flash = "Kept. Something is paused now; read below what and until when." if kept.hold_ids else "Kept. Thank you."
    return see_other(desk, "/me/how-i-am", flash=flash)


def _form(desk: Desk) -> ReadinessForm:
    return ReadinessForm("/me/how-i-am", desk.today, is_by_coach=False)


def _page(desk: Desk, fields: Fields, status: int = 200, *, is_asked: bool = False) -> Response:
    found = readiness.page(desk.db, actor=desk.person, client_id=own_client_id(desk), rules=desk.rules, now=desk.now)
    note_holds_seen(desk, found.open_holds)
    ill = [one for one in found.open_holds if one.kind is HoldKind.ILLNESS]
    steps = RETURN_AFTER_ILLNESS if any(one.stops is Stops.ALL for one in ill) else (ABOVE_NECK if ill else ())
    has_symptom = any(one.kind is HoldKind.SYMPTOM for one in found.open_holds)
    hard_day = found.hard_day
    has_advice = hard_day is not None and hard_day.answer is not HardDay.AS_PLANNED
    return render(
        desk,
        "phone/how_i_am.html",
        part="phone/_readiness_form.html",
        status=status,
        fields=fields,
        form=_form(desk),
        meanwhile=pause_advice_meanwhile(fields, desk.practice.emergency_number),
        page=found,
        holds=[hold_line(one) for one in holds_told(found.open_holds)],
        return_steps=steps,
        is_asked=is_asked,
        has_changed_medicine=any(one.kind is HoldKind.MEDICINE_CHANGE for one in found.open_holds),
        emergency=(emergency_text(desk.practice.emergency_number), NOT_READ_AT_ONCE) if has_symptom else (),
        advice=readiness_words(hard_day) if hard_day and has_advice else None,
    )
