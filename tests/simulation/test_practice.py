"""The simulated practice as a folder: its line of JSON, its soundness, its pages, and what it leaves alone."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from app import cli, demo, simulation
from app.coaching.practice import PracticeKind
from app.storage import practice, schema
from app.storage.database import FILE_NAME, open_engine, unit_of_work
from tests.serving import Desk, Visitor

TODAY = date(2026, 11, 25)
#: Made anew each time, since it opens the door.
SECRETS = {"password_hash"}
OF_CLIENTS = (
    *("session_logs", "readiness_notes", "planned_versions", "phase_decisions", "fitness_tests", "holds"),
    *("screening_answers", "contacts", "leaves", "audit_trail"),
)


def _told(*arguments: object, capsys: pytest.CaptureFixture[str]) -> tuple[int, str, str]:
    code = cli.main([str(one) for one in arguments])
    said = capsys.readouterr()
    return code, said.out, said.err


def _rows(folder: Path, table: str, where: str = "1") -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        names = [name for _, name, *_ in file.execute(f"PRAGMA table_info({table})") if name not in SECRETS]
        return sorted(file.execute(f"SELECT {', '.join(names)} FROM {table} WHERE {where}").fetchall(), key=repr)


def _tables(folder: Path) -> list[str]:
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        return [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("simulated") / "desk"
    simulation.build(place, clients=5, years=1, seed=7, today=TODAY)
    return place


def test_the_command_ends_with_the_line_of_the_demo(tmp_path, capsys):
    asked = ("--clients", 2, "--years", 0.5, "--seed", 1, "--data", tmp_path / "desk", "--today", TODAY)

    code, out, _ = _told("simulate", *asked, capsys=capsys)

    assert code == 0
    said = json.loads(out.splitlines()[-1])
    assert said.keys() == {"data", "coach", "client_link"}
    assert said["coach"].keys() == {"email", "password"}
    assert said["client_link"].startswith("/join/")
    assert _told("simulate", *asked, capsys=capsys)[0] == 0
    assert _told("check", "--data", tmp_path / "desk", capsys=capsys)[:2] == (0, "All is well.\n")


@pytest.mark.parametrize("kind", [PracticeKind.REAL, PracticeKind.DEMO])
def test_a_folder_of_another_kind_is_left_alone(tmp_path, capsys, kind):
    schema.upgrade(tmp_path)
    engine = open_engine(tmp_path)
    with unit_of_work(engine, write=True) as db:
        at = simulation.calendar_of(1, TODAY, "Europe/Berlin").at(0, 9)
        practice.create(db, name="Theirs", kind=kind, zone="Europe/Berlin", at=at)
    engine.dispose()

    code, _, complaint = _told(
        "simulate", "--clients", 1, "--years", 1, "--seed", 1, "--data", tmp_path, capsys=capsys
    )

    assert code == 2
    assert "is not simulated; it is left alone" in complaint
    assert _rows(tmp_path, "practice")[0][1] == "Theirs"


def test_the_demo_does_not_replace_a_simulation(folder, capsys):
    code, _, complaint = _told("demo", "--build-only", "--data", folder, capsys=capsys)

    assert code == 2
    assert "is no demo; it is left alone" in complaint


@pytest.mark.parametrize(("clients", "years", "seed"), [(0, 1, 1), (1, 0, 1), (1, 21, 1), (5001, 1, 1), (1, 1, -1)])
def test_nonsense_is_refused_before_anything_is_written(tmp_path, capsys, clients, years, seed):
    asked = ("--clients", clients, "--years", years, "--seed", seed)

    code, _, _ = _told("simulate", *asked, "--data", tmp_path / "desk", capsys=capsys)

    assert code == 2
    assert not (tmp_path / "desk" / FILE_NAME).exists()


def test_the_same_seed_and_day_give_the_same_rows(folder, tmp_path):
    simulation.build(tmp_path, clients=5, years=1, seed=7, today=TODAY)

    ours, theirs = ({name: _rows(one, name) for name in _tables(one)} for one in (folder, tmp_path))

    assert ours == theirs


def test_more_clients_leave_the_rows_of_the_first_as_they_were(folder, tmp_path):
    simulation.build(tmp_path, clients=8, years=1, seed=7, today=TODAY)
    first = "client_id <= 5 AND NOT action = 'link made'"

    for table in OF_CLIENTS:
        where = first if table == "audit_trail" else "client_id <= 5"
        assert _rows(tmp_path, table, where) == _rows(folder, table, where), table
    assert _rows(tmp_path, "clients", "id <= 5") == _rows(folder, "clients")


def test_the_file_is_sound_and_marked_as_simulated(folder):
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        assert file.execute("PRAGMA foreign_key_check").fetchall() == []
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert file.execute("SELECT kind FROM practice").fetchall() == [("simulated",)]


@pytest.mark.slow
def test_its_pages_open_on_a_day_it_was_moved_to(folder, tmp_path):
    desk = Desk(Path(shutil.copytree(folder, tmp_path / "desk")), "--today", TODAY)
    try:
        coach = Visitor(desk)
        coach.sign_in(simulation.COACH_EMAIL, simulation.PASSWORD)
        pages = [
            coach.get(path) for path in ("/morning", "/roster", "/clients/1", "/clients/1/plan", "/clients/1/safety")
        ]
    finally:
        desk.stop()

    assert [page.status for page in pages] == [200] * 5
    assert all(name in pages[1].words for (name,) in _names(folder))


def _names(folder: Path) -> list[tuple[str]]:
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        return file.execute("SELECT name FROM clients WHERE state = 'active'").fetchall()


def test_names_differ_from_those_of_the_demo(folder):
    assert not {name for (name,) in _names(folder)} & {part.name for part in demo.CAST}
