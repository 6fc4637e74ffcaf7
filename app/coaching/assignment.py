"""The cheapest one-to-one assignment of entries to planned sessions of one kind, exactly, with its ties."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from app.coaching.done_work import done_minutes
from app.coaching.prescriptions import PlannedSession
from app.coaching.session_logs import Answer, SessionLog

#: What a pair costs, what weighs more first: days between, not done, minutes short, minutes over (in seconds).
Cost = tuple[int, int, int, int]
#: Each part of a cost outweighs all that a whole week can gather in the next one.
_SCALES = (10**15, 10**14, 10**7, 1)
_SECONDS = 60


def pair_cost(session: PlannedSession, log: SessionLog, today: date) -> Cost | None:
    """What it costs to let an entry of the same kind answer a session; None when it cannot."""
    days = abs((log.done_on - session.planned_on).days)
    is_not_done = log.answer is Answer.NOT_DONE
    if days and (is_not_done or session.planned_on >= today):
        return None
    short = round((session.minutes - done_minutes(log)) * _SECONDS)
    return (days, int(is_not_done), max(0, short), max(0, -short))


def cheapest(planned: Sequence[PlannedSession], logs: Sequence[SessionLog], today: date) -> dict[int, SessionLog]:
    """The entry for each session's id: as many pairs as can be, then the least cost; equal ones in order of days.

    Exact: the assignment problem solved by shortest augmenting paths over whole numbers (published, from memory).
    """
    sessions = sorted(planned, key=lambda s: (s.planned_on, s.id))
    entries = sorted(logs, key=lambda log: (log.done_on, log.id))
    same_day = _by_day(sessions, entries)
    if same_day is not None:
        return same_day
    found = _assign(_table(sessions, entries, today))
    return {sessions[row].id: entries[column] for row, column in found.items()}


def tied(planned: Sequence[PlannedSession], logs: Sequence[SessionLog], today: date) -> frozenset[int]:
    """Sessions whose entry could as well have been another: the cost is the same, only the order decided."""
    sessions = sorted(planned, key=lambda s: (s.planned_on, s.id))
    entries = sorted(logs, key=lambda log: (log.done_on, log.id))
    table = [[_plain(pair_cost(s, log, today)) for log in entries] for s in sessions]
    found = _assign(_table(sessions, entries, today))
    least = _total(table, found)
    return frozenset(
        sessions[row].id
        for row, column in found.items()
        if (other := _assign(_without(table, row, column))) and _size_and_cost(table, other) == (len(found), least)
    )


def _by_day(sessions: Sequence[PlannedSession], entries: Sequence[SessionLog]) -> dict[int, SessionLog] | None:
    """The plain case: no day twice, and all entries, or all sessions, meet their like on its day."""
    on = {session.planned_on: session for session in sessions}
    done = {log.done_on: log for log in entries}
    if len(on) < len(sessions) or len(done) < len(entries):
        return None
    days = on.keys() & done.keys()
    if len(days) < min(len(sessions), len(entries)):
        return None
    return {on[day].id: done[day] for day in days}


def _plain(cost: Cost | None) -> int | None:
    return None if cost is None else sum(part * scale for part, scale in zip(cost, _SCALES, strict=True))


def _table(sessions: Sequence[PlannedSession], entries: Sequence[SessionLog], today: date) -> list[list[int | None]]:
    """Costs with the order of equals beneath: the earlier session has the earlier entry."""
    base, rows = len(entries) + 1, len(sessions)
    below = base**rows
    return [
        [
            None if (cost := _plain(pair_cost(session, log, today))) is None
            else cost * below + (column - len(entries)) * base ** (rows - 1 - row)
            for column, log in enumerate(entries)
        ]
        for row, session in enumerate(sessions)
    ]  # fmt: skip


def _assign(table: Sequence[Sequence[int | None]]) -> dict[int, int]:
    """Row to column with the most pairs and, among those, the least sum."""
    rows, columns = len(table), len(table[0]) if table else 0
    known = [cost for line in table for cost in line if cost is not None]
    if not known:
        return {}
    # Staying alone costs more than every pair together, so that it is chosen only where no pair is left.
    alone = (max(map(abs, known)) + 1) * (rows + columns + 1)
    never = alone * (rows + 1)
    square = [[never if cost is None else cost for cost in line] + [alone] * rows for line in table]
    column_of = _shortest_paths(square)
    return {
        row: column for row, column in enumerate(column_of) if column < columns and table[row][column] is not None
    }


def _shortest_paths(square: Sequence[Sequence[int]]) -> list[int]:
    """Each row's column in an assignment of least sum; there are at least as many columns as rows."""
    rows, columns = len(square), len(square[0])
    row_price, column_price = [0] * rows, [0] * columns
    row_of = [-1] * columns
    for start in range(rows):
        _augment(start, square, row_price, column_price, row_of)
    column_of = [-1] * rows
    for column, row in enumerate(row_of):
        if row >= 0:
            column_of[row] = column
    return column_of


def _augment(
    start: int, square: Sequence[Sequence[int]], row_price: list[int], column_price: list[int], row_of: list[int]
) -> None:
    """Give one more row its column along the cheapest alternating path, and keep every reduced cost at 0 or above."""
    columns = len(column_price)
    path = _Path([None] * columns, [-1] * columns, [False] * columns, [(start, 0)])
    column, reached = _grow(path, square, row_price, column_price, row_of)
    for row, distance in path.rows:
        row_price[row] += reached - distance
    for other, is_done in enumerate(path.done):
        if is_done and other != column:
            column_price[other] -= reached - _at(path.least, other)
    while column >= 0:
        back = path.before[column]
        row_of[column] = start if back < 0 else row_of[back]
        column = back


@dataclass(slots=True)
class _Path:
    """What is known while a path grows: the distance to each column, the one before it, those settled, the rows."""

    least: list[int | None]
    before: list[int]
    done: list[bool]
    rows: list[tuple[int, int]]


def _grow(
    path: _Path, square: Sequence[Sequence[int]], row_price: list[int], column_price: list[int], row_of: list[int]
) -> tuple[int, int]:
    """Settle columns, the nearest first, until one is free; that column and its distance."""
    column = -1
    while True:
        row, reached = path.rows[-1]
        for other, is_done in enumerate(path.done):
            cost = reached + square[row][other] - row_price[row] - column_price[other]
            known = path.least[other]
            if not is_done and (known is None or cost < known):
                path.least[other], path.before[other] = cost, column
        column = min((c for c, is_done in enumerate(path.done) if not is_done), key=partial(_at, path.least))
        path.done[column] = True
        if row_of[column] < 0:
            return column, _at(path.least, column)
        path.rows.append((row_of[column], _at(path.least, column)))


def _at(least: Sequence[int | None], place: int) -> int:
    value = least[place]
    if value is None:
        raise AssertionError("a column that was looked at has a distance")
    return value


def _without(table: Sequence[Sequence[int | None]], row: int, column: int) -> list[list[int | None]]:
    return [
        [None if (r, c) == (row, column) else cost for c, cost in enumerate(line)] for r, line in enumerate(table)
    ]


def _total(table: Sequence[Sequence[int | None]], found: dict[int, int]) -> int:
    return sum(table[row][column] or 0 for row, column in found.items())


def _size_and_cost(table: Sequence[Sequence[int | None]], found: dict[int, int]) -> tuple[int, int]:
    return len(found), _total(table, found)
