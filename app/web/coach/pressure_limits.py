"""A clinician's two numbers for one client: the form that keeps them, and taking them back."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.pressure_limits import DIASTOLIC_MMHG, IN_WRITING, SYSTOLIC_MMHG
from app.coaching.pressure_sources import PUBLISHED_LIMITS
from app.usecases import pressure_limits as use
from app.usecases import safety_file
from app.usecases.gate import NotAllowed
from app.web.coach.holds import password_holds
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.passwords import OwnPasswordTry
from app.web.render import render, see_other

router = APIRouter()

LONGEST_BACK = timedelta(days=366)


@router.get("/clients/{client_id}/safety/pressure-limits")
def blank(client_id: int, desk: CoachDesk) -> Response:
    """The form for a clinician's two numbers."""
    return _form(desk, client_id, Fields())


@router.post("/clients/{client_id}/safety/pressure-limits")
def keep(client_id: int, tried: OwnPasswordTry, desk: CoachDesk) -> Response:
    """Keep a clinician's two numbers; they count at once."""
    file = safety_file.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not file.may_decide:
        raise NotAllowed("Your role allows reading here, not this change.")
    fields = Fields(desk.form)
    given = _read(fields, desk)
    is_confirmed = password_holds(desk, tried, fields, act="limits of blood pressure")
    if given is None or fields.errors:
        return _form(desk, client_id, fields)
    problems = use.record(
        desk.db, actor=desk.person, client_id=client_id, given=given, password_confirmed=is_confirmed, now=desk.now
    )
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if problems:
        return _form(desk, client_id, fields)
    said = f"{given.systolic_mmhg} over {given.diastolic_mmhg}"
    return see_other(desk, f"/clients/{client_id}/safety", flash=f"Kept. All training stops from {said} mmHg on.")


@router.post("/clients/{client_id}/safety/pressure-limits/take-back")
def take_back(client_id: int, desk: CoachDesk) -> Response:
    """Take the numbers back; the practice's limits count again."""
    use.take_back(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/safety", flash="Taken back. The practice's limits count again.")


def _read(fields: Fields, desk: Desk) -> use.LimitGiven | None:
    high = fields.whole("systolic_mmhg", lowest=SYSTOLIC_MMHG[0], highest=SYSTOLIC_MMHG[1], unit="mmHg")
    low = fields.whole("diastolic_mmhg", lowest=DIASTOLIC_MMHG[0], highest=DIASTOLIC_MMHG[1], unit="mmHg")
    given_on = fields.day("given_on", latest=desk.today, earliest=desk.today - LONGEST_BACK)
    signer = fields.text("signer")
    profession = fields.text("profession")
    how_seen = fields.text("how_seen")
    if high is None or low is None or given_on is None or signer is None or profession is None or how_seen is None:
        return None
    return use.LimitGiven(high, low, given_on, signer, profession, how_seen)


def _form(desk: Desk, client_id: int, fields: Fields) -> Response:
    file = safety_file.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not file.may_decide:
        raise NotAllowed("Your role allows reading here, not this change.")
    return render(
        desk,
        "safety/pressure_limits.html",
        status=422 if fields.errors else 200,
        fields=fields,
        client=file.client,
        rules=desk.rules,
        published=PUBLISHED_LIMITS,
        seen=tuple(IN_WRITING.items()),
        latest=file.today,
        clearance_days=desk.rules.clearance_days,
    )
