"""Publishing for 40 clients takes at most three times a plain insert of the same rows in one transaction.

The plain insert writes the rows this publishing reads and leaves behind: the versions it stamps, the weeks it counts,
the notes and the trail. What is counted is the publishing with its commit. Looking at it before is counted apart,
against reading the same plans and histories, and is at most three times that.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta
from pathlib import Path
from time import process_time

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Mode
from app.coaching.plan_changes import Change
from app.coaching.plan_sending import Waiting
from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.coaching.session_steps import easy_steps
from app.coaching.steps import to_json
from app.coaching.target_eased import by_entries_alone
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history, practice, prescriptions, schema
from app.storage.database import FILE_NAME, open_engine, unit_of_work
from app.storage.many_plans import keep_changes
from app.usecases.accounts import create_coach
from app.usecases.plan_many.sending import look_at_many, publish_many
from tests import factories
from tests.bench import seeded

CLIENTS = 40
WEEKS = 4
DAYS = (0, 2, 3, 5)
MOST = 3.0
NOW = factories.at(seeded.TODAY)
MONDAY = seeded.TODAY - timedelta(days=seeded.TODAY.weekday()) + timedelta(weeks=3)
RULES = Rules()
#: The invented histories hold no consent, and whatever goes before it asks for a reason.
REASON = "As agreed on the telephone."
#: What the publishing touches, and the rows of it.
_TOUCHED = {
    "planned_versions": "published_at = :now",
    "planned_weeks": "starts_on >= :monday",
    "notes": "written_at = :now",
    "audit_trail": "at = :now AND action = 'published'",
}


def _drafts(db: Session, client_ids: list[int], person_id: int) -> None:
    steps = to_json(easy_steps(30, Mode.WALK))
    sessions = [
        factories.planned(
            client_id=client_id, planned_on=MONDAY + timedelta(weeks=week, days=day), minutes=30, steps_json=steps
        )
        for client_id in client_ids
        for week in range(WEEKS)
        for day in DAYS
    ]
    at = NOW - timedelta(days=1)
    keep_changes(db, changes=[Change(None, one) for one in sessions], person_id=person_id, at=at)


def _practice(folder: Path) -> Actor:
    schema.upgrade(folder)
    engine = open_engine(folder)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway Endurance", kind=PracticeKind.DEMO, zone="Europe/Berlin", at=NOW)
        person = create_coach(db, name="Greta Alm", email="greta@birchway.example", password_hash="x", now=NOW)
        seeded.write(db, seeded.histories(CLIENTS, person_id=person.id))
        _drafts(db, list(range(1, CLIENTS + 1)), person.id)
    engine.dispose()
    return Actor(person.id, person.name, person.role, None)


def _without_findings(rows: tuple[Waiting, ...]) -> list[Waiting]:
    """What is sent does not depend on what the invented histories happen to break."""
    return [Waiting(row.client, row.today, row.entries, ()) for row in rows]


def _reading(folder: Path) -> float:
    """Processor seconds of reading what the look reads: each plan of those weeks and each history."""
    engine, ids = open_engine(folder), list(range(1, CLIENTS + 1))
    last = MONDAY + timedelta(weeks=WEEKS) - timedelta(days=1)
    with unit_of_work(engine, write=False) as db:
        began = process_time()
        newest = prescriptions.newest_between(db, client_ids=ids, from_on=MONDAY, until_on=last)
        prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
        history.load(db, client_ids=ids, from_on=NOW.date() - WHOLE_BASE, until_on=last + FORTNIGHT)
        taken = process_time() - began
    engine.dispose()
    return taken


def _publish(folder: Path, actor: Actor) -> tuple[float, float, int]:
    """Processor seconds of looking (the quicker of two), of publishing with its commit; and the sessions sent."""
    engine = open_engine(folder)
    times = []
    with unit_of_work(engine, write=False) as db:
        for _ in range(2):
            began = process_time()
            looked = look_at_many(
                db, actor=actor, monday=MONDAY, weeks=WEEKS, judge=by_entries_alone, rules=RULES, now=NOW
            )
            times.append(process_time() - began)
    looking = min(times)
    rows = _without_findings(looked)
    seen = {row.client.id: row.seen for row in rows}
    began = process_time()
    with unit_of_work(engine, write=True) as db:
        sessions, clients = publish_many(db, actor=actor, rows=rows, seen=seen, reason=REASON, is_said=True, now=NOW)
    taken = process_time() - began
    engine.dispose()
    assert (sessions, clients) == (CLIENTS * WEEKS * len(DAYS), CLIENTS)
    return looking, taken, sessions


def _plain_insert(source: Path, folder: Path) -> tuple[float, int]:
    """Processor seconds and rows of the barest way there is: ready values into the file as it was before, without
    those rows, in one transaction."""
    values = {"now": NOW.strftime("%Y-%m-%dT%H:%M:%S.%fZ"), "monday": MONDAY.isoformat()}
    with closing(sqlite3.connect(source / FILE_NAME)) as file:
        found = {
            name: file.execute(f"SELECT * FROM {name} WHERE {where}", values).fetchall()
            for name, where in _TOUCHED.items()
        }
    engine = open_engine(folder)
    with engine.connect().execution_options(foothill_write=True) as connection:
        for name, rows in found.items():
            cursor = connection.connection.cursor()
            cursor.executemany(f"DELETE FROM {name} WHERE rowid = ?", [row[:1] for row in rows])
        connection.commit()
    with engine.connect().execution_options(foothill_write=True) as connection:
        connection.exec_driver_sql("SELECT 1")  # begins the transaction
        began = process_time()
        for name, rows in found.items():
            marks = ", ".join("?" * len(rows[0]))
            connection.connection.cursor().executemany(f"INSERT INTO {name} VALUES ({marks})", rows)
        connection.commit()
        taken = process_time() - began
    engine.dispose()
    return taken, sum(len(rows) for rows in found.values())


def test_publishing_for_forty_takes_at_most_three_times_a_plain_insert(tmp_path):
    (tmp_path / "desk").mkdir()
    actor = _practice(tmp_path / "desk")
    shutil.copytree(tmp_path / "desk", tmp_path / "plain")

    reading = min(_reading(tmp_path / "desk"), _reading(tmp_path / "desk"))
    looking, taken, sessions = _publish(tmp_path / "desk", actor)

    plain, rows = _plain_insert(tmp_path / "desk", tmp_path / "plain")
    print(
        f"\npublish {sessions} sessions for {CLIENTS} clients: {1000 * taken:.1f} ms of processor; plain insert of "
        f"the same {rows} rows {1000 * plain:.1f} ms; ratio {taken / plain:.1f}. The look before it "
        f"{1000 * looking:.0f} ms, reading the same plans and histories {1000 * reading:.0f} ms; "
        f"ratio {looking / reading:.2f}"
    )
    assert taken <= MOST * plain
    assert looking <= MOST * reading
