"""The demo's morning worked off with the keyboard alone, down to the last line for today."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from app.coaching.access import Role
from app.demo import build
from app.storage import accounts
from app.web.deps import LOGIN_COOKIE
from tests.browser.conftest import serving
from tests.seed import TODAY, add_login

pytestmark = pytest.mark.browser

TOKEN = "token-of-the-keyboard-coach"
#: More reasons than the demo's lines for today ever have.
REASONS_MOST = 40


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    folder = tmp_path_factory.mktemp("cleared") / "desk"
    build(folder, TODAY)
    with serving(folder) as served:
        with served.house.transaction(True) as db:
            head = next(one for one in accounts.coaches(db) if one.role is Role.HEAD_COACH)
            add_login(db, person=head, token=TOKEN)
        yield served


@pytest.fixture
def page(desk, chromium):
    context = chromium.new_context(base_url=desk.address, viewport={"width": 1280, "height": 900})
    context.add_cookies([{"name": LOGIN_COOKIE, "value": TOKEN, "url": desk.address}])
    yield context.new_page()
    context.close()


def handle_first(page: Page) -> None:
    """Walk to the first line, press its letter, and say in words what was done where it is asked."""
    page.keyboard.press("ArrowDown")
    expect(page.locator("[data-walk-line]").first).to_be_focused()
    page.keyboard.press("h")
    expect(page.locator(".opened, .flash").first).to_be_visible()
    if page.locator(".opened").count():
        expect(page.get_by_label("What was done").first).to_be_focused()
        page.keyboard.type("Spoken with, and settled for today.")
        page.keyboard.press("Tab")
        with page.expect_navigation():
            page.keyboard.press("Enter")


def test_every_line_for_today_is_handled_without_the_pointer(page):
    page.goto("/morning")
    waiting = page.locator("[data-walk] > [data-walk-line]")
    assert waiting.count() >= 3

    for _ in range(REASONS_MOST):
        if not waiting.count():
            break
        handle_first(page)
        page.goto("/morning")

    expect(waiting).to_have_count(0)
    expect(page.locator("h1")).to_contain_text("Nothing before anyone trains")
