"""Recording a clinician's paper, and the sheets that go to the clinician and to the client."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.clearance_papers import HOW_SEEN, TELEPHONE
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.letter_reasons import led_to_it
from app.coaching.people import age_on
from app.coaching.reported_words import reported_lines
from app.coaching.screening import ClearanceState, Intensity
from app.coaching.weeks import day_words
from app.usecases import clearances
from app.usecases import safety_file as use
from app.usecases.gate import NotAllowed
from app.web.coach import safety_words as words
from app.web.coach.holds import password_holds
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.passwords import OwnPasswordTry
from app.web.render import render, see_other

router = APIRouter()

LONGEST_LIMITS = 2000
LONGEST_BACK = timedelta(days=3 * 366)
STATE_OPTIONS = (
    (ClearanceState.GRANTED.value, "Given", "The clinician agrees, within the scope below."),
    (ClearanceState.REFUSED.value, "Refused", "Stops the whole plan at once."),
)
SCOPE_OPTIONS = tuple((scope.value, said.capitalize()) for scope, said in words.SCOPE_WORDS.items())
SEEN_OPTIONS = tuple((key, said.capitalize()) for key, said in HOW_SEEN.items())


@router.get("/clients/{client_id}/safety/clearance")
def show(client_id: int, desk: CoachDesk) -> Response:
    """The form for a clinician's answer."""
    return _form(desk, client_id, Fields())


@router.post("/clients/{client_id}/safety/clearance")
def record(client_id: int, tried: OwnPasswordTry, desk: CoachDesk) -> Response:
    """Keep a clinician's answer, or say beside the field what is missing."""
    fields = Fields(desk.form)
    paper = _read(desk, fields)
    is_confirmed = password_holds(desk, tried, fields, act="record of a clearance")
    if paper is None:
        return _form(desk, client_id, fields, status=422)
    problems = clearances.paper_problems(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        paper=paper,
        password_confirmed=is_confirmed,
        rules=desk.rules,
        now=desk.now,
    )
    for name, sentence in problems:
        if fields.error(name) is None:
            fields.refuse(name, sentence)
    if fields.errors:
        return _form(desk, client_id, fields, status=422)
    clearances.record_paper(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        paper=paper,
        password_confirmed=is_confirmed,
        rules=desk.rules,
        now=desk.now,
    )
    return _lead_on(desk, client_id, paper)


def _read(desk: Desk, fields: Fields) -> clearances.PaperGiven | None:
    """The answer as it was typed; None while it is not said whether it was given or refused."""
    if not desk.form.get("state"):
        fields.refuse("state", "Say whether the clearance was given or refused.")
        return None
    state = fields.choice("state", ClearanceState)
    if state is ClearanceState.REQUESTED:
        fields.refuse("state", "Choose one of the answers.")
        return None
    paper = {
        "scope": fields.choice("scope", Intensity, required=False),
        "given_on": fields.day(
            "given_on",
            required=False,
            latest=desk.today,
            earliest=desk.today - LONGEST_BACK,
            too_late="The paper is dated in the future.",
            too_early="The paper is over three years old; ask for a newer one.",
        ),
        "ends_on": fields.day("ends_on", required=False),
        "signer": fields.text("signer", required=False),
        "profession": fields.text("profession", required=False),
        "limits": fields.text("limits", most=LONGEST_LIMITS, required=False, many_lines=True),
        "how_seen": fields.text("how_seen", required=False),
    }
    return None if state is None else clearances.PaperGiven(state=state, **paper)  # type: ignore[arg-type]  # by name


def _lead_on(desk: Desk, client_id: int, paper: clearances.PaperGiven) -> Response:
    """To the hold the paper answers, or to the start that waited for it; else back to the safety page."""
    then = clearances.what_is_next(desk.db, actor=desk.person, client_id=client_id, paper=paper, now=desk.now)
    if then.hold is not None:
        flash = f"Kept. The hold of {day_words(then.hold.began_on)} is still open: lift it or leave it."
        return see_other(desk, f"/holds/{then.hold.id}/lift", flash=flash)
    if then.may_start:
        flash = "Kept. Nothing waits for a paper now: decide when the base begins."
        return see_other(desk, f"/clients/{client_id}/start", flash=flash)
    return see_other(desk, f"/clients/{client_id}/safety", flash=_flash(paper.state, paper.how_seen))


@router.get("/clients/{client_id}/safety/letter")
def letter(client_id: int, desk: CoachDesk) -> Response:
    """A neutral letter to the clinician: what is asked, what was reported; no answers, no diagnosis.

    What led to it is named only where the coach ticks that.
    """
    file = use.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return render(
        desk,
        "safety/letter.html",
        client=file.client,
        born_on=file.client.born_on,
        age=age_on(file.client.born_on, file.today),
        clearance_days=desk.rules.clearance_days,
        reported=reported_lines(file.history),
        named=led_to_it(file.history, file.today, desk.rules)
        if desk.request.query_params.get("reason") == "yes"
        else (),
    )


@router.get("/clients/{client_id}/safety/consents")
def consent_sheets(client_id: int, desk: CoachDesk) -> Response:
    """The consent texts on paper, to read and sign."""
    file = use.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return render(desk, "safety/consents.html", client=file.client, texts=list(CONSENT_TEXTS.values()))


def _flash(state: ClearanceState, how_seen: str | None) -> str:
    if state is ClearanceState.REFUSED:
        return "Kept. The whole plan is suspended; speak with the client and the clinician."
    if how_seen == TELEPHONE:
        return "Kept, but a telephone call alone does not count and lifts nothing. Ask for it in writing."
    return "Kept."


def _form(desk: Desk, client_id: int, fields: Fields, *, status: int = 200) -> Response:
    file = use.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    if not file.may_decide:
        raise NotAllowed("Your role allows reading here, not this change.")
    return render(
        desk,
        "safety/clearance.html",
        status=status,
        fields=fields,
        client=file.client,
        states=STATE_OPTIONS,
        scopes=SCOPE_OPTIONS,
        seen=SEEN_OPTIONS,
        latest=file.today,
        clearance_days=desk.rules.clearance_days,
        longest=LONGEST_LIMITS,
    )
