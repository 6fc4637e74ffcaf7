"""A session by the clock on the phone: it runs from the page alone, tells each change, and stands when paused."""

from __future__ import annotations

from datetime import timedelta
from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect

from app.coaching.holds import HoldKind, Stops
from tests import seed
from tests.browser import stage
from tests.browser.test_felt_wrong import CHEST, tell
from tests.conftest import TOKENS
from tests.seed import NOW

pytestmark = pytest.mark.browser

#: Ten minutes of warm-up come first in the session on the stage.
A_MINUTE_MS = 60_000


@pytest.fixture
def phone(windows, served) -> Page:
    """The client's phone with hard rounds for today, its clock in the test's hand."""
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, served.people)
    page = windows.open(390, TOKENS["client_phone"])
    page.clock.install(time=NOW)
    page.goto("/me/timer")
    page.clock.pause_at(NOW + timedelta(minutes=1))
    return page


def left(page: Page):
    return page.locator("[data-left]")


def aloud(page: Page):
    return page.locator("[data-aloud]")


def steps(page: Page) -> list[tuple[int, str]]:
    """When each step begins, and its name, as the list says without a script."""
    return [
        (int(one.get_attribute("data-starts") or ""), one.locator("[data-name]").text_content() or "")
        for one in page.locator("[data-starts]").all()
    ]


def test_it_runs_without_a_connection_and_tells_every_change(phone):
    told = steps(phone)
    phone.context.set_offline(True)

    phone.get_by_role("button", name="Start", exact=True).click()
    said = []
    for (starts, _), (ends, _) in pairwise(told):
        said.append((aloud(phone).text_content() or "").partition(". ")[0])
        phone.clock.run_for((ends - starts) * 1000)

    assert said == [name for _, name in told[:-1]]
    expect(phone.locator("[data-starts][aria-current]")).to_have_attribute("data-starts", str(told[-1][0]))
    phone.clock.run_for(20 * A_MINUTE_MS)
    expect(aloud(phone)).to_have_text("Done. That was the last step.")


def test_the_clock_and_its_button_stand_on_the_first_screen_under_the_line_that_says_when_to_stop(phone):
    line, button = phone.locator(".stop-line"), phone.locator("[data-run]")
    dock = phone.locator(".dock").bounding_box()
    spot = button.bounding_box()

    expect(line).to_be_in_viewport(ratio=1)
    expect(left(phone)).to_be_in_viewport(ratio=1)
    assert spot["y"] + spot["height"] <= dock["y"]
    line.locator("summary").click()
    expect(line.get_by_text("one side is weak")).to_be_visible()


def test_it_stands_while_paused_goes_a_step_on_and_back_and_comes_through_a_reload(phone):
    first, second = (name for _, name in steps(phone)[:2])
    phone.get_by_role("button", name="Start", exact=True).click()
    phone.clock.run_for(A_MINUTE_MS)
    before = left(phone).text_content()
    phone.get_by_role("button", name="Pause").click()
    phone.clock.run_for(A_MINUTE_MS)

    expect(left(phone)).to_have_text(before or "")
    phone.get_by_role("button", name="On a step").click()
    expect(phone.locator("[data-what]")).to_have_text(second)
    phone.get_by_role("button", name="Back a step").click()
    expect(phone.locator("[data-what]")).to_have_text(first)
    phone.get_by_role("button", name="On a step").click()
    phone.reload()
    expect(phone.locator("[data-what]")).to_have_text(second)
    expect(phone.get_by_role("button", name="Go on")).to_be_visible()


def test_what_felt_wrong_stops_the_clock_and_takes_it_off_the_screen(phone):
    phone.get_by_role("button", name="Start", exact=True).click()

    tell(phone, CHEST)

    expect(phone.locator("[data-face]")).to_be_hidden()
    expect(phone.locator("[data-timer]")).to_have_attribute("data-paused-by", "all")
    expect(phone.locator("[data-run]")).to_have_text("Go on")


@pytest.mark.parametrize("is_running", [False, True])
def test_what_was_paused_elsewhere_stops_the_clock(phone, served, is_running):
    start = phone.get_by_role("button", name="Start", exact=True)
    if is_running:
        with phone.expect_response("**/me/timer/now"):
            start.click()
    with served.house.transaction(True) as db:
        seed.add_hold(
            db, client=served.people.client, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="tablet"
        )

    if is_running:
        # The clock in hand also runs the patience with an answer: within it, the last question is open.
        phone.clock.run_for(70_000)
    else:
        start.click()

    expect(phone.get_by_text("Stopped. Not now.")).to_be_visible()
    expect(phone.locator("[data-face]")).to_be_hidden()
    expect(phone.locator("[data-starts]").first).to_be_hidden()
    expect(phone.locator("[data-run]")).to_have_text("Go on")


def test_what_may_run_goes_on_and_without_a_connection_it_says_so(phone):
    with phone.expect_response("**/me/timer/now"):
        phone.get_by_role("button", name="Start", exact=True).click()
    expect(phone.locator("[data-unasked]")).to_be_hidden()
    expect(phone.locator("[data-run]")).to_have_text("Pause")
    phone.context.set_offline(True)
    phone.clock.run_for(2 * A_MINUTE_MS)

    expect(phone.get_by_text("The desk cannot be asked now")).to_be_visible()
    expect(phone.locator("[data-run]")).to_have_text("Pause")
    phone.context.set_offline(False)
