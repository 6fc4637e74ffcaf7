"""The desk as people run it: `foothill serve` as a process of its own on a real folder, and visitors over HTTP."""

from __future__ import annotations

import http.client
import queue
import re
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from tests.pages import Form, Page

FOOTHILL = [sys.executable, "-c", "import sys; from app.cli import main; sys.exit(main())"]
#: Generous: test machines are busy.
START_S = 90.0
ANSWER_S = 60.0


def foothill(*arguments: object, typed: str = "") -> subprocess.CompletedProcess[str]:
    """One command, run to its end."""
    return subprocess.run(
        [*FOOTHILL, *map(str, arguments)], input=typed, capture_output=True, text=True, timeout=180, check=False
    )


class Desk:
    """One running server."""

    def __init__(
        self, data_dir: Path, *options: object, largest_file: int | None = None, program: list[str] = FOOTHILL
    ) -> None:
        """largest_file: bytes after which no file may grow, what a full disk looks like to one process."""
        began = time.monotonic()
        self.data_dir = data_dir
        self.process = subprocess.Popen(
            [*_limited(program, largest_file), "serve", "--data", str(data_dir), "--port", "0", *map(str, options)],
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
        )
        self.said: list[str] = []
        self._lines: queue.Queue[str] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self.address = self._address()
        host, port = self.address.removeprefix("http://").split(":")
        self.host, self.port = host, int(port)
        self._wait_until_up()
        self.started_s = time.monotonic() - began

    def _read(self) -> None:
        assert self.process.stdout is not None
        for line in self.process.stdout:
            self.said.append(line)
            self._lines.put(line)

    def _address(self) -> str:
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            try:
                line = self._lines.get(timeout=0.2)
            except queue.Empty:
                assert self.process.poll() is None, f"the desk did not start: {''.join(self.said)}"
                continue
            found = re.search(r"http://[\d.]+:\d+", line)
            if found:
                return found[0]
        raise AssertionError(f"the desk said no address: {''.join(self.said)}")

    def _wait_until_up(self) -> None:
        until = time.monotonic() + START_S
        while time.monotonic() < until:
            try:
                if Visitor(self).get("/healthz").status == 200:
                    return
            except OSError:
                time.sleep(0.02)
        raise AssertionError(f"the desk did not answer: {''.join(self.said)}")

    def stop(self) -> int:
        """Ask it to finish, as a console or a service manager does; the exit code."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
        return self._over()

    def kill(self) -> None:
        """No chance to finish anything."""
        if self.process.poll() is None:
            self.process.kill()
        self._over()

    def _over(self) -> int:
        code = self.process.wait(timeout=ANSWER_S)
        self._reader.join(timeout=10)
        assert self.process.stdout is not None
        self.process.stdout.close()
        return code


def _limited(program: list[str], largest_file: int | None) -> list[str]:
    if largest_file is None:
        return program
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({largest_file}, {largest_file})); "
    return [sys.executable, "-c", limit + FOOTHILL[2]]


@dataclass
class Visitor:
    """One browser: cookies, forms with their hidden fields; follows no redirect by itself."""

    desk: Desk
    cookies: dict[str, str] = field(default_factory=dict)

    def get(self, path: str) -> Page:
        """Ask for a page."""
        return self.ask("GET", path)

    def post(self, path: str, form: Mapping[str, object]) -> Page:
        """Send plain fields."""
        body = urlencode({name: str(value) for name, value in form.items()})
        return self.ask("POST", path, body.encode(), {"Content-Type": "application/x-www-form-urlencoded"})

    def ask(self, method: str, path: str, body: bytes = b"", headers: Mapping[str, str] | None = None) -> Page:
        """One request on a connection of its own."""
        connection = http.client.HTTPConnection(self.desk.host, self.desk.port, timeout=ANSWER_S)
        sent = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        if method == "POST":
            sent["Origin"] = self.desk.address
        try:
            connection.request(method, path, body or None, {**sent, **(headers or {})})
            answer = connection.getresponse()
            content = answer.read()
        finally:
            connection.close()
        for name, value in answer.getheaders():
            if name.lower() == "set-cookie":
                self._keep(value)
        return Page(path, answer.status, {name.lower(): value for name, value in answer.getheaders()}, content)

    def _keep(self, cookie: str) -> None:
        name, _, rest = cookie.partition("=")
        value = rest.partition(";")[0]
        if value.strip('"'):
            self.cookies[name] = value
        else:
            self.cookies.pop(name, None)

    def send(self, form: Form, **changes: object) -> Page:
        """Send a form of a page as it stands with some fields filled in; a field given as None is left out."""
        values: dict[str, object] = {**form.values, **changes}
        return self.post(form.action, {name: value for name, value in values.items() if value is not None})

    def fill_in(self, path: str, action: str | None = None, **changes: object) -> Page:
        """Open a page, send the form on it that leads to `action` (the page's own address if not given).

        Returns the page it leads to.
        """
        page = self.get(path)
        assert page.status == 200, f"{path}: {page.status} {page.words[:300]}"
        return self.follow(self.send(page.form(action or urlsplit(path).path), **changes))

    def follow(self, page: Page) -> Page:
        """The page an answer leads to."""
        assert page.status == 303, f"{page.path}: {page.status} {page.errors or page.words[:600]}"
        return self.get(page.headers["location"].partition("#")[0])

    def sign_in(self, email: str, password: str) -> Page:
        """Sign a coach in on the sign-in page."""
        return self.fill_in("/sign-in", email=email, password=password)
