"""Without a network a phone shows one public page: the emergency number, and what was reported on it."""

from __future__ import annotations

import pytest
from playwright.sync_api import Page, expect

from app.coaching.holds import HoldKind, Stops
from app.storage import practice
from tests import seed
from tests.browser import stage
from tests.browser.axe import EVERYTHING, Axe
from tests.browser.test_felt_wrong import CHEST, HARD, holds, sheet, tell
from tests.browser.test_felt_wrong_together import ALL_PAUSED
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

_KEPT = """async () => (await Promise.all((await caches.keys()).map(async (name) =>
  (await (await caches.open(name)).keys()).map((one) => new URL(one.url).pathname)))).flat()"""

#: Whether some words come into the kept page within five seconds.
_COMES = """async (words) => {
  for (let tries = 0; tries < 100; tries += 1) {
    if ((await (await caches.match("/offline")).text()).includes(words)) return true;
    await new Promise((done) => setTimeout(done, 50));
  }
  return false;
}"""


def set_number(served, number: str) -> None:
    with served.house.transaction(True) as db:
        practice.change(db, name="Birchway", zone=seed.ZONE, emergency_number=number, public_url=None)


@pytest.fixture
def phone(windows, served) -> Page:
    """The client's phone with hard rounds for today, whose worker keeps the page."""
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, served.people)
    set_number(served, "112")
    page = windows.open(390, TOKENS["client_phone"], service_workers="allow")
    page.goto("/me/today")
    page.evaluate("navigator.serviceWorker.ready.then(() => null)")
    page.wait_for_function("navigator.serviceWorker.controller !== null")
    return page


def test_after_a_report_a_page_that_cannot_be_reached_says_what_is_paused(phone, served):
    phone.context.set_offline(True)
    tell(phone, CHEST)
    sheet(phone).get_by_role("button", name="Close", exact=True).click()

    phone.get_by_role("link", name="Today", exact=True).first.click()

    expect(phone.locator("h1")).to_have_text("No connection")
    expect(phone.get_by_role("link", name="Call 112")).to_have_attribute("href", "tel:112")
    kept = phone.locator("[data-kept]")
    expect(kept).to_contain_text(f"{CHEST}. Kept on this phone, not yet sent.")
    expect(kept.locator("[data-paused]")).to_contain_text("All your training is paused, not cancelled.")
    assert holds(served) == []
    phone.context.set_offline(False)
    phone.get_by_role("link", name="Try again").click()
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    assert len(holds(served)) == 1


def test_a_small_report_under_a_fever_reads_as_all_paused(phone, served):
    with served.house.transaction(True) as db:
        seed.add_hold(db, client=served.people.client, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="fever")
    phone.goto("/me/today")
    phone.context.set_offline(True)
    tell(phone, HARD)

    phone.goto("/me/done")

    expect(phone.locator("[data-kept]")).to_contain_text(HARD)
    expect(phone.locator("[data-paused]")).to_have_text(ALL_PAUSED)
    expect(phone.locator("main")).not_to_contain_text("Easy outings go on.")
    phone.context.set_offline(False)


def test_signing_out_leaves_nothing_for_it_to_show(phone):
    before = phone.evaluate("localStorage.getItem('foothill.here')")
    phone.get_by_role("button", name="Sign out").click()
    phone.wait_for_url("**/sign-in**")

    assert "who" in before
    assert phone.evaluate("JSON.stringify(localStorage)") == "{}"


def test_it_keeps_one_public_page_and_its_files_and_nothing_of_a_person(phone):
    phone.goto("/me/my-way")
    phone.goto("/me/how-i-am")

    kept = phone.evaluate(_KEPT)

    assert "/offline" in kept
    assert [one for one in kept if one != "/offline" and not one.startswith("/static/")] == []
    assert "csrf" not in phone.request.get("/offline").text()


def test_a_new_emergency_number_reaches_it_with_the_next_page(phone, served):
    set_number(served, "144")
    phone.goto("/me/my-way")
    assert phone.evaluate(_COMES, "tel:144")
    phone.context.set_offline(True)

    phone.goto("/me/today")

    expect(phone.get_by_role("link", name="Call 144")).to_be_visible()
    phone.context.set_offline(False)


def test_the_page_is_clean_and_large_enough(phone):
    phone.context.set_offline(True)
    phone.goto("/me/today")
    axe = Axe(phone)
    axe.load()

    assert axe.violations(EVERYTHING) == []
    phone.context.set_offline(False)


def test_no_page_of_the_coach_brings_the_worker(windows, served):
    page = windows.open(1280, TOKENS["coach"], service_workers="allow")
    page.goto("/morning")

    assert page.evaluate("navigator.serviceWorker.getRegistrations().then((all) => all.length)") == 0
