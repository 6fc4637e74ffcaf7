"""No entry that was answered is ever lost: kills, stops, the same form fifty times, and a disk that is full."""

from __future__ import annotations

import random
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest

from app.storage.database import FILE_NAME
from tests.faults.storm import Writer, assert_all_there, notes_in, phones, storm
from tests.serving import Visitor, foothill

pytestmark = pytest.mark.slow

ROUNDS = 3
TIMES = 50


def test_killed_at_any_moment_nothing_answered_is_lost_and_nothing_is_kept_twice(served):
    writers = phones(served.desk, served.coach)
    chance = random.Random(20)

    for number in range(ROUNDS):
        served.desk, told = storm(served.desk, writers, number=number, chance=chance)
        assert told.answered + told.unanswered > 0
        assert_all_there(served.data_dir, writers)

    assert sum(len(one.acked) for one in writers) > 0
    assert foothill("check", "--data", served.data_dir).stdout == "All is well.\n"


def test_the_same_form_fifty_times_across_a_kill_is_one_entry(served):
    [writer] = phones(served.desk, served.coach, count=1)
    form = writer.form("the one and only")

    before = _at_once(served.desk, writer, form, and_then=served.desk.kill)
    served.restart()
    after = _at_once(served.desk, writer, form)

    assert {status for status, _ in after} == {303}
    assert len({where for _, where in [*before, *after] if where}) == 1
    assert notes_in(served.data_dir) == ["the one and only"]


def _at_once(desk, writer: Writer, form, and_then=None):
    def send(_number: int):
        try:
            page = Visitor(desk, dict(writer.visitor.cookies)).post("/me/done", form)
        except OSError:
            return 0, ""
        return page.status, page.headers.get("location", "")

    with ThreadPoolExecutor(TIMES + 1) as pool:
        if and_then is not None:
            killer = pool.submit(lambda: (time.sleep(0.15), and_then()))
        answers = list(pool.map(send, range(TIMES)))
        if and_then is not None:
            killer.result()
    return answers


def test_a_second_desk_on_the_same_folder_is_refused(served):
    second = foothill("serve", "--data", served.data_dir, "--port", "0")

    assert second.returncode == 3
    assert "The desk is running" in second.stderr
    assert served.coach.get("/roster").status == 200


def test_told_to_stop_it_finishes_what_it_began(served):
    writers = phones(served.desk, served.coach, count=4)
    is_over = threading.Event()
    threads = [threading.Thread(target=one.write_until, args=(is_over,)) for one in writers]
    for thread in threads:
        thread.start()
    until = time.monotonic() + 60
    while sum(len(one.acked) for one in writers) < 4 and time.monotonic() < until:
        time.sleep(0.02)

    began = time.monotonic()
    code = served.desk.stop()
    took_s = time.monotonic() - began
    is_over.set()
    for thread in threads:
        thread.join(timeout=60)

    assert code == 0
    # Ten seconds are the most the server gives itself; the rest is for a busy machine.
    assert took_s < 25
    kept = notes_in(served.data_dir)
    acked = [note for one in writers for note in one.acked]
    assert acked
    assert [note for note in acked if kept.count(note) != 1] == []


def test_a_full_disk_acknowledges_nothing_and_reading_goes_on(served):
    [writer] = phones(served.desk, served.coach, count=1)
    assert writer.send(writer.form("while there was room"))
    served.desk.stop()
    size = (served.data_dir / FILE_NAME).stat().st_size

    # No file may grow beyond what the practice's file takes now: the journal fills up first.
    served.restart(largest_file=size)
    writer.visitor.desk = served.desk
    refused = _write_until_refused(writer)

    assert refused.status == 503
    assert "Nothing was kept; send it again." in refused.words
    assert refused.headers["retry-after"]
    for path in ("/roster", "/morning", "/healthz"):
        assert served.coach.get(path).status == 200
    assert writer.visitor.get("/me/today").status == 200
    kept = notes_in(served.data_dir)
    assert sorted(kept) == sorted(writer.acked)
    assert served.desk.process.poll() is None

    # With room again the form that was refused goes in, once.
    served.restart()
    writer.visitor.desk = served.desk
    assert writer.send(writer.open_forms.pop())
    assert_all_there(served.data_dir, [writer])


def _write_until_refused(writer: Writer):
    for number in range(400):
        form = writer.form(f"{number} " + " ".join(["a long note"] * 300))
        page = writer.visitor.post("/me/done", form)
        if page.status != 303:
            writer.open_forms.append(form)
            return page
        writer.acked.append(form["note"])
    raise AssertionError("the limit was never reached")
