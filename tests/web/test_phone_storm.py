"""The same entry sent fifty times at once, to a real server on a real file, is one row."""

from __future__ import annotations

import http.client
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from urllib.parse import urlencode
from uuid import uuid4

import pytest
import uvicorn

from app.storage import safety, session_logs
from app.web.deps import LOGIN_COOKIE
from app.web.security import csrf_token
from tests import seed
from tests.conftest import TOKENS

TIMES = 50


@pytest.fixture
def address(app):
    """A real server, one process, on a free port."""
    server = uvicorn.Server(uvicorn.Config(app, host="127.0.0.1", port=0, log_level="error"))
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    until = time.monotonic() + 10
    while not server.started and time.monotonic() < until:
        time.sleep(0.01)
    assert server.started
    yield server.servers[0].sockets[0].getsockname()
    server.should_exit = True
    thread.join(timeout=10)


def send(address, path, form):
    """One POST on a connection of its own: the status and where it leads."""
    host, port = address
    token = TOKENS["client_phone"]
    connection = http.client.HTTPConnection(host, port, timeout=60)
    headers = {
        "Content-Type": "application/x-www-form-urlencoded",
        "Cookie": f"{LOGIN_COOKIE}={token}",
        "Origin": f"http://{host}:{port}",
    }
    connection.request("POST", path, urlencode({"csrf_token": csrf_token(token), **form}), headers)
    answer = connection.getresponse()
    answer.read()
    connection.close()
    return answer.status, answer.getheader("location")


def send_at_once(address, path, form):
    with ThreadPoolExecutor(TIMES) as pool:
        return list(pool.map(lambda _: send(address, path, form), range(TIMES)))


def logs(app, people):
    with app.state.house.transaction(False) as db:
        day = seed.TODAY
        return session_logs.between(
            db, client_ids=[people.client.id], from_on=day - timedelta(days=9), until_on=day + timedelta(days=9)
        )


def test_the_same_entry_fifty_times_at_once_is_one_row(app, address, people):
    form = {"kind": "easy", "mode": "walk", "minutes": "45", "effort": "3", "done_on": "2026-11-25"}

    answers = send_at_once(address, "/me/done", form | {"request_id": str(uuid4())})

    assert {status for status, _ in answers} == {303}
    assert len({location for _, location in answers}) == 1
    assert len(logs(app, people)) == 1


def test_the_same_report_fifty_times_at_once_is_one_hold(app, address, people):
    form = {"sign": "chest", "felt_on": "2026-11-25", "request_id": str(uuid4())}

    answers = send_at_once(address, "/me/felt-wrong", form)

    with app.state.house.transaction(False) as db:
        holds = safety.holds_of(db, client_id=people.client.id)
    assert {status for status, _ in answers} == {303}
    assert len(holds) == 1


def test_fifty_different_corrections_at_once_leave_one_and_refuse_the_rest(app, address, people):
    with app.state.house.transaction(True) as db:
        log_id = seed.add_log(db, client=people.client)
    form = {"revision": "1", "kind": "easy", "mode": "walk", "effort": "3", "done_on": "2026-11-25"}

    with ThreadPoolExecutor(TIMES) as pool:
        answers = list(
            pool.map(
                lambda n: send(
                    address, f"/me/done/{log_id}/change", form | {"minutes": str(n), "request_id": str(uuid4())}
                ),
                range(1, TIMES + 1),
            )
        )

    statuses = [status for status, _ in answers]
    assert (statuses.count(303), statuses.count(409)) == (1, TIMES - 1)
    assert [one.revision for one in logs(app, people)] == [2]
