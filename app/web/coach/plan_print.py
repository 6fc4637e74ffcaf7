"""A client's week on paper: the sheet for the fridge, with boxes to fill in by hand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.done_work import is_endurance
from app.coaching.hills import told_of_hill
from app.coaching.hold_rules import MayTrain
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.screening import ConsentKind
from app.coaching.weeks import week_start
from app.coaching.words import counted, minutes_words, short_days
from app.usecases import fridge_sheet
from app.usecases.fridge_sheet import SheetDay, SheetSession
from app.web.coach.plan_views import near
from app.web.deps import CoachDesk
from app.web.render import render
from app.web.session_view import SessionView, session_view

router = APIRouter()


@router.get("/clients/{client_id}/plan/print")
def fridge_sheet_page(desk: CoachDesk, client_id: int, week: date | None = None) -> Response:
    """A client's week on paper, with boxes to fill in by hand."""
    monday = week_start(near(week, desk.today))
    page = fridge_sheet.open_sheet(
        desk.db, actor=desk.person, client_id=client_id, monday=monday, rules=desk.rules, now=desk.now
    )
    paused = Counter(it.paused for one in page.days for it in one.sessions if it.paused is not None)
    has_hard = any(it.paused is None and is_hard_or_middle(it.session) for one in page.days for it in one.sessions)
    return render(
        desk,
        "plan/print.html",
        stop_text=CONSENT_TEXTS[ConsentKind.STOP_SIGNS] if has_hard else None,
        client=page.client,
        limit=page.limit,
        paused_beside=page.paused_beside,
        is_empty=not any(one.sessions for one in page.days),
        paused_often=[may for may, days in paused.items() if days > 1],
        summary=_sheet_words([it.session for one in page.days for it in one.sessions if it.paused is None]),
        monday=monday,
        sunday=monday + timedelta(days=6),
        days=_printed_days(page.days),
    )


@dataclass(frozen=True, slots=True)
class PrintedSession:
    """A session on paper: what it says, why it is paused, the hill it is done on, and what heat asks of it."""

    view: SessionView
    paused: MayTrain | None
    hill: tuple[str, ...]
    heat: str
    #: The day before it whose steps and hill are word for word the same; they are not printed again.
    same_as: date | None = None


def _printed_days(days: Sequence[SheetDay]) -> list[tuple[SheetDay, list[PrintedSession]]]:
    """The week on paper; hard work that stands there twice has its steps once, its warm-up rule each time."""
    first: list[tuple[date, PrintedSession]] = []
    found = []
    for day in days:
        printed = [_printed(it) for it in day.sessions]
        found.append((day, [replace(it, same_as=_same_before(it, first)) for it in printed]))
        first += [(day.on, it) for it in printed if it.view.easy_version and not it.paused]
    return found


def _same_before(it: PrintedSession, before: Sequence[tuple[date, PrintedSession]]) -> date | None:
    return next((on for on, one in before if one == it), None)


def _printed(it: SheetSession) -> PrintedSession:
    hill = told_of_hill(it.hill, it.session.mode) if it.hill and is_hard_or_middle(it.session) else ()
    return PrintedSession(session_view(it.session), it.paused, hill, "" if it.heat is None else it.heat.words)


def _sheet_words(sessions: Sequence[PlannedSession]) -> str:
    """What the week comes to: sessions, time and hard days; "" when nothing is to be done."""
    going = [one for one in sessions if is_endurance(one)]
    hard = [one.planned_on for one in going if one.is_hard]
    if not going:
        return ""
    total = f"{counted(len(going), 'session')}, {minutes_words(sum(one.minutes for one in going))} together"
    return f"{total}; hard on {short_days(hard)}." if hard else f"{total}; none of it hard."
