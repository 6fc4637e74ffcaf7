"""Incidents and what was added to them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from app.coaching.incidents import Incident, IncidentEntry, IncidentWord
from app.storage.reading import columns_of, grouped, read
from app.storage.tables.incidents import IncidentEntryRow, IncidentRow


def add(
    db: Session,
    *,
    client_id: int,
    happened_on: date,
    about_when: str,
    activity: str,
    place: str,
    symptoms: str,
    action_taken: str,
    outcome: str,
    hold_id: int | None,
    person_id: int,
    at: datetime,
) -> int:
    """Add an incident; it is never changed again."""
    row = IncidentRow(
        client_id=client_id,
        happened_on=happened_on,
        about_when=about_when,
        activity=activity,
        place=place,
        symptoms=symptoms,
        action_taken=action_taken,
        outcome=outcome,
        hold_id=hold_id,
        recorded_at=at,
        person_id=person_id,
    )
    db.add(row)
    db.flush()
    return row.id


def add_entry(
    db: Session, *, client_id: int, incident_id: int, word: IncidentWord, text: str, person_id: int, at: datetime
) -> int:
    """Add an entry to an incident."""
    row = IncidentEntryRow(
        client_id=client_id, incident_id=incident_id, word=word, text=text, added_at=at, person_id=person_id
    )
    db.add(row)
    db.flush()
    return row.id


def of_clients(db: Session, *, client_ids: Sequence[int]) -> list[Incident]:
    """The incidents of some clients with their entries, oldest first, in two queries."""
    query = select(*columns_of(Incident, IncidentRow, leaving_out=["entries"])).order_by(IncidentRow.id)
    first = [Incident(*found) for found in db.execute(query.where(IncidentRow.client_id.in_(client_ids)))]
    if not first:
        return []
    order = [IncidentEntryRow.id]
    added = read(db, IncidentEntry, IncidentEntryRow, IncidentEntryRow.client_id.in_(client_ids), order_by=order)
    entries = grouped(added, lambda one: one.incident_id)
    return [replace(one, entries=entries.get(one.id, ())) for one in first]
