"""A real server on a free port and a real Chromium; without one these tests fail and say so."""

from __future__ import annotations

import shutil
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from fastapi import FastAPI
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from app.coaching.access import Role
from app.demo import build as build_demo
from app.main import routed_app
from app.storage import accounts
from app.web.deps import LOGIN_COOKIE, House
from tests.browser.stage import Stage, set_stage
from tests.conftest import furnish_for_a_test
from tests.seed import TODAY, People, add_login
from tools.find_chromium import NOT_FOUND, find_chromium

FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip
SECONDS_TO_START = 20
PATIENCE_MS = 10_000
# A busy machine takes its time; what never comes still fails.
expect.set_options(timeout=PATIENCE_MS)
HEAD_OF_DEMO = "token-of-the-demos-head-coach"
HEIGHTS = {1280: 900, 390: 844, 320: 640}


@dataclass
class Served:
    """One running desk: its address and, for looking, its house."""

    address: str
    house: House
    people: People | None = None
    stage: Stage | None = None


@dataclass
class Watched:
    """The browser's windows; what goes wrong in any of them is kept and fails the test."""

    browser: Browser
    address: str
    opened: list[BrowserContext] = field(default_factory=list)
    stay: dict[str, Page] = field(default_factory=dict)
    wrong: list[str] = field(default_factory=list)

    def open(self, width: int, token: str = "", **options: Any) -> Page:
        """A new window of some width, signed in by a login's token if one is given."""
        viewport = {"width": width, "height": HEIGHTS[width]}
        # A worker would hide requests from the tests that hold them up; its own tests let it in.
        options = {"service_workers": "block"} | options
        context = self.browser.new_context(viewport=viewport, base_url=self.address, locale="en-GB", **options)
        context.set_default_timeout(PATIENCE_MS)
        if token:
            context.add_cookies([{"name": LOGIN_COOKIE, "value": token, "url": self.address}])
        self.opened.append(context)
        context.on("console", lambda said: self._hear(said.type, said.text))
        context.on("weberror", lambda problem: self.wrong.append(f"page error: {problem.error}"))
        return context.new_page()

    def _hear(self, kind: str, text: str) -> None:
        names_policy = "content security policy" in text.lower() or "content-security-policy" in text.lower()
        # A refused form (404, 422) is an answer, and Chromium says so on the console; nothing else may be an error.
        is_other_error = kind == "error" and not text.startswith("Failed to load resource")
        if names_policy or is_other_error:
            self.wrong.append(text)

    def standing(self, width: int, token: str = "") -> Page:
        """A window that stays open from test to test, one for each login."""
        if token not in self.stay:
            self.stay[token] = self.open(width, token)
        return self.stay[token]

    def settle(self) -> None:
        """Forget what went wrong. Raises: AssertionError when anything did."""
        complaints, self.wrong = self.wrong, []
        assert complaints == []

    def close(self) -> None:
        """Close every window. Raises: AssertionError when one of them complained."""
        for context in self.opened:
            context.close()
        self.opened.clear()
        self.settle()


@contextmanager
def serving(folder: Path, app: FastAPI | None = None) -> Iterator[Served]:
    """Serve a data folder, standing at the tests' morning, by an application that serves nothing else."""
    app = app or routed_app()
    furnish_for_a_test(app, folder)
    config = uvicorn.Config(app, log_level="warning", access_log=False, ws="none", lifespan="on")
    server = uvicorn.Server(config)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        running = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        running.start()
        _wait_for(server, running)
        yield Served(f"http://127.0.0.1:{listening.getsockname()[1]}", app.state.house)
        server.should_exit = True
        running.join(SECONDS_TO_START)


def _wait_for(server: uvicorn.Server, running: threading.Thread) -> None:
    until = time.monotonic() + SECONDS_TO_START
    while not server.started:
        assert running.is_alive(), "the server stopped while it started"
        assert time.monotonic() < until, "the server did not start"
        time.sleep(0.02)


@pytest.fixture(scope="package")
def chromium() -> Iterator[Browser]:
    """One browser for all browser tests of a worker."""
    path = find_chromium()
    if path is None:
        pytest.fail(NOT_FOUND, pytrace=False)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="package")
def _routed_for_browsers() -> FastAPI:
    # The addresses are worked out at the first request, which takes ten times as long as a page.
    return routed_app()


@pytest.fixture
def served(desk_dir: Path, people: People, _routed_for_browsers: FastAPI) -> Iterator[Served]:
    """A desk of this test's own."""
    with serving(desk_dir, _routed_for_browsers) as desk:
        desk.people = people
        yield desk


@pytest.fixture(scope="module")
def staged(_ready_practice: tuple[Path, People], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A desk on the whole stage, for tests that only look."""
    folder, people = _ready_practice
    with serving(Path(shutil.copytree(folder, tmp_path_factory.mktemp("stage") / "desk"))) as desk:
        desk.people = people
        with desk.house.transaction(True) as db:
            desk.stage = set_stage(db, people)
        yield desk


@pytest.fixture
def windows(chromium: Browser, served: Served) -> Iterator[Watched]:
    """Windows on a desk of this test's own."""
    watched = Watched(chromium, served.address)
    yield watched
    watched.close()


@pytest.fixture(scope="module")
def _windows_on_stage(chromium: Browser, staged: Served) -> Iterator[Watched]:
    watched = Watched(chromium, staged.address)
    yield watched
    watched.close()


@pytest.fixture
def looking(_windows_on_stage: Watched) -> Iterator[Watched]:
    """Windows on the stage that stay open from test to test."""
    yield _windows_on_stage
    _windows_on_stage.settle()


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The demo practice on the tests' day, with the head coach signed in under HEAD_OF_DEMO."""
    folder = tmp_path_factory.mktemp("demo") / "desk"
    build_demo(folder, TODAY)
    with serving(folder) as desk:
        with desk.house.transaction(True) as db:
            head = next(one for one in accounts.coaches(db) if one.role is Role.HEAD_COACH)
            add_login(db, person=head, token=HEAD_OF_DEMO)
        yield desk


@pytest.fixture(scope="module")
def demo_windows(chromium: Browser, demo: Served) -> Iterator[Watched]:
    """Windows on the demo practice."""
    watched = Watched(chromium, demo.address)
    yield watched
    watched.close()
