"""Take the pictures of docs/screenshots from the demo practice, in a real browser, for a fixed day."""

import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from find_chromium import NOT_FOUND, find_chromium
from playwright.sync_api import Browser, Page, sync_playwright

ROOT = Path(__file__).resolve().parent.parent
PICTURES = ROOT / "docs" / "screenshots"
FOOTHILL = Path(sys.executable).parent / "foothill"
TODAY = "2026-11-25"
WIDE = {"width": 1280, "height": 860}
PHONE = {"width": 390, "height": 844}
SECONDS_TO_START = 60
MOST_BYTES = 300_000


def main() -> int:
    """Build the demo, serve it, take each picture; answers the exit code."""
    chromium = find_chromium()
    if chromium is None:
        print(NOT_FOUND, file=sys.stderr)
        return 1
    PICTURES.mkdir(parents=True, exist_ok=True)
    folder = Path(tempfile.mkdtemp(prefix="foothill-pictures-"))
    try:
        made = build(folder)
        with serving(folder) as address, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox"])
            picture_the_desk(browser, address, made["coach"])
            picture_the_phone(browser, address, made["client_link"])
            browser.close()
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    return report()


def build(folder: Path) -> dict:
    """The demo in a folder; what it printed last."""
    command = [FOOTHILL, "demo", "--build-only", "--today", TODAY, "--data", folder]
    told = subprocess.run(command, check=True, capture_output=True, text=True).stdout
    return json.loads(told.splitlines()[-1])


@contextmanager
def serving(folder: Path) -> Iterator[str]:
    """The desk on a free port until the block ends."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [FOOTHILL, "serve", "--data", folder, "--today", TODAY, "--port", str(port)]
    desk = subprocess.Popen(command, stdout=subprocess.DEVNULL, env=os.environ)
    address = f"http://127.0.0.1:{port}"
    try:
        wait_for(address)
        yield address
    finally:
        desk.terminate()
        desk.wait(timeout=20)


def wait_for(address: str) -> None:
    """Until the desk answers. Raises: TimeoutError when it does not."""
    end = time.monotonic() + SECONDS_TO_START
    while time.monotonic() < end:
        try:
            with urllib.request.urlopen(f"{address}/healthz", timeout=2):  # noqa: S310  # our own address
                return
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    raise TimeoutError("the desk did not start")


def picture_the_desk(browser: Browser, address: str, coach: dict) -> None:
    """The coach's pages."""
    page = browser.new_context(viewport=WIDE, base_url=address).new_page()
    page.goto("/sign-in")
    page.fill("[name=email]", coach["email"])
    page.fill("[name=password]", coach["password"])
    page.click("main form button")
    page.wait_for_url("**/morning")
    take(page, "morning")
    page.goto("/roster")
    take(page, "roster")
    matthis, ilka = client_address(page, "Matthis Korver"), client_address(page, "Ilka Brandner")
    for name, where in (
        ("client", matthis),
        ("plan", f"{matthis}/plan"),
        ("weeks", f"{matthis}/weeks/eight"),
        ("month", "/month/2026-10"),
    ):
        page.goto(where)
        take(page, name)
    page.goto(f"{ilka}/promotion")
    page.locator("summary", has_text=re.compile(r"of \d+ met")).first.click()
    take(page, "promotion")


def client_address(page: Page, name: str) -> str:
    """Where a client's page is, read from the roster."""
    found = page.get_by_role("link", name=re.compile(name)).first.get_attribute("href")
    if not found:
        raise LookupError(f"{name} is not on the roster")
    return found.partition("?")[0]


def picture_the_phone(browser: Browser, address: str, link: str) -> None:
    """The client's pages, opened with the personal link."""
    page = browser.new_context(viewport=PHONE, base_url=address, has_touch=True).new_page()
    page.goto(link)
    page.click("main form button")
    page.wait_for_url("**/me/**")
    for name, where in (
        ("phone-today", "/me/today"),
        ("phone-done", "/me/done"),
        ("phone-felt-wrong", "/me/felt-wrong"),
    ):
        page.goto(where)
        take(page, name)


def take(page: Page, name: str) -> None:
    """One picture of what is in view."""
    page.wait_for_load_state("networkidle")
    page.screenshot(path=PICTURES / f"{name}.png")


def report() -> int:
    """The sizes; 1 when a picture is too large to be kept."""
    sizes = {path.name: path.stat().st_size for path in sorted(PICTURES.glob("*.png"))}
    for name, size in sizes.items():
        print(f"{size // 1000:4d} kB  {name}")
    return int(any(size > MOST_BYTES for size in sizes.values()))


if __name__ == "__main__":
    raise SystemExit(main())
