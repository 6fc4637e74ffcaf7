"""The small records around a client: notes, contacts, goals, leave, and the start of the base."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.people import ContactKind, Visibility
from app.coaching.reasons import Refused
from app.usecases import client_file as file_use
from app.usecases import client_particulars as use
from app.usecases import in_force
from app.usecases import notes as notes_use
from app.usecases.client_file import ClientHead
from app.usecases.morning.questions import asking_note
from app.web.coach.client_todo import ways_to_ask
from app.web.coach.client_words import long
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

LONGEST_GOAL = 2000
CONTACT_BACK = timedelta(days=400)
LEAVE_BACK = timedelta(days=120)
AHEAD = timedelta(days=3 * 365)
CONTACT_OPTIONS = [
    (ContactKind.CALL.value, "call"),
    (ContactKind.VISIT.value, "visit"),
    (ContactKind.MESSAGE.value, "message"),
]
#: A note that is often written, begun for the coach; the client finds the texts under My way.
ABOUT_CONSENTS = "Please read what you are asked to agree to, under My way. Agree only to what you agree with."
NOTE_OPTIONS = [
    (Visibility.PRIVATE.value, "Private", "For you and whoever you hand private notes over to."),
    (Visibility.CLIENT.value, "To the client", "Appears on their Today."),
    (Visibility.CLINIC.value, "For the clinic", "May be printed into letters and reports."),
]


@router.get("/clients/{client_id}/note")
def note(desk: CoachDesk, client_id: int) -> Response:
    """A note to write."""
    head = _open(desk, client_id, Action.LOG)
    about = _begun(desk, client_id, desk.request.query_params.get("about", ""))
    is_private = about is None and head.may_read_private
    first = Visibility.PRIVATE if is_private else Visibility.CLIENT
    return _note_form(desk, head, Fields(initial={"visibility": first, "text": about}))


def _begun(desk: Desk, client_id: int, about: str) -> str | None:
    """The first wording of a note about something that is often asked for."""
    if about == "questions":
        return asking_note(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return ABOUT_CONSENTS if about == "consents" else None


@router.post("/clients/{client_id}/note")
def keep_note(desk: CoachDesk, client_id: int) -> Response:
    """Keep a note."""
    head = _open(desk, client_id, Action.LOG)
    fields = Fields(desk.form)
    text = fields.text("text", most=notes_use.LONGEST_NOTE, many_lines=True)
    visibility = fields.choice("visibility", Visibility)
    if text is None or visibility is None or fields.errors:
        return _note_form(desk, head, fields, status=422)
    notes_use.add_note(
        desk.db, actor=desk.person, client_id=client_id, text=text, visibility=visibility, now=desk.now
    )
    where = f" It appears on {head.client.name}'s Today." if visibility is Visibility.CLIENT else ""
    return see_other(desk, f"/clients/{client_id}", flash=f"The note is kept.{where}")


@router.get("/clients/{client_id}/contact")
def contact(desk: CoachDesk, client_id: int) -> Response:
    """A contact to keep."""
    head = _open(desk, client_id, Action.LOG)
    return _contact_form(desk, head, Fields(initial={"contact_on": head.today, "kind": ContactKind.CALL}))


@router.post("/clients/{client_id}/contact")
def keep_contact(desk: CoachDesk, client_id: int) -> Response:
    """Keep a contact."""
    head = _open(desk, client_id, Action.LOG)
    fields = Fields(desk.form)
    kind = fields.choice("kind", ContactKind)
    day = fields.day("contact_on", earliest=head.today - CONTACT_BACK, latest=head.today)
    text = fields.text("text", most=notes_use.LONGEST_CONTACT, many_lines=True)
    if kind is None or day is None or text is None or fields.errors:
        return _contact_form(desk, head, fields, status=422)
    notes_use.add_contact(
        desk.db, actor=desk.person, client_id=client_id, contact_on=day, kind=kind, text=text, now=desk.now
    )
    return see_other(desk, f"/clients/{client_id}", flash="The contact is kept.")


@router.get("/clients/{client_id}/goals")
def goals(desk: CoachDesk, client_id: int) -> Response:
    """Goals, open and closed, and a new one."""
    return _goals_page(desk, _open(desk, client_id, Action.DECIDE), Fields())


@router.post("/clients/{client_id}/goals")
def add_goal(desk: CoachDesk, client_id: int) -> Response:
    """Agree a goal."""
    head = _open(desk, client_id, Action.DECIDE)
    fields = Fields(desk.form)
    text = fields.text("text", most=LONGEST_GOAL, many_lines=True)
    why = fields.text("why", most=LONGEST_GOAL, required=False, many_lines=True)
    confidence = fields.whole("confidence", lowest=0, highest=10, required=False)
    too_late = "That is over three years ahead; a nearer step helps more."
    due_on = fields.day("due_on", earliest=head.today, latest=head.today + AHEAD, required=False, too_late=too_late)
    if text is None or fields.errors:
        return _goals_page(desk, head, fields, status=422)
    use.add_goal(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        text=text,
        why=why,
        confidence=confidence,
        due_on=due_on,
        now=desk.now,
    )
    return see_other(desk, f"/clients/{client_id}/goals", flash="The goal is kept.")


@router.post("/clients/{client_id}/goals/close")
def close_goal(desk: CoachDesk, client_id: int) -> Response:
    """Close a goal."""
    _open(desk, client_id, Action.DECIDE)
    goal_id = Fields(desk.form).whole("goal_id", lowest=1, highest=10**12) or 0
    use.close_goal(desk.db, actor=desk.person, client_id=client_id, goal_id=goal_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/goals", flash="The goal is closed.")


@router.get("/clients/{client_id}/leave")
def leave(desk: CoachDesk, client_id: int) -> Response:
    """Agreed time off, and more of it."""
    return _leave_page(desk, _open(desk, client_id, Action.LOG), Fields())


@router.post("/clients/{client_id}/leave")
def add_leave(desk: CoachDesk, client_id: int) -> Response:
    """Agree time off."""
    head = _open(desk, client_id, Action.LOG)
    fields = Fields(desk.form)
    limits: dict[str, Any] = {"earliest": head.today - LEAVE_BACK, "latest": head.today + AHEAD}
    limits["too_late"] = "That is too far ahead."
    from_on, until_on = fields.day("from_on", **limits), fields.day("until_on", **limits)
    reason = fields.text("reason")
    if from_on is not None and until_on is not None and reason is not None and not fields.errors:
        try:
            use.add_leave(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                from_on=from_on,
                until_on=until_on,
                reason=reason,
                now=desk.now,
            )
        except Refused as refusal:
            fields.refuse("until_on", str(refusal))
    if fields.errors:
        return _leave_page(desk, head, fields, status=422)
    return see_other(
        desk,
        f"/clients/{client_id}/leave",
        flash="The time off is agreed. These days count as neither missed nor quiet.",
    )


@router.post("/clients/{client_id}/leave/back")
def take_leave_back(desk: CoachDesk, client_id: int) -> Response:
    """Take agreed time off back."""
    _open(desk, client_id, Action.LOG)
    leave_id = Fields(desk.form).whole("leave_id", lowest=1, highest=10**12) or 0
    use.take_leave_back(desk.db, actor=desk.person, client_id=client_id, leave_id=leave_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/leave", flash="The time off is taken back.")


@router.get("/clients/{client_id}/start")
def start(desk: CoachDesk, client_id: int) -> Response:
    """The first decision: the aerobic base begins."""
    head = _open(desk, client_id, Action.DECIDE)
    asked = head.client.base_weeks_asked or desk.rules.base_weeks
    return _start_form(desk, head, Fields(initial={"since_on": head.today, "base_weeks_asked": asked}))


@router.post("/clients/{client_id}/start")
def keep_start(desk: CoachDesk, client_id: int) -> Response:
    """Decide that the base begins."""
    head = _open(desk, client_id, Action.DECIDE)
    fields = Fields(desk.form)
    since_on = fields.day("since_on", latest=head.today)
    reason = fields.text("reason", most=use.LONGEST_REASON, many_lines=True)
    asked = None
    if use.may_ask_fewer_weeks(head.client, head.today):
        lowest, highest = use.BASE_WEEKS
        asked = fields.whole("base_weeks_asked", lowest=lowest, highest=highest, unit="weeks")
    if since_on is not None and reason is not None and not fields.errors:
        try:
            use.start_base(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                since_on=since_on,
                base_weeks_asked=asked,
                reason=reason,
                rules=desk.rules,
                now=desk.now,
            )
        except Refused as refusal:
            fields.refuse("since_on", str(refusal))
    if fields.errors:
        return _start_form(desk, head, fields, status=422)
    waits = use.screening_on_start(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    flash = f"{head.client.name} is in aerobic base. {waits or ''}".rstrip()
    return see_other(desk, f"/clients/{client_id}", flash=flash)


def _open(desk: Desk, client_id: int, action: Action) -> ClientHead:
    return file_use.open_head(desk.db, actor=desk.person, client_id=client_id, now=desk.now, action=action)


def _note_form(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    options = [option for option in NOTE_OPTIONS if head.may_read_private or option[0] != Visibility.PRIVATE.value]
    paused = in_force.beside_note(
        desk.db, actor=desk.person, client_id=head.client.id, rules=desk.rules, now=desk.now
    )
    return _small(desk, "note", head, fields, status, options=options, longest=notes_use.LONGEST_NOTE, paused=paused)


def _contact_form(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    longest = notes_use.LONGEST_CONTACT
    return _small(desk, "contact", head, fields, status, options=CONTACT_OPTIONS, longest=longest)


def _goals_page(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    kept = use.goals_of(desk.db, client_id=head.client.id)
    return _small(desk, "goals", head, fields, status, goals=list(reversed(kept)))


def _leave_page(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    kept = use.leaves_of(desk.db, client_id=head.client.id)
    return _small(desk, "leave", head, fields, status, leaves=list(reversed(kept)))


def _start_form(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    screening = use.screening_on_start(
        desk.db, actor=desk.person, client_id=head.client.id, rules=desk.rules, now=desk.now
    )
    is_signed_in = file_use.is_signed_in(desk.db, client_id=head.client.id, now=desk.now)
    return _small(
        desk,
        "start",
        head,
        fields,
        status,
        may_ask=use.may_ask_fewer_weeks(head.client, head.today),
        base_weeks=desk.rules.base_weeks,
        joined=long(head.client.joined_on),
        screening=screening,
        ways_to_ask=ways_to_ask(head.client, is_signed_in=is_signed_in),
    )


def _small(desk: Desk, name: str, head: ClientHead, fields: Fields, status: int, **context: Any) -> Response:
    return render(
        desk,
        f"client/{name}.html",
        part=f"client/_{name}.html",
        status=status,
        head=head,
        fields=fields,
        **context,
    )
