"""The command line, run as real processes: exit codes, the held folder, and a clean stop."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from app.cli import main, parser
from app.coaching.holds import HoldKind
from app.coaching.practice import PracticeKind
from app.storage import accounts, clients, practice, schema
from app.storage.audit import lost_holds
from app.storage.database import FILE_NAME, hold_folder, open_engine, unit_of_work
from tests import seed
from tests.conftest import TOKENS

FOOTHILL = [sys.executable, "-c", "import sys; from app.cli import main; sys.exit(main())"]
PASSWORD = "nine grey herons by the weir"
WRITING = [
    ["create-coach", "--email", "a@b.example", "--name", "A", "--password-stdin"],
    ["import", "clients.csv"],
    ["backup"],
    ["month", "2026-10", "--out", "months"],
    ["restore", "copy.sqlite3"],
    ["serve", "--port", "0"],
]


def foothill(*arguments: object, typed: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [*FOOTHILL, *map(str, arguments)], input=typed, capture_output=True, text=True, timeout=120, check=False
    )


@pytest.fixture
def serving(desk_dir) -> Iterator[subprocess.Popen[str]]:
    running = subprocess.Popen(
        [*FOOTHILL, "serve", "--data", str(desk_dir), "--port", "0"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    yield running
    if running.poll() is None:
        running.kill()
    running.communicate()


def address_of(serving) -> str:
    return re.search(r"http://\S+", serving.stdout.readline()).group(0)


def read(data_dir: Path, work):
    engine = open_engine(data_dir)
    with unit_of_work(engine, write=False) as db:
        found = work(db)
    engine.dispose()
    return found


@pytest.mark.slow
def test_serve_answers_and_stops_cleanly_when_told(serving):
    address = address_of(serving)

    with urllib.request.urlopen(f"{address}/healthz", timeout=30) as page:
        health = json.load(page)
    serving.send_signal(signal.SIGTERM)

    assert health["schema"] == schema.newest_revision()
    assert serving.wait(timeout=60) == 0
    assert serving.stderr.read() == ""


@pytest.mark.parametrize("arguments", WRITING, ids=lambda arguments: arguments[0])
def test_writing_commands_say_that_the_desk_is_running(desk_dir, monkeypatch, capsys, arguments):
    monkeypatch.setattr("sys.stdin", _Typed(PASSWORD))

    with hold_folder(desk_dir):
        code = main([*arguments, "--data", str(desk_dir)])

    assert code == 3
    assert "The desk is running on" in capsys.readouterr().err


@pytest.mark.slow
def test_a_served_folder_and_port_are_held_against_other_processes(serving, desk_dir, tmp_path, capsys):
    port = address_of(serving).rpartition(":")[2]

    held = foothill("backup", "--data", desk_dir)

    assert held.returncode == 3
    assert held.stderr.startswith("foothill: The desk is running on")
    assert main(["check", "--data", str(desk_dir)]) == 0
    assert main(["serve", "--data", str(tmp_path / "other"), "--port", port]) == 1
    assert "Try --port" in capsys.readouterr().err


@pytest.mark.slow
def test_a_fresh_desk_prints_a_code_that_makes_the_first_coach(tmp_path):
    running = subprocess.Popen(
        [*FOOTHILL, "serve", "--data", str(tmp_path / "new"), "--port", "0"], stdout=subprocess.PIPE, text=True
    )
    lines = [running.stdout.readline(), running.stdout.readline()]
    address = re.search(r"http://\S+", lines[0]).group(0)
    code = re.search(r"code: (\S+)", lines[1]).group(1)
    form = f"code={code}&name=Ann&email=ann%40b.example&new_password={PASSWORD}&new_password_again={PASSWORD}"
    asked = urllib.request.Request(
        f"{address}/set-up", data=form.replace(" ", "+").encode(), headers={"Origin": address}
    )

    with urllib.request.urlopen(asked, timeout=30) as page:
        shown = page.url
    running.send_signal(signal.SIGTERM)

    assert running.wait(timeout=60) == 0
    running.stdout.close()
    # The browser is led to the Practice page; without cookies it is then asked to sign in.
    assert shown.endswith("/sign-in?next=/practice")
    assert [one.name for one in read(tmp_path / "new", accounts.coaches)] == ["Ann"]


def test_real_people_are_not_moved_in_time(tmp_path, capsys):
    assert main(["serve", "--data", str(tmp_path), "--port", "0", "--today", "2026-10-05"]) == 2
    assert "invented people only" in capsys.readouterr().err


def test_a_damaged_file_stops_the_start_with_a_way_out(desk_dir, capsys):
    content = bytearray((desk_dir / FILE_NAME).read_bytes())
    content[4096:] = bytes(len(content) - 4096)
    (desk_dir / FILE_NAME).write_bytes(content)

    assert main(["serve", "--data", str(desk_dir), "--port", "0"]) == 2
    assert "foothill restore" in capsys.readouterr().err


def test_what_the_commands_write_is_for_their_owners_eyes_only(tmp_path, monkeypatch):
    create(tmp_path / "new", monkeypatch)

    modes = {path.name: path.stat().st_mode & 0o077 for path in [tmp_path / "new", *(tmp_path / "new").iterdir()]}

    assert set(modes.values()) == {0}, modes


def create(data_dir, monkeypatch, *, name="Ann", email="ann@b.example", password=PASSWORD):
    monkeypatch.setattr("sys.stdin", _Typed(password))
    return main(["create-coach", "--data", str(data_dir), "--name", name, "--email", email, "--password-stdin"])


class _Typed:
    def __init__(self, text):
        self.text = text

    def readline(self):
        return f"{self.text}\n"


def test_the_first_coach_is_the_head_coach_and_the_next_is_not(tmp_path, monkeypatch):
    codes = [create(tmp_path, monkeypatch), create(tmp_path, monkeypatch, name="Bo", email="bo@b.example")]

    assert codes == [0, 0]
    found = read(tmp_path, accounts.coaches)
    assert [(one.name, one.role.value) for one in found] == [("Ann", "head_coach"), ("Bo", "coach")]


def test_a_known_address_gets_a_new_password_and_is_signed_out(desk_dir, monkeypatch, people):
    before = read(desk_dir, lambda db: accounts.person(db, person_id=people.coach.id)).password_hash

    assert create(desk_dir, monkeypatch, email=people.coach.email.upper(), name="anything") == 0

    after = read(desk_dir, lambda db: accounts.person(db, person_id=people.coach.id))
    assert after.password_hash != before
    assert after.name == people.coach.name
    assert read(desk_dir, lambda db: accounts.logins_of(db, person_id=people.coach.id, now=seed.NOW)) == []


@pytest.mark.parametrize("password", ["short", "password123", "ann@b.example", ""])
def test_a_weak_password_makes_no_coach(tmp_path, monkeypatch, password):
    assert create(tmp_path, monkeypatch, password=password) == 2
    assert read(tmp_path, accounts.coaches) == []


def test_backup_and_restore_bring_the_practice_back_signed_out(desk_dir, capsys):
    assert main(["backup", "--data", str(desk_dir)]) == 0
    copy = capsys.readouterr().out.strip().rpartition(" ")[2]

    assert main(["restore", copy, "--data", str(desk_dir)]) == 0

    assert "Everybody has to sign in again" in capsys.readouterr().out
    with_tokens = "SELECT count(*) FROM logins WHERE ended_at IS NULL"
    assert read(desk_dir, lambda db: db.connection().exec_driver_sql(with_tokens).scalar()) == 0
    last = "SELECT action FROM audit_trail ORDER BY id DESC LIMIT 1"
    assert read(desk_dir, lambda db: db.connection().exec_driver_sql(last).scalar()) == "copy brought back"


def test_a_restore_names_what_is_lost_and_that_clients_need_new_links(desk_dir, capsys):
    main(["backup", "--data", str(desk_dir)])
    copy = capsys.readouterr().out.strip().rpartition("/")[2]
    later(desk_dir)

    assert main(["restore", copy, "--data", str(desk_dir)]) == 0

    said = capsys.readouterr().out
    before, after = said.split("Brought back:")
    sentence = "1 entry, 1 open hold and 0 clearances are later than this copy and not in it."
    assert [sentence in part for part in (before, after)] == [True, True]
    assert "hold not in the copy: Ilse Brandt, injury, 24 November 2026. Raise it again before they train." in after
    assert ["each client needs a new personal link" in part.replace("Each", "each") for part in (before, after)] == [
        True,
        True,
    ]


def test_a_restore_notes_each_hold_the_copy_lacks_for_the_morning(desk_dir, capsys):
    main(["backup", "--data", str(desk_dir)])
    copy = capsys.readouterr().out.strip().rpartition("/")[2]
    later(desk_dir)

    main(["restore", copy, "--data", str(desk_dir)])

    assert [json.loads(one.change_json)["client"] for one in read(desk_dir, lost_holds)] == ["Ilse Brandt"]


def test_create_coach_without_a_terminal_says_how_a_password_is_given(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr("getpass.getpass", nobody_types)

    asked = ["create-coach", "--email", "ann@b.example", "--name", "Ann", "--data", str(tmp_path)]

    assert main(asked) == 2
    assert "--password-stdin" in capsys.readouterr().err


def nobody_types(_prompt):
    raise EOFError


def test_a_restore_that_is_declined_at_the_keyboard_changes_nothing(desk_dir, capsys, monkeypatch):
    main(["backup", "--data", str(desk_dir)])
    copy = capsys.readouterr().out.strip().rpartition("/")[2]
    later(desk_dir)
    monkeypatch.setattr("sys.stdin.isatty", lambda: True, raising=False)
    monkeypatch.setattr("builtins.input", lambda _asked: "no")

    assert main(["restore", copy, "--data", str(desk_dir)]) == 2

    assert "Nothing was changed." in capsys.readouterr().err
    assert read(desk_dir, lambda db: db.connection().exec_driver_sql("SELECT count(*) FROM holds").scalar()) == 1


def later(data_dir):
    """An entry and a hold after the copy."""
    engine = open_engine(data_dir)
    with unit_of_work(engine, write=True) as db:
        ilse = clients.by_name(db, name="Ilse Brandt")[0]
        seed.add_log(db, client=ilse)
        seed.add_hold(db, client=ilse, kind=HoldKind.INJURY, began_on=seed.TODAY - timedelta(days=1))
    engine.dispose()


def test_before_a_restore_the_tests_people_are_signed_in(desk_dir):
    with_tokens = "SELECT count(*) FROM logins WHERE ended_at IS NULL"

    assert read(desk_dir, lambda db: db.connection().exec_driver_sql(with_tokens).scalar()) == len(TOKENS)


def test_restoring_what_is_no_copy_is_refused(desk_dir, tmp_path, capsys):
    (tmp_path / "wrong.sqlite3").write_text("not a copy")

    assert main(["restore", str(tmp_path / "wrong.sqlite3"), "--data", str(desk_dir)]) == 2
    assert "wrong.sqlite3 is damaged" in capsys.readouterr().err


def test_a_copy_that_is_nowhere_is_said_to_be_in_neither_place(desk_dir, capsys):
    assert main(["restore", "gone.sqlite3", "--data", str(desk_dir)]) == 2
    assert "none of that name in" in capsys.readouterr().err


def test_check_finds_nothing_in_a_good_folder(desk_dir, capsys):
    assert main(["check", "--data", str(desk_dir)]) == 0
    assert capsys.readouterr().out == "All is well.\n"


@pytest.mark.parametrize(
    ("damage", "sentence"),
    [
        ("UPDATE clients SET coach_id = 4711 WHERE id = 1", "refers to a row of people"),
        ("UPDATE alembic_version SET version_num = '9999'", "stands at schema 9999"),
        ("UPDATE practice SET zone = 'Middle/Earth'", "is not known on this machine"),
        ("INSERT INTO practice_settings VALUES ('spacing_h', 24, '2026-11-25T07:00:00.000000Z', 1)", "A rule has"),
        ("UPDATE people SET is_active = 0 WHERE role = 'head_coach'", "Nobody is head coach"),
        ("DELETE FROM practice", "holds no practice yet"),
    ],
)
def test_check_names_what_is_wrong_and_exits_1(desk_dir, capsys, damage, sentence):
    engine = open_engine(desk_dir, foreign_keys=False)
    with engine.begin() as connection:
        connection.exec_driver_sql(damage)
    engine.dispose()

    assert main(["check", "--data", str(desk_dir)]) == 1
    assert sentence in capsys.readouterr().out


def test_check_of_a_folder_without_a_practice_makes_none(tmp_path, capsys):
    assert main(["check", "--data", str(tmp_path)]) == 1
    assert list(tmp_path.iterdir()) == []
    assert "There is no practice" in capsys.readouterr().out


def test_a_month_is_written_as_files_and_noted(desk_dir, tmp_path, capsys):
    assert main(["month", "2026-10", "--out", str(tmp_path / "out"), "--data", str(desk_dir)]) == 0

    named = [Path(line) for line in capsys.readouterr().out.splitlines()]
    assert sorted(named) == sorted((tmp_path / "out").iterdir())
    assert any("Ilse Brandt" in path.read_text(encoding="utf-8-sig") for path in named)


@pytest.mark.parametrize("month", ["2026-13", "october", "2999-01"])
def test_a_month_that_is_none_writes_nothing(desk_dir, tmp_path, month):
    assert main(["month", month, "--out", str(tmp_path / "out"), "--data", str(desk_dir)]) == 2
    assert not (tmp_path / "out").exists()


def test_import_needs_a_coach_first(tmp_path, capsys):
    assert main(["import", "any.csv", "--data", str(tmp_path)]) == 2
    assert "create-coach" in capsys.readouterr().err


def test_a_demo_never_replaces_real_people(tmp_path, monkeypatch, capsys):
    create(tmp_path, monkeypatch)

    assert main(["demo", "--data", str(tmp_path), "--build-only"]) == 2
    assert [one.name for one in read(tmp_path, accounts.coaches)] == ["Ann"]
    assert read(tmp_path, practice.found).kind is PracticeKind.REAL


@pytest.mark.parametrize("day", ["2026-13-01", "yesterday"])
def test_an_impossible_day_is_refused(day, capsys):
    with pytest.raises(SystemExit) as stopped:
        parser().parse_args(["serve", "--today", day])

    assert stopped.value.code == 2
    assert "is not a day like" in capsys.readouterr().err


@pytest.mark.slow
def test_a_folder_is_marked_as_invented_only_when_it_is_made(tmp_path):
    real, invented = tmp_path / "real", tmp_path / "invented"
    command = ["create-coach", "--email", "a@b.example", "--name", "A", "--password-stdin"]
    foothill(*command, "--data", real, typed=f"{PASSWORD}\n")

    too_late = foothill(*command, "--data", real, "--invented", typed=f"{PASSWORD}\n")
    made = foothill(*command, "--data", invented, "--invented", typed=f"{PASSWORD}\n")

    assert (too_late.returncode, made.returncode) == (2, 0)
    assert "marked only when it is made" in too_late.stderr
    assert read(real, practice.found).kind is PracticeKind.REAL
    assert read(invented, practice.found).kind is PracticeKind.DEMO


def test_output_that_nobody_reads_to_the_end_stops_without_a_word():
    running = subprocess.Popen(
        [*FOOTHILL, "workings", "--json"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert running.stdout is not None

    running.stdout.readline()
    running.stdout.close()

    assert running.stderr is not None
    assert running.stderr.read() == ""
    running.stderr.close()
    assert running.wait(timeout=30) == 1


def test_a_short_output_into_a_closed_pipe_stops_without_a_word():
    reader, writer = os.pipe()
    os.close(reader)

    done = subprocess.run(
        [*FOOTHILL, "workings", "hrmax_tanaka_2001"], stdout=writer, stderr=subprocess.PIPE, check=False
    )

    os.close(writer)
    assert done.stderr == b""
    assert done.returncode == 1
