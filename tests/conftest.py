"""The real application on a real file, with a settable clock and signed-in people."""

from __future__ import annotations

import gc
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import AbstractContextManager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from uuid import uuid4

import pytest
from fastapi import FastAPI
from hypothesis import settings
from sqlalchemy import Engine, create_engine, event
from sqlalchemy.orm import Session
from starlette.responses import Response
from starlette.testclient import TestClient

from app.coaching.practice import PracticeKind
from app.main import furnish, routed_app
from app.settings import Settings
from app.storage import database, practice, schema
from app.storage.database import open_engine, unit_of_work
from app.web.deps import LOGIN_COOKIE, Clock, House
from app.web.security import csrf_token
from tests import seed
from tests.physiology.reference_rows import told
from tests.seed import People

# A law is about values: how long a busy machine takes for one example says nothing; tests/bench measures speed.
settings.register_profile("desk", deadline=None)
settings.load_profile("desk")

TOKENS = {name: f"token-of-{name}" for name in ("head", "coach", "other_coach", "stand_in", "client_phone")}


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """How many published rows were met, at the end of every run that tried them."""
    counts = told([one.nodeid for one in terminalreporter.stats.get("passed", [])])
    if counts:
        terminalreporter.write_line(counts)


@pytest.fixture(scope="session", autouse=True)
def _statements_compiled_once() -> Iterator[None]:
    # Each test opens an engine of its own. With a dialect of its own too, it compiles every statement afresh, and the
    # mappers keep what they compiled for thousands of dialects: the suite grows by gigabytes and slows down.
    first: Engine | None = None

    def sharing(*given: Any, **options: Any) -> Engine:
        nonlocal first
        made = create_engine(*given, **options)
        first = first or made
        made.dialect, made._compiled_cache = first.dialect, first._compiled_cache
        return made

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(database, "create_engine", sharing)
        yield


def furnish_for_a_test(app: FastAPI, folder: Path) -> None:
    """Let an application work on a throwaway folder: the tests' morning, quick hashing, no waiting for the disk.

    That a write is on the disk before it is answered is for tests/storage and, with killed desks, tests/faults.
    """
    furnish(app, Settings(data_dir=folder, quick_hashing=True))
    app.state.house.clock = FixedClock()
    event.listen(app.state.engine, "checkout", _without_waiting)


def _without_waiting(connection: sqlite3.Connection, _record: object, _proxy: object) -> None:
    connection.execute("PRAGMA synchronous=OFF")


def pytest_collection_finish() -> None:
    """Leave the collected tests, which stay to the end, out of every later search for garbage."""
    gc.collect()
    gc.freeze()


class FixedClock(Clock):
    """Stands still until it is set."""

    def __init__(self, at: datetime = seed.NOW) -> None:
        super().__init__()
        self.at = at

    def now(self) -> datetime:
        """The instant it was set to."""
        return self.at

    def set(self, at: datetime) -> None:
        """Set it to an instant."""
        self.at = at.astimezone(UTC)

    def move(self, **step: float) -> None:
        """Move it on: move(days=1), move(minutes=61)."""
        self.at += timedelta(**step)


class Browser:
    """One browser: asks for pages, sends forms as a page of ours would, follows no redirect by itself."""

    def __init__(self, http: TestClient, house: House, token: str = "") -> None:
        self.http = http
        self.house = house
        if token:
            http.cookies.set(LOGIN_COOKIE, token, domain="localhost.local", path="/")

    @property
    def token(self) -> str:
        """The login's token, empty when signed out."""
        return next((c.value or "" for c in self.http.cookies.jar if c.name == LOGIN_COOKIE), "")

    def get(self, path: str, **headers: str) -> Response:
        """Ask for a page; header names with underscores: get("/roster", hx_request="true")."""
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.http.get(path, headers=named)  # type: ignore[return-value]

    def send(
        self,
        path: str,
        files: dict[str, tuple[str, bytes, str]] | None = None,
        headers: dict[str, str] | None = None,
        **form: object,
    ) -> Response:
        """Send a form with the token and a fresh request id; a field given as None is left out."""
        given = {"csrf_token": csrf_token(self.token), "request_id": str(uuid4())} | form
        data = {name: str(value) for name, value in given.items() if value is not None}
        sent = {"Origin": "http://localhost"} | (headers or {})
        return self.http.post(path, data=data, files=files, headers=sent)  # type: ignore[return-value]

    def db(self, *, write: bool = False) -> AbstractContextManager[Session]:
        """A transaction on the app's file, for looking (or seeding with write=True)."""
        return self.house.transaction(write)


@pytest.fixture(scope="session")
def _ready_practice(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, People]:
    # Migrating takes long; every test gets a copy of one finished folder. It is marked demo: the people are
    # invented, and only such a folder may hash quickly.
    folder = tmp_path_factory.mktemp("ready")
    schema.upgrade(folder)
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway Endurance", kind=PracticeKind.DEMO, zone=seed.ZONE, at=seed.NOW)
        people = seed.add_people(db)
        ours = {
            "head": people.head,
            "coach": people.coach,
            "other_coach": people.other_coach,
            "stand_in": people.stand_in,
            "client_phone": seed.client_person(db, people.client),
        }
        for name, person in ours.items():
            seed.add_login(db, person=person, token=TOKENS[name])
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.exec_driver_sql("COMMIT")
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        connection.exec_driver_sql("BEGIN")
    engine.dispose()
    return folder, people


@pytest.fixture
def people(_ready_practice: tuple[Path, People]) -> People:
    """Who works and trains here."""
    return _ready_practice[1]


@pytest.fixture
def desk_dir(_ready_practice: tuple[Path, People], tmp_path: Path) -> Path:
    """A data folder of this test's own, with the practice's people in it."""
    return Path(shutil.copytree(_ready_practice[0], tmp_path / "desk"))


@pytest.fixture(scope="session")
def _routed() -> FastAPI:
    # The addresses are worked out at the first request, which takes ten times as long as a page.
    return routed_app()


@pytest.fixture
def app(_routed: FastAPI, desk_dir: Path) -> FastAPI:
    """The application on a folder of this test's own, standing at Wednesday 25 November 2026, 07:00 UTC."""
    furnish_for_a_test(_routed, desk_dir)
    return _routed


@pytest.fixture
def clock(app: FastAPI) -> FixedClock:
    """The application's clock: clock.set(instant), clock.move(days=1)."""
    found = app.state.house.clock
    assert isinstance(found, FixedClock)
    return found


@pytest.fixture
def _running(app: FastAPI) -> Iterator[TestClient]:
    with TestClient(app, base_url="http://localhost", raise_server_exceptions=False) as http:
        yield http


def _browser(running: TestClient, app: FastAPI, name: str = "") -> Browser:
    http = TestClient(app, base_url="http://localhost", follow_redirects=False)
    http.portal = running.portal  # one event loop for everybody, as in one server
    return Browser(http, app.state.house, TOKENS.get(name, ""))


@pytest.fixture
def head(_running: TestClient, app: FastAPI) -> Browser:
    """The head coach's browser."""
    return _browser(_running, app, "head")


@pytest.fixture
def coach(_running: TestClient, app: FastAPI) -> Browser:
    """The browser of the coach of `people.client`."""
    return _browser(_running, app, "coach")


@pytest.fixture
def other_coach(_running: TestClient, app: FastAPI) -> Browser:
    """The browser of the coach of `people.other_client`."""
    return _browser(_running, app, "other_coach")


@pytest.fixture
def stand_in(_running: TestClient, app: FastAPI) -> Browser:
    """The browser of the stand-in for `people.handed_client`."""
    return _browser(_running, app, "stand_in")


@pytest.fixture
def client_phone(_running: TestClient, app: FastAPI) -> Browser:
    """The phone of `people.client`."""
    return _browser(_running, app, "client_phone")


@pytest.fixture
def nobody(_running: TestClient, app: FastAPI) -> Browser:
    """A browser nobody is signed in on."""
    return _browser(_running, app)
