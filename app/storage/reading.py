"""The one way from rows to plain values: only the columns a value names are read."""

from __future__ import annotations

import gc
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Select, select
from sqlalchemy.orm import Session

from app.storage.tables import Base

V = TypeVar("V")
K = TypeVar("K", bound=Hashable)


def columns_of(value: type[Any], row: type[Base], *, leaving_out: Iterable[str] = ()) -> list[Any]:
    """The row's columns that a dataclass names, in the dataclass's order."""
    return [getattr(row, f.name) for f in fields(value) if f.name not in set(leaving_out)]


def rows(db: Session, query: Select[Any]) -> Sequence[Any]:
    """The rows of a query of columns, without what the session does for objects: half the time for many rows."""
    db.flush()
    return db.connection().execute(query).all()


@contextmanager
def collecting_later() -> Iterator[None]:
    """Many values made without the collector walking through all of them again and again; it goes on afterwards.

    The pause is the whole process's and lasts as long as the reading; values of the desk refer to nothing in a ring.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()


def read(
    db: Session, value: type[V], row: type[Base], *where: ColumnElement[bool], order_by: Sequence[Any] = ()
) -> list[V]:
    """All matching rows as values of a frozen dataclass whose fields share the columns' names."""
    query = select(*columns_of(value, row)).where(*where).order_by(*order_by)
    return [value(*found) for found in rows(db, query)]


def read_one(db: Session, value: type[V], row: type[Base], *where: ColumnElement[bool]) -> V | None:
    """The only matching row as a value, or None."""
    found = read(db, value, row, *where)
    return found[0] if found else None


def grouped(values: Iterable[V], key: Callable[[V], K]) -> dict[K, tuple[V, ...]]:
    """Values by key, order kept."""
    groups: defaultdict[K, list[V]] = defaultdict(list)
    for one in values:
        groups[key(one)].append(one)
    return {k: tuple(group) for k, group in groups.items()}
