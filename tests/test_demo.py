"""The demo practice: the same for the same day, sound, and with something to decide on any morning."""

from __future__ import annotations

import hashlib
import sqlite3
import statistics
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from app import demo
from app.coaching.access import Actor
from app.coaching.fitness_tests import Protocol
from app.coaching.measured import MeasuredKind, newest_measured
from app.coaching.morning_groups import groups_of
from app.coaching.people import age_on
from app.coaching.practice import PracticeKind
from app.coaching.promotion import all_met
from app.coaching.signals import Shelf
from app.storage import accounts, clients, fitness_tests, measured, practice, session_logs
from app.storage.database import FILE_NAME, open_engine, unit_of_work
from app.usecases import promoting
from app.usecases.morning.housekeeping import house_lines
from app.usecases.morning.page import MorningPage, this_morning

MONDAY, SUNDAY, LEAP_DAY = date(2026, 11, 23), date(2026, 11, 29), date(2028, 2, 29)
DAYS = [MONDAY, SUNDAY, LEAP_DAY]
#: Made anew each time, since they open the door.
SECRETS = {"password_hash", "token_sha256"}


@dataclass(frozen=True)
class Built:
    """A demo in its folder, with its day and its morning."""

    folder: Path
    today: date
    made: dict[str, Any]
    page: MorningPage


def _build(folder: Path, today: date) -> Built:
    made = demo.build(folder, today)
    engine = open_engine(folder)
    with unit_of_work(engine, write=False) as db:
        page = this_morning(db, actor=_head(db), rules=practice.rules(db), now=_seven(today))
    engine.dispose()
    return Built(folder, today, made, page)


def _head(db) -> Actor:
    found = accounts.person_by_email(db, email=demo.HEAD_EMAIL)
    return Actor(found.id, found.name, found.role, None)


def _seven(day: date) -> datetime:
    return datetime(day.year, day.month, day.day, 7, tzinfo=UTC)


@pytest.fixture(scope="module", params=DAYS, ids=["monday", "sunday", "leap day"])
def built(request, tmp_path_factory) -> Built:
    return _build(tmp_path_factory.mktemp("demo"), request.param)


@pytest.fixture
def db(built):
    engine = open_engine(built.folder)
    with unit_of_work(engine, write=False) as opened:
        yield opened
    engine.dispose()


def rows(folder: Path) -> dict[str, str]:
    """A print of each table's rows, the secrets left out."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        tables = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {table: _print_of(file, table) for table in tables}


def _print_of(file: sqlite3.Connection, table: str) -> str:
    columns = [name for _, name, *_ in file.execute(f"PRAGMA table_info({table})") if name not in SECRETS]
    found = sorted(map(repr, file.execute(f"SELECT {', '.join(columns)} FROM {table}")))
    return hashlib.sha256("\n".join(found).encode()).hexdigest()


def lines_of(built: Built) -> dict[str, set[str]]:
    """By client's name, everything that is said of them this morning."""
    dressed = (*built.page.today, *built.page.planning)
    return {one.line.client.name: {s.name for s in (one.line.top, *one.line.more)} for one in dressed}


@pytest.mark.slow
@pytest.mark.parametrize("built", [MONDAY], indirect=True)
def test_the_same_day_gives_the_same_practice(built, tmp_path):
    again = demo.build(tmp_path, built.today)

    assert rows(tmp_path) == rows(built.folder)
    assert again["coach"] == built.made["coach"]
    assert again["client_link"] != built.made["client_link"]


def test_another_day_gives_other_dates(built, tmp_path_factory):
    logs = "SELECT max(done_on), max(planned_on) FROM session_logs, planned_versions"
    with closing(sqlite3.connect(built.folder / FILE_NAME)) as file:
        last_log, last_plan = file.execute(logs).fetchone()

    assert last_log < built.today.isoformat() < last_plan


def test_opened_before_dawn_nothing_has_happened_later(tmp_path):
    opened = datetime(2026, 11, 23, 1, 30, tzinfo=UTC)
    demo.build(tmp_path, MONDAY, not_after=opened)

    newest = dict(_newest_instants(tmp_path))
    assert newest["readiness_notes.entered_at"] == "2026-11-23T01:30:00.000000Z"
    assert {name for name, at in newest.items() if at > newest["readiness_notes.entered_at"]} == {"invites.ends_at"}


def _newest_instants(folder: Path) -> list[tuple[str, str]]:
    """The newest instant of each column that holds instants."""
    with closing(sqlite3.connect(folder / FILE_NAME)) as file:
        tables = [name for (name,) in file.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        columns = [(t, name) for t in tables for _, name, *_ in file.execute(f"PRAGMA table_info({t})")]
        found = [
            (f"{table}.{name}", file.execute(f"SELECT max({name}) FROM {table}").fetchone()[0])
            for table, name in columns
            if name.endswith("_at")
        ]
    return [(name, at) for name, at in found if at is not None]


def test_the_file_is_sound_and_marked_as_a_demo(built, db):
    with closing(sqlite3.connect(built.folder / FILE_NAME)) as file:
        assert file.execute("PRAGMA foreign_key_check").fetchall() == []
        assert file.execute("PRAGMA integrity_check").fetchone() == ("ok",)

    assert practice.found(db).kind is PracticeKind.DEMO


def test_the_demo_names_an_emergency_number_for_its_phones(db):
    assert practice.found(db).emergency_number == "112"
    assert practice.found(db).phone == "0611 0200 20"


def test_twenty_four_clients_with_names_of_their_own_a_third_of_them_older(built, db):
    found = clients.several(db, client_ids=[one.id for one in built.page.clients])

    assert len({one.name for one in found}) == len(found) == 24
    ages = [age_on(one.born_on, built.today) for one in found]
    assert ages == [part.age for part in sorted(demo.CAST, key=lambda part: part.name)]
    assert sum(55 <= age <= 75 for age in ages) >= 8


def test_the_morning_has_something_to_decide_and_is_not_a_flood(built):
    assert 3 <= len(built.page.today) <= 9
    assert 4 <= len(built.page.planning) <= 12
    assert {one.line.shelf for one in built.page.today} == {Shelf.TODAY}
    assert {one.name for one in built.page.waiting} == {"Yuki Tanabe", "Dagny Rolfsen"}


@pytest.mark.parametrize(
    ("name", "signal"),
    [
        ("Hedda Marquart", "symptom"),
        ("Bruno Castell", "symptom"),
        ("Sanne Kuiper", "illness"),
        ("Ruud Tenbrink", "ceiling"),
        ("Ruud Tenbrink", "spacing"),
        ("Mirela Stanek", "hard_today_in_doubt"),
        ("Petra Lindgard", "clearance_missing"),
        ("Anton Rieder", "clearance_ending"),
        ("Waltraud Ohm", "retest_due"),
        ("Clemens Varga", "quiet"),
        ("Frauke Timm", "hard_gap"),
        ("Frauke Timm", "days_away_told"),
        ("Kaspar Luning", "missed_key_session"),
        ("Ilka Brandner", "base_met"),
        ("Josef Amrein", "base_near"),
        ("Ottilie Behm", "block_ending"),
        ("Dagny Rolfsen", "waits_for_confirmation"),
    ],
)
def test_each_story_reaches_the_morning(built, name, signal):
    assert signal in lines_of(built)[name]


def test_the_others_are_calm(built):
    speaking = set(lines_of(built))

    calm = {"Nils Ostrem", "Matthis Korver", "Helmut Grothe", "Piotr Wolanski"}
    assert speaking & (calm | {"Gerda Wendt", "Lionel Abbas"}) == set()


def test_one_reason_stands_once_for_three_clients(built):
    groups = {group.name: group for group in groups_of(one.line for one in built.page.planning)}

    loops = sorted(line.client.name for line in groups["retest_due"].lines)
    assert loops == ["Annegret Sailer", "Ernst Halvard", "Waltraud Ohm"]
    assert all(line.more == () for line in groups["retest_due"].lines)


def test_somebody_who_left_asked_for_erasure_and_it_is_due(built, db):
    [line] = house_lines(
        db,
        actor=_head(db),
        clients=built.page.clients,
        data_dir=built.folder,
        rules=practice.rules(db),
        now=_seven(built.today),
    )

    assert (line.name, line.shelf) == ("request_due", Shelf.PLANNING)
    assert "erasure of what is kept: due in" in line.sentence


def test_every_condition_of_the_ready_client_is_met(built, db):
    ilka = next(one for one in built.page.clients if one.name == "Ilka Brandner")

    page = promoting.on_the_way(
        db, actor=_head(db), client_id=ilka.id, rules=practice.rules(db), now=_seven(built.today)
    )

    assert all_met(page.conditions)


def test_nobody_but_the_impatient_runner_was_promoted_past_a_condition(built, db):
    query = "SELECT c.name FROM phase_decisions d JOIN clients c ON c.id = d.client_id WHERE d.kind = 'promote' AND "
    with closing(sqlite3.connect(built.folder / FILE_NAME)) as file:
        past = file.execute(f"{query} json_extract(d.evidence_json, '$.override_reason') IS NOT NULL").fetchall()

    assert past == [("Ruud Tenbrink",)]


def test_promotions_keep_the_evidence_as_it_stood(built, db):
    matthis = next(one for one in built.page.clients if one.name == "Matthis Korver")

    page = promoting.on_the_way(
        db, actor=_head(db), client_id=matthis.id, rules=practice.rules(db), now=_seven(built.today)
    )

    promoted = [line for line in page.story if line.decision.kind.value == "promote"]
    assert len(promoted) == 2
    assert all(line.evidence for line in promoted)
    assert [line.override_reason for line in promoted] == [None, None]


def test_what_was_measured_and_what_rounds_show_agree(built, db):
    """A runner's rounds go at 5-km pace; nobody rides rounds above 112 % of critical power, or far above talk."""
    found = {one.name: one.id for one in built.page.clients}

    def rounds_of(name, output):
        logs = session_logs.between(db, client_ids=[found[name]], from_on=date(2020, 1, 1), until_on=built.today)
        return statistics.mean(getattr(one, output) for log in logs for one in log.rounds if getattr(one, output))

    def measured_of(name, kind):
        return newest_measured(measured.of_client(db, client_id=found[name]), kind, None, built.today).value

    races = fitness_tests.of_client(db, client_id=found["Ruud Tenbrink"])
    race_s = [one.duration_s for one in races if one.protocol is Protocol.FIVE_KM][-1]
    critical_w = measured_of("Matthis Korver", MeasuredKind.CRITICAL_POWER)
    talk_w = measured_of("Mirela Stanek", MeasuredKind.TALK_POWER)
    assert rounds_of("Ruud Tenbrink", "speed_m_per_s") == pytest.approx(5000 / race_s, rel=0.03)
    assert rounds_of("Matthis Korver", "power_w") <= 1.12 * critical_w
    assert 1.05 * talk_w <= rounds_of("Mirela Stanek", "power_w") <= 1.20 * talk_w


def test_about_four_of_five_planned_sessions_are_done(built):
    query = (
        "SELECT count(DISTINCT l.planned_session_id) * 1.0 / count(DISTINCT v.planned_session_id) "
        "FROM planned_versions v LEFT JOIN session_logs l ON l.planned_session_id = v.planned_session_id "
        "AND l.answer != 'not_done' WHERE v.planned_on < ? AND v.published_at IS NOT NULL"
    )
    with closing(sqlite3.connect(built.folder / FILE_NAME)) as file:
        done = file.execute(query, [built.today.isoformat()]).fetchone()[0]

    assert 0.72 < done < 0.86


def test_what_is_printed_opens_the_desk(built, db):
    assert set(built.made) == {"data", "coach", "client_link"}
    assert built.made["client_link"].startswith("/join/")
    assert accounts.person_by_email(db, email=built.made["coach"]["email"]).role.value == "head_coach"
