"""Test results."""

from __future__ import annotations

from dataclasses import fields

from sqlalchemy.orm import Session

from app.coaching.fitness_tests import FitnessTest
from app.storage.reading import read
from app.storage.tables.training import FitnessTestRow


def add(db: Session, *, test: FitnessTest) -> int:
    """Add a result; the given id is ignored. Returns the id."""
    values = {f.name: getattr(test, f.name) for f in fields(FitnessTest) if f.name != "id"}
    row = FitnessTestRow(**values)
    db.add(row)
    db.flush()
    return row.id


def of_client(db: Session, *, client_id: int) -> list[FitnessTest]:
    """A client's results, oldest first."""
    return read(
        db,
        FitnessTest,
        FitnessTestRow,
        FitnessTestRow.client_id == client_id,
        order_by=[FitnessTestRow.tested_on, FitnessTestRow.id],
    )
