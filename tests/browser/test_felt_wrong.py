"""Something felt wrong on a phone of 390 px: the sheet answers and pauses without a connection, and is sent once."""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.storage import accounts, practice, safety
from tests import seed
from tests.browser import stage
from tests.browser.axe import COLOURS, EVERYTHING, Axe
from tests.browser.test_intake import _EXCESS, _SMALL_TARGETS, _SMALL_TEXT, TEXT_PX, THUMB_PX
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

OTHER_PHONE = "token-of-another-clients-phone"
CHEST = "Pain, pressure or tightness in the chest, jaw, neck or arm"
KNEE = "New pain in a joint"
HARD = "It was too hard"
ADDRESS = "**/me/felt-wrong"
#: 40 minutes before the desk's present.
ENTERED = seed.NOW - timedelta(minutes=40)
NOT_SENT = "Kept on this phone, not yet sent"
_DRAWER = "Object.keys(localStorage).filter((name) => name.startsWith('foothill.reports.')).length"


@pytest.fixture
def phone(windows, served) -> Page:
    """The client's signed-in phone : four hard rounds for today, an easy walk for tomorrow, its own clock."""
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, served.people)
        seed.add_planned(db, client=served.people.client, planned_on=seed.TODAY + timedelta(days=1))
        practice.change(db, name="Birchway", zone="Europe/Berlin", emergency_number="112", public_url=None)
    page = windows.open(390, TOKENS["client_phone"])
    page.clock.set_fixed_time(ENTERED)
    return page


def holds(served):
    with served.house.transaction(False) as db:
        return safety.holds_of(db, client_id=served.people.client.id)


def reports(served):
    with served.house.transaction(False) as db:
        return safety.symptoms_of(db, client_id=served.people.client.id)


def sheet(page: Page):
    return page.locator("#felt-wrong")


def open_sheet(page: Page) -> None:
    page.locator(".dock").get_by_role("link", name="Something felt wrong").click()


def tell(page: Page, words: str) -> None:
    """Open the sheet, choose and confirm."""
    open_sheet(page)
    sheet(page).get_by_label(words, exact=True).check()
    sheet(page).get_by_role("button", name="Yes, tell my coach").click()


def state(page: Page):
    return sheet(page).locator("[data-report-state]")


def work(page: Page):
    return page.locator("main section[data-work]")


def refuse(page: Page, status: int) -> list[str]:
    """Let the desk answer reports with an error; the ids they were sent under."""
    ids: list[str] = []

    def answer(route):
        ids.append(route.request.post_data_json["request_id"])
        route.fulfill(status=status, body="no")

    page.route(ADDRESS, lambda route: answer(route) if route.request.method == "POST" else route.continue_())
    return ids


def test_without_a_connection_it_answers_pauses_and_is_sent_later_with_its_hour(phone, served, windows):
    phone.goto("/me/today")
    expect(work(phone).locator(".steps").first).to_be_visible()
    phone.context.set_offline(True)

    open_sheet(phone)
    expect(sheet(phone).get_by_text("Stop now and rest.")).to_be_visible()
    expect(sheet(phone).get_by_role("link", name="Call 112").first).to_have_attribute("href", "tel:112")
    assert holds(served) == []
    sheet(phone).get_by_label(CHEST).check()
    sheet(phone).get_by_role("button", name="Yes, tell my coach").click()

    expect(sheet(phone).get_by_role("heading", name="What to do now")).to_be_focused()
    told = sheet(phone).locator("[data-advice]:visible")
    expect(told).to_contain_text("Your coach may not see this before their next morning.")
    expect(told).to_contain_text("Do not train again until a doctor has seen you")
    expect(told.get_by_role("link", name="Call 112")).to_be_visible()
    expect(state(phone)).to_contain_text(f"{NOT_SENT}: there is no connection")
    phone.keyboard.press("Escape")
    expect(work(phone).get_by_text("Not today.")).to_be_visible()
    expect(work(phone).locator(".steps").first).to_be_hidden()
    expect(phone.locator("li[data-work]")).to_contain_text("paused")
    expect(phone.locator("#felt-wrong-kept")).to_contain_text(NOT_SENT)
    assert holds(served) == []

    phone.context.set_offline(False)
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    expect(work(phone).get_by_text("Not today.")).to_be_visible()
    [report], [hold] = reports(served), holds(served)
    assert (report.sign, report.entered_at, report.received_at) == ("chest", ENTERED, seed.NOW)
    assert (hold.kind, hold.stops, hold.began_on) == (HoldKind.SYMPTOM, Stops.ALL, seed.TODAY)
    coach = windows.open(1280, TOKENS["coach"])
    coach.goto("/morning")
    expect(coach.locator(f"#line-{served.people.client.id}")).to_contain_text(
        "Entered on the phone 25 November 2026, 07:20; it came 25 November 2026, 08:00."
    )
    phone.goto("/me/today")
    expect(phone.locator("h1")).to_have_text("Your training is paused")
    expect(phone.locator("#felt-wrong-kept")).to_be_hidden()


def test_a_page_opened_later_is_paused_until_the_desk_has_the_report(phone, served):
    ids = refuse(phone, 500)
    phone.goto("/me/today")
    tell(phone, CHEST)
    expect(state(phone)).to_contain_text(f"{NOT_SENT}: the desk could not take it")

    phone.goto("/me/today")

    expect(work(phone).get_by_text("Not today.")).to_be_visible()
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("the desk could not take it")
    assert holds(served) == []
    phone.unroute(ADDRESS)
    phone.reload()
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    assert len(set(ids)) == 1
    assert len(holds(served)) == 1


def test_an_answer_lost_on_the_way_back_and_a_reload_leave_one_report(phone, served):
    phone.goto("/me/today")
    lost = []

    def lose_the_answer(route):
        lost.append(route.fetch(max_redirects=0).status)
        route.abort("connectionreset")

    phone.route(ADDRESS, lose_the_answer, times=1)
    tell(phone, CHEST)
    expect(state(phone)).to_contain_text("there is no connection")
    phone.reload()

    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    assert lost == [204]
    assert (len(reports(served)), len(holds(served))) == (1, 1)


@pytest.mark.parametrize("status", [400, 404, 409, 413, 422, 500, 503])
def test_no_answer_of_a_failing_desk_loses_the_report(phone, served, status):
    ids = refuse(phone, status)
    phone.goto("/me/today")
    tell(phone, CHEST)
    expect(state(phone)).to_contain_text("Tell your coach by phone")
    expect(state(phone)).to_contain_text(NOT_SENT)

    phone.unroute(ADDRESS)
    phone.evaluate("dispatchEvent(new Event('online'))")

    expect(state(phone)).to_contain_text("Sent at")
    assert len(ids) == 1
    assert len(holds(served)) == 1


def test_it_is_tried_again_by_itself_with_growing_pauses(windows, served):
    page = windows.open(390, TOKENS["client_phone"])
    page.clock.install(time=ENTERED)
    ids = refuse(page, 503)
    page.goto("/me/today")
    tell(page, CHEST)
    expect(state(page)).to_contain_text("the desk could not take it")

    counts = [len(ids), tries_after(page, ids, 2_000), tries_after(page, ids, 2_100)]
    counts += [tries_after(page, ids, 5_000), tries_after(page, ids, 3_100)]

    assert counts == [1, 1, 2, 2, 3]
    assert len(set(ids)) == 1


def tries_after(page: Page, ids: list[str], ms: int) -> int:
    """Let the phone's clock run, and what began come to its end."""
    page.clock.run_for(ms)
    page.evaluate("fetch('/healthz').then(() => fetch('/healthz')).then(() => null)")
    return len(ids)


def test_signed_out_meanwhile_keeps_it_and_a_new_link_sends_it(phone, served):
    phone.goto("/me/today")
    with served.house.transaction(True) as db:
        person = seed.client_person(db, served.people.client)
        accounts.end_all_logins(db, person_id=person.id, at=seed.NOW)
        stage.invite(db, client_id=served.people.client.id, coach_id=served.people.coach.id)

    tell(phone, CHEST)
    expect(state(phone)).to_contain_text("Sign in again with a new link from your coach")
    expect(state(phone)).to_contain_text("Tell your coach by phone")
    expect(sheet(phone).get_by_role("link", name="112", exact=True)).to_have_attribute("href", "tel:112")
    assert holds(served) == []

    phone.goto(f"/join/{stage.LINK}")
    phone.locator("main button").click()
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    assert len(holds(served)) == 1


def test_another_login_on_the_same_phone_neither_sees_nor_sends_it(phone, served):
    with served.house.transaction(True) as db:
        seed.add_login(db, person=seed.client_person(db, served.people.other_client), token=OTHER_PHONE)
    refuse(phone, 503)
    phone.goto("/me/today")
    tell(phone, CHEST)
    expect(state(phone)).to_contain_text(NOT_SENT)
    phone.unroute(ADDRESS)
    cookie = next(one for one in phone.context.cookies() if one["name"] == "foothill_login")
    phone.context.add_cookies([cookie | {"value": OTHER_PHONE}])
    posts = []
    phone.on("request", lambda request: posts.append(request.url) if request.method == "POST" else None)

    phone.goto("/me/today")
    expect(phone.locator("h1")).to_be_visible()
    expect(phone.locator("#felt-wrong-kept")).to_be_hidden()
    phone.get_by_role("button", name="Sign out").click()

    expect(phone.locator("#felt-wrong-leaving")).to_contain_text("another person")
    expect(phone.locator("#felt-wrong-leaving")).not_to_contain_text("chest")
    assert posts == []
    phone.context.add_cookies([cookie])
    phone.goto("/me/today")
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    assert len(holds(served)) == 1


def test_signing_out_throws_it_away_only_after_saying_so(phone, served):
    refuse(phone, 503)
    phone.goto("/me/today")
    tell(phone, CHEST)
    sheet(phone).get_by_role("button", name="Close").click()

    phone.get_by_role("button", name="Sign out", exact=True).click()
    leaving = phone.locator("#felt-wrong-leaving")
    expect(leaving).to_contain_text("Tell your coach by phone first")
    expect(leaving).to_be_focused()
    leaving.get_by_role("button", name="Stay signed in").click()
    expect(leaving).to_be_hidden()
    assert phone.evaluate(_DRAWER) == 1
    phone.get_by_role("button", name="Sign out", exact=True).click()
    phone.context.set_offline(True)
    leaving.get_by_role("button", name="Sign out all the same").click()
    expect(leaving).to_contain_text("Not signed out: there is no connection")
    assert phone.evaluate(_DRAWER) == 1
    phone.context.set_offline(False)
    leaving.get_by_role("button", name="Sign out all the same").click()

    phone.wait_for_url("**/sign-in?next=/me/today")
    assert phone.evaluate(_DRAWER) == 0


def test_nothing_waiting_signs_out_at_once(phone):
    phone.goto("/me/today")
    phone.get_by_role("button", name="Sign out").click()

    phone.wait_for_url("**/sign-in?next=/me/today")


@pytest.mark.parametrize(
    ("chosen", "raised", "said"),
    [
        ((KNEE, "walk"), (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.WALK), "Stop using what hurts"),
        ((KNEE, ""), (HoldKind.INJURY, Stops.ALL, None), "Stop using what hurts"),
        ((HARD, ""), (HoldKind.STOPPED_EARLY, Stops.HARD, None), "You did right to stop"),
    ],
)
def test_the_other_families_pause_what_their_hold_stops(phone, served, chosen, raised, said):
    words, mode = chosen
    phone.goto("/me/today")
    phone.context.set_offline(True)
    open_sheet(phone)
    sheet(phone).get_by_label(words, exact=True).check()
    sheet(phone).get_by_label("how were you moving").select_option(mode)
    sheet(phone).get_by_role("button", name="Yes, tell my coach").click()

    expect(sheet(phone).locator("[data-advice]:visible")).to_have_count(1)
    expect(sheet(phone).locator("[data-advice]:visible")).to_contain_text(said)
    sheet(phone).get_by_role("button", name="Close").click()
    expect(work(phone).get_by_text("Not today.")).to_be_visible()
    paused = phone.locator("li[data-work] [data-paused-here]").count()
    phone.context.set_offline(False)
    expect(phone.locator("#felt-wrong-kept")).to_contain_text("Sent at")
    [hold] = holds(served)
    assert (hold.kind, hold.stops, hold.mode) == raised
    # The easy walk of tomorrow waits where all does, or walking.
    assert paused == int(hold.stops is not Stops.HARD)


def test_closing_keeps_and_sends_nothing_and_a_sign_is_asked_for(phone, served):
    phone.goto("/me/today")
    open_sheet(phone)
    expect(sheet(phone).get_by_role("heading", name="Something felt wrong")).to_be_focused()
    sheet(phone).get_by_role("button", name="Yes, tell my coach").click()
    expect(sheet(phone).get_by_role("alert")).to_have_text("Choose what it was.")
    expect(sheet(phone).locator("[name=sign]").first).to_be_focused()
    sheet(phone).get_by_label(CHEST).check()
    phone.keyboard.press("Escape")

    expect(sheet(phone)).to_be_hidden()
    expect(phone.locator(".dock .felt-wrong")).to_be_focused()
    expect(phone.locator("#felt-wrong-kept")).to_be_hidden()
    assert phone.evaluate(_DRAWER) == 0
    assert holds(served) == []


def test_the_keyboard_stays_in_the_sheet(phone):
    phone.goto("/me/today")
    open_sheet(phone)
    last = sheet(phone).get_by_role("button", name="Close. Nothing is sent")
    first = sheet(phone).locator(".call-now").first

    # After the last button come the browser's own bar and the sheet itself, then its first link again.
    last.focus()
    [phone.keyboard.press("Tab") for _ in range(3)]
    expect(first).to_be_focused()
    [phone.keyboard.press("Shift+Tab") for _ in range(2)]
    expect(last).to_be_focused()


def test_the_page_of_the_same_name_keeps_it_too(phone, served):
    phone.goto("/me/felt-wrong")
    phone.context.set_offline(True)
    phone.get_by_label(CHEST).check()
    phone.get_by_role("button", name="Yes, tell my coach").click()

    expect(state(phone)).to_contain_text(NOT_SENT)
    phone.context.set_offline(False)
    expect(state(phone)).to_contain_text("Sent at")
    assert [one.sign for one in reports(served)] == ["chest"]


def test_a_phone_that_keeps_nothing_says_so_and_sends_all_the_same(phone, served):
    phone.add_init_script("Storage.prototype.setItem = () => { throw new Error('full'); };")
    phone.goto("/me/today")
    phone.context.set_offline(True)
    tell(phone, CHEST)

    expect(state(phone)).to_contain_text("leave this page open until it is sent")
    expect(work(phone).get_by_text("Not today.")).to_have_count(1)
    phone.context.set_offline(False)
    expect(state(phone)).to_contain_text("Sent at")
    assert len(holds(served)) == 1


def test_without_script_the_button_leads_to_the_page(windows, served):
    page = windows.open(390, TOKENS["client_phone"], java_script_enabled=False)
    page.goto("/me/today")
    expect(sheet(page)).to_be_hidden()
    page.locator(".dock .felt-wrong").click()
    page.wait_for_url("**/me/felt-wrong")
    page.get_by_label(CHEST).check()
    page.get_by_role("button", name="Yes, tell my coach").click()

    expect(page.locator("h1")).to_have_text("What to do now")
    assert [(one.sign, one.received_at) for one in reports(served)] == [("chest", None)]


@pytest.mark.parametrize("width", [390, 320])
@pytest.mark.parametrize("step", ["ask", "told"])
def test_the_sheet_is_large_enough_and_clean_in_both_lights(phone, width, step):
    phone.set_viewport_size({"width": width, "height": 3000})
    phone.goto("/me/today")
    phone.context.set_offline(True)
    open_sheet(phone) if step == "ask" else tell(phone, CHEST)
    axe = Axe(phone)
    axe.load()

    assert phone.evaluate(_SMALL_TEXT, TEXT_PX) == []
    assert phone.evaluate(_SMALL_TARGETS.replace("main ", "dialog "), THUMB_PX) == []
    assert phone.evaluate(_EXCESS) <= 0
    assert axe.violations(EVERYTHING) == []
    phone.emulate_media(color_scheme="dark")
    assert axe.violations(COLOURS) == []
    phone.context.set_offline(False)


def test_the_first_signs_are_seen_without_scrolling(phone):
    phone.goto("/me/today")

    open_sheet(phone)

    buttons = sheet(phone).locator(".sheet-acts").first.bounding_box()
    signs = [one.bounding_box() for one in sheet(phone).locator("label:has([name=sign])").all()[:3]]
    assert max(one["y"] + one["height"] for one in signs) <= buttons["y"]
