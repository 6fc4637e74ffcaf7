"""Without JavaScript the desk still works: the coach handles a line, a client logs."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from app.storage import session_logs
from tests import seed
from tests.browser import stage
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser


@pytest.fixture
def rounds(served) -> int:
    with served.house.transaction(True) as db:
        made = stage.make_hard_work_allowed(db, served.people)
        stage.sleep_badly(db, served.people)
    return made


def test_the_coach_signs_in_and_eases_a_session_without_script(windows, served, rounds):
    page = windows.open(1280, java_script_enabled=False)
    page.goto("/morning")
    page.get_by_label("E-mail address").fill("jonah@birchway.example")
    page.get_by_label("Password").fill(seed.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    expect(page).to_have_url(f"{windows.address}/morning")

    page.get_by_role("link", name="Easy version today").click()
    page.get_by_role("button", name="Give the easy version").click()

    expect(page.locator("#flash")).to_contain_text("Ilse Brandt has the easy version on Today now")


def test_the_small_forms_of_a_line_are_pages_without_script(windows, served, rounds):
    page = windows.open(390, TOKENS["coach"], java_script_enabled=False)
    page.goto("/morning")
    line = page.locator(f"#line-{served.people.client.id}")
    line.get_by_role("link", name="Note to the client", exact=True).click()
    page.get_by_label("A short note to Ilse Brandt").fill("Easy today, please.")
    page.get_by_role("button", name="Send the note").click()

    expect(page).to_have_url(f"{windows.address}/morning")
    phone = windows.open(390, TOKENS["client_phone"], java_script_enabled=False)
    phone.goto("/me/today")
    expect(phone.get_by_text("Easy today, please.")).to_be_visible()


def test_a_client_logs_without_script(windows, served, rounds):
    page = windows.open(390, TOKENS["client_phone"], java_script_enabled=False)
    page.goto("/me/done")
    page.get_by_role("group", name="How did it go?").get_by_label("As planned").check()
    page.locator("[name=effort][value='7']").check()
    page.get_by_role("button", name="Keep it").click()

    page.wait_for_url("**/me/done/*")
    with served.house.transaction(False) as db:
        kept = session_logs.between(db, client_ids=[served.people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)
    assert [(one.planned_session_id, one.effort) for one in kept] == [(rounds, 7.0)]


def test_something_felt_wrong_is_told_without_script(windows, served, rounds):
    page = windows.open(390, TOKENS["client_phone"], java_script_enabled=False)
    page.goto("/me/felt-wrong")
    page.locator("[name=sign][value=chest]").check()
    page.get_by_role("button", name="Yes, tell my coach and pause my training").click()

    expect(page.locator("h1")).to_have_text("What to do now")
