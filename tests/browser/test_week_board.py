"""The week board in a real browser: by keyboard alone, narrow, and without script."""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from tests import plan_scenes as scene
from tests.conftest import TOKENS
from tests.plan_scenes import NEXT_MONDAY

pytestmark = pytest.mark.browser

ADDRESS = f"/plan/board?week={NEXT_MONDAY}"
TUESDAY = NEXT_MONDAY + timedelta(days=1)


@pytest.fixture(autouse=True)
def _in_base(served) -> None:
    with served.house.transaction(True) as db:
        scene.in_base(db, served.people.client)
        scene.in_base(db, served.people.other_client)


def board(windows, width: int, who: str = "head", **options) -> Page:
    page = windows.open(width, TOKENS[who], **options)
    page.goto(ADDRESS)
    return page


def field(page: Page, client, on=NEXT_MONDAY):
    return page.locator(f'[name="c{client.id}_{on}"]')


def cell(page: Page, client, on=NEXT_MONDAY):
    return page.locator("[data-cell]").filter(has=field(page, client, on))


def going(served, client) -> list[str]:
    with served.house.transaction(False) as db:
        return [one.title for one in scene.planned_of(db, client)]


def test_arrows_move_enter_writes_and_escape_leaves_a_day_as_it_was(windows, served):
    page, ilse = board(windows, 1280), served.people.client
    cell(page, ilse).focus()

    page.keyboard.press("ArrowRight")
    expect(cell(page, ilse, TUESDAY)).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.type("45 easy walk")
    page.keyboard.press("Escape")

    expect(field(page, ilse, TUESDAY)).to_have_value("")
    expect(cell(page, ilse, TUESDAY)).to_be_focused()


def test_enter_keeps_what_was_written_and_goes_down_to_the_next_client(windows, served):
    page, ilse, ruben = board(windows, 1280), served.people.client, served.people.other_client
    cell(page, ilse).focus()
    page.keyboard.press("Enter")
    page.keyboard.type("45 easy walk")
    page.keyboard.press("Enter")

    expect(field(page, ilse)).to_have_value("45 easy walk")
    expect(cell(page, ruben)).to_be_focused()
    page.keyboard.press("ArrowUp")
    expect(cell(page, ilse)).to_be_focused()


def test_one_tab_reaches_the_board_and_the_next_leaves_it(windows, served):
    page = board(windows, 1280)

    assert page.locator('[data-board] [tabindex="0"]').count() == 1
    assert page.locator('[data-board] textarea:not([tabindex="-1"])').count() == 0


@pytest.mark.parametrize("options", [{}, {"java_script_enabled": False}], ids=["script", "no script"])
def test_a_week_is_written_looked_at_and_kept(windows, served, options):
    page, ilse = board(windows, 1280, "coach", **options), served.people.client
    field(page, ilse).fill("45 easy walk")
    page.get_by_role("button", name="Look at what I typed").click()
    expect(page.get_by_role("heading", name="What this means")).to_be_visible()

    page.get_by_role("button", name="Keep as drafts").click()

    expect(page.locator("#flash")).to_contain_text("1 change kept as drafts. Nothing is published by it.")
    assert going(served, ilse) == ["Easy walk"]


@pytest.mark.parametrize("width", [390, 320])
def test_on_a_phone_each_client_is_a_list_of_days(windows, served, width):
    page, ilse = board(windows, width), served.people.client

    first, second = (field(page, ilse, on).bounding_box() for on in (NEXT_MONDAY, TUESDAY))

    assert first["y"] < second["y"]
    assert abs(first["x"] - second["x"]) < 2
    assert page.evaluate("document.documentElement.scrollWidth") == width
