"""The practice itself: its name, kind, zone and settings."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.practice import Practice, PracticeKind
from app.coaching.rules import Rules, rules_from
from app.storage.tables.desk import PracticeRow, SettingRow


def found(db: Session) -> Practice | None:
    """The practice, or None in a fresh folder."""
    row = db.get(PracticeRow, 1)
    if row is None:
        return None
    return Practice(
        row.name, row.kind, row.zone, row.emergency_number, row.public_url, row.setup_code_sha256, row.phone
    )


def begun_at(db: Session) -> datetime:
    """Since when the practice is kept here."""
    return db.get_one(PracticeRow, 1).created_at


def create(db: Session, *, name: str, kind: PracticeKind, zone: str, at: datetime) -> None:
    """The one row, in a fresh folder."""
    db.add(
        PracticeRow(
            id=1,
            name=name,
            kind=kind,
            zone=zone,
            emergency_number=None,
            public_url=None,
            setup_code_sha256=None,
            created_at=at,
        )
    )
    db.flush()


def change(db: Session, *, name: str, zone: str, emergency_number: str | None, public_url: str | None) -> None:
    """Overwrite the practice's particulars; the caller leaves the trace."""
    row = db.get_one(PracticeRow, 1)
    row.name, row.zone, row.emergency_number, row.public_url = name, zone, emergency_number, public_url
    db.flush()


def change_phone(db: Session, *, phone: str | None) -> None:
    """Overwrite the practice's telephone; the caller leaves the trace."""
    db.get_one(PracticeRow, 1).phone = phone
    db.flush()


def set_setup_code(db: Session, *, sha256: str | None) -> None:
    """Keep the hash of the one-time code for the first coach, or remove it."""
    db.get_one(PracticeRow, 1).setup_code_sha256 = sha256
    db.flush()


def changed_settings(db: Session) -> dict[str, float]:
    """The settings that differ from their defaults."""
    return {row.name: row.value for row in db.execute(select(SettingRow.name, SettingRow.value))}


def rules(db: Session) -> Rules:
    """The practice's rules. Raises: DomainError when a stored setting is no longer allowed."""
    return rules_from(changed_settings(db))


def change_setting(db: Session, *, name: str, value: float, person_id: int, at: datetime) -> None:
    """Keep one setting; the caller has checked it and leaves the trace."""
    statement = insert(SettingRow).values(name=name, value=value, person_id=person_id, changed_at=at)
    db.execute(
        statement.on_conflict_do_update(
            index_elements=["name"], set_={"value": value, "person_id": person_id, "changed_at": at}
        )
    )
