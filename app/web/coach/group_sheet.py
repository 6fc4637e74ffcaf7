"""The group sheet: choose the day and the names, print it, enter it afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.group_sheet import MOST_NAMES, Clock
from app.coaching.screening import ConsentKind
from app.coaching.words import duration_words
from app.usecases.plan_many import group_sheet as use
from app.web.coach.group_entry import entry_address
from app.web.coach.plan_views import near
from app.web.coach.ticks import ticked
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()

#: Empty rows at the foot for somebody who comes along.
SPARE_ROWS = 1


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round's column: its number and its time on the one clock."""

    number: int
    begins: str
    ends: str


@router.get("/plan/group-sheet")
def choose_page(desk: CoachDesk, day: date | None = None) -> Response:
    """Who is on the sheet."""
    on = near(day, desk.today)
    choices = use.sheet_choices(desk.db, actor=desk.person, day=on, now=desk.now)
    return render(
        desk,
        "plan/group_choose.html",
        day=on,
        before=(on - timedelta(days=1)).isoformat(),
        after=(on + timedelta(days=1)).isoformat(),
        choices=choices,
        with_rounds=sum(one.has_rounds for one in choices),
        most=MOST_NAMES,
    )


@router.get("/plan/group-sheet/print")
def sheet_page(desk: CoachDesk, day: date | None = None) -> Response:
    """The sheet of those ticked."""
    on = near(day, desk.today)
    chosen = ticked(desk.request.query_params)
    sheet = use.open_sheet(
        desk.db, actor=desk.person, day=on, client_ids=chosen[:MOST_NAMES], rules=desk.rules, now=desk.now
    )
    clock = sheet.clock
    return render(
        desk,
        "plan/group_sheet.html",
        day=on,
        clock_words=_clock_words(clock) if clock else "",
        rounds=_rounds(clock) if clock else (),
        rows=sheet.rows,
        spare_rows=range(SPARE_ROWS),
        entry_address=entry_address(on, chosen[:MOST_NAMES]),
        left_off=max(0, len(chosen) - MOST_NAMES),
        most=MOST_NAMES,
        stop_text=CONSENT_TEXTS[ConsentKind.STOP_SIGNS],
    )


def _rounds(clock: Clock) -> tuple[RoundView, ...]:
    return tuple(
        RoundView(number, _minute(begins), _minute(ends))
        for number, (begins, ends) in enumerate(clock.rounds, start=1)
    )


def _minute(seconds: int) -> str:
    return f"{seconds // 60}:{seconds % 60:02d}"


def _clock_words(clock: Clock) -> str:
    work, rest = duration_words(clock.work_s), duration_words(clock.recovery_s)
    return f"Together from 0:00: warm-up, then rounds of {work} with {rest} easy between them."
