"""Without a connection a report is answered from everything in force: the page's pauses and the reports that wait."""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from tests import seed
from tests.browser import stage
from tests.browser.test_felt_wrong import HARD, KNEE, NOT_SENT, open_sheet, sheet, tell, work
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

ALL_PAUSED = "All your training is paused, not cancelled. No easy outings either."


@pytest.fixture
def phone(windows, served) -> Page:
    """The client's signed-in phone : four hard rounds for today, an easy walk for tomorrow."""
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, served.people)
        seed.add_planned(db, client=served.people.client, planned_on=seed.TODAY + timedelta(days=1))
    page = windows.open(390, TOKENS["client_phone"])
    page.clock.set_fixed_time(seed.NOW)
    return page


def raise_hold(served, **changes) -> None:
    with served.house.transaction(True) as db:
        seed.add_hold(db, client=served.people.client, **changes)


def kept(page: Page):
    return page.locator("#felt-wrong-kept")


def close(page: Page) -> None:
    sheet(page).get_by_role("button", name="Close", exact=True).click()


def test_a_small_thing_said_under_a_fever_says_that_all_is_paused(phone, served):
    raise_hold(served, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="fever")
    phone.goto("/me/how-i-am")
    phone.context.set_offline(True)

    tell(phone, HARD)

    told = sheet(phone).locator("[data-step=told]")
    expect(told.locator("[data-paused]:visible")).to_have_text(ALL_PAUSED)
    expect(told).not_to_contain_text("Easy outings go on.", use_inner_text=True)
    close(phone)
    expect(kept(phone)).to_contain_text(ALL_PAUSED)
    phone.context.set_offline(False)


def test_reports_that_wait_count_together(phone, served):
    phone.goto("/me/today")
    phone.context.set_offline(True)
    open_sheet(phone)
    sheet(phone).get_by_label(KNEE, exact=True).check()
    sheet(phone).get_by_label("how were you moving").select_option("walk")
    sheet(phone).get_by_role("button", name="Yes, tell my coach").click()
    close(phone)

    tell(phone, HARD)

    expect(sheet(phone).locator("[data-paused]:visible")).to_contain_text("Walking and all hard work are paused.")
    close(phone)
    expect(kept(phone)).not_to_contain_text("Easy outings go on.")
    expect(work(phone)).to_contain_text("something easy another way that does not hurt")
    phone.context.set_offline(False)


def test_where_walking_is_paused_no_walk_is_offered(phone, served):
    raise_hold(served, kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.WALK, cause=KNEE)
    with served.house.transaction(True) as db:
        seed.add_planned(db, client=served.people.client, mode=Mode.RIDE, title="Easy ride")
    phone.goto("/me/today")
    phone.context.set_offline(True)

    tell(phone, "Dizzy, confused or unsteady")
    close(phone)

    ride = phone.locator("section[data-work]", has_text="Easy ride")
    expect(ride.get_by_text("Walking is paused too")).to_be_visible()
    expect(ride.get_by_text("Everyday walking only if it feels right")).to_be_hidden()
    phone.context.set_offline(False)


def choose(page: Page) -> None:
    """Choose and confirm on the page of the same name."""
    page.get_by_label(HARD, exact=True).check()
    page.get_by_role("button", name="Yes, tell my coach").click()


@pytest.mark.parametrize(
    ("path", "answer"), [("/me/today", lambda page: tell(page, HARD)), ("/me/felt-wrong", choose)]
)
def test_closing_leads_to_what_is_kept_and_the_list_is_closed(phone, served, path, answer):
    phone.goto(path)
    phone.context.set_offline(True)
    answer(phone)
    close(phone)

    expect(kept(phone)).to_be_focused()
    expect(kept(phone)).to_be_in_viewport()
    expect(kept(phone)).to_contain_text(NOT_SENT)
    expect(phone.get_by_label(HARD, exact=True)).to_have_count(1)
    expect(phone.get_by_label(HARD, exact=True)).to_be_hidden()
    expect(phone.get_by_role("button", name="Yes, tell my coach")).to_be_hidden()
    phone.context.set_offline(False)


def test_something_more_opens_the_list_afresh(phone, served):
    phone.goto("/me/felt-wrong")
    choose(phone)
    close(phone)

    phone.get_by_role("button", name="Add something more").click()

    expect(phone.get_by_label(HARD, exact=True)).to_be_visible()
    expect(phone.get_by_label(HARD, exact=True)).not_to_be_checked()
    expect(phone.get_by_role("button", name="Yes, tell my coach")).to_be_visible()
    expect(phone.get_by_role("button", name="Add something more")).to_be_hidden()


def test_a_page_from_before_a_hold_and_one_from_after_let_each_other_rest(phone, served):
    phone.goto("/me/today")
    raise_hold(served, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="fever")
    later = phone.context.new_page()
    later.goto("/me/today")

    phone.evaluate("() => { window.notes = 0; addEventListener('storage', () => { window.notes += 1; }); }")
    later.evaluate("() => dispatchEvent(new Event('pageshow'))")
    phone.evaluate("() => dispatchEvent(new Event('pageshow'))")
    later.wait_for_timeout(500)

    assert phone.evaluate("window.notes") <= 2
    assert later.evaluate("JSON.parse(localStorage.getItem('foothill.here')).paused") == ALL_PAUSED


def test_a_page_made_after_a_hold_pauses_one_from_before(windows, served):
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, served.people)
    # By the phone's own clock: which page was made later counts here.
    earlier = windows.open(390, TOKENS["client_phone"])
    earlier.goto("/me/today")
    expect(work(earlier).locator("ol.steps").first).to_be_visible()
    raise_hold(served, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="a changed tablet")
    later = earlier.context.new_page()
    later.goto("/me/check-in")

    expect(work(earlier).locator("[data-paused-here]")).to_contain_text("Paused since this page was opened.")
    expect(work(earlier).locator("ol.steps").first).to_be_hidden()
    made_at = earlier.evaluate("JSON.parse(localStorage.getItem('foothill.here')).madeAt")
    assert made_at == later.evaluate("performance.timeOrigin")
