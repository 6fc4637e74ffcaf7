"""The edges of a round are dragged in the drawing or moved by keys, typed ones move the drawing, and then kept."""

from __future__ import annotations

import pytest
from playwright.sync_api import expect

from app.coaching.people import Mode
from app.coaching.recording_about import edges_from_json
from app.storage import recordings
from tests import seed
from tests.conftest import TOKENS

pytestmark = pytest.mark.browser

LEVELS = (200.0, 201.0, 199.0, 200.0)


@pytest.fixture
def log_id(served) -> int:
    with served.house.transaction(True) as db:
        made = seed.add_log(db, client=served.people.client, mode=Mode.INDOOR_RIDE, kind="intervals", effort=8.0)
        seed.add_recording(db, client=served.people.client, log_id=made, levels=LEVELS)
    return made


@pytest.mark.parametrize("width", [1280, 390])
def test_edges_are_moved_by_hand_and_by_keys_and_kept(windows, served, log_id, width):
    page = windows.open(width, TOKENS["coach"])
    page.goto(f"/clients/{served.people.client.id}/sessions/{log_id}/rounds")
    start, end = page.get_by_role("group", name="Round 1", exact=True).get_by_role("textbox").all()
    first = page.get_by_role("slider", name="Round 1, from")

    first.press("ArrowRight")
    first.press("Shift+ArrowLeft")
    expect(start).to_have_value("14:51")
    expect(first).to_have_attribute("aria-valuetext", "14:51")

    start.fill("14:50")
    expect(first).to_have_attribute("aria-valuetext", "14:50")

    page.get_by_role("slider", name="Round 1, to").scroll_into_view_if_needed()
    last = page.get_by_role("slider", name="Round 1, to").bounding_box()
    y = last["y"] + last["height"] / 2
    page.mouse.move(last["x"] + last["width"] / 2, y)
    page.mouse.down()
    page.mouse.move(last["x"] + last["width"] / 2 + 400, y)
    page.mouse.up()
    # It stops where the second round begins.
    expect(end).to_have_value("23:00")

    page.get_by_role("button", name="Keep these edges").click()
    expect(page.locator("#flash")).to_contain_text("Kept.")
    with served.house.transaction(False) as db:
        kept = edges_from_json(recordings.standing(db, session_log_id=log_id).edges_json)
    assert (kept[0].start_s, kept[0].end_s, len(kept)) == (890, 1380, 4)
