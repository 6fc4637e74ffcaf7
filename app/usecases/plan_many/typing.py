"""Words typed into the week board: what they would change, and keeping it as drafts."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.lookahead_gathered import Gathered
from app.coaching.paused_told import not_drafted
from app.coaching.people import age_on
from app.coaching.plan_changes import Change, day_changes, is_first_of_phase, new_session
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.rules import Rules
from app.coaching.typed_content import place_of, typed_content
from app.coaching.typed_session import Typed, parse_day
from app.coaching.typed_values import NotUnderstood
from app.storage.many_plans import keep_changes
from app.usecases.plan_many.board import Board, BoardCell, BoardRow, look_ahead


@dataclass(frozen=True, slots=True)
class TypedCell:
    """What was typed for one client's day: the words that stood there, the versions they were, and the words now."""

    client_id: int
    on: date
    was: str
    seen: str
    words: str

    @property
    def is_touched(self) -> bool:
        """Whether anything was typed."""
        return " ".join(self.words.split()) != self.was


@dataclass(frozen=True, slots=True)
class ChangedDay:
    """A day that changed while it was typed into: what stood there, what stands there now, and what was typed."""

    client_name: str
    on: date
    was: str
    now: str
    typed: str


class WeekChanged(StaleEdit):
    """Somebody changed the week meanwhile; `days` says where, and nothing of what was typed is lost."""

    def __init__(self, days: Sequence[ChangedDay]) -> None:
        names = " and ".join(dict.fromkeys(one.client_name for one in days))
        super().__init__(f"The plan of {names} changed while you typed. Nothing was kept; see both below.")
        self.days = tuple(days)


@dataclass(frozen=True, slots=True)
class DayPreview:
    """One day as it would be."""

    on: date
    was: tuple[PlannedSession, ...]
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class RowPreview:
    """One client's typed days, and what publishing the week would break then."""

    row: BoardRow
    days: tuple[DayPreview, ...]
    found: tuple[Gathered, ...]


@dataclass(frozen=True, slots=True)
class TypedPreview:
    """Everything typed into a board, understood; `problems` are sentences by client and day."""

    rows: tuple[RowPreview, ...]
    problems: Mapping[tuple[int, date], str] = field(default_factory=dict)

    @property
    def changes(self) -> tuple[Change, ...]:
        """Every change in it."""
        return tuple(change for row in self.rows for day in row.days for change in day.changes)

    @property
    def looked_at(self) -> str:
        """The print of what was understood, to notice when something else is typed after the preview."""
        said = [
            (one.after.client_id, one.after.id, str(one.after.planned_on), one.after.title, one.after.steps_json)
            for one in self.changes
        ]
        return hashlib.sha256(repr(said).encode()).hexdigest()


def preview_typed(board: Board, cells: Sequence[TypedCell], *, rules: Rules, now: datetime) -> TypedPreview:
    """What the typed words would change on a board.

    Raises: WeekChanged when a day that was typed into changed since the board was opened.
    """
    touched: dict[int, list[TypedCell]] = {}
    for cell in cells:
        if cell.is_touched:
            touched.setdefault(cell.client_id, []).append(cell)
    changed = [day for row in board.rows for day in _changed_days(row, touched.get(row.client.id, ()))]
    if changed:
        raise WeekChanged(changed)
    problems: dict[tuple[int, date], str] = {}
    maker = _Maker(rules, now)
    rows = [
        _row_preview(row, touched[row.client.id], maker, problems) for row in board.rows if row.client.id in touched
    ]
    return TypedPreview(tuple(row for row in rows if row.days), problems)


def keep_typed(db: Session, *, actor: Actor, preview: TypedPreview, now: datetime) -> int:
    """Keep what was understood as drafts; returns how many sessions. The board's rows were opened for planning."""
    return len(keep_changes(db, changes=preview.changes, person_id=actor.person_id, at=now))


class _Maker:
    """Makes sessions of typed words; each new one gets a number of its own."""

    def __init__(self, rules: Rules, now: datetime) -> None:
        self.rules = rules
        self._now = now
        self._made = 0

    def make(self, row: BoardRow, day: date, typed: Typed) -> PlannedSession:
        self._made += 1
        content = typed_content(
            typed,
            age=age_on(row.client.born_on, day),
            first_of_phase=is_first_of_phase(row.known, day),
            rules=self.rules,
        )
        return new_session(
            content,
            client_id=row.client.id,
            number=self._made,
            on=day,
            mode=typed.mode,
            place=place_of(typed),
            at=self._now,
        )


def _changed_days(row: BoardRow, cells: Sequence[TypedCell]) -> list[ChangedDay]:
    by_day = {cell.on: cell for cell in row.cells if cell.is_open}
    pairs = ((typed, by_day[typed.on]) for typed in cells if typed.on in by_day)
    return [
        ChangedDay(row.client.name, typed.on, typed.was, cell.text, typed.words)
        for typed, cell in pairs
        if (typed.was, typed.seen) != (cell.text, cell.seen)
    ]


def _row_preview(
    row: BoardRow, cells: Sequence[TypedCell], maker: _Maker, problems: dict[tuple[int, date], str]
) -> RowPreview:
    by_day = {cell.on: cell for cell in row.cells}
    days = []
    for typed in cells:
        cell = by_day.get(typed.on)
        if cell is None or not cell.is_open:
            problems[row.client.id, typed.on] = "This day is not changed here any more."
            continue
        try:
            day = _day(row, cell, typed.words, maker)
        except (NotUnderstood, DomainError) as problem:
            problems[row.client.id, typed.on] = str(problem)
            continue
        if day.changes:
            days.append(day)
    going = [change.after for day in days for change in day.changes]
    there = {session.id for session in going}
    waiting = [session for session in row.waiting if session.id not in there]
    found = look_ahead(row.known, [*waiting, *going], row.today, maker.rules, judged=row.judged) if going else ()
    return RowPreview(row, tuple(days), found)


def _day(row: BoardRow, cell: BoardCell, words: str, maker: _Maker) -> DayPreview:
    changes = day_changes(cell.standing, parse_day(words), lambda typed: maker.make(row, cell.on, typed))
    for change in changes:
        _refuse_paused(row, change)
    return DayPreview(cell.on, tuple(session for _typed, session in cell.standing), changes)


def _refuse_paused(row: BoardRow, change: Change) -> None:
    """Hard and middle work is not written for somebody whose hard work is paused. Raises: DomainError."""
    if refused := not_drafted(row.stopped, change.after, row.client.name):
        raise DomainError(refused)
