"""Many rows of one table in one statement, a column at a time; what the rows share is turned into text once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import repeat
from typing import Any, cast

from sqlalchemy import Table
from sqlalchemy.orm import Session

from app.storage.tables import Base


def add_rows(
    db: Session,
    kind: type[Base],
    names: Sequence[str],
    rows: Sequence[tuple[Any, ...]],
    *,
    shared: Mapping[str, Any],
    on_conflict: str = "",
) -> None:
    """Insert rows given as values of the named columns, with the columns they share; what is left out stays empty.

    on_conflict: what happens to a row that is there already, as the words of SQL after the values.

    The session's own insert works out the parameters of each row anew, which takes longer than writing them.
    """
    if not rows:
        return
    table, connection = cast(Table, kind.__table__), db.connection()
    columns = [table.c[name] for name in (*names, *shared)]
    turns = [column.type.dialect_impl(connection.dialect).bind_processor(connection.dialect) for column in columns]
    own = zip(*rows, strict=True)
    stored = [map(turn, column) if turn else column for column, turn in zip(own, turns, strict=False)]
    same = [
        repeat(turn(value) if turn else value, len(rows))
        for value, turn in zip(shared.values(), turns[len(names) :], strict=True)
    ]
    listed, marks = ", ".join(column.name for column in columns), ", ".join("?" * len(columns))
    # Table, columns and the words on a conflict are the code's own; every value is bound.
    statement = f"INSERT INTO {table.name} ({listed}) VALUES ({marks}) {on_conflict}"  # noqa: S608
    connection.exec_driver_sql(statement, list(zip(*stored, *same, strict=True)))
