"""A desk in use comes through each later migration and back, with what it holds."""

from __future__ import annotations

from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import Engine, text
from sqlalchemy.exc import IntegrityError, OperationalError

from app.storage import schema
from app.storage.database import open_engine, unit_of_work

PEOPLE = "INSERT INTO people (id, name, role, is_active, created_at) VALUES (1, 'Mila', 'coach', 1, '2026')"
CLIENTS = (
    "INSERT INTO clients (id, name, zone, state, coach_id, has_phone, heart_rate_use, joined_on, revision,"
    " created_at) VALUES (1, 'Ilse', 'UTC', 'active', 1, 1, 'unknown', '2026-01-01', 1, '2026')"
)
HOLD = (
    "INSERT INTO holds (id, client_id, kind, stops, cause, began_on, raised_at, person_id)"
    " VALUES (1, 1, 'illness', 'all', 'A fever', '2026-11-01', '2026-11-01T07:00:00.000000Z', 1)"
)
INCIDENT = (
    "INSERT INTO incidents VALUES (1, 1, '2026-11-02', 'noon', 'A walk', 'The weir', 'Dizzy', 'Sat down',"
    " 'Well again', 1, '2026-11-02T12:00:00.000000Z', 1)"
)
FOLLOW_UP = (
    "INSERT INTO incident_entries VALUES (1, 1, 1, 'follow_up', 'Slept well', '2026-11-03T12:00:00.000000Z', 1)"
)
LIMITS = (
    "INSERT INTO pressure_limits VALUES (1, 1, 150, 95, '2026-11-03', 'Dr Ambrose Fell', 'physician', 'paper',"
    " '2026-11-03T12:00:00.000000Z', 1, NULL, NULL)"
)
RETURN = (
    "INSERT INTO illness_returns VALUES (1, 1, 1, '2026-11-08', '2026-11-12', 9, 'Dr Ambrose Fell', '2026-11-11',"
    " '2026-11-12T07:00:00.000000Z', 1)"
)
HOT_DAY = "INSERT INTO heat_notes VALUES (1, '2026-07-20', 31.5, 60, NULL, '2026-07-20T07:00:00.000000Z', 1)"
CONSENT = (
    "INSERT INTO consents (client_id, kind, text_version, text_sha256, text_as_shown, given_on, method, person_id,"
    " withdrawn_on) VALUES (1, 'coaching', '2026-1', 'abc', 'The whole text.', '2026-02-01', 'from_paper', 1, NULL)"
)


@pytest.fixture
def engine(tmp_path: Path) -> Engine:
    schema.upgrade(tmp_path)
    made = open_engine(tmp_path)
    run(made, PEOPLE, CLIENTS, HOLD)
    return made


def run(engine: Engine, *statements: str) -> None:
    with unit_of_work(engine, write=True) as db:
        [db.execute(text(one)) for one in statements]


def rows(engine: Engine, query: str) -> list[tuple[object, ...]]:
    with unit_of_work(engine, write=False) as db:
        return [tuple(row) for row in db.execute(text(query))]


def back_to(folder: Path, revision: str) -> None:
    """An earlier schema, as the migrations themselves make it."""
    with open_engine(folder, foreign_keys=False).execution_options(foothill_write=True).begin() as connection:
        command.downgrade(schema._config(connection), revision)


def tables(engine: Engine) -> set[object]:
    return {name for (name,) in rows(engine, "SELECT name FROM sqlite_master WHERE type = 'table'")}


def test_incidents_and_pressure_limits_come_with_0005_and_go_without_touching_the_rest(
    engine: Engine, tmp_path: Path
) -> None:
    back_to(tmp_path, "0004")
    schema.upgrade(tmp_path)

    run(engine, INCIDENT, FOLLOW_UP, LIMITS)

    assert rows(engine, "SELECT incident_id, text FROM incident_entries") == [(1, "Slept well")]
    back_to(tmp_path, "0004")
    assert not {"incidents", "incident_entries", "pressure_limits"} & tables(engine)
    assert rows(engine, "SELECT cause FROM holds") == [("A fever",)]
    schema.upgrade(tmp_path)
    assert rows(engine, "SELECT count(*) FROM incidents") == [(0,)]


@pytest.mark.parametrize(
    "change",
    ["UPDATE incidents SET outcome = 'Nothing'", "UPDATE incident_entries SET text = 'Nothing'"],
)
def test_an_incident_is_never_rewritten_after_the_upgrade(engine: Engine, tmp_path: Path, change: str) -> None:
    back_to(tmp_path, "0004")
    schema.upgrade(tmp_path)
    run(engine, INCIDENT, FOLLOW_UP)

    with pytest.raises((IntegrityError, OperationalError), match="never changed"):
        run(engine, change)


def test_returns_after_illness_and_hot_days_come_with_0006_and_go_without_touching_the_rest(
    engine: Engine, tmp_path: Path
) -> None:
    back_to(tmp_path, "0005")
    run(engine, INCIDENT, LIMITS)
    schema.upgrade(tmp_path)

    run(engine, RETURN, HOT_DAY)

    assert rows(engine, "SELECT days_lost, advice_from FROM illness_returns") == [(9, "Dr Ambrose Fell")]
    back_to(tmp_path, "0005")
    assert not {"illness_returns", "heat_notes"} & tables(engine)
    assert rows(engine, "SELECT symptoms FROM incidents") == [("Dizzy",)]
    assert rows(engine, "SELECT systolic_mmhg FROM pressure_limits") == [(150,)]


@pytest.mark.parametrize(
    ("statement", "change"),
    [
        (RETURN, "UPDATE illness_returns SET days_lost = 0"),
        (RETURN, "UPDATE illness_returns SET advice_on = NULL"),
        (HOT_DAY, "UPDATE heat_notes SET temperature_c = NULL"),
        (LIMITS, "UPDATE pressure_limits SET diastolic_mmhg = 160"),
    ],
)
def test_what_the_new_tables_cannot_mean_is_refused_by_the_file(engine: Engine, statement: str, change: str) -> None:
    run(engine, statement)

    with pytest.raises(IntegrityError):
        run(engine, change)


def test_a_consent_from_before_0007_keeps_its_text_and_names_no_hour_and_no_witness(
    engine: Engine, tmp_path: Path
) -> None:
    back_to(tmp_path, "0006")
    run(engine, CONSENT)

    schema.upgrade(tmp_path)

    asked = "SELECT text_as_shown, given_on, language, recorded_at, witness, withdrawn_at FROM consents"
    assert rows(engine, asked) == [("The whole text.", "2026-02-01", "en", None, None, None)]
    with pytest.raises(IntegrityError):
        run(engine, "UPDATE consents SET witness = ''")
    run(engine, "UPDATE consents SET witness = 'Ruben Oak', recorded_at = '2026-02-01T09:00:00.000000Z'")
    back_to(tmp_path, "0006")
    assert rows(engine, "SELECT text_as_shown, method FROM consents") == [("The whole text.", "from_paper")]
    assert rows(engine, "SELECT strict FROM pragma_table_list WHERE name = 'consents'") == [(1,)]


LOG = (
    "INSERT INTO session_logs (id, client_id, done_on, answer, kind, mode, minutes, felt_all_out, origin, entered_at,"
    " person_id, from_memory, revision) VALUES (1, 1, '2026-11-20', 'something_else', 'intervals', 'ride', 50, 0,"
    " 'client', '2026-11-20T18:00:00.000000Z', 1, 0, 1)"
)
ROUND = "INSERT INTO session_log_rounds (session_log_id, number, duration_s, is_complete) VALUES (1, 1, 240, 1)"
RECORDING = (
    "INSERT INTO recordings (id, client_id, session_log_id, origin, file_kind, file_sha256, file_bytes, duration_s,"
    " has_places, about_json, series, series_bytes, series_format, reading_version, added_at, person_id)"
    " VALUES ({id}, 1, 1, 'client', 'gpx', 'abc', 900, 3000, 0, '{{}}', x'0102', 2, 1, 1,"
    " '2026-11-20T18:05:00.000000Z', 1)"
)


def test_recordings_come_with_0014_and_go_leaving_the_rounds_that_were_there(engine: Engine, tmp_path: Path) -> None:
    back_to(tmp_path, "0013")
    run(engine, LOG, ROUND)

    schema.upgrade(tmp_path)

    assert rows(engine, "SELECT duration_s, strokes, posture FROM session_log_rounds") == [(240, None, None)]
    run(engine, RECORDING.format(id=1), "UPDATE session_log_rounds SET strokes = 84, posture = 'stood'")
    back_to(tmp_path, "0013")
    assert not {"recordings", "place_choices"} & tables(engine)
    assert rows(engine, "SELECT duration_s FROM session_log_rounds") == [(240,)]


def test_a_log_has_one_recording_at_a_time_and_takes_it_along(engine: Engine) -> None:
    run(engine, LOG, RECORDING.format(id=1))
    with pytest.raises(IntegrityError):
        run(engine, RECORDING.format(id=2))

    run(engine, "UPDATE recordings SET removed_at = '2026-11-21T07:00:00.000000Z', removed_by = 1")
    run(engine, RECORDING.format(id=2))

    run(engine, "DELETE FROM session_logs")
    assert rows(engine, "SELECT count(*) FROM recordings") == [(0,)]


CHECK_IN = (
    "INSERT INTO check_ins VALUES (1, 1, '{day}', 'harder', 0, 1, 0, 'no_time', 6, NULL, 'client',"
    " '2026-11-27T18:00:00.000000Z', 1)"
)
HANDOVER = (
    "INSERT INTO handovers (id, client_id, person_id, from_on, until_on, with_private_notes)"
    " VALUES (1, 1, 1, '2026-11-20', '2026-11-30', 0)"
)


def test_check_ins_come_with_0016_and_go_leaving_the_handovers(engine: Engine, tmp_path: Path) -> None:
    back_to(tmp_path, "0015")
    run(engine, HANDOVER)

    schema.upgrade(tmp_path)

    run(engine, CHECK_IN.format(day="2026-11-23"), "UPDATE handovers SET words = 'Knee: ask.'")
    back_to(tmp_path, "0015")
    assert not {"check_ins", "entries_read", "feed_addresses"} & tables(engine)
    assert rows(engine, "SELECT from_on, until_on FROM handovers") == [("2026-11-20", "2026-11-30")]


def test_a_week_is_told_once_and_begins_on_a_monday(engine: Engine) -> None:
    run(engine, CHECK_IN.format(day="2026-11-23"))

    with pytest.raises(IntegrityError):
        run(engine, CHECK_IN.format(day="2026-11-23").replace("VALUES (1", "VALUES (2"))
    with pytest.raises(IntegrityError):
        run(engine, CHECK_IN.format(day="2026-11-24").replace("VALUES (1", "VALUES (2"))


OWN = (
    "INSERT INTO own_protocols (id, name, purpose, suits, work_s, recovery_s, rounds, rounds_least, rounds_most,"
    " set_of, set_recovery_s, modes_json, finish_rule, created_at, person_id, revision) VALUES (1, 'Weir threes',"
    " 'P', 'S', 180, 120, 4, 2, 6, 0, 0, '[\"run\"]', 'F', '2026-11-29T18:00:00.000000Z', 1, 1)"
)


def test_own_sessions_come_with_0017_and_go_leaving_the_rest(engine: Engine, tmp_path: Path) -> None:
    run(engine, OWN)
    back_to(tmp_path, "0016")
    assert "own_protocols" not in tables(engine)

    schema.upgrade(tmp_path)

    assert rows(engine, "SELECT count(*) FROM own_protocols") == [(0,)]
    assert rows(engine, "SELECT name FROM people") == [("Mila",)]


MEASURED = (
    "INSERT INTO measured (id, client_id, kind, mode, measured_on, value, capacity, how, trials_json, origin,"
    " entered_at, person_id) VALUES (1, 1, 'critical_power', 'ride', '2026-10-14', 227, 19600, 'elsewhere', '[]',"
    " 'coach', '2026-10-14T18:00:00.000000Z', 1)"
)


def test_measured_figures_and_targets_come_with_0015_and_go_without_touching_the_rest(
    engine: Engine, tmp_path: Path
) -> None:
    back_to(tmp_path, "0014")
    schema.upgrade(tmp_path)

    run(engine, MEASURED)

    assert rows(engine, "SELECT value, set_aside_at FROM measured") == [(227.0, None)]
    with pytest.raises(IntegrityError):
        run(engine, "UPDATE measured SET kind = 'talk_power'")
    back_to(tmp_path, "0014")
    assert "measured" not in tables(engine)
    assert rows(engine, "SELECT cause FROM holds") == [("A fever",)]
