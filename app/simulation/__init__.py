"""A simulated practice: invented people over years, for calibrations and benchmarks; the same for the same seed."""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Engine

from app.coaching.access import Actor
from app.coaching.people import ClientState
from app.coaching.practice import PracticeKind
from app.coaching.reasons import DomainError
from app.settings import local_zone
from app.simulation.bulk import write
from app.simulation.entered import add_record
from app.simulation.rows import Rows
from app.simulation.world.client import simulate_client
from app.simulation.world.constants import DAYS_A_YEAR
from app.simulation.world.record import Calendar, Numbers
from app.storage import practice, schema
from app.storage.database import open_engine, unit_of_work
from app.usecases import invitations
from app.usecases.accounts import create_coach
from app.usecases.passwords import Passwords
from app.web.security import token_sha256

PRACTICE_NAME = "Stillwater Endurance (simulated)"
COACH_NAME = "Ansa Kettlow"
COACH_EMAIL = "ansa@stillwater.example"
EMERGENCY_NUMBER = "112"
#: It is printed, and opens invented records only.
PASSWORD = "walks after the rain"  # noqa: S105
#: Clients that are written in one transaction.
BATCH = 25
MOST_CLIENTS, MOST_YEARS = 5000, 20


def build(data_dir: Path, *, clients: int, years: float, seed: int, today: date) -> dict[str, Any]:
    """Write a simulated practice into an empty folder, its years ending the day before a day.

    The caller holds the folder's lock. Adding clients leaves the records of the earlier ones as they were.
    Raises: DomainError for a number of clients or years that is none or too large.
    """
    _refuse_nonsense(clients, years, seed)
    data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
    schema.upgrade(data_dir)
    engine = open_engine(data_dir)
    try:
        calendar = calendar_of(years, today, local_zone())
        coach, numbers = _open(engine, calendar), numbers_after_coach()
        phone_of = _write(engine, calendar, numbers, coach, clients=clients, seed=seed)
        token = _invite(engine, coach, calendar, client_id=phone_of, seed=seed)
    finally:
        engine.dispose()
    return {
        "data": str(data_dir.resolve()),
        "coach": {"email": COACH_EMAIL, "password": PASSWORD},
        "client_link": f"/join/{token}",
    }


def calendar_of(years: float, today: date, zone: str) -> Calendar:
    """The days from a Monday so many years back to the day before today."""
    back = today - timedelta(days=round(years * DAYS_A_YEAR))
    first_on = back - timedelta(days=back.weekday())
    return Calendar(first_on, (today - first_on).days, zone)


def numbers_after_coach() -> Numbers:
    """Numbers of records; the first person and the first entry of the trail are the coach's."""
    numbers = Numbers()
    numbers.next("person")
    numbers.next("audit")
    return numbers


def _refuse_nonsense(clients: int, years: float, seed: int) -> None:
    if not 1 <= clients <= MOST_CLIENTS:
        raise DomainError(f"Between 1 and {MOST_CLIENTS} clients can be simulated.")
    if not 0 < years <= MOST_YEARS:
        raise DomainError(f"Between 0 and {MOST_YEARS} years can be simulated.")
    if seed < 0:
        raise DomainError("A seed is a whole number from 0 on.")


def _open(engine: Engine, calendar: Calendar) -> Actor:
    """The practice and its only coach, on the day before the first client."""
    opened_at = datetime.combine(calendar.first_on - timedelta(days=1), time(9), ZoneInfo(calendar.zone))
    now = opened_at.astimezone(UTC)
    password_hash = Passwords().hash(PASSWORD)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name=PRACTICE_NAME, kind=PracticeKind.SIMULATED, zone=calendar.zone, at=now)
        practice.change(
            db, name=PRACTICE_NAME, zone=calendar.zone, emergency_number=EMERGENCY_NUMBER, public_url=None
        )
        head = create_coach(db, name=COACH_NAME, email=COACH_EMAIL, password_hash=password_hash, now=now)
    return Actor(head.id, head.name, head.role, None)


def _write(engine: Engine, calendar: Calendar, numbers: Numbers, coach: Actor, *, clients: int, seed: int) -> int:
    """Batch by batch; returns the first client who is still there and has a phone, or else the first."""
    phone_of: int | None = None
    with unit_of_work(engine, write=False) as db:
        rules = practice.rules(db)
    for first in range(1, clients + 1, BATCH):
        rows = Rows(numbers, rules)
        for number in range(first, min(first + BATCH, clients + 1)):
            life = simulate_client(
                number, seed=seed, calendar=calendar, rules=rules, numbers=numbers, coach_id=coach.person_id
            )
            add_record(rows, life.scene.record)
            client = life.scene.record.client
            if phone_of is None and client.has_phone and client.state is ClientState.ACTIVE:
                phone_of = client.id
        with unit_of_work(engine, write=True) as db:
            write(db, rows)
    return phone_of or 1


def _invite(engine: Engine, coach: Actor, calendar: Calendar, *, client_id: int, seed: int) -> str:
    """A link for one client's phone, good for seven days; the same for the same seed: invented records only."""
    token = hashlib.sha256(f"foothill simulate {seed} {calendar.on(calendar.days)}".encode()).hexdigest()
    with unit_of_work(engine, write=True) as db:
        invitations.invite(
            db, actor=coach, client_id=client_id, token_sha256=token_sha256(token), now=calendar.at(calendar.days, 6)
        )
    return token
