"""The morning page of a whole practice against the least it could cost: raw SQL for the same rows, and a plain page.

Five years of simulated clients. Printed; asserted is what does not hang on the hour: statements do not grow.
What is told of a client is remembered while nothing of theirs changes, so the page is taken in three states: with
nothing remembered, as a visit right after a start or a midnight finds it; after somebody was written about; and with
nothing changed since the last visit. The very first visit of the process, which also reads its templates, is printed
beside them. Each state is held against the same yardstick, which remembers nothing. Raw SQL is taken twice: of
everybody, and of those rows only that the page reads, which leaves out who asked or left and weeks planned before the
days looked at.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from time import process_time

from fastapi import FastAPI
from fastapi.testclient import TestClient
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from app import simulation
from app.coaching.people import ClientState
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.main import furnish, routed_app
from app.settings import Settings
from app.storage import accounts, schema
from app.storage import clients as people
from app.storage.database import FILE_NAME
from app.web.deps import LOGIN_COOKIE, House
from tests import seed
from tests.bench.test_morning_speed import counted_statements
from tests.conftest import FixedClock

CLIENTS = tuple(int(one) for one in os.environ.get("FOOTHILL_BENCH_CLIENTS", "50,500").split(","))
YEARS = float(os.environ.get("FOOTHILL_BENCH_YEARS", "5"))
#: A folder that keeps built practices for the next run: five years of five hundred clients take many minutes.
KEPT = os.environ.get("FOOTHILL_BENCH_KEPT")
TOKEN = "token-of-the-timed-coach"
RUNS = 3
_WINDOWED = {"planned_versions": "planned_on", "session_logs": "done_on", "readiness_notes": "noted_on"}
_WHOLE = (
    "phase_decisions", "blocks", "planned_weeks", "fitness_tests", "holds", "symptom_reports",
    "screening_answers", "clearances", "consents", "blood_pressures", "pressure_limits", "illness_returns",
    "incidents", "contacts", "leaves", "told_away", "intake_answers", "goals", "available_days", "notes",
    "check_ins", "handled_signals",
)  # fmt: skip


_ROUNDS = (
    "SELECT r.* FROM session_log_rounds r JOIN session_logs l ON l.id = r.session_log_id "
    "WHERE l.done_on BETWEEN ? AND ? AND {who} ORDER BY r.session_log_id, r.number"
)
_EVERYBODY = "1 = 1"
_SPOKEN_OF = "client_id IN (SELECT id FROM clients WHERE state NOT IN ('asked', 'left'))"


#: The most a page may take of the yardstick.
MOST_TIMES = 3
NOTHING, ONE_CHANGED, UNCHANGED = "nothing remembered", "one client changed", "nothing changed"


@dataclass(frozen=True, slots=True)
class State:
    """Processor seconds of the page in one state, and the statements it asked."""

    page_s: float
    statements: int


@dataclass(frozen=True, slots=True)
class Timed:
    """The page in its states, and the processor seconds of raw SQL for its rows and of a plain page as large."""

    first_s: float
    states: dict[str, State]
    #: Raw SQL of everybody's rows, and of those alone that the page reads.
    sql_s: float
    read_sql_s: float
    plain_s: float
    page_bytes: int

    def words(self, name: str, clients: int) -> str:
        """One state held against raw SQL and a plain page together, by both readings."""
        one = self.states[name]
        everybody = one.page_s / (self.sql_s + self.plain_s)
        read = one.page_s / (self.read_sql_s + self.plain_s)
        said = [f"{times:.2f} times ({'' if times <= MOST_TIMES else 'NOT '}met)" for times in (everybody, read)]
        cost = f"{one.page_s:.2f} s, {1000 * one.page_s / clients:.1f} ms a client, {one.statements} statements"
        return f"{name:>18}: {cost}; of everybody {said[0]}, of the rows read {said[1]}"


def test_the_morning_against_the_least_it_could_cost(tmp_path: Path) -> None:
    found = {clients: _timed(tmp_path / str(clients), clients) for clients in CLIENTS}

    for clients, one in found.items():
        print(
            f"\n{clients} clients, {YEARS:g} years, {one.page_bytes / 1024:.0f} KB; the first {one.first_s:.2f} s"
            f"\nat most {MOST_TIMES} times raw SQL (of everybody {one.sql_s:.2f} s, of the rows read "
            f"{one.read_sql_s:.2f} s) and a plain page ({one.plain_s:.3f} s)"
        )
        for name in one.states:
            print(one.words(name, clients))
    few, many = min(found), max(found)
    for name in (NOTHING, ONE_CHANGED, UNCHANGED):
        growth = found[many].states[name].page_s / many / (found[few].states[name].page_s / few)
        print(f"growth a client, {name}: {growth:.2f} of the few")
        assert len({one.states[name].statements for one in found.values()}) == 1
    assert found[many].states[UNCHANGED].statements < found[many].states[NOTHING].statements


def _timed(folder: Path, clients: int) -> Timed:
    _build(folder, clients)
    app = routed_app()
    furnish(app, Settings(data_dir=folder, quick_hashing=True))
    app.state.house.clock = FixedClock()
    with app.state.house.transaction(True) as db:
        seed.add_login(db, person=accounts.coaches(db)[0], token=TOKEN)
    # Not entered as a context: what runs in the background would be counted along.
    http = TestClient(app, base_url="http://localhost")
    http.cookies.set(LOGIN_COOKIE, TOKEN, domain="localhost.local", path="/")
    began = process_time()
    page = http.get("/morning")
    first_s = process_time() - began
    assert page.status_code == 200, page.text
    body = page.content

    def plain(_request: Request) -> Response:
        return HTMLResponse(body)

    app.add_route("/plain", plain)
    app.router.routes.insert(0, app.router.routes.pop())
    house = app.state.house
    before = {
        NOTHING: house.remembered.forget,
        ONE_CHANGED: lambda: _speak_with_one(house),
        UNCHANGED: lambda: None,
    }
    return Timed(
        first_s=first_s,
        states={name: _state(app, http, prepare) for name, prepare in before.items()},
        sql_s=_fastest(lambda: _raw(folder, _EVERYBODY)),
        read_sql_s=_fastest(lambda: _raw(folder, _SPOKEN_OF)),
        plain_s=_fastest(lambda: http.get("/plain")),
        page_bytes=len(body),
    )


def _state(app: FastAPI, http: TestClient, prepare: Callable[[], object]) -> State:
    prepare()
    with counted_statements(app.state.engine) as asked:
        http.get("/morning")
    return State(_fastest(lambda: http.get("/morning"), prepare), len(asked))


def _speak_with_one(house: House) -> None:
    """Somebody who trains was rung this morning, as the page would keep it."""
    with house.transaction(True) as db:
        first = min((one for one in people.everybody(db) if one.state is ClientState.ACTIVE), key=lambda one: one.id)
        seed.add_contact(db, client=first, contact_on=seed.TODAY)


def _build(folder: Path, clients: int) -> None:
    kept = Path(KEPT) / f"{clients}-clients-{YEARS:g}-years" if KEPT else None
    if kept is not None and kept.exists():
        shutil.copytree(kept, folder)
        schema.upgrade(folder)
        return
    simulation.build(folder, clients=clients, years=YEARS, seed=5, today=seed.TODAY)
    if kept is not None:
        shutil.copytree(folder, kept)


def _raw(folder: Path, who: str) -> int:
    """Every row the morning reads of some clients, one statement a table, as the driver gives them."""
    first, last = (seed.TODAY - WHOLE_BASE).isoformat(), (seed.TODAY + FORTNIGHT + timedelta(days=1)).isoformat()
    with sqlite3.connect(folder / FILE_NAME) as db:
        rows = len(db.execute("SELECT * FROM clients").fetchall())
        for table in _WHOLE:
            since = f"starts_on >= '{first}'" if table == "planned_weeks" and who != _EVERYBODY else _EVERYBODY
            rows += len(db.execute(f"SELECT * FROM {table} WHERE {who} AND {since}").fetchall())
        for table, day in _WINDOWED.items():
            asked = f"SELECT * FROM {table} WHERE {day} BETWEEN ? AND ? AND {who} ORDER BY client_id, {day}"
            rows += len(db.execute(asked, (first, last)).fetchall())
        rows += len(db.execute(_ROUNDS.format(who=who), (first, last)).fetchall())
    return rows


def _fastest(work: Callable[[], object], prepare: Callable[[], object] = lambda: None) -> float:
    found = []
    for _ in range(RUNS):
        prepare()
        started = process_time()
        work()
        found.append(process_time() - started)
    return min(found)
