"""A session written down without a connection: kept on the phone, said beside the button, sent exactly once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Page, expect

from app.storage import session_logs
from tests import seed
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

NOT_SENT = "Kept on this phone, not yet sent"
#: It is tried again after 4 s, and after 8 more where a busy machine loses that one too.
SENT_AGAIN_WITHIN_MS = 30_000


@pytest.fixture
def phone(windows, served) -> Iterator[Page]:
    """The client's signed-in phone on the form of something extra; that a request was lost is what is tried."""
    page = windows.open(390, TOKENS["client_phone"])
    page.goto("/me/done?extra=true")
    yield page
    windows.wrong[:] = [one for one in windows.wrong if "htmx:error: Failed to fetch" not in one]


def logs(served):
    with served.house.transaction(False) as db:
        return session_logs.between(db, client_ids=[served.people.client.id], from_on=seed.TODAY, until_on=seed.TODAY)


def write(page: Page, minutes: str = "40") -> None:
    page.get_by_label("What was it?").select_option("easy")
    page.get_by_label("How did you move?").select_option("walk")
    page.get_by_label("Minutes, all in").fill(minutes)
    page.get_by_label("Could chat in comfort").check()


def keep(page: Page) -> None:
    page.get_by_role("button", name="Keep it").click()


def kept(page: Page):
    return page.locator("#logs-kept")


def test_without_a_connection_it_is_kept_and_said_where_one_looks(phone, served):
    write(phone)
    phone.context.set_offline(True)
    keep(phone)

    expect(kept(phone)).to_contain_text(NOT_SENT)
    expect(kept(phone)).to_be_in_viewport()
    expect(phone.get_by_role("alert").filter(has_text=NOT_SENT)).to_be_visible()
    assert logs(served) == []


def test_it_is_sent_by_itself_exactly_once(phone, served):
    write(phone)
    phone.context.set_offline(True)
    keep(phone)
    expect(kept(phone)).to_contain_text(NOT_SENT)

    phone.context.set_offline(False)

    expect(kept(phone)).to_contain_text("Sent.")
    phone.goto("/me/today")
    phone.wait_for_load_state("networkidle")
    expect(kept(phone)).to_be_hidden()
    assert [one.minutes for one in logs(served)] == [40.0]


def test_an_answer_lost_on_the_way_back_leaves_one_entry(phone, served):
    def deliver_and_drop(route) -> None:
        route.fetch(max_redirects=0)
        route.abort("connectionreset")

    write(phone)
    phone.route("**/me/done", deliver_and_drop, times=1)
    keep(phone)

    expect(kept(phone)).to_contain_text("Sent.", timeout=SENT_AGAIN_WITHIN_MS)
    assert len(logs(served)) == 1


def test_another_page_tells_of_it_and_sends_it(phone, served):
    write(phone)
    phone.route("**/me/done", lambda route: route.abort("internetdisconnected"))
    keep(phone)
    expect(kept(phone)).to_contain_text(NOT_SENT)

    phone.goto("/me/today")
    expect(kept(phone)).to_contain_text(NOT_SENT)
    phone.unroute_all()
    phone.goto("/me/today")

    expect(kept(phone)).to_contain_text("Sent.")
    assert len(logs(served)) == 1


def test_a_refused_entry_comes_back_with_what_was_typed(phone, served):
    write(phone, minutes="4000")
    phone.context.set_offline(True)
    keep(phone)
    expect(kept(phone)).to_contain_text(NOT_SENT)
    phone.context.set_offline(False)
    expect(kept(phone)).to_contain_text("needs another look")

    phone.goto("/me/today")
    kept(phone).get_by_role("link", name="Look at it and send it").click()
    expect(phone.get_by_label("Minutes, all in")).to_have_value("4000")
    expect(phone.get_by_label("Could chat in comfort")).to_be_checked()
    phone.get_by_label("Minutes, all in").fill("40")
    keep(phone)

    phone.wait_for_url("**/me/done/*")
    expect(kept(phone)).to_be_hidden()
    assert [one.minutes for one in logs(served)] == [40.0]


def test_signing_out_says_first_that_an_entry_is_not_sent(phone):
    write(phone)
    phone.route("**/me/done", lambda route: route.abort("internetdisconnected"))
    keep(phone)
    expect(kept(phone)).to_contain_text(NOT_SENT)

    phone.get_by_role("button", name="Sign out", exact=True).click()

    expect(phone.locator("#felt-wrong-leaving")).to_contain_text("not sent yet")
