"""A plan by keys, by tap and by drag, and mended with one click."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from playwright.sync_api import Page, expect

from tests import plan_scenes, seed
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

ON = seed.TODAY + timedelta(days=5)


@pytest.fixture
def plan(served):
    """A draft on the Monday after, in a base with three days a week; the address of its plan."""
    with served.house.transaction(True) as db:
        plan_scenes.in_base(db, served.people.client)
        seed.add_planned(db, client=served.people.client, planned_on=ON, publish=False)
    return f"/clients/{served.people.client.id}/plan"


def _days(served) -> list[date]:
    with served.house.transaction(False) as db:
        return [one.planned_on for one in plan_scenes.planned_of(db, served.people.client)]


def _stood_on(page: Page) -> str | None:
    return page.evaluate("document.activeElement.getAttribute('aria-label')")


def test_keys_walk_the_days_pick_a_session_up_and_put_it_down(windows, served, plan):
    page = windows.open(1280, TOKENS["coach"])
    page.goto(plan)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowRight")
    first = _stood_on(page)
    page.get_by_role("listitem", name="Mon 30 November").focus()
    page.keyboard.press("m")
    expect(page.get_by_text("Moving Easy walk, Mon 30 Nov.")).to_be_visible()
    page.get_by_role("listitem", name="Mon 30 November").focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Enter")

    expect(page.locator("#flash")).to_contain_text("Easy walk: moved to Tue 1 December.")
    assert first == "Tue 1 December"
    assert _days(served) == [ON + timedelta(days=1)]


def test_the_keys_of_a_plan_are_listed(windows, served, plan):
    page = windows.open(1280, TOKENS["coach"])
    page.goto(plan)
    page.keyboard.press("?")

    expect(page.get_by_text("Walk the days of a plan; up and down go by weeks there")).to_be_visible()


def test_a_session_is_dragged_to_another_day(windows, served, plan):
    page = windows.open(1280, TOKENS["coach"])
    page.goto(plan)
    page.locator("[data-drag]").drag_to(page.locator(f'[data-drop="{(ON + timedelta(days=3)).isoformat()}"]'))

    expect(page.locator("#flash")).to_contain_text("moved to Thu 3 December")
    assert _days(served) == [ON + timedelta(days=3)]


def test_a_tap_picks_up_and_a_tap_puts_down_on_a_phone(windows, served, plan):
    page = windows.open(390, TOKENS["coach"])
    page.goto(plan)
    page.get_by_role("link", name="Move Easy walk").click()
    page.get_by_role("button", name="Put it here on Wed 2 December").click()

    expect(page.locator("#flash")).to_contain_text("moved to Wed 2 December")
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_enter_in_the_reason_chooses_no_day(windows, served, plan):
    with served.house.transaction(True) as db:
        published = seed.add_planned(db, client=served.people.client, planned_on=ON + timedelta(days=2))
    page = windows.open(1280, TOKENS["coach"])
    page.goto(f"{plan}?moving={published}")
    page.get_by_label("Why it moves").fill("The park is closed.")
    page.get_by_label("Why it moves").press("Enter")

    expect(page.get_by_label("Why it moves")).to_have_value("The park is closed.")
    assert _days(served) == [ON, ON + timedelta(days=2)]


def test_one_click_mends_a_plan_and_one_takes_it_back(windows, served, plan):
    with served.house.transaction(True) as db:
        seed.add_planned(db, client=served.people.client, planned_on=ON + timedelta(days=1), publish=False)
    page = windows.open(1280, TOKENS["coach"])
    page.goto(plan)
    page.get_by_role("button", name="Move Easy walk on Tue 1 Dec to Wed 2 Dec").click()
    expect(page.locator("#flash")).to_contain_text("No minutes are lost.")
    page.get_by_role("button", name="Take it back").click()

    expect(page.locator("#flash")).to_contain_text("Taken back")
    assert _days(served) == [ON, ON + timedelta(days=1)]
