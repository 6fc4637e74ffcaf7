"""The week board ready to print: rows, cells with their words and marks, and what typed words would change."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from app.coaching.phases import PHASE_WORDS
from app.coaching.plan_changes import Change
from app.coaching.plan_weeks import STANDING_WORDS, Standing
from app.coaching.prescriptions import PlannedSession
from app.coaching.typed_session import words
from app.coaching.words import counted, minutes_words, short_day
from app.usecases.plan_many.board import Board, BoardCell, BoardRow, BoardSession
from app.usecases.plan_many.laying import LaidRow
from app.usecases.plan_many.typing import DayPreview, RowPreview, TypedPreview
from app.web.coach.plan_views import BreachView, breach_views
from app.web.forms import Fields


@dataclass(frozen=True, slots=True)
class MarkView:
    """One session of a day: its mark, its words, and what is to know about it."""

    address: str
    words: str
    #: Whether it is entered as done; planned is hollow, done is filled.
    is_done: bool
    is_gone: bool
    note: str
    #: Whether the field beneath says the words, so that they are not written twice.
    is_in_field: bool


@dataclass(frozen=True, slots=True)
class CellView:
    """One client's day."""

    name: str
    shown_name: str
    label: str
    on: date
    marks: tuple[MarkView, ...]
    value: str
    shown: str
    error: str | None
    is_open: bool
    is_leave: bool
    is_today: bool
    is_empty: bool


@dataclass(frozen=True, slots=True)
class RowView:
    """One client's week."""

    id: int
    name: str
    phase: str
    sums: str
    held: str
    found: tuple[BreachView, ...]
    cells: tuple[CellView, ...]


@dataclass(frozen=True, slots=True)
class DayChangeView:
    """One typed day: what stood there, what it becomes, each as a line."""

    on: date
    was: tuple[str, ...]
    becomes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RowChangeView:
    """What was typed for one client."""

    id: int
    name: str
    days: tuple[DayChangeView, ...]
    found: tuple[BreachView, ...]


def cell_name(client_id: int, on: date) -> str:
    """The name of a day's field."""
    return f"c{client_id}_{on.isoformat()}"


def shown_name(client_id: int, on: date) -> str:
    """The name of the hidden field that says what stood there."""
    return f"w{client_id}_{on.isoformat()}"


def row_views(board: Board, typed: Mapping[str, str], fields: Fields) -> tuple[RowView, ...]:
    """The rows of a board; a field keeps what was typed into it."""
    return tuple(_row(row, typed, fields) for row in board.rows)


def _row(row: BoardRow, typed: Mapping[str, str], fields: Fields) -> RowView:
    hard = f", {counted(row.hard_sessions, 'hard session')}" if row.hard_sessions else ""
    return RowView(
        id=row.client.id,
        name=row.client.name,
        phase=PHASE_WORDS[row.phase] if row.phase else "no phase yet",
        sums=f"{minutes_words(row.minutes)}{hard}" if row.minutes or row.hard_sessions else "",
        held=row.held,
        found=breach_views(row.found, row.client.id),
        cells=tuple(_cell(row, cell, typed, fields) for cell in row.cells),
    )


def _cell(row: BoardRow, cell: BoardCell, typed: Mapping[str, str], fields: Fields) -> CellView:
    name, shown = cell_name(row.client.id, cell.on), shown_name(row.client.id, cell.on)
    return CellView(
        name=name,
        shown_name=shown,
        label=f"{row.client.name}, {cell.on:%A} {cell.on.day} {cell.on:%B}",
        on=cell.on,
        marks=tuple(_mark(one, is_open=cell.is_open) for one in cell.sessions),
        value=typed.get(name, cell.text),
        shown=f"{cell.seen}|{cell.text}",
        error=fields.error(name),
        is_open=cell.is_open,
        is_leave=cell.is_leave,
        is_today=cell.is_today,
        is_empty=not cell.sessions,
    )


def _mark(one: BoardSession, *, is_open: bool) -> MarkView:
    session, standing = one.entry.session, one.entry.standing
    notes = [] if standing is Standing.PUBLISHED else [STANDING_WORDS[standing]]
    notes += ["hard"] if session.is_hard else []
    notes += ["done"] if one.is_done else []
    notes += ["paused"] if one.paused else []
    said = words(one.typed) if one.typed is not None else f"{session.title}, {minutes_words(session.minutes)}"
    return MarkView(
        address=f"/plan/sessions/{session.id}",
        words=said,
        is_done=one.is_done,
        is_gone=session.is_cancelled,
        note=", ".join(notes),
        is_in_field=is_open and one.typed is not None and not session.is_cancelled,
    )


def preview_views(preview: TypedPreview) -> tuple[RowChangeView, ...]:
    """What was understood, client by client."""
    return tuple(_row_change(row) for row in preview.rows)


def _row_change(one: RowPreview) -> RowChangeView:
    client = one.row.client
    return RowChangeView(
        client.id, client.name, tuple(map(_day_change, one.days)), breach_views(one.found, client.id)
    )


def _day_change(day: DayPreview) -> DayChangeView:
    stays = {session.id for session in day.was} - {change.after.id for change in day.changes}
    kept = [f"{session_words(session)} (stays)" for session in day.was if session.id in stays]
    return DayChangeView(
        on=day.on,
        was=tuple(session_words(session) for session in day.was) or ("rest",),
        becomes=(*kept, *(change_words(change) for change in day.changes if not change.after.is_cancelled))
        or ("rest",),
    )


def session_words(session: PlannedSession) -> str:
    """A session in a line: title, minutes, rounds, effort, place."""
    parts = [session.title, minutes_words(session.minutes)]
    if session.rounds:
        parts.append(f"{counted(session.rounds, 'round')} with warm-up and cool-down")
    parts += ["hard"] if session.is_hard else []
    parts += [session.place] if session.place else []
    return ", ".join(parts)


def change_words(change: Change) -> str:
    """What a session becomes, in a line."""
    return session_words(change.after)


@dataclass(frozen=True, slots=True)
class LaidView:
    """A week on one client's days."""

    id: int
    name: str
    looked_at: str
    changes: tuple[str, ...]
    left_out: tuple[str, ...]
    stays: tuple[str, ...]
    found: tuple[BreachView, ...]


def laid_view(row: LaidRow) -> LaidView:
    """A week on one client's days, ready to print."""
    return LaidView(
        id=row.client.id,
        name=row.client.name,
        looked_at=row.looked_at,
        changes=tuple(dated_words(change) for change in sorted(row.changes, key=lambda one: one.after.planned_on)),
        left_out=row.left_out,
        stays=tuple(f"{short_day(one.planned_on)}: {session_words(one)}" for one in row.stays),
        found=breach_views(row.found, row.client.id),
    )


def dated_words(change: Change) -> str:
    """What becomes of a session, with its day."""
    gone = "taken away: " if change.after.is_cancelled else ""
    return f"{short_day(change.after.planned_on)}: {gone}{session_words(change.after)}"
