"""The week board: one week of many clients, typed in plain words, looked at, and kept as drafts."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.plan_sending import week_to_send
from app.coaching.typed_values import NotUnderstood, clean_text, iso_day
from app.coaching.weeks import day_words, week_days, week_start
from app.coaching.words import counted, short_day
from app.usecases.plan_many import board as use
from app.usecases.plan_many import typing
from app.usecases.plan_many.board import Board, BoardWish
from app.usecases.plan_many.typing import ChangedDay, TypedCell, TypedPreview, WeekChanged
from app.web.coach.board_views import cell_name, preview_views, row_views, shown_name
from app.web.coach.judging import judge_of
from app.web.coach.plan_session_views import DifferenceView
from app.web.coach.plan_views import near
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

LONGEST_SEARCH = 100
#: Many more than anybody plans into one day.
LONGEST_CELL = 300
_PHASES = {phase.value: phase for phase in Phase}


@router.get("/plan/board")
def board_page(desk: CoachDesk) -> Response:
    """One week of many clients."""
    wish = _wish(desk)
    return _page(desk, wish, _open(desk, wish), Fields(initial={}))


@router.post("/plan/board")
def board_form(desk: CoachDesk) -> Response:
    """Look at what was typed, or keep it."""
    wish = _wish(desk)
    board = _open(desk, wish)
    fields = Fields(desk.form)
    try:
        preview = typing.preview_typed(board, _cells(desk, board), rules=desk.rules, now=desk.now)
    except WeekChanged as stale:
        fields.refuse("", str(stale))
        return _page(desk, wish, board, fields, changed=stale.days, status=409)
    names = {row.client.id: row.client.name for row in board.rows}
    for (client_id, on), sentence in preview.problems.items():
        fields.refuse(cell_name(client_id, on), f"{names[client_id]}, {day_words(on)}: {sentence}")
    if desk.form.get("step") != "keep" or fields.errors:
        return _page(desk, wish, board, fields, preview, status=422 if fields.errors else 200)
    if desk.form.get("looked_at", "") != preview.looked_at or not preview.changes:
        fields.refuse("", "The words are other than those you looked at. Nothing was kept; this is what they mean.")
        return _page(desk, wish, board, fields, preview, status=422)
    count = typing.keep_typed(desk.db, actor=desk.person, preview=preview, now=desk.now)
    flash = f"{counted(count, 'change')} kept as drafts. Nothing is published by it."
    return see_other(desk, _address(wish), flash=flash)


def _open(desk: Desk, wish: BoardWish) -> Board:
    return use.open_board(desk.db, actor=desk.person, wish=wish, judge=judge_of(desk), rules=desk.rules, now=desk.now)


def _wish(desk: Desk) -> BoardWish:
    """What the address asks for; words that mean nothing here are passed over."""
    asked = desk.request.query_params
    return BoardWish(
        monday=week_start(near(_day(asked.get("week", "")) or week_to_send(desk.today), desk.today)),
        words=clean_text(asked.get("q", ""))[:LONGEST_SEARCH],
        phase=_PHASES.get(asked.get("phase", "")),
        coach_id=_number(asked.get("coach", "")),
        page=_number(asked.get("page", "")) or 1,
    )


def _day(text: str) -> date | None:
    try:
        return iso_day(text)
    except NotUnderstood:
        return None


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None


def _address(wish: BoardWish, *, monday: date | None = None, page: int | None = None) -> str:
    parts = {
        "week": (monday or wish.monday).isoformat(),
        "q": wish.words,
        "phase": wish.phase.value if wish.phase else "",
        "coach": str(wish.coach_id or ""),
        "page": str(page or wish.page) if (page or wish.page) > 1 else "",
    }
    return f"/plan/board?{urlencode({name: value for name, value in parts.items() if value})}"


def _cells(desk: Desk, board: Board) -> Sequence[TypedCell]:
    """What was typed, day by day; a day whose field was not sent is not touched."""
    found = []
    for row in board.rows:
        for on in week_days(board.monday):
            name = cell_name(row.client.id, on)
            if name not in desk.form:
                continue
            seen, _line, was = desk.form.get(shown_name(row.client.id, on), "").partition("|")
            words = clean_text(desk.form[name])[:LONGEST_CELL]
            found.append(TypedCell(row.client.id, on, was, seen, words))
    return found


def _page(
    desk: Desk,
    wish: BoardWish,
    board: Board,
    fields: Fields,
    preview: TypedPreview | None = None,
    *,
    changed: Sequence[ChangedDay] = (),
    status: int = 200,
) -> Response:
    typed = desk.form if desk.request.method == "POST" else {}
    return render(
        desk,
        "plan/board.html",
        status=status,
        fields=fields,
        board=board,
        wish=wish,
        days=week_days(board.monday),
        sunday=board.monday + timedelta(days=6),
        rows=row_views(board, typed, fields),
        preview=preview_views(preview) if preview else (),
        differences=[
            DifferenceView(
                f"{one.client_name}, {short_day(one.on)}", one.was or "nothing", one.now or "nothing", one.typed
            )
            for one in changed
        ],
        looked_at=preview.looked_at if preview else "",
        may_keep=bool(preview and preview.changes and not preview.problems),
        may_type=any(row.may_plan for row in board.rows),
        here_address=_address(wish),
        this=_address(wish, monday=week_start(desk.today)),
        before=_address(wish, monday=board.monday - timedelta(weeks=1)),
        after=_address(wish, monday=board.monday + timedelta(weeks=1)),
        page_before=_address(wish, page=board.page - 1) if board.page > 1 else None,
        page_after=_address(wish, page=board.page + 1) if board.page < board.pages else None,
        phase_options=[(phase.value, words) for phase, words in PHASE_WORDS.items()],
        coach_options=[(one.id, one.name) for one in board.coaches],
    )
