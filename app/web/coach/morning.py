"""The morning page and the acts that finish a line without leaving it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Client, ContactKind, Visibility
from app.coaching.reasons import StaleEdit
from app.usecases import in_force, notes
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.morning import lines, questions
from app.usecases.morning import page as reading
from app.usecases.morning.housekeeping import house_lines
from app.usecases.morning.lines import Standing
from app.usecases.morning.lost_holds import lost_holds, settle_lost_hold
from app.usecases.morning.together import dealt_together
from app.usecases.plan_sessions.changed_today import changed_today
from app.usecases.plan_sessions.swapping import swapped_today
from app.web.coach import morning_settle as settling
from app.web.coach import morning_words as words
from app.web.coach.lost_words import lost_words
from app.web.coach.morning_forms import (
    CONTACT_BACK,
    HIGHEST_ID,
    HOME,
    LONGEST_LINE,
    LONGEST_REASON,
    PUT_OFF_BY,
    asked_line,
    sent_line,
    small_form,
)
from app.web.coach.morning_views import Beside, morning_view
from app.web.deps import CoachDesk, Desk
from app.web.filters import day
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

NOTE_OPTIONS = ((Visibility.PRIVATE, "for the coach only"), (Visibility.CLIENT, "on the client's Today"))


@router.get("/morning")
def page(desk: CoachDesk) -> Response:
    """Who needs a decision today, and why."""
    return _page(desk, Fields(initial={"visibility": Visibility.PRIVATE}))


@router.post("/morning/note")
def quick_note(desk: CoachDesk) -> Response:
    """Keep a line about somebody, from the box at the top."""
    fields = Fields(desk.form)
    client_id = fields.whole("client_id", lowest=1, highest=HIGHEST_ID)
    text = fields.text("text", most=LONGEST_LINE)
    visibility = fields.choice("visibility", Visibility)
    if client_id is None or text is None or visibility is None:
        return _page(desk, fields, status=422)
    try:
        notes.add_note(
            desk.db, actor=desk.person, client_id=client_id, text=text, visibility=visibility, now=desk.now
        )
    except NotAllowed:
        fields.refuse("visibility", "Private notes on this client are not yours to keep; write it for the client.")
        return _page(desk, fields, status=422)
    if visibility is not Visibility.CLIENT:
        return see_other(desk, HOME, flash="The note is kept. Only the coach reads it.")
    paused = in_force.in_short(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    beside = f" Paused all the same, and said beside it: {paused}." if paused else ""
    return see_other(desk, HOME, flash=f"The note is kept. It appears on the client's Today.{beside}")


@router.post("/morning/lost-hold")
def settle_lost(desk: CoachDesk) -> Response:
    """Take a hold that a copy lacked off the morning."""
    entry_id = Fields(desk.form).whole("entry", lowest=1, highest=HIGHEST_ID)
    if entry_id is None:
        raise NotYours("There is no such hold to settle here.")
    found = settle_lost_hold(desk.db, actor=desk.person, entry_id=entry_id, now=desk.now)
    return see_other(
        desk, HOME, flash=f"Settled: the lost hold of {found.client}. The trail of the practice keeps it."
    )


@router.post("/morning/send-questions")
def send_to_all(desk: CoachDesk) -> Response:
    """Ask everybody in the grouped line for their answers."""
    ids = questions.waiting_ids(desk.db, actor=desk.person, rules=desk.rules, now=desk.now)
    sent = questions.send_questions(desk.db, actor=desk.person, client_ids=ids, rules=desk.rules, now=desk.now)
    return see_other(desk, HOME, flash=words.sent(sent.asked, sent.unreached))


@router.post("/morning/{client_id}/questions")
def send_to_one(client_id: int, desk: CoachDesk) -> Response:
    """Ask one client for the answers."""
    questions.send_questions(desk.db, actor=desk.person, client_ids=[client_id], rules=desk.rules, now=desk.now)
    return see_other(desk, HOME, flash="The questions are on the client's Today now.")


@router.get("/morning/{client_id}/contact")
def contact(client_id: int, desk: CoachDesk) -> Response:
    """The small form of a contact."""
    line = asked_line(desk, client_id)
    initial = {"kind": ContactKind.CALL, "contact_on": line.today, **settling.ticked_when_spoken(line)}
    return small_form(desk, line, "contact", Fields(initial=initial))


@router.post("/morning/{client_id}/contact")
def keep_contact(client_id: int, desk: CoachDesk) -> Response:
    """Keep that coach and client spoke; every reason ticked is handled by it."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    kind = fields.choice("kind", ContactKind)
    contact_on = fields.day("contact_on", earliest=line.today - CONTACT_BACK, latest=line.today)
    text = fields.text("text", most=notes.LONGEST_CONTACT, many_lines=True)
    if text is not None and not fields.errors:
        _settle_if_ticked(desk, line, fields, text)
    if fields.errors or kind is None or contact_on is None or text is None:
        return small_form(desk, line, "contact", fields, status=422)
    notes.add_contact(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        contact_on=contact_on,
        kind=kind,
        text=text,
        now=desk.now,
    )
    return see_other(
        desk, HOME, flash=f"The contact with {line.client.name} on {day(contact_on)} is kept.{_and(desk)}"
    )


@router.get("/morning/{client_id}/note")
def note(client_id: int, desk: CoachDesk) -> Response:
    """The small form of a note to the client."""
    line = asked_line(desk, client_id)
    return small_form(desk, line, "note", Fields(initial=settling.ticked_when_written(line)))


@router.post("/morning/{client_id}/note")
def keep_note(client_id: int, desk: CoachDesk) -> Response:
    """Put a short note on the client's Today; every reason ticked is handled by it."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    text = fields.text("text", most=LONGEST_LINE)
    if text is not None:
        _settle_if_ticked(desk, line, fields, text)
    if fields.errors or text is None:
        return small_form(desk, line, "note", fields, status=422)
    notes.add_note(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        text=text,
        visibility=Visibility.CLIENT,
        now=desk.now,
    )
    return see_other(desk, HOME, flash=f"The note is on {line.client.name}'s Today.{_and(desk)}")


@router.get("/morning/{client_id}/put-off")
def put_off(client_id: int, desk: CoachDesk) -> Response:
    """The small form that puts a line off."""
    line = asked_line(desk, client_id, is_line_needed=True)
    by = timedelta(days=1) if line.is_safety else PUT_OFF_BY
    return small_form(desk, line, "put-off", Fields(initial={"until_on": line.today + by}))


@router.post("/morning/{client_id}/put-off")
def keep_put_off(client_id: int, desk: CoachDesk) -> Response:
    """Put a line off until a day."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    until_on = fields.day("until_on")
    if until_on is not None and line.signal is not None:
        fault = lines.put_off_fault(line.signal, until_on, line.today)
        if fault is not None:
            fields.refuse("until_on", fault)
    if fields.errors or until_on is None:
        return small_form(desk, line, "put-off", fields, status=422)
    lines.put_off(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        signal=desk.form.get("signal", ""),
        key=desk.form.get("key", ""),
        until_on=until_on,
        rules=desk.rules,
        now=desk.now,
    )
    return see_other(desk, HOME, flash=f"{line.client.name}'s line is put off until {day(until_on)}.")


@router.get("/morning/{client_id}/handled")
def handled(client_id: int, desk: CoachDesk) -> Response:
    """The small form that asks what was done, with all of the client's reasons."""
    line = asked_line(desk, client_id, is_line_needed=True)
    return small_form(desk, line, "handled", Fields(initial=settling.ticked_when_handled(line)))


@router.post("/morning/{client_id}/handled")
def keep_handled(client_id: int, desk: CoachDesk) -> Response:
    """Keep that one reason was dealt with, or every one that is ticked."""
    line, fields = sent_line(desk, client_id), Fields(desk.form)
    picked = settling.chosen(desk.form)
    done = fields.text("done", most=LONGEST_REASON, required=settling.asks_for_a_word(line, picked))
    if not picked:
        fields.refuse("done", "Tick what was dealt with.")
    if fields.errors:
        return small_form(desk, line, "handled", fields, status=422)
    _handle(desk, client_id, picked, done)
    return see_other(desk, HOME, flash=words.handled(line.client.name, len(picked)))


@router.post("/morning/{client_id}/handled/{handled_id}/undo")
def take_back(client_id: int, handled_id: int, desk: CoachDesk) -> Response:
    """Let a line speak again."""
    lines.take_back(desk.db, actor=desk.person, client_id=client_id, handled_id=handled_id, now=desk.now)
    return see_other(desk, HOME, flash="The line is back.")


def _page(desk: Desk, fields: Fields, *, status: int = 200) -> Response:
    found = reading.this_morning(
        desk.db, actor=desk.person, rules=desk.rules, now=desk.now, remembered=desk.house.remembered
    )
    return render(
        desk,
        "morning/page.html",
        part="morning/_note_box.html",
        status=status,
        view=morning_view(found, _beside(desk, found.clients)),
        is_handed_over=any(one.coach_id != desk.person.person_id for one in found.clients)
        and not desk.person.is_head,
        lost=[lost_words(one) for one in lost_holds(desk.db, actor=desk.person, now=desk.now)],
        fields=fields,
        note_options=NOTE_OPTIONS,
        longest=LONGEST_LINE,
    )


def _beside(desk: Desk, clients: Sequence[Client]) -> Beside:
    """What was done for many, and swapped, today with its way back; and the practice's own duties."""
    return Beside(
        for_many=dealt_together(desk.db, actor=desk.person, zone=desk.zone, now=desk.now),
        swapped=swapped_today(desk.db, actor=desk.person, zone=desk.zone, now=desk.now),
        changed=changed_today(desk.db, actor=desk.person, zone=desk.zone, now=desk.now),
        house=house_lines(
            desk.db,
            actor=desk.person,
            clients=clients,
            data_dir=desk.house.settings.data_dir,
            rules=desk.rules,
            now=desk.now,
        ),
    )


def _handle(desk: Desk, client_id: int, picked: list[tuple[str, str]], done: str | None) -> None:
    lines.handle_all(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        chosen=picked,
        done=done,
        rules=desk.rules,
        now=desk.now,
    )


def _settle_if_ticked(desk: Desk, line: Standing, fields: Fields, done: str) -> None:
    """Handle what is ticked before the contact or note is kept: those may change the lines themselves."""
    picked = _ticked(desk)
    if not picked:
        return
    try:
        _handle(desk, line.client.id, picked, done)
    except StaleEdit as problem:
        fields.refuse("text", str(problem))


def _ticked(desk: Desk) -> list[tuple[str, str]]:
    return settling.chosen(desk.form) if desk.form.get("boxes") == "yes" else []


def _and(desk: Desk) -> str:
    count = len(_ticked(desk))
    return f" {words.settled(count)}" if count else ""
