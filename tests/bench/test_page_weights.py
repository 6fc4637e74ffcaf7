"""How heavy the pages are that are opened most, in the demo practice: printed, and never empty."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import Browser, CDPSession, sync_playwright

from app.coaching.access import Role
from app.demo import build
from app.storage import accounts, clients
from tests.browser.conftest import FLAGS, Served, Watched, serving
from tests.seed import TODAY, add_login, client_person
from tools.find_chromium import NOT_FOUND, find_chromium

COACH, PHONE = "token-of-the-weighed-coach", "token-of-the-weighed-phone"
PAGES = [("/morning", COACH), ("/roster", COACH), ("/clients/1", COACH), ("/me/today", PHONE)]


@dataclass
class Scales:
    """Adds up what the network brought, headers included."""

    requests: int = 0
    wire_bytes: int = 0

    def listen(self, debugger: CDPSession) -> None:
        """Start weighing."""
        debugger.send("Network.enable")
        debugger.on("Network.loadingFinished", self._add)

    def _add(self, finished: dict[str, float]) -> None:
        self.requests += 1
        self.wire_bytes += int(finished["encodedDataLength"])


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("weights") / "desk"
    build(folder, TODAY)
    with serving(folder) as desk:
        with desk.house.transaction(True) as db:
            head = next(one for one in accounts.coaches(db) if one.role is Role.HEAD_COACH)
            add_login(db, person=head, token=COACH)
            client = clients.one(db, client_id=1)
            assert client is not None
            add_login(db, person=client_person(db, client), token=PHONE)
        yield desk


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    path = find_chromium()
    if path is None:
        pytest.fail(NOT_FOUND, pytrace=False)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.mark.parametrize(("address", "token"), PAGES)
def test_weigh_a_page(address, token, demo, chromium):
    windows = Watched(chromium, demo.address)
    page = windows.open(390, token)
    first, again = Scales(), Scales()
    debugger = page.context.new_cdp_session(page)
    first.listen(debugger)

    answer = page.goto(address, wait_until="networkidle")
    assert answer is not None
    html_bytes = len(answer.body())
    debugger.detach()
    again.listen(page.context.new_cdp_session(page))
    page.goto(address, wait_until="networkidle")

    print(
        f"\n{address}: HTML {html_bytes:,} bytes; first visit {first.requests} requests, "
        f"{first.wire_bytes:,} bytes; again {again.requests} requests, {again.wire_bytes:,} bytes"
    )
    windows.close()
    assert html_bytes > 0
    assert first.requests > 0
