"""The one way from rows to plain values: only the columns a value names are read, column by column."""

from __future__ import annotations

import gc
from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import fields, make_dataclass
from typing import Any, TypeVar

from sqlalchemy import ColumnElement, Dialect, Select, select, type_coerce, types
from sqlalchemy.orm import Session

from app.storage.tables import Base

V = TypeVar("V")
K = TypeVar("K", bound=Hashable)


def columns_of(value: type[Any], row: type[Base], *, leaving_out: Iterable[str] = ()) -> list[Any]:
    """The row's columns that a dataclass names, in the dataclass's order."""
    return [getattr(row, f.name) for f in fields(value) if f.name not in set(leaving_out)]


def in_columns(db: Session, query: Select[Any]) -> list[Sequence[Any]]:
    """What a query of columns finds, column by column; as many empty ones as columns when it finds nothing.

    Each column is turned into values at once: many rows cost a third of what they cost one by one.
    """
    db.flush()
    asked = tuple(query.selected_columns)
    as_kept = [type_coerce(one, _AS_KEPT) for one in asked]
    connection = db.connection()
    found = connection.execute(query.with_only_columns(*as_kept, maintain_column_froms=True)).all()
    kept = zip(*found, strict=True) if found else ((),) * len(asked)
    return [_valued(texts, one.type, connection.dialect) for one, texts in zip(asked, kept, strict=True)]


#: A column whose texts and numbers are left as the file keeps them.
_AS_KEPT = types.NullType()


def _valued(kept: Sequence[Any], kind: types.TypeEngine[Any], dialect: Dialect) -> Sequence[Any]:
    """A column's values from what is kept of them."""
    valued = kind.dialect_impl(dialect).result_processor(dialect, None)
    return kept if valued is None else list(map(valued, kept))


def made(value: type[V], columns: Sequence[Sequence[Any]]) -> list[V]:
    """Values of a frozen dataclass from the columns of its fields, in their order.

    A frozen value is filled field by field through a guard, which costs more than reading it. So it is filled as
    its unfrozen likeness, and frozen when it is whole.
    """
    if hasattr(value, "__post_init__"):
        return [value(*one) for one in zip(*columns, strict=True)]
    found = list(map(_unfrozen(value), *columns))
    for one in found:
        one.__class__ = value
    return found


_UNFROZEN: dict[type[Any], Callable[..., Any]] = {}


def _unfrozen(value: type[Any]) -> Callable[..., Any]:
    """A class with the same slots that may be written to."""
    if value not in _UNFROZEN:
        names = [f.name for f in fields(value)]
        _UNFROZEN[value] = make_dataclass(value.__name__, names, slots=True, eq=False, repr=False)
    return _UNFROZEN[value]


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
        # What was made is old at once: the collector's next walk through the young would find nothing in it.
        gc.freeze()
        gc.unfreeze()
        gc.enable()


def read(
    db: Session, value: type[V], row: type[Base], *where: ColumnElement[bool], order_by: Sequence[Any] = ()
) -> list[V]:
    """All matching rows as values of a frozen dataclass whose fields share the columns' names."""
    return made(value, in_columns(db, select(*columns_of(value, row)).where(*where).order_by(*order_by)))


def read_one(db: Session, value: type[V], row: type[Base], *where: ColumnElement[bool]) -> V | None:
    """The only matching row as a value, or None."""
    found = read(db, value, row, *where)
    return found[0] if found else None


def grouped(values: Iterable[V], key: Callable[[V], K]) -> dict[K, tuple[V, ...]]:
    """Values by key, order kept."""
    listed = list(values)
    groups: defaultdict[K, list[V]] = defaultdict(list)
    for found, one in zip(map(key, listed), listed, strict=True):
        groups[found].append(one)
    return {k: tuple(group) for k, group in groups.items()}
