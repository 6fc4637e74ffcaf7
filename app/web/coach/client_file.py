"""A client's page, the audit trail and the emergency card."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import age_on
from app.coaching.questions import DISEASE_QUESTIONS, MEDICINE_GROUPS, Reply, details_of, medicines_of
from app.coaching.screening import ScreeningAnswers
from app.coaching.screening_decision import newest_answers, newest_paper
from app.coaching.signals import Shelf
from app.coaching.trail import Change, TrailEntry
from app.usecases import client_file as use
from app.usecases.client_file import ClientFile
from app.web.charts.ribbon import draw_ribbon
from app.web.charts.ribbon_words import ribbon_rows
from app.web.coach import client_todo as todo
from app.web.coach import client_views as views
from app.web.coach import client_words as words
from app.web.coach.forecast_views import forecast_view
from app.web.coach.stopped_words import hold_views, stopped_views
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()

#: What the card asks for by key of the questions, in a word a helper reads at a glance.
DISEASE_WORDS = {
    "heart": "heart or blood vessel disease, or a stroke",
    "diabetes": "diabetes",
    "kidney": "kidney disease",
}


@dataclass(frozen=True, slots=True)
class TrailView:
    """One entry of the trail, ready to print."""

    at: str
    who: str
    what: str
    changes: tuple[Change, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class CardView:
    """The emergency card."""

    age: str
    contact: str
    contact_phone: str
    confirmed: str
    conditions: tuple[str, ...]
    medicines: tuple[str, ...]
    answered: str
    holds: tuple[str, ...]
    clinician: str


@router.get("/clients/{client_id}")
def page(desk: CoachDesk, client_id: int) -> Response:
    """The client's page."""
    file = use.open_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    forecast = forecast_view(file.history, file.forecast, desk.rules)
    return render(desk, "client/page.html", forecast=forecast, **_context(file))


@router.get("/clients/{client_id}/trail")
def trail(desk: CoachDesk, client_id: int) -> Response:
    """Who did what to this record."""
    head, entries = use.trail(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    shown = [_trail(one, head.client.zone) for one in entries]
    return render(desk, "client/trail.html", head=head, entries=shown)


@router.get("/clients/{client_id}/card")
def card(desk: CoachDesk, client_id: int) -> Response:
    """The emergency card for the pocket; looking at it leaves a trace."""
    file = use.emergency_card(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    actor, now = desk.person, desk.now
    desk.request.state.journal.append(lambda db: use.note_card_opened(db, actor=actor, client_id=client_id, now=now))
    return render(desk, "client/card.html", head=file.head, card=_card(file))


def _context(file: ClientFile) -> dict[str, Any]:
    client = file.head.client
    return {
        "head": file.head,
        "lede": views.lede(file),
        "holds": hold_views(file.history.open_holds, file.history.symptoms),
        "stopped": stopped_views(file.beside_holds),
        "is_all_stopped": file.is_all_stopped,
        "limit": file.limit,
        "asked_today": todo.asked(file, Shelf.TODAY),
        "asked_later": todo.asked(file, Shelf.PLANNING),
        "extra_today": todo.extra_today(file),
        "to_do": todo.to_do(file),
        "brought_in": todo.brought_in(file),
        "todays": todo.todays(file),
        "block_end": views.block_end(file),
        "contact_sentence": views.contact_sentence(file),
        "silence": file.silence,
        "story": views.story(file),
        "has_phase": file.history.phase is not None,
        "ribbon": draw_ribbon(file.ribbon, name=client.name, key=f"c{client.id}"),
        "ribbon_rows": ribbon_rows(file.ribbon.days),
        "ribbon_text": file.ribbon.text,
        "weeks": (views.week("This week", file.this_week), views.week("Next week", file.next_week)),
        "drafts_wait": views.drafts_wait(file),
        "sessions": views.sessions(file),
        "last_session": views.last_session(file),
        "readiness": views.readiness(file),
        "readiness_labels": views.READINESS_LABELS,
        "readiness_level": file.readiness,
        "heart_rate": file.heart_rate,
        "tests": views.tests(file),
        "notes": views.notes(file),
        "contacts": views.contacts(file),
        "goals": views.goals(file),
        "real_week": views.real_week(file),
        "leaves": views.leaves(file),
        "safety": views.safety(file),
    }


def _trail(entry: TrailEntry, zone: str) -> TrailView:
    return TrailView(words.at_local(entry.at, zone), entry.who, entry.action, entry.changes, entry.reason)


def _card(file: ClientFile) -> CardView:
    client, today = file.head.client, file.head.today
    answers = newest_answers(file.history)
    replies, medicines = _replies(answers)
    age = age_on(client.born_on, today)
    confirmed = client.emergency_confirmed_on
    return CardView(
        age="age unknown" if age is None else f"{age} years",
        contact=client.emergency_contact or "not recorded",
        contact_phone=client.emergency_phone or "no number recorded",
        confirmed=f"asked {words.long(confirmed)}" if confirmed else "never asked",
        conditions=_said([(q.key, DISEASE_WORDS[q.key]) for q in DISEASE_QUESTIONS], replies),
        medicines=_said([(group.key, group.text) for group in MEDICINE_GROUPS], medicines),
        answered=f"As answered {words.long(answers.answered_on)}."
        if answers
        else "The questions were never answered.",
        holds=tuple(words.hold_sentence(one) for one in file.history.open_holds),
        clinician=_clinician(file),
    )


def _replies(answers: ScreeningAnswers | None) -> tuple[dict[str, object], dict[str, object]]:
    """The single answers, and those about medicines; empty when they were not kept."""
    return details_of(answers), medicines_of(answers)


def _said(asked: Sequence[tuple[str, str]], replies: Mapping[str, object]) -> tuple[str, ...]:
    """What was answered with yes, or with not sure, which counts as yes; unanswered is never taken for no."""
    unsure = {Reply.YES.value: "", Reply.NOT_SURE.value: " (not sure)"}
    said = [text + unsure[str(replies[key])] for key, text in asked if str(replies.get(key)) in unsure]
    open_ones = [key for key, _ in asked if key not in replies]
    if len(open_ones) == len(asked):
        return ("not known, never asked",)
    if open_ones:
        return (*said, "not everything was answered")
    return tuple(said) or ("none, as answered",)


def _clinician(file: ClientFile) -> str:
    paper = newest_paper(file.history, file.head.today)
    if paper is None or not paper.signer:
        return "none on record"
    profession = f", {paper.profession}" if paper.profession else ""
    limits = f" Limits: {paper.limits}" if paper.limits else ""
    return f"{paper.signer}{profession}.{limits}"
