"""What was brought in from files: confirmed mappings, one progress row a batch, identities, open phase decisions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.phases import DecisionKind, PhaseDecision
from app.storage.reading import grouped, read
from app.storage.tables.desk import ImportRow, MappingRow
from app.storage.tables.training import PhaseDecisionRow, ReadinessNoteRow, SessionLogRow


@dataclass(frozen=True, slots=True)
class BroughtIn:
    """One batch of one file."""

    id: int
    at: datetime
    person_id: int
    file_name: str
    file_sha256: str
    kind: str
    added: int
    changed: int
    refused: int


def add(
    db: Session,
    *,
    at: datetime,
    person_id: int,
    file_name: str,
    file_sha256: str,
    kind: str,
    added: int,
    changed: int,
    refused: int,
) -> int:
    """Add a batch's progress row."""
    row = ImportRow(
        at=at,
        person_id=person_id,
        file_name=file_name,
        file_sha256=file_sha256,
        kind=kind,
        added=added,
        changed=changed,
        refused=refused,
    )
    db.add(row)
    db.flush()
    return row.id


def of_person(db: Session, *, person_id: int, most: int = 50) -> list[BroughtIn]:
    """What a person brought in, newest first."""
    found = read(db, BroughtIn, ImportRow, ImportRow.person_id == person_id, order_by=[ImportRow.id.desc()])
    return found[:most]


def are_kept(db: Session, *, import_ids: Sequence[int]) -> bool:
    """Whether all of some progress rows are in the file, so that their transaction was committed."""
    found = db.scalars(select(ImportRow.id).where(ImportRow.id.in_(import_ids))).all()
    return set(found) == set(import_ids)


def keep_mapping(
    db: Session, *, header_sha256: str, kind: str, mapping_json: str, person_id: int, at: datetime
) -> None:
    """Remember a confirmed mapping for a header row; the newest one stands."""
    values = {"kind": kind, "mapping_json": mapping_json, "person_id": person_id, "confirmed_at": at}
    statement = insert(MappingRow).values(header_sha256=header_sha256, **values)
    db.execute(statement.on_conflict_do_update(index_elements=["header_sha256"], set_=values))


def mapping_for(db: Session, *, header_sha256: str) -> str | None:
    """The confirmed mapping of a header row as text."""
    return db.scalar(select(MappingRow.mapping_json).where(MappingRow.header_sha256 == header_sha256))


def known_keys(db: Session, *, client_ids: Sequence[int]) -> frozenset[str]:
    """Identities of every session and readiness note brought in for some clients."""
    found: set[str] = set()
    for row in (SessionLogRow, ReadinessNoteRow):
        query = select(row.import_key).where(row.client_id.in_(client_ids), row.import_key.is_not(None))
        found.update(key for key in db.scalars(query) if key is not None)
    return frozenset(found)


def decisions_of(db: Session, *, client_ids: Sequence[int]) -> dict[int, tuple[PhaseDecision, ...]]:
    """The phase histories of some clients, oldest first."""
    found = read(
        db,
        PhaseDecision,
        PhaseDecisionRow,
        PhaseDecisionRow.client_id.in_(client_ids),
        order_by=[PhaseDecisionRow.id],
    )
    return grouped(found, lambda decision: decision.client_id)


def waiting_decisions(db: Session, *, client_ids: Sequence[int]) -> list[PhaseDecision]:
    """The newest unconfirmed brought-in phase of each client, unless something was decided after it."""
    latest = [decisions[-1] for decisions in decisions_of(db, client_ids=client_ids).values()]
    return [one for one in latest if one.kind is DecisionKind.BROUGHT_IN and one.confirmed_at is None]
