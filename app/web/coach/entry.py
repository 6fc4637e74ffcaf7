"""Entering on a client's behalf what was told by phone or stands on paper: session, note, symptom, questions."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from enum import StrEnum

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.look_twice import Doubt
from app.coaching.people import ENTRY_ORIGIN_WORDS, Client, Origin
from app.coaching.reasons import StaleEdit
from app.coaching.symptoms import advice, sign_of
from app.usecases import felt_wrong, questions, readiness, session_logs
from app.usecases.session_logs import KeptLog, LogEntry, PlannedChoice
from app.web.deps import AskedId, CoachDesk, Desk
from app.web.felt_wrong_form import WrongForm, read_report, sign_advice_meanwhile
from app.web.forms import Fields
from app.web.log_form import CHOICES, LogForm, asked_twice, initial_of, read_entry
from app.web.log_words import MODE_WORDS, said_lines
from app.web.questions_form import QuestionsForm, read_answers, symptom_advice_meanwhile
from app.web.readiness_form import ReadinessForm, pause_advice_meanwhile, read_note
from app.web.render import render, see_other

router = APIRouter()

#: So many of the sessions that are still ahead are named on the page of choices.
SHOWN_AHEAD = 3


class HowKnown(StrEnum):
    """How the coach knows what is entered."""

    TOLD_BY_PHONE = "told_by_phone"
    FROM_PAPER = "from_paper"
    WAS_THERE = "coach"


def read_origin(fields: Fields) -> Origin | None:
    """Told by phone, from paper, or seen by the coach; asked, never guessed."""
    known = fields.choice("origin", HowKnown)
    return None if known is None else Origin(known.value)


@router.get("/clients/{client_id}/entry")
def show_log(desk: CoachDesk, client_id: int, session: AskedId = None, extra: bool = False) -> Response:
    """The form of one session, after choosing which."""
    client, today = _client(desk, client_id)
    if session is None and not extra:
        found = session_logs.choices(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
        outside = session_logs.outside_choices(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
        return render(
            desk, "entry/choose.html", client=client, choices=found, outside=outside, shown_ahead=SHOWN_AHEAD
        )
    chosen = _chosen(desk, client_id, session)
    day = min(chosen.session.planned_on, today) if chosen else today
    fields = Fields(initial={"done_on": day})
    return _log_page(desk, client, fields, _log_form(client_id, chosen, today), chosen)


@router.post("/clients/{client_id}/entry")
def keep_log(desk: CoachDesk, client_id: int) -> Response:
    """Keep a session for the client."""
    client, today = _client(desk, client_id)
    fields = Fields(desk.form)
    planned_session_id = fields.whole("planned_session_id", lowest=1, highest=2**53, required=False)
    chosen = _chosen(desk, client_id, planned_session_id)
    form = _log_form(client_id, chosen, today)
    origin = read_origin(fields)
    entry = read_entry(fields, form)
    if entry is None or origin is None:
        return _log_page(desk, client, fields, form, chosen, status=422)
    doubts = _doubts(desk, client_id, fields, entry)
    if doubts:
        return _log_page(desk, client, fields, replace(form, doubts=doubts), chosen, status=422)
    log_id = session_logs.keep(
        desk.db, actor=desk.person, client_id=client_id, entry=entry, origin=origin, now=desk.now
    )
    return see_other(desk, f"/entry/logs/{log_id}", flash=f"Kept for {client.name}.")


@router.get("/entry/logs/{log_id}")
def show_kept(desk: CoachDesk, log_id: int) -> Response:
    """What was understood, and the other entries about the same session."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    return render(
        desk,
        "entry/kept.html",
        kept=kept,
        title=kept.planned.title if kept.planned else MODE_WORDS[kept.log.mode],
        said=said_lines(kept.log, kept.planned),
        known=ENTRY_ORIGIN_WORDS[kept.log.origin],
    )


@router.get("/entry/logs/{log_id}/change")
def show_change(desk: CoachDesk, log_id: int) -> Response:
    """The form as the entry stands."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    form = _change_form(desk, kept, kept.log.revision)
    return _log_page(desk, kept.client, Fields(initial=initial_of(kept.log)), form)


@router.post("/entry/logs/{log_id}/change")
def change(desk: CoachDesk, log_id: int) -> Response:
    """Correct an entry; the earlier words stay in the audit trail."""
    kept = session_logs.kept(desk.db, actor=desk.person, log_id=log_id, now=desk.now)
    fields = Fields(desk.form)
    revision = fields.whole("revision", lowest=1, highest=1_000_000) or 0
    form = _change_form(desk, kept, kept.log.revision)
    entry = read_entry(fields, form)
    if entry is None:
        return _log_page(desk, kept.client, fields, _change_form(desk, kept, revision), status=422)
    doubts = _doubts(desk, kept.client.id, fields, entry, log_id=log_id)
    if doubts:
        again = replace(_change_form(desk, kept, revision), doubts=doubts)
        return _log_page(desk, kept.client, fields, again, status=422)
    try:
        session_logs.correct(desk.db, actor=desk.person, log_id=log_id, entry=entry, revision=revision, now=desk.now)
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _log_page(desk, kept.client, fields, form, status=409)
    return see_other(desk, f"/entry/logs/{log_id}", flash="Corrected. The earlier words stay on record.")


@router.get("/clients/{client_id}/entry/readiness")
def show_readiness(desk: CoachDesk, client_id: int) -> Response:
    """How the client is, as told."""
    client, today = _client(desk, client_id)
    return _readiness_page(desk, client, Fields(initial={"noted_on": today}), today)


@router.post("/clients/{client_id}/entry/readiness")
def keep_readiness(desk: CoachDesk, client_id: int) -> Response:
    """Keep a note for the client."""
    client, today = _client(desk, client_id)
    fields = Fields(desk.form)
    origin = read_origin(fields)
    entry = read_note(fields, _readiness_form(client_id, today))
    if entry is None or origin is None:
        return _readiness_page(desk, client, fields, today, status=422)
    kept = readiness.keep(desk.db, actor=desk.person, client_id=client_id, entry=entry, origin=origin, now=desk.now)
    paused = " Something is paused now." if kept.hold_ids else ""
    return see_other(desk, f"/clients/{client_id}", flash=f"Kept for {client.name}.{paused}")


@router.get("/clients/{client_id}/entry/felt-wrong")
def show_felt_wrong(desk: CoachDesk, client_id: int) -> Response:
    """Something felt wrong, as told."""
    client, today = _client(desk, client_id)
    return _wrong_page(desk, client, Fields(initial={"felt_on": today}), today)


@router.post("/clients/{client_id}/entry/felt-wrong")
def keep_felt_wrong(desk: CoachDesk, client_id: int) -> Response:
    """Keep the report and pause the client's training in one step."""
    client, today = _client(desk, client_id)
    fields = Fields(desk.form)
    origin = read_origin(fields)
    wanted = read_report(fields, _wrong_form(client_id, today))
    if wanted is None or origin is None:
        return _wrong_page(desk, client, fields, today, status=422)
    felt_wrong.report(desk.db, actor=desk.person, client_id=client_id, report=wanted, origin=origin, now=desk.now)
    said = " ".join(advice(sign_of(wanted.sign), desk.practice.emergency_number)[:2])
    return see_other(desk, f"/clients/{client_id}", flash=f"Kept, and training is paused. Tell {client.name}: {said}")


@router.get("/clients/{client_id}/entry/questions")
def show_questions(desk: CoachDesk, client_id: int) -> Response:
    """The screening questions, as told."""
    form = _questions_form(desk, client_id)
    return _questions_page(desk, Fields(initial=form.initial), form)


@router.post("/clients/{client_id}/entry/questions")
def keep_questions(desk: CoachDesk, client_id: int) -> Response:
    """Keep a full set of answers for the client."""
    form = _questions_form(desk, client_id)
    fields = Fields(desk.form)
    origin = read_origin(fields)
    entry = read_answers(fields, form)
    if entry is None or origin is None:
        return _questions_page(desk, fields, form, status=422)
    questions.keep(desk.db, actor=desk.person, client_id=client_id, entry=entry, origin=origin, now=desk.now)
    return see_other(desk, f"/clients/{client_id}", flash=f"The answers of {form.page.client.name} are kept.")


def _client(desk: Desk, client_id: int) -> tuple[Client, date]:
    """The client and the client's own local day."""
    return session_logs.client_day(desk.db, actor=desk.person, client_id=client_id, now=desk.now)


def _chosen(desk: Desk, client_id: int, session: int | None) -> PlannedChoice | None:
    if session is None:
        return None
    return session_logs.choice_of(
        desk.db, actor=desk.person, client_id=client_id, planned_session_id=session, now=desk.now
    )


def _log_form(client_id: int, chosen: PlannedChoice | None, today: date) -> LogForm:
    address = f"/clients/{client_id}/entry"
    return LogForm(address, chosen.session if chosen else None, today, is_by_coach=True, back=address)


def _doubts(desk: Desk, client_id: int, fields: Fields, entry: LogEntry, *, log_id: int = 0) -> tuple[Doubt, ...]:
    """What is to be looked at twice, each with its sentence beside the field; nothing once the coach ticked it."""
    found = session_logs.doubts(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        entry=entry,
        rules=desk.rules,
        now=desk.now,
        log_id=log_id,
    )
    return asked_twice(fields, found)


def _change_form(desk: Desk, kept: KeptLog, revision: int) -> LogForm:
    address = f"/entry/logs/{kept.log.id}"
    return LogForm(f"{address}/change", kept.planned, desk.today, is_by_coach=True, revision=revision, back=address)


def _log_page(
    desk: Desk,
    client: Client,
    fields: Fields,
    form: LogForm,
    chosen: PlannedChoice | None = None,
    *,
    status: int = 200,
) -> Response:
    return render(
        desk,
        "entry/log.html",
        part="phone/_log_form.html",
        status=status,
        client=client,
        fields=fields,
        form=form,
        choices=CHOICES,
        answered_by=chosen.log_id if chosen else None,
    )


def _readiness_form(client_id: int, today: date) -> ReadinessForm:
    return ReadinessForm(
        f"/clients/{client_id}/entry/readiness", today, is_by_coach=True, back=f"/clients/{client_id}"
    )


def _readiness_page(desk: Desk, client: Client, fields: Fields, today: date, status: int = 200) -> Response:
    return render(
        desk,
        "entry/readiness.html",
        part="phone/_readiness_form.html",
        status=status,
        client=client,
        fields=fields,
        form=_readiness_form(client.id, today),
        meanwhile=pause_advice_meanwhile(fields, desk.practice.emergency_number),
    )


def _wrong_form(client_id: int, today: date) -> WrongForm:
    return WrongForm(f"/clients/{client_id}/entry/felt-wrong", today, is_by_coach=True, back=f"/clients/{client_id}")


def _wrong_page(desk: Desk, client: Client, fields: Fields, today: date, status: int = 200) -> Response:
    return render(
        desk,
        "entry/felt_wrong.html",
        part="phone/_felt_wrong_form.html",
        status=status,
        client=client,
        fields=fields,
        form=_wrong_form(client.id, today),
        meanwhile=sign_advice_meanwhile(fields, desk.practice.emergency_number),
    )


def _questions_form(desk: Desk, client_id: int) -> QuestionsForm:
    page = questions.page(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return QuestionsForm(
        f"/clients/{client_id}/entry/questions", page, is_by_coach=True, back=f"/clients/{client_id}"
    )


def _questions_page(desk: Desk, fields: Fields, form: QuestionsForm, status: int = 200) -> Response:
    return render(
        desk,
        "entry/questions.html",
        part="phone/_questions_form.html",
        status=status,
        client=form.page.client,
        fields=fields,
        form=form,
        meanwhile=symptom_advice_meanwhile(fields, desk.practice.emergency_number),
    )
