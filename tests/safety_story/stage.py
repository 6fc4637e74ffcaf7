"""The stage a story is played on: the real desk on a real file, one client of one coach, and what is pinned up."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from datetime import date, datetime, timedelta
from typing import TypeVar

from fastapi import FastAPI
from sqlalchemy import text
from sqlalchemy.orm import Session
from starlette.testclient import TestClient

from app.coaching.access import Person
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, start_of_day
from app.storage import history, prescriptions
from app.usecases.passwords import Passwords
from app.web.deps import LOGIN_COOKIE
from app.web.outputs import OUTPUTS
from tests import seed
from tests.conftest import Browser, FixedClock
from tests.marked_sessions import easy_session, vigorous_sessions
from tests.seed import NOW, TODAY, ZONE

V = TypeVar("V")
RULES = Rules()
#: Where pinned sessions wait while somebody acts: outside every window.
PARKED = date(2020, 1, 6)
#: More addresses of listed pages, and files that leave the desk.
MORE = (
    "/me/done?session={planned}",
    "/me/done?choose=true",
    "/me/done?extra=true",
    "/month/{month}/practice.csv",
    "/month/{month}/sessions.csv",
)


class Refusal:
    """What was asked for was refused: a fine answer."""


REFUSED = Refusal()


@dataclass
class Stage:
    """The application with its clock, and a portal that all its browsers share."""

    app: FastAPI
    clock: FixedClock
    running: TestClient
    password_hash: str = ""
    played: int = 0

    def __post_init__(self) -> None:
        self.password_hash = Passwords(quick=True).hash(seed.PASSWORD)

    def enter(self) -> Cast:
        """A new coach with one new client and everything pinned up; the clock is set back to the beginning."""
        self.played += 1
        self.clock.set(NOW)
        with self.app.state.house.transaction(True) as db:
            name = f"Coach {self.played}"
            role = seed.Role.COACH
            email = f"coach{self.played}@birchway.example"
            coach = seed.add_coach(db, name, email, role=role, password_hash=self.password_hash)
            client = seed.add_client(db, coach_id=coach.id, name=f"Story {self.played}", born_on=date(1984, 3, 2))
            person = seed.client_person(db, client)
            incident_id = seed.add_incident(db, client=client)
            pinned = _pin(db, client)
            draft_id = _add(db, client, vigorous_sessions()[0], publish=False)
        browsers = Browser(self._http(), self.app.state.house), Browser(self._http(), self.app.state.house)
        return Cast(self, coach, client, person, *browsers, pinned, draft_id, incident_id)

    def _http(self) -> TestClient:
        http = TestClient(self.app, base_url="http://localhost", follow_redirects=False)
        http.portal = self.running.portal
        return http


@dataclass
class Cast:
    """Who is in one story, with their browsers, and what hangs on the board."""

    stage: Stage
    coach: Person
    client: Client
    person: Person
    desk: Browser
    phone: Browser
    pinned: tuple[int, ...]
    draft_id: int
    incident_id: int
    signed_in_at: datetime | None = None

    @property
    def now(self) -> datetime:
        """The instant."""
        return self.stage.clock.now()

    @property
    def today(self) -> date:
        """The client's local day."""
        return local_day(self.now, ZONE)

    def act(self, doing: Callable[[Session], V]) -> V | Refusal:
        """Do something in one transaction, a minute later; a refusal leaves nothing behind."""
        self.stage.clock.move(minutes=1)
        try:
            with self.desk.db(write=True) as db:
                self._move_pinned(db, PARKED, PARKED)
                return doing(db)
        except DomainError:
            return REFUSED

    def pin_up(self) -> None:
        """Everything hard in every disguise, and an easy walk, stand on today's plan."""
        with self.desk.db(write=True) as db:
            self._move_pinned(db, self.today, PARKED)

    def draft_up(self, db: Session) -> date:
        """A hard draft waits for tomorrow, alone, until somebody acts again; returns the day."""
        self._move_pinned(db, PARKED, self.today + timedelta(days=1))
        return self.today + timedelta(days=1)

    def _move_pinned(self, db: Session, day: date, draft_day: date) -> None:
        statement = "UPDATE planned_versions SET planned_on = :day WHERE planned_session_id = :id"
        places = [{"id": one, "day": day.isoformat()} for one in self.pinned]
        db.execute(text(statement), [*places, {"id": self.draft_id, "day": draft_day.isoformat()}])

    def history(self, db: Session) -> History:
        """The records as the client's pages read them."""
        from_on, until_on = self.today - timedelta(days=400), self.today + timedelta(days=60)
        return history.load(db, client_ids=[self.client.id], from_on=from_on, until_on=until_on)[0]

    def published(self, db: Session) -> dict[int, bool]:
        """Every published version that stands, and whether it is harder than easy by its own word."""
        rows = db.execute(
            text(
                "SELECT version_id, is_hard OR kind IN ('middle', 'intervals', 'race') FROM planned_versions "
                "WHERE client_id = :id AND published_at IS NOT NULL AND NOT is_cancelled"
            ),
            {"id": self.client.id},
        )
        return {version_id: bool(is_hard) for version_id, is_hard in rows}

    def open_holds(self, db: Session) -> dict[int, tuple[str, str, str | None, date]]:
        """The holds that stand open in the file, by id: kind, what they stop, the way of moving, the day."""
        rows = db.execute(
            text("SELECT id, kind, stops, mode, began_on FROM holds WHERE client_id = :id AND lifted_at IS NULL"),
            {"id": self.client.id},
        )
        return {one: (kind, stops, mode, date.fromisoformat(on)) for one, kind, stops, mode, on in rows}

    def pages(self, *, shows_steps: bool) -> dict[str, str]:
        """What stands on each output of the list, by address."""
        self._sign_in()
        paths = [one.path for one in OUTPUTS if one.shows_steps is shows_steps]
        found = {}
        for path in (*paths, *(() if shows_steps else MORE)):
            values = self._values()
            if any(values[name] is None for name in re.findall(r"\{(\w+)\}", path)):
                continue
            address = re.sub(r"\{(\w+)\}", lambda name, values=values: str(values[name.group(1)]), path)
            page = (self.phone if path.startswith("/me/") else self.desk).get(address)
            if page.status_code == 404 and "{hold_id}" in path:
                continue  # a hold that no report stands behind has no page on the phone
            assert page.status_code in (200, 303), (address, page.status_code, page.text[:300])
            found[address] = page.text
        return found

    def _values(self) -> dict[str, object]:
        """A value for each name in an address; a new output with a new name asks for its value here."""
        with self.desk.db() as db:
            ids = {"id": self.client.id}
            hold_id = db.scalar(text("SELECT max(id) FROM holds WHERE client_id = :id"), ids)
            log_id = db.scalar(text("SELECT max(id) FROM session_logs WHERE client_id = :id"), ids)
        return {
            "client_id": self.client.id,
            "month": f"{self.today:%Y-%m}",
            "planned": self.pinned[0],
            "question": "chest",
            "incident_id": self.incident_id,
            "hold_id": hold_id,
            "log_id": log_id,
        }

    def _sign_in(self) -> None:
        """Both browsers have a login of this hour."""
        if self.signed_in_at is not None and self.now - self.signed_in_at < timedelta(minutes=50):
            return
        self.signed_in_at = self.now
        with self.desk.db(write=True) as db:
            for browser, person in ((self.desk, self.coach), (self.phone, self.person)):
                token = f"token-of-{person.id}-{self.now:%Y%m%d%H%M}"
                seed.add_login(db, person=person, token=token, now=self.now)
                browser.http.cookies.set(LOGIN_COOKIE, token, domain="localhost.local", path="/")


def _pin(db: Session, client: Client) -> tuple[int, ...]:
    return tuple(_add(db, client, one, publish=True) for one in (*vigorous_sessions(), easy_session()))


def _add(db: Session, client: Client, session: PlannedSession, *, publish: bool) -> int:
    names = [one.name for one in fields(prescriptions.VersionDraft)]
    kept = replace(session, planned_on=PARKED)
    draft = prescriptions.VersionDraft(**{name: getattr(kept, name) for name in names})
    at = start_of_day(TODAY - timedelta(days=400), ZONE)
    return prescriptions.add_session(
        db, client_id=client.id, draft=draft, person_id=client.coach_id, at=at, publish=publish
    )
