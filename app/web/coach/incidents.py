"""Incidents of a client and of the practice: written down, added to, closed, printed."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.incidents import (
    FOLLOW_UP_DAYS,
    INCIDENT_WORDS,
    LONGEST_BACK,
    HeadKnock,
    IncidentWord,
    asks_about_head,
    entry_fault,
)
from app.coaching.people import Mode
from app.coaching.reasons import Refused
from app.coaching.screening import YesNo
from app.usecases import incidents as use
from app.usecases.gate import NotAllowed
from app.web.coach.incident_words import incident_view
from app.web.deps import CoachDesk, Desk
from app.web.felt_wrong_form import COACHS_GROUPS, SIGN_KEYS
from app.web.forms import Fields
from app.web.log_form import MODES
from app.web.render import render, see_other

router = APIRouter()

LONGEST_TEXT = 2000
LONGEST_REASON = 500
#: Chosen on purpose: an incident is not left without an answer to whether training stops.
NO_HOLD = "none"
HEAD_ANSWERS = (
    (HeadKnock.NO_FALL.value, "No fall, and no knock to the head"),
    (
        HeadKnock.NO.value,
        "A fall; the head was not knocked",
        "Pauses hard work and that way of moving.",
    ),
    (HeadKnock.YES.value, "Yes, or not sure", "Pauses all training until a doctor has seen them."),
)
PAUSE_ANSWERS = (
    (YesNo.YES.value, "Yes, pause all training", "Until a doctor has seen them and said so in writing."),
    (YesNo.NO.value, "No", "Say below why not; it is added to the record."),
)
ASKS_HEAD = "The words speak of a fall or of the head. Was the head knocked? Not sure counts as yes."


@router.get("/incidents")
def everywhere(desk: CoachDesk) -> Response:
    """Every open incident of the practice."""
    found = use.open_ones(desk.db, actor=desk.person, now=desk.now)
    return render(desk, "incidents/all.html", found=found, follow_up_days=FOLLOW_UP_DAYS)


@router.get("/clients/{client_id}/incidents")
def of_client(client_id: int, desk: CoachDesk) -> Response:
    """A client's incidents, open and closed."""
    file = use.incident_file(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    views = [incident_view(one, file) for one in file.incidents]
    return render(desk, "incidents/client.html", client=file.client, file=file, views=views)


@router.get("/clients/{client_id}/incidents/record")
def blank(client_id: int, desk: CoachDesk) -> Response:
    """The form that writes an incident down."""
    return _form(desk, client_id, Fields(initial={"happened_on": desk.today}))


@router.post("/clients/{client_id}/incidents/record")
def record(client_id: int, desk: CoachDesk) -> Response:
    """Write an incident down, and raise the hold that was chosen."""
    fields = Fields(desk.form)
    given = _read(fields, desk)
    if given is None:
        return _form(desk, client_id, fields, status=422)
    try:
        kept = use.record(desk.db, actor=desk.person, client_id=client_id, given=given, now=desk.now)
    except use.PauseAsked as asked:
        fields.refuse(asked.field, str(asked))
        return _form(desk, client_id, fields, status=422)
    except Refused as refusal:
        fields.refuse("happened_on", str(refusal))
        return _form(desk, client_id, fields, status=422)
    flash = "The incident is on record."
    if kept.sign is not None:
        flash = f"{flash} {_consequence(kept.sign)}"
    return see_other(desk, f"/clients/{client_id}/incidents/{kept.incident_id}/page", flash=flash)


@router.get("/clients/{client_id}/incidents/{incident_id}/page")
def page(client_id: int, incident_id: int, desk: CoachDesk) -> Response:
    """One incident with everything added to it."""
    return _page(desk, client_id, incident_id, Fields())


@router.post("/clients/{client_id}/incidents/{incident_id}/follow-up")
def follow_up(client_id: int, incident_id: int, desk: CoachDesk) -> Response:
    """Add how it went on, or correct what was written."""
    return _add(desk, client_id, incident_id, (IncidentWord.FOLLOW_UP, IncidentWord.CORRECTION))


@router.post("/clients/{client_id}/incidents/{incident_id}/reopen")
def reopen(client_id: int, incident_id: int, desk: CoachDesk) -> Response:
    """Open a closed incident again, with the reason."""
    return _add(desk, client_id, incident_id, (IncidentWord.REOPENED,))


@router.post("/clients/{client_id}/incidents/{incident_id}/close")
def close(client_id: int, incident_id: int, desk: CoachDesk) -> Response:
    """Close an incident, with how it ended."""
    return _add(desk, client_id, incident_id, (IncidentWord.CLOSED,))


@router.get("/clients/{client_id}/incidents/{incident_id}/print")
def printed(client_id: int, incident_id: int, desk: CoachDesk) -> Response:
    """One incident on paper."""
    file = use.incident_file(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    view = incident_view(use.one_of(file, incident_id), file)
    return render(desk, "incidents/print.html", client=file.client, view=view)


def _add(desk: Desk, client_id: int, incident_id: int, words: tuple[IncidentWord, ...]) -> Response:
    fields = Fields(desk.form)
    word = words[0] if len(words) == 1 else fields.choice("word", IncidentWord)
    text = fields.text("text", most=LONGEST_TEXT, many_lines=True)
    if word is not None and word not in words:
        fields.refuse("word", "Choose one of the answers.")
    if fields.errors or word is None or text is None:
        return _page(desk, client_id, incident_id, fields, needs=words)
    try:
        use.add_entry(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            incident_id=incident_id,
            word=word,
            text=text,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("text", str(refusal))
        return _page(desk, client_id, incident_id, fields, needs=words)
    flash = f"{INCIDENT_WORDS[word].partition(';')[0]}: kept."
    return see_other(desk, f"/clients/{client_id}/incidents/{incident_id}/page", flash=flash)


def _page(
    desk: Desk, client_id: int, incident_id: int, fields: Fields, needs: tuple[IncidentWord, ...] = ()
) -> Response:
    file = use.incident_file(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    incident = use.one_of(file, incident_id)
    is_decision = needs == (IncidentWord.CLOSED,)
    if needs and not (file.may_decide if is_decision else file.may_log):
        raise NotAllowed("Your role allows reading here, not this change.")
    return render(
        desk,
        "incidents/page.html",
        status=422 if fields.errors else 200,
        client=file.client,
        file=file,
        view=incident_view(incident, file),
        typed=_typed(needs),
        fields={name: fields if name == _typed(needs) else Fields() for name in ("follow", "turn")},
        words=[(word.value, INCIDENT_WORDS[word]) for word in (IncidentWord.FOLLOW_UP, IncidentWord.CORRECTION)],
        may_close=file.may_decide and entry_fault(incident, IncidentWord.CLOSED) is None,
        longest=LONGEST_TEXT,
    )


def _typed(needs: tuple[IncidentWord, ...]) -> str:
    if not needs:
        return ""
    return "follow" if IncidentWord.FOLLOW_UP in needs else "turn"


def _consequence(sign: str) -> str:
    return next(group.consequence for group in COACHS_GROUPS if sign in {one.key for one in group.signs})


def _read(fields: Fields, desk: Desk) -> use.IncidentGiven | None:
    happened_on = fields.day("happened_on", latest=desk.today, earliest=desk.today - LONGEST_BACK)
    about_when = fields.text("about_when", most=40)
    activity = fields.text("activity")
    place = fields.text("place")
    symptoms = fields.text("symptoms", most=LONGEST_TEXT, many_lines=True)
    action_taken = fields.text("action_taken", most=LONGEST_TEXT, many_lines=True)
    outcome = fields.text("outcome", most=LONGEST_TEXT, many_lines=True)
    sign = fields.text("sign")
    mode = fields.choice("mode", Mode, required=False)
    if sign is not None and sign != NO_HOLD and sign not in SIGN_KEYS:
        fields.refuse("sign", "Choose one of the answers.")
    head = fields.choice("head", HeadKnock, required=False)
    chosen = None if sign not in SIGN_KEYS else sign
    told = [one for one in (activity, symptoms, action_taken, outcome) if one]
    if head is None and not fields.error("head") and asks_about_head(told, chosen):
        fields.refuse("head", ASKS_HEAD)
    pauses_all = fields.choice("pauses_all", YesNo, required=False)
    because = fields.text("goes_on_because", most=LONGEST_REASON, required=False)
    if fields.errors or happened_on is None:
        return None
    return use.IncidentGiven(
        happened_on=happened_on,
        about_when=about_when or "",
        activity=activity or "",
        place=place or "",
        symptoms=symptoms or "",
        action_taken=action_taken or "",
        outcome=outcome or "",
        sign=chosen,
        mode=mode,
        head=head,
        pauses_all=pauses_all,
        goes_on_because=because,
    )


def _form(desk: Desk, client_id: int, fields: Fields, *, status: int = 200) -> Response:
    file = use.incident_file(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    if not file.may_log:
        raise NotAllowed("Your role allows reading here, not this change.")
    return render(
        desk,
        "incidents/record.html",
        status=status,
        fields=fields,
        client=file.client,
        latest=file.today,
        groups=COACHS_GROUPS,
        modes=[(mode.value, words) for mode, words in MODES],
        no_hold=NO_HOLD,
        heads=HEAD_ANSWERS,
        asks_to_pause=any(fields.error(one) or fields.value(one) for one in ("pauses_all", "goes_on_because")),
        pause_answers=PAUSE_ANSWERS,
        longest_reason=LONGEST_REASON,
        longest=LONGEST_TEXT,
    )
