"""A client's phone in a real browser: the personal link, a log in under a minute, how I am, something felt wrong."""

from __future__ import annotations

import time

import pytest
from playwright.sync_api import Page, expect

from app.storage import readiness, session_logs
from tests import seed
from tests.browser import stage
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

WIDTHS = pytest.mark.parametrize("width", [1280, 390])
SECONDS_FOR_A_LOG = 60
#: What says whether something was saved keeps so far from the edges of the screen.
SPACE_BESIDE_PX = 12
#: Touches from Today to the kept entry with four rounds: Done, as planned, talk, effort, four rounds, posture, keep.
MOST_TOUCHES = 10


@pytest.fixture
def rounds(served) -> int:
    """Four hill rounds stand in the client's plan today; the session's identity."""
    with served.house.transaction(True) as db:
        return stage.make_hard_work_allowed(db, served.people)


@pytest.fixture
def phone(windows, rounds, width) -> Page:
    """The client's signed-in phone."""
    return windows.open(width, TOKENS["client_phone"])


class Thumb:
    """Touches what is visible and counts the touches."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.touches = 0

    def touch(self, locator) -> None:
        """One touch."""
        locator.click()
        self.touches += 1

    def choose(self, question: str, answer: str) -> None:
        """One touch on an answer to a question."""
        group = self.page.get_by_role("group", name=question)
        self.touch(group.locator("label").filter(has_text=answer).first)


def logs(served):
    with served.house.transaction(False) as db:
        return session_logs.between(db, client_ids=[served.people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)


@WIDTHS
def test_looking_at_a_personal_link_does_not_use_it_up(windows, served, rounds, width):
    with served.house.transaction(True) as db:
        stage.invite(db, client_id=served.people.client.id, coach_id=served.people.coach.id)
    preview = windows.open(width)
    preview.goto(f"/join/{stage.LINK}")
    expect(preview.locator("h1")).to_have_text("Hello Ilse Brandt")

    page = windows.open(width)
    page.goto(f"/join/{stage.LINK}")
    page.get_by_role("button", name="This is my phone, go on").click()

    page.wait_for_url("**/me/today")
    expect(page.get_by_text("Four hill rounds").first).to_be_visible()
    late = windows.open(width)
    late.goto(f"/join/{stage.LINK}")
    expect(late.get_by_role("button", name="This is my phone, go on")).to_have_count(0)


@WIDTHS
def test_today_says_what_why_and_when_to_stop(phone):
    phone.goto("/me/today")

    expect(phone.locator("h1")).to_contain_text("Four hill rounds")
    expect(phone.locator("li.rounds")).to_contain_text("4 times")
    expect(phone.get_by_text("30 min easy instead.")).to_be_visible()
    expect(phone.locator("main .stop:visible")).to_contain_text("Stop at once")
    expect(phone.locator(".dock .main-button")).to_be_in_viewport()
    expect(phone.locator(".dock .felt-wrong")).to_be_in_viewport()


def _dock_height(phone, path: str) -> float:
    phone.goto(path)
    box = phone.locator(".dock .main-button").bounding_box()
    assert box is not None
    return float(box["height"])


@pytest.mark.parametrize("width", [390])
def test_both_buttons_of_a_phones_dock_keep_to_one_line(phone):
    pages = ("/me/check-in", "/me/done?choose=true", "/me/intake-look-over", "/me/intake-sent")

    assert {_dock_height(phone, path) for path in pages} == {48.0}


@WIDTHS
def test_a_session_with_rounds_is_logged_in_under_a_minute(phone, served, rounds):
    phone.goto("/me/today")
    thumb, began = Thumb(phone), time.monotonic()

    thumb.touch(phone.locator(".dock .main-button"))
    thumb.choose("How did it go?", "As planned")
    thumb.choose("In the main part you", "words")
    thumb.touch(phone.get_by_role("group", name="How hard, all in all?").locator("label", has_text="7"))
    for number in range(1, 5):
        thumb.choose(f"Round {number}", "in full")
    thumb.choose("Right after the last round", "Stood and walked on")
    thumb.touch(phone.get_by_role("button", name="Keep it"))

    phone.wait_for_url("**/me/done/*")
    kept = logs(served)
    assert [(one.planned_session_id, one.effort, one.minutes) for one in kept] == [(rounds, 7.0, 57.0)]
    assert [one.is_complete for one in kept[0].rounds] == [True] * 4
    assert kept[0].posture is not None
    assert thumb.touches <= MOST_TOUCHES
    assert time.monotonic() - began < SECONDS_FOR_A_LOG


@WIDTHS
def test_a_round_cut_short_asks_how_long_it_was_where_one_can_see_it(phone, served):
    phone.goto("/me/done")
    thumb = Thumb(phone)
    thumb.choose("How did it go?", "Partly")
    thumb.choose("In the main part you", "words")
    thumb.choose("Round 1", "cut short")
    phone.get_by_label("Minutes, all in").fill("30")
    phone.get_by_role("button", name="Keep it").click()
    expect(phone.locator("[data-error-summary]")).to_be_focused()

    phone.locator("#f-round_1_time").fill("2:10")
    phone.get_by_role("button", name="Keep it").click()

    phone.wait_for_url("**/me/done/*")
    assert [(one.duration_s, one.is_complete) for one in logs(served)[0].rounds] == [(130, False)]


@WIDTHS
def test_a_form_sent_unfinished_says_what_is_missing_and_keeps_the_rest(phone):
    phone.goto("/me/done")
    phone.get_by_role("group", name="How did it go?").get_by_label("As planned").check()
    phone.get_by_label("Anything to tell your coach").fill("Windy on the ridge.")
    phone.get_by_role("button", name="Keep it").click()

    expect(phone.locator("[data-error-summary]")).to_be_focused()
    expect(phone.get_by_label("Anything to tell your coach")).to_have_value("Windy on the ridge.")
    said = phone.locator("#saving").bounding_box()
    assert said["x"] >= SPACE_BESIDE_PX
    assert said["x"] + said["width"] <= phone.viewport_size["width"] - SPACE_BESIDE_PX


@WIDTHS
def test_only_the_questions_that_belong_to_the_answer_are_shown(phone):
    phone.goto("/me/done")
    phone.get_by_role("group", name="How did it go?").get_by_label("Not done").check()

    expect(phone.get_by_role("group", name="What came between?")).to_be_visible()
    expect(phone.get_by_role("group", name="How hard, all in all?")).to_be_hidden()


@WIDTHS
def test_how_i_am_is_kept(phone, served):
    phone.goto("/me/how-i-am")
    thumb = Thumb(phone)
    first = phone.locator("#the-note .scale").first
    thumb.touch(first.locator("label", has_text="4"))
    thumb.choose("Your mood", "3")
    phone.locator(".dock .main-button").click()

    expect(phone.locator("#flash")).not_to_be_empty()
    with served.house.transaction(False) as db:
        kept = readiness.between(db, client_ids=[served.people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)
    assert [one.mood for one in kept] == [3]


@WIDTHS
def test_my_way_tells_the_story_and_what_was_agreed(phone):
    phone.goto("/me/today")
    phone.get_by_role("link", name="My way", exact=True).click()

    phone.wait_for_url("**/me/my-way")
    expect(phone.locator(".story .now")).to_be_visible()
    expect(phone.locator("#consents")).to_be_visible()


@WIDTHS
def test_something_felt_wrong_answers_at_once_and_tops_the_coachs_morning(phone, windows, served, width):
    with served.house.transaction(True) as db:
        other = seed.add_client(db, coach_id=served.people.coach.id, name="Ansgar Vole")
        seed.add_answers(db, client=other)
        seed.add_planned_hard(db, client=other)
    phone.goto("/me/today")
    phone.get_by_role("link", name="Something felt wrong").click()
    sheet = phone.locator("#felt-wrong")
    expect(sheet.locator(".stop:visible")).to_contain_text("Stop now and rest")
    sheet.locator("label.choice:has([value=chest])").click()
    sheet.get_by_role("button", name="Yes, tell my coach and pause my training").click()

    expect(sheet.get_by_role("heading", name="What to do now")).to_be_visible()
    expect(sheet.locator(".stop:visible")).to_contain_text("Do not be alone")
    expect(sheet.get_by_role("status")).to_contain_text("Sent at")
    phone.goto("/me/today")
    expect(phone.get_by_text("No training for now.")).to_be_visible()

    coach = windows.open(width, TOKENS["coach"])
    coach.goto("/morning")
    expect(coach.locator("[data-walk-line]").first).to_have_id(f"line-{served.people.client.id}")
    expect(coach.locator("[data-walk-line] .say").first).to_contain_text("All training is paused")
    assert coach.locator("[data-walk-line]").count() >= 2


_TOO_TALL = "(all) => all.filter((one) => one.scrollHeight > one.clientHeight).map((one) => one.textContent)"
NARROW = pytest.mark.parametrize("width", [390, 320])
#: How far a word's edge is from the edge of its number, the low one on the left, the high one on the right.
_ENDS = """() => [...document.querySelectorAll(".scale:has(.low)")].flatMap((scale) => {
  const box = (one) => one.getBoundingClientRect();
  const numbers = [...scale.querySelectorAll("label")].map(box);
  const range = document.createRange();
  const words = (one) => (range.selectNodeContents(scale.querySelector(one)), range.getBoundingClientRect());
  const [low, high, first, last] = [words(".low"), words(".high"), numbers[0], numbers.at(-1)];
  return [
    Math.abs(low.left - first.left), low.top - first.bottom,
    Math.abs(high.right - last.right), high.top - last.bottom,
  ];
})"""


@NARROW
@pytest.mark.parametrize("page", ["/me/done", "/me/how-i-am"])
def test_the_words_of_a_row_of_numbers_stand_under_their_numbers(phone, page):
    phone.goto(page)

    distances = phone.evaluate(_ENDS)

    assert len(distances) >= 4
    assert (min(distances), max(distances)) == (pytest.approx(0, abs=12), pytest.approx(0, abs=12))


@NARROW
@pytest.mark.parametrize("page", ["/me/today", "/me/done", "/me/intake/chest"])
def test_what_to_do_now_is_one_low_row_and_its_words_fit(phone, page):
    phone.goto(page)

    assert phone.locator(".dock").bounding_box()["height"] <= 62
    assert phone.locator(".dock a, .dock button").evaluate_all(_TOO_TALL) == []
