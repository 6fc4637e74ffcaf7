"""The intake on a phone of 390 px: the connection goes and comes, the page is closed and opened, nothing is lost."""

from __future__ import annotations

import json

import pytest
from playwright.sync_api import Page, expect

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.intake import Sort, intake_questions
from app.coaching.screening import YesNo
from app.storage import clients, intake, safety
from tests import seed
from tests.browser.axe import COLOURS, EVERYTHING, Axe
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

TEXT_PX = 18
THUMB_PX = 48
OTHER_PHONE = "token-of-another-clients-phone"
#: One screen of each kind, with the longest words.
SCREENS = [
    "/me/intake",
    "/me/intake/active",
    "/me/intake/chest",
    "/me/intake/any_medicine",
    "/me/intake/medicines_heart",
    "/me/intake/medicines_other",
    "/me/intake/blood_pressure",
    "/me/intake/emergency_contact",
    "/me/intake/consent_coaching",
    "/me/intake-look-over",
    "/me/intake-sent",
]
_SMALL_TEXT = """(least) => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const found = [];
  while (walk.nextNode()) {
    const holder = walk.currentNode.parentElement;
    if (!walk.currentNode.data.trim() || holder.closest(".unseen, .skip, script, noscript")) continue;
    if (!holder.checkVisibility({visibilityProperty: true})) continue;
    const size = parseFloat(getComputedStyle(holder).fontSize);
    if (size < least) found.push(`${size}: ${walk.currentNode.data.trim().slice(0, 60)}`);
  }
  return found;
}"""
_SMALL_TARGETS = """(least) => [...document.querySelectorAll(
    "main a[href], main button, main input:not([type=hidden]), .dock a, .dock button, .places a")]
  .filter((one) => one.checkVisibility({visibilityProperty: true}) && !one.matches(".skip"))
  .map((one) => [one, (one.closest("label") ?? one).getBoundingClientRect()])
  .filter(([, box]) => box.height < least || box.width < least)
  .map(([one, box]) => `${one.outerHTML.slice(0, 120)}: ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`)"""
_DRAWERS = "Object.keys(localStorage).filter((name) => name.startsWith('foothill.intake')).length"
_EXCESS = "document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture
def phone(windows) -> Page:
    """The client's signed-in phone."""
    return windows.open(390, TOKENS["client_phone"])


def questions(served):
    with served.house.transaction(False) as db:
        client = clients.one(db, client_id=served.people.client.id)
    return intake_questions(client, past=(), consents=(), today=seed.TODAY, answers={})


def waiting(served):
    with served.house.transaction(False) as db:
        return {one.question: one.answer for one in intake.waiting(db, client_id=served.people.client.id)}


def sent(served):
    with served.house.transaction(False) as db:
        return safety.screening_of(db, client_id=served.people.client.id)


def choose(page: Page, words: str) -> None:
    page.locator("label.choice").filter(has=page.get_by_text(words, exact=True)).click()


def press(page: Page) -> None:
    page.locator(".dock .main-button").click()


def answer(page: Page, one) -> None:
    """Give the plain answer to the question that is shown."""
    if one.sort is Sort.PRESSURE:
        choose(page, "Yes, I have a reading")
        page.get_by_label("Upper number").fill("128")
        page.get_by_label("Lower number").fill("78")
        page.get_by_label("Measured on").fill("2026-11-20")
    elif one.sort is Sort.CONTACT:
        page.get_by_label("Name").fill("Jonas Brandt, husband")
        page.get_by_label("Their phone number").fill("0151 000 0001")
    elif one.sort is Sort.CONSENT:
        choose(page, "I have read this and agree")
    else:
        choose(page, "No, none" if one.sort is Sort.ANY_MEDICINE else "No")


def go_through(page: Page, asked, *, until: str) -> None:
    """Answer the questions from the one that is shown up to another address."""
    for one in asked:
        page.wait_for_url(f"**/me/intake/{one.key}")
        answer(page, one)
        press(page)
    page.wait_for_url(until)


def reopen(page: Page) -> Page:
    """Close the page and open the browser's next one."""
    # A page that is being closed is online for a moment, as the browser lets go of it: a real one sends nothing more.
    page.evaluate("() => { window.fetch = () => Promise.reject(new TypeError('closed')); }")
    context = page.context
    page.close()
    return context.new_page()


def press_without_connection(page: Page) -> None:
    """Press the main button where there is no connection, and see that the answer is kept on the phone."""
    page.context.set_offline(True)
    press(page)
    expect(page.locator("[data-saving]")).to_contain_text("Your answer is kept on this phone")


def press_and_lose_the_answer(page: Page) -> None:
    """Press the main button; the desk keeps the answer, and its own answer does not come back."""
    press(page)
    expect(page.locator("[data-saving]")).to_contain_text("Your answer is kept on this phone")


def close_before_it_comes_back(page: Page) -> Page:
    """Close the page while there is no connection; open the intake when there is one again."""
    again = reopen(page)
    again.context.set_offline(False)
    again.goto("/me/intake")
    return again


def test_an_answer_the_desk_has_already_is_not_called_unsent(phone, served):
    phone.goto("/me/intake/chest")
    phone.route("**/me/intake/chest", lambda route: (route.fetch(max_redirects=0), route.abort()), times=1)
    choose(phone, "Yes")
    press_and_lose_the_answer(phone)
    again = phone.context.new_page()
    phone.close()

    again.goto("/me/intake")
    again.wait_for_load_state("networkidle")

    assert waiting(served)["chest"] == {"reply": "yes"}
    expect(again.get_by_text("1 of")).to_be_visible()
    expect(again.locator("[data-intake-offer]")).to_be_empty()
    assert (
        again.evaluate("Object.keys(localStorage).filter((name) => name.startsWith('foothill.intake')).length") == 0
    )


def test_what_became_of_an_answer_stands_above_the_advice(phone):
    phone.goto("/me/intake/chest")
    choose(phone, "Yes")
    press_without_connection(phone)

    expect(phone.locator("[data-saving]")).to_be_in_viewport()
    said, advice = (phone.locator(one).bounding_box()["y"] for one in ("[data-saving]", "[data-when-named]"))
    assert said < advice
    expect(phone.locator("[data-when-named]")).to_be_in_viewport(ratio=0.5)
    phone.context.set_offline(False)


def test_a_connection_lost_in_the_middle_and_a_closed_page_lose_nothing(phone, served):
    asked = questions(served)
    places = [one.key for one in asked]
    flat, contact = places.index("flat"), places.index("emergency_contact")
    phone.goto("/me/today")
    phone.locator("main a[href='/me/intake']").first.click()
    press(phone)
    go_through(phone, asked[: places.index("breath")], until="**/me/intake/breath")

    # The connection goes: what was pressed is kept, and sent by itself when it is back.
    choose(phone, "No")
    press_without_connection(phone)
    assert "breath" not in waiting(served)
    phone.context.set_offline(False)
    phone.wait_for_url("**/me/intake/dizzy")
    assert waiting(served)["breath"] == {"reply": "no"}

    # It goes again, and the page is closed before it comes back: offered on the next opening.
    choose(phone, "Not sure")
    press_without_connection(phone)
    again = close_before_it_comes_back(phone)
    offered = again.locator("[data-intake-offer]")
    expect(offered).to_contain_text("Have you felt dizzy, or fainted? Not sure")
    assert "dizzy" not in waiting(served)
    offered.get_by_role("button", name="Send it now").click()
    expect(offered).to_be_empty()
    assert waiting(served)["dizzy"] == {"reply": "not_sure"}

    # It goes on where it was left. What was only typed when the page was closed is there again, too.
    press(again)
    go_through(again, asked[flat:contact], until="**/me/intake/emergency_contact")
    again.get_by_label("Name").fill("Jonas Brandt, hus")
    last = reopen(again)
    last.goto("/me/intake/emergency_contact")
    expect(last.get_by_label("Name")).to_have_value("Jonas Brandt, hus")
    expect(last.locator("[data-saving]")).to_contain_text("filled in again")
    go_through(last, asked[contact:], until="**/me/intake-look-over")

    # Sent without a connection: once, when it is back.
    press_without_connection(last)
    assert sent(served) == []
    last.context.set_offline(False)
    last.wait_for_url("**/me/intake-sent")

    assert waiting(served) == {}
    assert last.evaluate(_DRAWERS) == 0
    assert_all_is_kept(served, asked)


def assert_all_is_kept(served, asked) -> None:
    """One set of answers with every single one, the contact, the reading and both consents."""
    [kept] = sent(served)
    details = json.loads(kept.details_json)
    replies = {one.key: details[one.key] for one in asked if one.sort is Sort.REPLY}
    assert replies == {key: "not_sure" if key == "dizzy" else "no" for key in replies}
    assert set(details["medicines"].values()) == {"no"}
    assert (kept.symptoms, kept.disease, kept.answered_on) == (YesNo.YES, YesNo.NO, seed.TODAY)
    with served.house.transaction(False) as db:
        client = clients.one(db, client_id=served.people.client.id)
        [reading] = safety.pressures_of(db, client_id=client.id)
        consents = safety.consents_of(db, client_id=client.id)
    assert client.emergency_contact == "Jonas Brandt, husband"
    assert (reading.systolic_mmhg, reading.diastolic_mmhg, len(consents)) == (128, 78, 2)


def answered_but_for_sending(served) -> None:
    """Every answer waits on the desk."""
    with served.house.transaction(True) as db:
        for one in questions(served):
            said = {"reply": "no"}
            if one.sort is Sort.PRESSURE:
                said = {"known": "no"}
            if one.sort is Sort.CONTACT:
                said = {"emergency_contact": "Jonas Brandt", "emergency_phone": "0151 000 0001"}
            if one.sort is Sort.CONSENT:
                said = {"agreed": "not_yet", "text_version": CONSENT_TEXTS[one.consent].version}
            intake.keep(db, client_id=served.people.client.id, question=one.key, answer=said, at=seed.NOW)


def test_sent_but_the_answer_was_lost_on_the_way_back_counts_once(phone, served):
    answered_but_for_sending(served)
    phone.goto("/me/intake-look-over")
    lost = []

    def lose_the_first_answer(route):
        if lost:
            route.continue_()
            return
        lost.append(route.fetch(max_redirects=0).status)
        route.abort("connectionreset")

    phone.route("**/me/intake-look-over", lose_the_first_answer)
    press(phone)

    phone.wait_for_url("**/me/intake-sent")
    assert lost == [204]
    assert len(sent(served)) == 1


def test_the_advice_is_there_at_once_without_a_connection(phone):
    phone.goto("/me/intake/chest")
    advice = phone.locator("[data-when-named]")
    expect(advice).to_be_hidden()
    phone.context.set_offline(True)

    choose(phone, "Not sure")

    expect(advice).to_be_visible()
    expect(advice).to_contain_text("stop what you are doing, rest, and do not be alone")
    expect(advice).to_contain_text("Your coach must hear it too")
    expect(phone.locator("[data-named-said]")).to_contain_text("do not be alone")
    choose(phone, "No")
    expect(advice).to_be_hidden()
    phone.context.set_offline(False)


def test_a_waiting_answer_can_be_thrown_away(phone, served):
    phone.goto("/me/intake/chest")
    phone.context.set_offline(True)
    choose(phone, "Yes")
    press(phone)
    expect(phone.locator("[data-saving]")).to_contain_text("kept on this phone")
    again = reopen(phone)
    again.context.set_offline(False)
    again.goto("/me/intake")

    again.get_by_role("button", name="Throw it away").click()
    again.reload()

    expect(again.locator("[data-intake-offer]")).to_be_empty()
    assert waiting(served) == {}


def test_what_waits_on_a_phone_is_shown_to_nobody_else(phone, served, windows):
    with served.house.transaction(True) as db:
        other = seed.client_person(db, served.people.other_client)
        seed.add_login(db, person=other, token=OTHER_PHONE)
    phone.goto("/me/intake/chest")
    phone.context.set_offline(True)
    choose(phone, "Yes")
    press(phone)
    expect(phone.locator("[data-saving]")).to_contain_text("kept on this phone")
    again = reopen(phone)
    again.context.set_offline(False)
    cookie = next(one for one in again.context.cookies() if one["name"] == "foothill_login")
    again.context.add_cookies([cookie | {"value": OTHER_PHONE}])

    again.goto("/me/intake/chest")

    expect(again.locator("[data-intake-offer]")).to_be_empty()
    expect(again.locator("input:checked")).to_have_count(0)


def test_an_open_question_is_asked_again_and_a_wrong_reading_stays(phone):
    phone.goto("/me/intake/chest")
    press(phone)
    expect(phone.locator("[data-error-summary]")).to_be_focused()

    phone.goto("/me/intake/blood_pressure")
    choose(phone, "Yes, I have a reading")
    phone.get_by_label("Upper number").fill("78")
    phone.get_by_label("Lower number").fill("128")
    phone.get_by_label("Measured on").fill("2026-11-20")
    press(phone)

    expect(phone.locator("[data-error-summary]")).to_be_focused()
    expect(phone.get_by_label("Upper number")).to_have_value("78")
    expect(phone.locator("#f-systolic_mmhg-error")).to_contain_text("swapped")


def test_the_whole_intake_works_without_script(windows, served):
    page = windows.open(390, TOKENS["client_phone"], java_script_enabled=False)
    page.goto("/me/intake")
    press(page)

    go_through(page, questions(served), until="**/me/intake-look-over")
    press(page)

    page.wait_for_url("**/me/intake-sent")
    expect(page.locator("h1")).to_contain_text("Sent.")
    assert len(sent(served)) == 1


@pytest.mark.parametrize("address", SCREENS)
def test_a_reader_of_seventy_could_text_targets_and_axe(phone, served, address):
    with served.house.transaction(True) as db:
        intake.keep(
            db, client_id=served.people.client.id, question="chest", answer={"reply": "not_sure"}, at=seed.NOW
        )
        intake.keep(
            db, client_id=served.people.client.id, question="any_medicine", answer={"reply": "yes"}, at=seed.NOW
        )
    phone.goto(address)
    if address.endswith("blood_pressure"):
        choose(phone, "Yes, I have a reading")
    axe = Axe(phone)
    axe.load()

    assert phone.evaluate(_SMALL_TEXT, TEXT_PX) == []
    assert phone.evaluate(_SMALL_TARGETS, THUMB_PX) == []
    # What the dock covers is scrolled free of it: axe looks at a window as tall as the page.
    height = phone.evaluate("document.documentElement.scrollHeight")
    phone.set_viewport_size({"width": 390, "height": max(844, height)})
    assert axe.violations(EVERYTHING) == []
    phone.emulate_media(color_scheme="dark")
    assert axe.violations(COLOURS) == []
    assert phone.evaluate(_EXCESS) <= 0
    phone.set_viewport_size({"width": 320, "height": 640})
    assert phone.evaluate(_EXCESS) <= 0
    assert phone.evaluate(_SMALL_TARGETS, THUMB_PX) == []


def test_the_measures_notice_small_text_and_small_targets(phone):
    phone.goto("/me/intake/chest")
    phone.evaluate("document.documentElement.style.fontSize = '12px'")

    assert phone.evaluate(_SMALL_TEXT, TEXT_PX) != []
    phone.evaluate("document.querySelector('.dock .main-button').style.minHeight = '30px'")
    phone.evaluate("document.querySelector('.dock .main-button').style.height = '30px'")
    assert phone.evaluate(_SMALL_TARGETS, THUMB_PX) != []
