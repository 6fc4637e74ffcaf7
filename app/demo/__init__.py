"""The demo practice: 24 invented clients, a year deep, with something to decide this morning."""

from __future__ import annotations

import secrets
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from app.coaching.access import Actor, Role
from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.demo.cast_apart import APART
from app.demo.cast_base import IN_BASE
from app.demo.cast_hard import IN_HARD_WORK
from app.demo.diary import Diary, open_diary
from app.demo.hills import write_hills, write_rider
from app.demo.parts import Part
from app.demo.recordings import write_recordings
from app.demo.targets import write_targets
from app.demo.year import write_year
from app.settings import local_zone
from app.storage import accounts, practice, schema
from app.storage.database import open_engine, unit_of_work
from app.usecases import invitations
from app.usecases.accounts import create_coach
from app.usecases.passwords import Passwords
from app.web.security import token_sha256

CAST: tuple[Part, ...] = (*IN_BASE, *IN_HARD_WORK, *APART)
PRACTICE_NAME = "Quiet Hill Endurance"
#: The number of most of Europe, so that the demo's phones show one.
EMERGENCY_NUMBER = "112"
#: Of the invented practice, like its people's numbers.
PHONE = "0611 0200 20"
HEAD_EMAIL = "henrike@quiethill.example"
SECOND_EMAIL = "tomas@quiethill.example"
STAND_IN_EMAIL = "odile@quiethill.example"
#: One password for the three invented coaches. It is printed, and opens invented records only.
PASSWORD = "rounds before breakfast"  # noqa: S105
#: Whose phone the printed link opens, and who is handed to the stand-in.
PHONE_KEY = "matthis"
HANDED_KEYS = ("helmut", "ottilie")
YEARS_OPEN = timedelta(days=3 * 365)


def build(data_dir: Path, today: date, *, not_after: datetime | None = None) -> dict[str, Any]:
    """Write the demo into an empty folder, its stories leading up to a day. The caller holds the folder's lock.

    not_after: when it is opened, on that day; what the stories tell of the morning is then no later than that.
    """
    data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
    schema.upgrade(data_dir)
    engine = open_engine(data_dir)
    password_hash = Passwords().hash(PASSWORD)
    try:
        token = _write(engine, today, local_zone(), password_hash, not_after)
    finally:
        engine.dispose()
    return {
        "data": str(data_dir.resolve()),
        "coach": {"email": HEAD_EMAIL, "password": PASSWORD},
        "client_link": f"/join/{token}",
    }


def _write(engine: Engine, today: date, zone: str, password_hash: str, not_after: datetime | None) -> str:
    opened_at = datetime.combine(today - YEARS_OPEN, time(9), ZoneInfo(zone)).astimezone(UTC)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name=PRACTICE_NAME, kind=PracticeKind.DEMO, zone=zone, at=opened_at)
        practice.change(db, name=PRACTICE_NAME, zone=zone, emergency_number=EMERGENCY_NUMBER, public_url=None)
        practice.change_phone(db, phone=PHONE)
        coaches = _coaches(db, password_hash, opened_at)
        stand_in_id = _add(
            db, "Odile Marchbank", STAND_IN_EMAIL, role=Role.STAND_IN, password_hash=password_hash, at=opened_at
        )
        rules = practice.rules(db)
        write_hills(db, head=coaches["head"], at=opened_at)
        diaries = {
            part.key: _write_one(
                db, part, coach=coaches[part.coach], today=today, zone=zone, rules=rules, not_after=not_after
            )
            for part in CAST
        }
        for key in HANDED_KEYS:
            accounts.add_handover(
                db,
                client_id=diaries[key].client.id,
                person_id=stand_in_id,
                from_on=today - timedelta(days=2),
                until_on=today + timedelta(days=12),
                with_private_notes=False,
            )
        return _invite(db, diaries[PHONE_KEY], coaches["head"])


def _coaches(db: Session, password_hash: str, at: datetime) -> dict[str, Actor]:
    head = create_coach(db, name="Henrike Aldous", email=HEAD_EMAIL, password_hash=password_hash, now=at)
    second_id = _add(db, "Tomas Vreeland", SECOND_EMAIL, role=Role.COACH, password_hash=password_hash, at=at)
    return {
        "head": Actor(head.id, head.name, head.role, None),
        "second": Actor(second_id, "Tomas Vreeland", Role.COACH, None),
    }


def _add(db: Session, name: str, email: str, *, role: Role, password_hash: str, at: datetime) -> int:
    return accounts.add_person(
        db, name=name, email=email, role=role, password_hash=password_hash, client_id=None, at=at
    )


def _write_one(
    db: Session, part: Part, *, coach: Actor, today: date, zone: str, rules: Rules, not_after: datetime | None
) -> Diary:
    diary = open_diary(db, part, coach=coach, today=today, zone=zone, rules=rules, not_after=not_after)
    write_rider(diary)
    write_year(diary)
    write_recordings(diary)
    write_targets(diary)
    return diary


def _invite(db: Session, diary: Diary, head: Actor) -> str:
    """A personal link for one client's phone, good for seven days from the demo's day."""
    token = secrets.token_urlsafe(32)
    invitations.invite(
        db,
        actor=head,
        client_id=diary.client.id,
        token_sha256=token_sha256(token),
        now=diary.at(diary.today, 6),
    )
    return token
