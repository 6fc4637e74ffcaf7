"""`foothill import` as a real process on a real folder, with the example files that ship with the desk."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date, timedelta

import pytest

from app.cli import main
from app.coaching.base_weeks import held_base_weeks
from app.coaching.effort import Band, band_of_session
from app.coaching.people import Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.readiness import ReadinessNote
from app.coaching.rules import rules_from
from app.coaching.weeks import week_start
from app.places import bundled
from app.storage import clients, history
from app.storage.database import open_engine, unit_of_work

FOOTHILL = [sys.executable, "-c", "import sys; from app.cli import main; sys.exit(main())"]
SHEETS = bundled("demo_data") / "spreadsheet"


def foothill_import(data_dir, *arguments):
    return subprocess.run(
        [*FOOTHILL, "import", "--data", str(data_dir), *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )


@dataclass(frozen=True)
class Run:
    """How a command ended and what it said."""

    returncode: int
    stdout: str
    stderr: str


def import_here(capsys, data_dir, *arguments):
    """The same command without starting a process, which takes seconds."""
    code = main(["import", "--data", str(data_dir), *map(str, arguments)])
    said = capsys.readouterr()
    return Run(code, said.out, said.err)


def with_examples(data_dir):
    return foothill_import(
        data_dir, *sorted(SHEETS.glob("*.csv")), "--mapping", SHEETS / "mapping.toml", "--dates", "day-first"
    )


def record_of(data_dir, name):
    engine = open_engine(data_dir)
    with unit_of_work(engine, write=False) as db:
        (client,) = clients.by_name(db, name=name)
        (record,) = history.load(db, client_ids=[client.id], from_on=date(2026, 1, 1), until_on=date(2026, 12, 31))
    engine.dispose()
    return record


def last_line(run):
    return run.stdout.strip().splitlines()[-1]


@pytest.fixture(scope="module")
def brought_in(_ready_practice, tmp_path_factory):
    folder = tmp_path_factory.mktemp("import") / "desk"
    shutil.copytree(_ready_practice[0], folder)
    return folder, with_examples(folder)


def test_the_examples_go_in_and_bad_rows_are_listed(brought_in):
    _, run = brought_in

    assert (run.returncode, run.stderr) == (0, "")
    assert last_line(run) == "added 184, changed 0, refused 15"
    assert "sessions.csv line 140, Time: “45:00” is 45 hours. Did you mean 45 min?" in run.stdout
    assert "clients.csv line 8, Date of birth: Born 1890-04-01 would make" in run.stdout
    assert len(re.findall(r"^\w+\.csv line \d+", run.stdout, re.MULTILINE)) == 15


def test_running_it_again_adds_nothing(brought_in):
    folder, _ = brought_in
    again = with_examples(folder)

    assert again.returncode == 0
    assert last_line(again) == "added 0, changed 0, refused 15"


def test_confirmed_mappings_are_remembered_so_that_files_alone_are_enough(brought_in):
    folder, _ = brought_in
    again = foothill_import(folder, SHEETS / "clients.csv", SHEETS / "readiness.csv")

    assert again.returncode == 0
    assert last_line(again) == "added 0, changed 0, refused 8"


def test_each_kind_of_row_is_kept_as_it_was_meant(brought_in):
    record = record_of(brought_in[0], "Halloway, Senna")
    hard = [log for log in record.logs if log.rounds]

    assert [(d.kind, d.phase, d.confirmed_at) for d in record.decisions] == [
        (DecisionKind.BROUGHT_IN, Phase.INTERVAL_ONE, None)
    ]
    assert [len(log.rounds) for log in hard] == [3, 3, 4, 4, 4, 4]
    assert {log.mode for log in hard} == {Mode.RIDE}
    assert {log.origin for log in record.logs} == {Origin.FILE}


def test_two_equal_walks_on_one_day_are_two(brought_in):
    record = record_of(brought_in[0], "Ottilie Marsh")
    walks = [log for log in record.logs if log.done_on == date(2026, 11, 18) and log.minutes == 20]

    assert len(walks) == 2


def test_emoji_formulas_and_line_breaks_stay_text(brought_in):
    notes = [log.note for log in record_of(brought_in[0], "Tove Calloway 🏔").logs]

    assert notes == ["first time out 🎉", "=SUM(A1:A9)", 'wet; windy\nand "glorious"']


def test_readiness_is_turned_round_and_says_what_it_was(brought_in):
    notes: tuple[ReadinessNote, ...] = record_of(brought_in[0], "Ottilie Marsh").readiness
    first = notes[0]
    stood = re.search(r"sleep (\d)", first.text or "")

    assert len(notes) == 30
    assert stood is not None
    assert first.sleep == {5: 1, 4: 3, 3: 4}[int(stood[1])]
    assert "1-5, high is better" in (first.text or "")


@pytest.mark.parametrize(("name", "weeks"), [("Ottilie Marsh", 20), ("Bram Kettering", 8)])
def test_the_base_weeks_are_whole_and_easy(brought_in, name, weeks):
    record = record_of(brought_in[0], name)
    by_week = defaultdict(list)
    bands = {
        band_of_session(talk=log.talk, effort=log.effort, after_transition=False, rules=rules_from({}))
        for log in record.logs
    }
    for log in record.logs:
        by_week[week_start(log.done_on)].append(log)
    mondays = [date(2026, 11, 16) - timedelta(weeks=n) for n in reversed(range(weeks))]

    assert sorted(by_week) == mondays
    assert min(len({log.done_on for log in logs}) for logs in by_week.values()) >= 3
    assert min(sum(log.minutes or 0 for log in logs) for logs in by_week.values()) >= 90
    assert {answer.band for answer in bands if answer is not None} == {Band.EASY}


# Questions that nobody answers.

SESSIONS_HEAD = "Name,Date,Minutes\n"
MAPPING = """
[clients.columns]
"Name" = "name"
"Phone" = "phone"
[sessions.columns]
"Name" = "client"
"Date" = "done_on"
"Minutes" = "minutes"
"""


@pytest.fixture
def sheets(tmp_path):
    folder = tmp_path / "sheets"
    folder.mkdir()
    (folder / "mapping.toml").write_text(MAPPING, encoding="utf-8")
    (folder / "people.csv").write_text("Name,Phone\nIda Moen,1\n", encoding="utf-8")
    (folder / "clear.csv").write_text(f"{SESSIONS_HEAD}Ida Moen,2026-11-02,45\n", encoding="utf-8")
    (folder / "ambiguous.csv").write_text(f"{SESSIONS_HEAD}Ida Moen,3/11/2026,45\n", encoding="utf-8")
    return folder


def test_an_ambiguous_file_is_refused_and_the_others_go_in(desk_dir, sheets, capsys):
    run = import_here(
        capsys,
        desk_dir, sheets / "ambiguous.csv", sheets / "clear.csv", sheets / "people.csv", "--mapping",
        sheets / "mapping.toml",
    )  # fmt: skip

    assert run.returncode == 2
    assert "ambiguous.csv: refused. Is “3/11/2026”" in run.stdout
    assert last_line(run) == "added 2, changed 0, refused 0"


def test_the_answer_lets_it_in(desk_dir, sheets, capsys):
    options = ("--mapping", sheets / "mapping.toml", "--dates", "day-first")
    run = import_here(capsys, desk_dir, sheets / "ambiguous.csv", sheets / "people.csv", *options)

    assert run.returncode == 0
    assert last_line(run) == "added 2, changed 0, refused 0"
    assert [log.done_on for log in record_of(desk_dir, "Ida Moen").logs] == [date(2026, 11, 3)]


def test_without_a_confirmed_mapping_a_file_is_refused(desk_dir, sheets, capsys):
    run = import_here(capsys, desk_dir, sheets / "clear.csv")

    assert run.returncode == 2
    assert "No confirmed mapping fits its columns" in run.stdout
    assert last_line(run) == "added 0, changed 0, refused 0"


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [("gone.csv", b"", "cannot be read"), ("book.csv", b"PK\x03\x04", "whole workbook")],
)
def test_a_file_that_is_no_table_is_refused_by_name(desk_dir, sheets, capsys, *, name, content, sentence):
    (sheets / "book.csv").write_bytes(content)
    run = import_here(capsys, desk_dir, sheets / name, "--mapping", sheets / "mapping.toml")

    assert run.returncode == 2
    assert f"{name}: refused." in run.stdout
    assert sentence in run.stdout


def test_a_wrong_mapping_file_lets_nothing_in(desk_dir, sheets, capsys):
    (sheets / "mapping.toml").write_text("[goats]\n", encoding="utf-8")
    run = import_here(capsys, desk_dir, sheets / "people.csv", "--mapping", sheets / "mapping.toml")

    assert run.returncode == 2
    assert "not “goats”" in run.stdout
    assert last_line(run) == "added 0, changed 0, refused 0"


def test_clients_belong_to_the_coach_who_is_named(desk_dir, sheets, people, capsys):
    options = ("--mapping", sheets / "mapping.toml", "--as", people.coach.email)
    run = import_here(capsys, desk_dir, sheets / "people.csv", *options)

    assert run.returncode == 0
    assert record_of(desk_dir, "Ida Moen").client.coach_id == people.coach.id


@pytest.mark.parametrize("email", ["nobody@birchway.example", "piet@birchway.example"])
def test_a_stranger_or_a_stand_in_brings_nothing_in(desk_dir, sheets, email, capsys):
    run = import_here(capsys, desk_dir, sheets / "people.csv", "--mapping", sheets / "mapping.toml", "--as", email)

    assert run.returncode == 2
    assert f"No coach here has the address {email}." in run.stderr


@pytest.mark.parametrize(("name", "weeks"), [("Ottilie Marsh", 20), ("Bram Kettering", 8)])
def test_imported_base_weeks_count_as_held_once_the_phase_is_confirmed(brought_in, name, weeks):
    record = record_of(brought_in[0], name)
    confirmed = replace(record.decisions[-1], confirmed_at=record.decisions[-1].decided_at)
    counted, _ = held_base_weeks(replace(record, decisions=(confirmed,)), date(2026, 11, 25), rules_from({}))

    assert counted.weeks == weeks
