"""Many writers, each with its own list of what was answered, and a server that dies among them."""

from __future__ import annotations

import http.client
import random
import sqlite3
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from app.storage.database import FILE_NAME
from app.web.security import csrf_token
from tests.serving import Desk, Visitor

WRITERS = 8
#: Ways to move, by writer, so that a repeated entry of one is never taken for another's.
FORM = {"kind": "easy", "mode": "walk", "effort": "3"}


@dataclass
class Writer:
    """One client's phone: sends entries one after the other and writes down which were answered."""

    visitor: Visitor
    name: str
    acked: list[str] = field(default_factory=list)
    #: Sent, and nobody knows: the form with its request id, to be sent again unchanged.
    open_forms: list[dict[str, str]] = field(default_factory=list)
    others: list[int] = field(default_factory=list)
    #: Forms written so far.
    written: int = 0

    def write_until(self, is_over: threading.Event) -> None:
        """Send until the server is gone."""
        while not is_over.is_set():
            note = f"{self.name} entry {self.written} {uuid4().hex[:8]}"
            if not self.send(self.form(note)):
                return

    def form(self, note: str) -> dict[str, str]:
        """An entry of one's own."""
        token = self.visitor.cookies["foothill_login"]
        today = datetime.now(UTC).date().isoformat()
        # The same twice on one day would be asked about.
        self.written += 1
        rounds, short = divmod(self.written, 40)
        mine = {"minutes": f"0:{20 + short}:{rounds % 60:02d}", "note": note, "done_on": today}
        return {**FORM, **mine, "csrf_token": csrf_token(token), "request_id": str(uuid4())}

    def send(self, form: dict[str, str]) -> bool:
        """One entry; False when no whole answer came."""
        try:
            page = self.visitor.post("/me/done", form)
        except (OSError, http.client.HTTPException):
            self.open_forms.append(form)
            return False
        # Written down before the next one is sent.
        if page.status == 303:
            self.acked.append(form["note"])
        else:
            self.others.append(page.status)
        return True

    def send_again(self) -> None:
        """What was never answered, with the same request id, after the restart."""
        again, self.open_forms = self.open_forms, []
        for form in again:
            assert self.send(form), "the desk did not answer after the restart"


def phones(desk: Desk, coach: Visitor, count: int = WRITERS) -> list[Writer]:
    """Clients made on the desk's pages, each with a signed-in phone."""
    return [Writer(_phone(desk, coach, f"Walker {number}"), f"walker {number}") for number in range(count)]


def _phone(desk: Desk, coach: Visitor, name: str) -> Visitor:
    made = coach.fill_in("/clients/new", name=name, zone="UTC")
    client_id = int(made.path.split("/")[2])
    page = coach.get(f"/clients/{client_id}/access")
    shown = coach.send(page.form(f"/clients/{client_id}/access/link"))
    link = next(word for word in shown.words.split() if "/join/" in word).partition("/join/")[2]
    phone = Visitor(desk)
    phone.follow(phone.send(phone.get(f"/join/{link}").form(f"/join/{link}")))
    return phone


@dataclass(frozen=True)
class Round:
    """What became of one round of the storm."""

    number: int
    killed_after_s: float
    answered: int
    unanswered: int
    restarted_s: float


def storm(desk: Desk, writers: list[Writer], *, number: int, chance: random.Random) -> tuple[Desk, Round]:
    """Write from every side, kill at a random moment, start again, send what was not answered once more."""
    before = sum(len(one.acked) for one in writers)
    is_over = threading.Event()
    threads = [threading.Thread(target=one.write_until, args=(is_over,)) for one in writers]
    for thread in threads:
        thread.start()
    wait_s = chance.uniform(0.05, 1.5)
    time.sleep(wait_s)
    desk.kill()
    is_over.set()
    for thread in threads:
        thread.join(timeout=90)
        assert not thread.is_alive()
    answered = sum(len(one.acked) for one in writers) - before
    unanswered = sum(len(one.open_forms) for one in writers)
    again = Desk(desk.data_dir)
    for one in writers:
        one.visitor.desk = again
        one.send_again()
    return again, Round(number, wait_s, answered, unanswered, again.started_s)


def assert_all_there(data_dir: Path, writers: list[Writer]) -> int:
    """Every answered entry exactly once, nothing twice, the file sound; how many entries there are."""
    for one in writers:
        assert not one.others, f"{one.name} was answered {one.others}"
        assert not one.open_forms
    rows = notes_in(data_dir)
    counted = Counter(rows)
    acked = [note for one in writers for note in one.acked]
    assert [note for note in acked if counted[note] != 1] == []
    assert sorted(rows) == sorted(acked)
    return len(rows)


def notes_in(data_dir: Path) -> list[str]:
    """The notes of all entries, read from the file beside the running desk; looks, never writes."""
    connection = sqlite3.connect(f"file:{data_dir / FILE_NAME}?mode=ro", uri=True, timeout=30)
    try:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        return [note for (note,) in connection.execute("SELECT note FROM session_logs WHERE note IS NOT NULL")]
    finally:
        connection.close()
