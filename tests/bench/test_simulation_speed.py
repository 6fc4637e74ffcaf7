"""A simulated practice takes at most ten times as long as a plain insert of the same rows; the ratio is printed.

FOOTHILL_BENCH_CLIENTS says how many clients; 50 unless given, 500 for the whole measure.
"""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from time import process_time

from app import simulation
from app.simulation.rows import TABLES
from app.storage import schema
from app.storage.database import FILE_NAME, open_engine
from app.storage.tables.people import PersonRow

TODAY = date(2026, 11, 25)
CLIENTS = int(os.environ.get("FOOTHILL_BENCH_CLIENTS", "50"))
YEARS = 5
MOST = 10.0
#: The coach comes first and everybody else after the clients, as foreign keys ask.
_ORDER = (
    ("practice", "1"),
    ("people", "client_id IS NULL"),
    *((kind.__tablename__, "client_id IS NOT NULL" if kind is PersonRow else "1") for kind in TABLES),
)


def _plain_insert(source: Path, folder: Path) -> tuple[float, int]:
    """Processor seconds and rows of the barest way there is: ready values, one transaction, the same tables."""
    schema.upgrade(folder)
    taken, written = 0.0, 0
    engine = open_engine(folder)
    with (
        closing(sqlite3.connect(source / FILE_NAME)) as file,
        engine.connect().execution_options(foothill_write=True) as connection,
    ):
        connection.exec_driver_sql("SELECT 1")  # begins the transaction
        for name, where in _ORDER:
            rows = file.execute(f"SELECT * FROM {name} WHERE {where}").fetchall()
            marks = ", ".join("?" * len(rows[0]))
            began = process_time()
            connection.connection.cursor().executemany(f"INSERT INTO {name} VALUES ({marks})", rows)
            taken, written = taken + process_time() - began, written + len(rows)
        began = process_time()
        connection.commit()
        taken += process_time() - began
    engine.dispose()
    return taken, written


def test_simulating_takes_at_most_ten_times_a_plain_insert(tmp_path):
    began = process_time()
    simulation.build(tmp_path / "simulated", clients=CLIENTS, years=YEARS, seed=1, today=TODAY)
    taken = process_time() - began
    (tmp_path / "plain").mkdir()

    plain, rows = _plain_insert(tmp_path / "simulated", tmp_path / "plain")

    print(
        f"\nsimulate {CLIENTS} clients x {YEARS} years: {rows} rows, {taken:.1f} s of processor; "
        f"plain insert {plain:.1f} s; ratio {taken / plain:.1f}"
    )
    assert taken <= MOST * plain
