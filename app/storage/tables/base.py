"""The declarative base: naming of constraints, and STRICT for every table."""

from __future__ import annotations

from typing import Any, ClassVar

from sqlalchemy import REAL, Integer, MetaData, Text
from sqlalchemy.orm import DeclarativeBase

NAMING = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

STRICT: dict[str, Any] = {"sqlite_strict": True}


class Base(DeclarativeBase):
    """All tables."""

    metadata = MetaData(naming_convention=NAMING)
    # STRICT knows neither VARCHAR nor FLOAT.
    type_annotation_map: ClassVar[dict[Any, Any]] = {str: Text, int: Integer, float: REAL}
