"""Every page of the application, generated from the router, under axe: wide and narrow, light and dark."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from app.coaching.practice import PracticeKind
from app.storage import practice, schema
from app.storage.database import open_engine, unit_of_work
from app.usecases.accounts import open_set_up
from app.web.security import token_sha256
from tests import seed
from tests.browser import stage
from tests.browser.axe import COLOURS, EVERYTHING, Axe
from tests.browser.conftest import HEAD_OF_DEMO, Watched, serving
from tests.conftest import TOKENS
from tests.tracks import gpx, steady, table
from tests.web.walk import bare_app, walks

pytestmark = pytest.mark.browser

ROOT = Path(__file__).resolve().parent.parent.parent
SPREADSHEET = ROOT / "demo_data" / "spreadsheet"
#: No pages. A test asks for each of them and finds no HTML.
FILES = {
    "/healthz",
    "/offline-worker.js",
    "/clearance-scans/{scan_id}",
    "/feeds/{secret}",
    "/month/{month}/practice.csv",
    "/plan/sessions/{planned_session_id}/steps.json",
    "/month/{month}/sessions.csv",
}
#: No page either, and only a client's phone asks for it.
ASKED_BY_THE_CLOCK = "/me/timer/now"
#: Only there while nobody works at the desk; looked at in a test of its own.
BEFORE_ANYBODY = {"/set-up"}
NO_PAGES = FILES | BEFORE_ANYBODY | {ASKED_BY_THE_CLOCK}
PAGES = [walk for walk in walks(bare_app()) if walk.method == "GET" and walk.path not in NO_PAGES]
#: The small forms of a morning line stand only while the line does.
ABOUT_A_LINE = {
    "/morning/{client_id}/handled": "?signal=hard_today_in_doubt",
    "/morning/{client_id}/put-off": "?signal=hard_today_in_doubt",
    "/morning/{client_id}/move": "?signal=hard_today_in_doubt",
    "/morning/{client_id}/swap": "?signal=hard_today_in_doubt",
    "/together/handled": "?signal=contact_overdue&of={quiet_id}",
    "/together/put-off": "?signal=contact_overdue&of={quiet_id}",
    "/together/contact": "?signal=contact_overdue&of={quiet_id}",
}
COACH_PAGES = [walk for walk in PAGES if walk.audience in ("coach", "head")]
PHONE_PAGES = [walk for walk in PAGES if walk.audience == "client"]
OPEN_PAGES = [walk for walk in PAGES if walk.audience == "public"]
#: Pages every client has, also one about whom nothing is known yet.
BARE_PAGES = [walk for walk in COACH_PAGES if set(walk.parameters) == {"client_id"} and walk.path not in ABOUT_A_LINE]
BARE_PHONE_PAGES = [walk for walk in PHONE_PAGES if not walk.parameters]
FEWEST_PAGES = 75
THUMB_PX = 44
HEIGHT_PX = 900

#: One page in other states than the plain address shows.
COACH_STATES = [
    "/clients/{held_id}",
    "/clients/{held_id}/safety",
    "/clients/{held_id}/promotion",
    "/clients/{brought_id}/brought-in/correct",
    "/clients/{ready_id}",
    "/clients/{ready_id}/promotion",
    "/clients/{ready_id}/weeks/eight",
    "/clients/{client_id}/sessions/{easy_log_id}",
    "/month/2026-11/clients/{ready_id}",
    "/morning/{held_id}/put-off?signal=symptom",
    "/morning/{held_id}/handled?signal=symptom",
    "/roster?q=nobody+of+this+name",
    "/clients/{ready_id}/plan?copying={planned_session_id}",
    "/plan/board?week=2026-11-30",
    "/plan/side-by-side?p1=two_by_four&p2=thirty_fifteen_sets&client={ready_id}&mode=indoor_ride",
    "/plan/library-new?copy=four_by_four",
    "/clients/{ready_id}/hills?mode=ride&power_w=180",
    "/clients/{ready_id}/hills?mode=run&pace=5:00",
    "/plan/lay?client={ready_id}&week=2026-11-23",
    "/plan/publish-many?week=2026-11-23&weeks=8",
    "/plan/group-sheet/print?k{ready_id}=yes&k{held_id}=yes",
    "/workings?q=hrmax&formula=hrmax_opinions&computed=yes&age_years=60&sex=F",
    "/workings?q=hrmax&formula=hrmax_tanaka_2001&computed=yes&age_years=9",
    "/workings?q=clearance&formula=screening_decision&computed=yes&active=no&symptoms=no&disease=yes&wanted=vigorous"
    "&clearance=none",
]
PHONE_STATES = [
    "/me/done?extra=true",
    "/me/done?choose=true",
    "/me/done?session={planned_session_id}",
]

#: Two of the demo who carry a recorder: one with stretches to tick, one with a critical power.
RECORDS_INDOORS, RECORDS_OUTSIDE = 11, 15
#: The pages that are full in a practice a year old, and six of its clients.
DEMO_PAGES = [
    *("/morning", "/roster", "/plan", "/tests", "/month/2026-10", "/entry/group", "/practice/trail", "/plan/board"),
    *(f"/clients/{number}" for number in range(1, 25, 4)),
    *(f"/clients/{number}/promotion" for number in range(2, 25, 8)),
    *(f"/clients/{number}/weeks/eight" for number in range(3, 25, 8)),
    f"/clients/{RECORDS_INDOORS}/tests/figures/stretches",
]

#: What is folded away is part of the page.
_UNFOLD = "document.querySelectorAll('details').forEach((one) => { one.open = true; })"
_MEASURE = """() => ({
  titles: document.querySelectorAll("h1").length,
  title: document.title,
  lang: document.documentElement.lang,
  excess: document.documentElement.scrollWidth - document.documentElement.clientWidth,
})"""
#: Every control a thumb must hit. A link inside a sentence is as high as its line (WCAG 2.5.8 leaves it out).
_SMALL = """(least) => {
  const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary")];
  const inSentence = (one) => one.matches("a") && getComputedStyle(one).display === "inline"
    && one.parentElement.innerText.trim() !== one.innerText.trim();
  return all
    .filter((one) => one.checkVisibility({visibilityProperty: true}) && !one.matches(".skip") && !inSentence(one))
    .map((one) => [one, (one.matches("[type=radio], [type=checkbox]") ? one.closest("label") ?? one : one)
      .getBoundingClientRect()])
    .filter(([, box]) => box.height > 0 && (box.height < least || box.width < least))
    .map(([one, box]) => `${one.outerHTML.slice(0, 120)}: ${box.width.toFixed(0)} x ${box.height.toFixed(0)}`);
}"""


#: Letters of drawings that can be seen and are under 14 px high.
_SMALL_LETTERS = """(all) => all.filter((one) => one.checkVisibility())
  .map((one) => [one.textContent, parseFloat(getComputedStyle(one).fontSize) * one.getScreenCTM().a])
  .filter(([, height]) => height < 14)"""


@dataclass(frozen=True)
class Shape:
    """How a page stands before it is looked at."""

    titles: int
    title: str
    lang: str
    excess: int


def shape(page) -> Shape:
    """Count and measure."""
    return Shape(**page.evaluate(_MEASURE))


def narrow(page, width: int) -> None:
    """Make the window narrower or wider; with a dock as tall as the page: what it hides is scrolled free of it."""
    page.set_viewport_size({"width": width, "height": HEIGHT_PX})
    height = page.evaluate("document.querySelector('.dock') ? document.documentElement.scrollHeight : 0")
    if height > HEIGHT_PX:
        page.set_viewport_size({"width": width, "height": height})


def look_at(page, address: str, status: int = 200) -> list[str]:
    """Everything that is wrong with a page: wide and narrow, in light and in dark colours."""
    answer = page.goto(address)
    assert answer is not None
    assert answer.status == status, f"{address} answers {answer.status}"
    assert "text/html" in answer.headers["content-type"]
    page.evaluate(_UNFOLD)
    narrow(page, 1280)
    axe = Axe(page)
    axe.load()
    wide = axe.violations(EVERYTHING)
    page.emulate_media(color_scheme="dark")
    dark = axe.violations(COLOURS)
    page.emulate_media(color_scheme="light")
    narrow(page, 390)
    small = axe.violations(EVERYTHING)
    found = shape(page)
    return (
        [f"1280: {one}" for one in wide]
        + [f"dark: {one}" for one in dark]
        + [f"390: {one}" for one in small]
        + ([] if found.titles == 1 else [f"{found.titles} h1"])
        + ([] if found.title.strip() else ["no title"])
        + ([] if found.lang == "en" else ["no language"])
        + ([] if found.excess <= 0 else [f"scrolls {found.excess} px sideways at 390"])
    )


def look_at_phone(page, address: str, status: int = 200) -> list[str]:
    """What is wrong with a client's page, thumbs and the narrowest phone included."""
    found = look_at(page, address, status)
    narrow(page, 390)
    found += [f"too small: {one}" for one in page.evaluate(_SMALL, THUMB_PX)]
    narrow(page, 320)
    excess = shape(page).excess
    return found + ([] if excess <= 0 else [f"scrolls {excess} px sideways at 320"])


def make_fresh(folder: Path) -> Path:
    """A desk nobody works at yet, marked demo so that it may hash quickly."""
    folder.mkdir()
    schema.upgrade(folder)
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway Endurance", kind=PracticeKind.DEMO, zone=seed.ZONE, at=seed.NOW)
    engine.dispose()
    return folder


@pytest.fixture(scope="module")
def values(staged, chromium) -> dict[str, object]:
    """A value for every name in an address. An import is begun for its token."""
    watched = Watched(chromium, staged.address)
    page = watched.open(1280, TOKENS["coach"])
    page.goto("/practice/import")
    page.locator("input[type=file]").nth(0).set_input_files(SPREADSHEET / "clients.csv")
    page.get_by_role("button", name="Look at the files").click()
    page.wait_for_url("**/practice/import/*")
    token = page.url.rsplit("/", 1)[1]
    watched.close()
    set_up = staged.stage
    people = {"held_id": set_up.held_id, "ready_id": set_up.ready_id, "brought_id": set_up.brought_id}
    return set_up.records | people | {"token": token}


@pytest.fixture
def coach_page(looking):
    return looking.standing(1280, TOKENS["coach"])


@pytest.fixture
def head_page(looking):
    return looking.standing(1280, TOKENS["head"])


@pytest.fixture
def phone_page(looking):
    return looking.standing(1280, TOKENS["client_phone"])


def test_the_walk_sees_every_page():
    assert len(PAGES) >= FEWEST_PAGES


def test_axe_finds_a_field_without_a_label_and_a_page_too_wide(looking):
    page = looking.open(1280)
    page.goto("/sign-in")
    page.evaluate("document.querySelectorAll('label').forEach((one) => one.remove())")
    page.evaluate("document.querySelector('main').style.minWidth = '2000px'")
    axe = Axe(page)
    axe.load()

    assert any(one.startswith("label:") for one in axe.violations(EVERYTHING))
    assert shape(page).excess > 0


def test_a_window_that_hears_of_the_content_policy_complains(chromium, staged):
    watched = Watched(chromium, staged.address)
    page = watched.open(390)
    page.goto("/sign-in")
    page.evaluate("document.body.insertAdjacentHTML('beforeend', '<p style=\"color: red\">Loud</p>')")
    page.wait_for_timeout(100)

    with pytest.raises(AssertionError, match="Content Security Policy"):
        watched.close()


def test_what_is_left_out_is_no_page(staged, values, coach_page):
    places = [path.replace("{month}", "2026-11").format(**values) for path in sorted(FILES)]
    kinds = [coach_page.request.get(staged.address + place).headers["content-type"] for place in places]

    assert sorted({kind.split(";")[0] for kind in kinds}) == [
        "application/atom+xml",
        "application/json",
        "application/pdf",
        "text/csv",
        "text/javascript",
    ]


def test_what_the_clock_asks_is_no_page(staged, phone_page):
    answer = phone_page.request.get(staged.address + ASKED_BY_THE_CLOCK)

    assert answer.headers["content-type"].split(";")[0] == "application/json"


@pytest.mark.parametrize("walk", COACH_PAGES, ids=str)
def test_a_coachs_page_is_accessible(walk, values, coach_page, looking):
    page = looking.standing(1280, TOKENS["head"]) if walk.audience == "head" else coach_page

    assert look_at(page, walk.address(values) + ABOUT_A_LINE.get(walk.path, "").format(**values)) == []


@pytest.mark.parametrize("address", COACH_STATES)
def test_a_coachs_page_is_accessible_in_other_states(address, values, coach_page):
    assert look_at(coach_page, address.format(**values)) == []


@pytest.mark.parametrize("walk", BARE_PAGES, ids=str)
def test_a_page_about_a_client_without_records_is_accessible(walk, staged, coach_page):
    # Who has no session today has none to ease: the page says so.
    status = 409 if walk.path == "/morning/{client_id}/ease" else 200

    assert look_at(coach_page, walk.address({"client_id": staged.stage.bare_id}), status) == []


@pytest.mark.parametrize("address", ["/morning", "/roster", "/plan", "/tests", "/month/2026-11", "/practice"])
def test_a_page_of_an_empty_practice_is_accessible(address, looking, staged):
    assert look_at(looking.standing(1280, stage.NEWCOMER), address) == []


@pytest.mark.parametrize("walk", PHONE_PAGES, ids=str)
def test_a_clients_page_is_accessible(walk, staged, phone_page):
    assert look_at_phone(phone_page, walk.address(staged.stage.phone_records)) == []


@pytest.mark.parametrize("address", PHONE_STATES)
def test_a_clients_page_is_accessible_in_other_states(address, staged, phone_page):
    assert look_at_phone(phone_page, address.format(**staged.stage.phone_records)) == []


@pytest.mark.parametrize("token", [stage.BARE, stage.READY, stage.HELD], ids=["bare", "ready", "held"])
@pytest.mark.parametrize("walk", BARE_PHONE_PAGES, ids=str)
def test_another_clients_page_is_accessible(walk, token, staged, looking):
    assert look_at_phone(looking.standing(1280, token), walk.address({})) == []


@pytest.mark.parametrize("walk", OPEN_PAGES, ids=str)
def test_a_page_for_everybody_is_accessible(walk, staged, looking):
    assert look_at_phone(looking.standing(1280), walk.address({"token": stage.LINK})) == []


#: Files that wait: one that knows where it was, and one that is asked about.
WAITING = {
    "with places": ("a.gpx", gpx(steady(120))),
    "with questions": ("a.csv", table("seconds,speed,hr", [f"{second},10,140" for second in range(120)])),
}


def _waiting(page, address: str, name: str, content: bytes) -> str:
    """The address of a recording that waits to be kept, once its file was looked at."""
    page.goto(address)
    page.get_by_label("The file").set_input_files({"name": name, "mimeType": "text/plain", "buffer": content})
    page.get_by_role("button", name="Look at").click()
    page.wait_for_url("**?waiting=*")
    return page.url


@pytest.mark.parametrize("kind", WAITING)
def test_a_recording_that_waits_is_accessible_to_a_coach(kind, values, coach_page):
    address = "/clients/{client_id}/sessions/{easy_log_id}/recording".format(**values)

    found = look_at(coach_page, _waiting(coach_page, address, *WAITING[kind]))

    assert found == [], "\n".join(found)
    assert coach_page.get_by_text("two hours at most").is_visible()


@pytest.mark.parametrize("kind", WAITING)
def test_a_recording_that_waits_is_accessible_on_a_phone(kind, staged, phone_page):
    address = "/me/done/{log_id}/recording".format(**staged.stage.phone_records)

    found = look_at_phone(phone_page, _waiting(phone_page, address, *WAITING[kind]))

    assert found == [], "\n".join(found)


@pytest.mark.parametrize("address", DEMO_PAGES)
def test_a_page_of_the_demo_is_accessible(address, demo_windows):
    page = demo_windows.standing(1280, HEAD_OF_DEMO)

    assert look_at(page, address) == []

    demo_windows.settle()


def _beside(page, address: str) -> str | None:
    """The address of a session over the newest one of the same rounds before it."""
    page.goto(address)
    links = page.locator("a[href*='?beside=']")
    return links.first.get_attribute("href") if links.count() else None


def test_a_session_over_an_earlier_one_with_what_was_left_under_it_is_accessible(demo_windows):
    page = demo_windows.standing(1280, HEAD_OF_DEMO)
    page.goto(f"/clients/{RECORDS_OUTSIDE}")
    sessions = page.locator(f"a[href^='/clients/{RECORDS_OUTSIDE}/sessions/']")
    addresses = sessions.evaluate_all("all => all.map((one) => one.getAttribute('href'))")
    beside = next(found for one in addresses if (found := _beside(page, one)))

    found = look_at(page, beside)
    assert found == [], "\n".join(found)
    assert page.get_by_role("img", name="What was left of W' under the set").count() == 1
    assert page.get_by_role("img", name="This set over that of").count() == 1
    assert page.locator(".chart text").evaluate_all(_SMALL_LETTERS) == []

    demo_windows.settle()


def test_a_page_that_is_not_there_is_accessible(coach_page, phone_page):
    assert look_at(coach_page, "/clients/999999", status=404) == []
    assert look_at_phone(phone_page, "/me/done/999999", status=404) == []


def test_a_line_that_no_longer_stands_is_accessible(coach_page, staged):
    assert look_at(coach_page, f"/morning/{staged.stage.bare_id}/put-off?signal=symptom", status=409) == []


@pytest.mark.parametrize("address", ["/me/done", "/me/felt-wrong", "/me/how-i-am", "/me/my-way/questions"])
def test_a_clients_form_with_errors_is_accessible(address, staged, looking):
    page = looking.open(390, stage.BARE)
    page.goto(f"{address}?extra=true")
    page.evaluate(_UNFOLD)
    page.locator("form.form textarea, form.form input[type=text]").first.fill("Only this")
    page.locator(".dock .main-button").click()
    page.locator("[data-error-summary]").wait_for()
    narrow(page, 390)
    axe = Axe(page)
    axe.load()

    assert axe.violations(EVERYTHING) == []
    assert page.evaluate(_SMALL, THUMB_PX) == []


def test_the_page_before_anybody_works_here_is_accessible(chromium, tmp_path):
    with serving(make_fresh(tmp_path / "fresh")) as desk:
        with desk.house.transaction(True) as db:
            open_set_up(db, code_sha256=token_sha256("a code from the console"))
        watched = Watched(chromium, desk.address)

        assert look_at(watched.open(1280), "/set-up") == []

        watched.close()
