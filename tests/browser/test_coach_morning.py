"""The coach's morning in a real browser: by keyboard alone, by pointer, wide and narrow."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from tests import safety_scenes, seed
from tests.browser import stage
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

WIDTHS = pytest.mark.parametrize("width", [1280, 390])


@dataclass(frozen=True)
class Morning:
    """Who stands on it: on hold, in doubt today, gone quiet, ready to be promoted."""

    held: int
    in_doubt: int
    quiet: int
    ready: int


@pytest.fixture
def morning(served) -> Morning:
    people = served.people
    with served.house.transaction(True) as db:
        stage.make_hard_work_allowed(db, people)
        stage.sleep_badly(db, people)
        held = seed.add_calm_client(db, coach_id=people.coach.id, name="Maud Ellery")
        stage.report(db, client_id=held.id, person_id=people.coach.id)
        quiet = seed.add_calm_client(db, coach_id=people.coach.id, name="Tilde Marsh", spoken_days_ago=60)
        ready = seed.add_client(db, coach_id=people.coach.id, name="Ansgar Vole")
        safety_scenes.make_ready(db, client=ready, person_id=people.coach.id)
        seed.add_contact(db, client=ready, contact_on=seed.TODAY)
    return Morning(held.id, people.client.id, quiet.id, ready.id)


@pytest.fixture
def page(windows, morning, width) -> Page:
    """The coach's morning, open."""
    opened = windows.open(width, TOKENS["coach"])
    opened.goto("/morning")
    return opened


def line(page: Page, client_id: int):
    return page.locator(f"#line-{client_id}")


def walk_to(page: Page, client_id: int) -> None:
    """Press the down arrow until the line has the focus."""
    wanted = line(page, client_id)
    for _ in range(page.locator("[data-walk-line]").count()):
        page.keyboard.press("ArrowDown")
        if wanted.evaluate("(one) => one === document.activeElement"):
            break
    expect(wanted).to_be_focused()


@pytest.mark.parametrize("width", [390, 320])
def test_every_place_and_the_way_out_stand_within_a_phones_width(page, width):
    ends = page.locator(".desk-top a, .desk-top button").evaluate_all(
        "(all) => all.map((one) => one.getBoundingClientRect()).map((box) => Math.max(box.right, -box.left))"
    )

    assert len(ends) == 9
    assert max(ends) <= width


def flash(page: Page):
    return page.locator("#flash")


@WIDTHS
def test_the_coach_signs_in_and_sees_who_needs_a_decision_safety_first(windows, morning, width):
    page = windows.open(width)
    page.goto("/morning")

    page.get_by_label("E-mail address").focus()
    page.keyboard.type("jonah@birchway.example")
    page.keyboard.press("Tab")
    page.keyboard.type(seed.PASSWORD)
    page.keyboard.press("Enter")

    expect(page).to_have_url(f"{windows.address}/morning")
    expect(page.locator("h1")).to_contain_text("before anyone trains")
    expect(page.locator("[data-walk-line]").first).to_have_id(f"line-{morning.held}")
    expect(line(page, morning.held).locator(".say").first).to_contain_text("All training is paused")


@WIDTHS
def test_arrows_walk_the_lines_and_enter_opens_the_client(page, morning):
    page.keyboard.press("ArrowDown")
    expect(line(page, morning.held)).to_be_focused()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowUp")
    expect(line(page, morning.held)).to_be_focused()

    page.keyboard.press("Enter")

    page.wait_for_url(f"**/clients/{morning.held}")
    expect(page.locator("h1")).to_contain_text("Maud Ellery")


@WIDTHS
def test_a_letter_eases_todays_session(page, morning):
    walk_to(page, morning.in_doubt)
    page.keyboard.press("e")
    expect(line(page, morning.in_doubt).get_by_role("button", name="Give the easy version")).to_be_focused()
    page.keyboard.press("Enter")

    expect(flash(page)).to_contain_text("Ilse Brandt has the easy version on Today now")
    expect(page.locator(f"#line-{morning.in_doubt} [data-key=e]")).to_have_count(0)


@WIDTHS
def test_a_contact_is_logged_without_leaving_the_keyboard(page, morning):
    walk_to(page, morning.quiet)
    page.keyboard.press("c")
    words = line(page, morning.quiet).get_by_label("What was said and agreed")
    expect(words).to_be_focused()

    page.keyboard.type("Back from the sea, walks again on Friday.")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")

    expect(flash(page)).to_contain_text("contact")
    expect(line(page, morning.quiet)).to_have_count(0)


@WIDTHS
def test_a_line_is_put_off_and_taken_back(page, morning):
    walk_to(page, morning.quiet)
    page.keyboard.press("p")
    expect(line(page, morning.quiet).get_by_label("Put off until")).to_be_focused()
    page.keyboard.press("Enter")
    expect(flash(page)).to_contain_text("put off")
    expect(line(page, morning.quiet)).to_have_count(0)

    page.locator(".dealt", has_text="Tilde Marsh").get_by_role("button", name="Take back").focus()
    page.keyboard.press("Enter")

    expect(flash(page)).to_contain_text("The line is back.")
    expect(line(page, morning.quiet)).to_be_visible()


@pytest.mark.parametrize("width", [1280])
def test_after_an_act_the_focus_is_on_the_next_line_and_what_was_done_in_sight(page, morning):
    ids = page.locator("[data-walk] > [data-walk-line], .planning > [data-walk-line]").evaluate_all(
        "(all) => all.map((one) => one.id)"
    )
    at = ids.index(f"line-{morning.in_doubt}")
    walk_to(page, morning.in_doubt)
    page.keyboard.press("n")
    expect(page.get_by_label("A short note to")).to_be_focused()

    page.keyboard.type("Walk it off today.")
    line(page, morning.in_doubt).get_by_role("button", name="Send").press("Enter")

    expect(page.locator(f"#{ids[at + 1]}")).to_be_focused()
    expect(flash(page).locator(".flash")).to_be_in_viewport()
    page.reload()
    expect(page.locator("[data-walk-line]:focus")).to_have_count(0)


@WIDTHS
def test_a_safety_line_is_handled_only_with_what_was_done(page, morning):
    walk_to(page, morning.held)
    page.keyboard.press("h")
    answer = line(page, morning.held).get_by_label("What was done")
    expect(answer).to_be_focused()
    line(page, morning.held).get_by_role("button", name="It is handled").click()
    expect(line(page, morning.held).locator("[data-error-summary]")).to_be_focused()

    line(page, morning.held).get_by_label("What was done").fill("Spoke with her; she sees her doctor today.")
    line(page, morning.held).get_by_role("button", name="It is handled").click()

    expect(flash(page)).to_contain_text("Two of Maud Ellery's reasons are handled.")


@WIDTHS
def test_every_line_says_why_with_its_figures(page, morning):
    why = line(page, morning.in_doubt).locator("details.why").first
    why.locator("summary").focus()
    page.keyboard.press("Enter")

    expect(why.get_by_role("row", name="slept")).to_contain_text("4")


@WIDTHS
def test_the_promotion_page_is_one_letter_away(page, morning):
    walk_to(page, morning.ready)
    page.keyboard.press("d")

    page.wait_for_url(f"**/clients/{morning.ready}/promotion")
    expect(page.locator("h2", has_text="From base to hard work")).to_be_visible()
    assert page.locator(".conditions .condition").count() >= 10


@WIDTHS
def test_a_line_about_somebody_is_kept_from_the_note_box(page, morning):
    box = page.locator("#note-box")
    box.get_by_label("A line about").select_option(label="Tilde Marsh")
    box.get_by_label("What to keep").fill("New shoes, watch the left heel.")
    box.get_by_label("What to keep").press("Enter")
    expect(flash(page)).to_contain_text("The note is kept. Only the coach reads it.")

    page.goto(f"/clients/{morning.quiet}")

    expect(page.get_by_text("New shoes, watch the left heel.")).to_be_visible()


@WIDTHS
def test_letters_typed_into_a_field_are_only_letters(page, windows):
    words = page.locator("#note-box").get_by_label("What to keep")
    words.focus()
    page.keyboard.type("echo? d p h")

    expect(words).to_have_value("echo? d p h")
    expect(page).to_have_url(f"{windows.address}/morning")
    expect(page.locator("#keys-help")).to_be_hidden()


@WIDTHS
def test_the_keys_are_listed_and_can_be_switched_off(page, morning):
    page.keyboard.press("?")
    help_page = page.locator("#keys-help")
    expect(help_page).to_be_visible()
    help_page.locator("[data-keys-switch]").press("Space")
    page.keyboard.press("Escape")

    page.locator("body").click(position={"x": 2, "y": 2})
    page.keyboard.press("ArrowDown")

    expect(page.locator("[data-walk-line]:focus")).to_have_count(0)
