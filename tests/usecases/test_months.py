"""A month from real records: whose it is, its edges in the client's zone, its remark, and its files read back."""

from __future__ import annotations

import csv
import io
import json
from datetime import UTC, date, datetime, timedelta

import pytest
from sqlalchemy import event

from app.coaching.access import Actor
from app.coaching.month_inputs import month_inputs
from app.coaching.reasons import StaleEdit
from app.coaching.rules import Rules
from app.coaching.training_weeks import week_facts
from app.coaching.weeks import week_start
from app.files.to_csv import unguarded
from app.storage import audit, history
from app.usecases import months as use
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.months import NoSuchMonth, Reader
from tests import seed
from tests.seed import NOW, TODAY

RULES = Rules()
OCTOBER = "2026-10"


@pytest.fixture
def db(app):
    with app.state.house.transaction(True) as opened:
        yield opened


def actor_of(person):
    return Actor(person.id, person.name, person.role, person.client_id)


def month(key=OCTOBER):
    return use.month_of(key, today=TODAY)


def practice(db, person, key=OCTOBER):
    return use.open_practice(db, actor=actor_of(person), month=month(key), rules=RULES, now=NOW)


def client_page(db, person, client, key=OCTOBER, now=NOW):
    wanted = use.month_of(key, today=now.date())
    return use.open_client(db, actor=actor_of(person), client_id=client.id, month=wanted, rules=RULES, now=now)


def names(page):
    return [one.summary.client.name for one in page.months]


def table(content):
    text = content.decode("utf-8-sig")
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


def file_of(db, person, name, reader=Reader.MACHINES, key=OCTOBER):
    return use.month_file(
        db, actor=actor_of(person), month=month(key), name=name, reader=reader, rules=RULES, now=NOW
    )


# Which months there are.


@pytest.mark.parametrize(
    ("key", "says"),
    [
        ("2026-13", "is not a month"),
        ("october", "is not a month"),
        ("2026-1", "is not a month"),
        ("２０２６-10", "is not a month"),
        ("2027-01", "has not begun"),
        ("0001-01", "no records from before"),
    ],
)
def test_what_is_no_month_says_why(key, says):
    with pytest.raises(NoSuchMonth, match=says):
        use.month_of(key, today=TODAY)


def test_a_month_knows_its_neighbours():
    assert (month().previous, month().following) == ("2026-09", "2026-11")
    assert month("2026-11").following is None


# Whose it is.


def test_the_head_sees_everybody_a_coach_the_own_a_stand_in_the_handed_over(db, people):
    assert names(practice(db, people.head)) == ["Hanne Weidel", "Ilse Brandt", "Ruben Castor"]
    assert names(practice(db, people.coach)) == ["Ilse Brandt"]
    assert names(practice(db, people.stand_in)) == ["Hanne Weidel"]


def test_a_strangers_month_is_not_there(db, people):
    with pytest.raises(NotYours):
        client_page(db, people.coach, people.other_client)


def test_a_client_who_had_not_joined_is_not_in_the_month(db, people):
    seed.add_client(db, coach_id=people.coach.id, name="Newcomer", joined_on=date(2026, 11, 20))

    assert names(practice(db, people.coach)) == ["Ilse Brandt"]
    assert "Newcomer" in names(practice(db, people.coach, "2026-11"))


# Figures and edges.


def test_the_months_minutes_are_those_of_the_logs_in_it(db, people):
    seed.add_base_weeks(db, client=people.client, count=12, minutes=40)

    one = client_page(db, people.coach, people.client).one

    known = history.load(db, client_ids=[people.client.id], from_on=date(2026, 10, 1), until_on=date(2026, 10, 31))[0]
    assert one.summary.counts.done_minutes == sum(log.minutes or 0 for log in known.logs)
    assert one.summary.counts.done_sessions == len(known.logs) == 13


def test_the_whole_weeks_of_a_month_add_up_to_it(db, people):
    # February 2027 has four whole weeks and begins on a Monday.
    now = datetime(2027, 3, 3, 7, tzinfo=UTC)
    days = [date(2027, 2, 1) + timedelta(days=n) for n in (0, 3, 5, 9, 12, 16, 20, 24, 27)]
    [seed.add_log(db, client=people.client, done_on=day, minutes=30.0 + day.day) for day in days]

    one = client_page(db, people.coach, people.client, "2027-02", now).one

    known = month_inputs(_known(db, people.client), "2027-02", now.date())
    weeks = [week_facts(known, week_start(days[0]) + timedelta(weeks=n), now.date(), RULES) for n in range(4)]
    assert one.summary.counts.done_minutes == sum(week.done_minutes for week in weeks)
    assert one.summary.counts.done_sessions == sum(week.sessions for week in weeks) == len(days)


def _known(db, client):
    return history.load(db, client_ids=[client.id], from_on=date(2025, 12, 1), until_on=date(2027, 3, 1))[0]


@pytest.mark.parametrize(
    ("zone", "instant", "belongs_to"),
    [
        ("Europe/Berlin", datetime(2026, 10, 31, 22, 30, tzinfo=UTC), "2026-10"),  # winter time, 23:30
        ("Europe/Berlin", datetime(2026, 10, 31, 23, 30, tzinfo=UTC), "2026-11"),  # winter time, 00:30
        ("Europe/Berlin", datetime(2026, 9, 30, 22, 30, tzinfo=UTC), "2026-10"),  # summer time, 00:30
        ("Europe/Berlin", datetime(2026, 3, 31, 22, 30, tzinfo=UTC), "2026-04"),  # summer time, 00:30
        ("Pacific/Honolulu", datetime(2026, 11, 1, 9, 30, tzinfo=UTC), "2026-10"),  # 23:30 the day before
        ("Pacific/Auckland", datetime(2026, 10, 31, 11, 30, tzinfo=UTC), "2026-11"),  # 00:30 the day after
    ],
)
def test_a_decision_lies_in_the_month_of_the_clients_own_day(db, people, zone, instant, belongs_to):
    client = seed.add_client(db, coach_id=people.coach.id, name="Far Away", zone=zone)
    seed.add_phase(db, client=client, since_on=instant.date(), decided_at=instant)

    keys = [
        key for key in ("2026-03", "2026-04", "2026-09", "2026-10", "2026-11") if _decides(db, people, client, key)
    ]

    assert keys == [belongs_to]


def _decides(db, people, client, key):
    return bool(client_page(db, people.coach, client, key).one.summary.decisions)


def test_a_client_a_day_ahead_already_has_the_new_month(db, people):
    ahead = seed.add_client(db, coach_id=people.coach.id, name="Far East", zone="Pacific/Auckland")
    now = datetime(2026, 11, 30, 23, 30, tzinfo=UTC)  # 1 December there and in Berlin
    seed.add_log(db, client=ahead, done_on=date(2026, 12, 1))

    one = client_page(db, people.coach, ahead, "2026-12", now + timedelta(hours=1)).one

    assert one.summary.counts.done_sessions == 1


def test_the_same_records_have_the_same_fingerprint_a_year_later(db, people):
    seed.add_base_weeks(db, client=people.client, count=12)
    seed.add_planned(db, client=people.client, planned_on=date(2026, 10, 7))

    now, later = (client_page(db, people.coach, people.client, now=NOW + timedelta(days=n)).one for n in (0, 400))

    assert now.fingerprint == later.fingerprint
    assert now.summary == later.summary


# The remark.


def keep(db, people, text, seen, person=None):
    use.keep_remark(
        db,
        actor=actor_of(person or people.coach),
        client_id=people.client.id,
        month=month(),
        text=text,
        seen=seen,
        now=NOW,
    )


def test_a_remark_is_kept_with_a_trace(db, people):
    keep(db, people, "Steadier than in spring.", client_page(db, people.coach, people.client).remark_seen)

    assert client_page(db, people.coach, people.client).remark == "Steadier than in spring."
    entry = audit.trail_of(db, client_id=people.client.id)[0]
    assert (entry.action, entry.person_name) == ("keep_month_remark", "Jonah Pell")
    assert json.loads(entry.change_json)["after"] == {OCTOBER: "Steadier than in spring."}


def test_a_remark_changed_meanwhile_is_not_overwritten(db, people):
    seen = client_page(db, people.coach, people.client).remark_seen
    keep(db, people, "Hers.", seen)

    with pytest.raises(StaleEdit, match=r"it now says “Hers\.”"):
        keep(db, people, "His.", seen)

    assert client_page(db, people.coach, people.client).remark == "Hers."


def test_the_same_remark_twice_leaves_one_trace(db, people):
    seen = client_page(db, people.coach, people.client).remark_seen
    keep(db, people, "Steady.", seen)
    keep(db, people, "Steady.", seen)

    traces = [one for one in audit.trail_of(db, client_id=people.client.id) if one.action == "keep_month_remark"]
    assert len(traces) == 1


def test_a_remark_can_be_taken_away(db, people):
    keep(db, people, "Steady.", client_page(db, people.coach, people.client).remark_seen)
    keep(db, people, "", client_page(db, people.coach, people.client).remark_seen)

    assert client_page(db, people.coach, people.client).remark == ""


def test_a_stand_in_reads_but_writes_no_remark(db, people):
    page = client_page(db, people.stand_in, people.handed_client)

    with pytest.raises(NotAllowed):
        use.keep_remark(
            db,
            actor=actor_of(people.stand_in),
            client_id=people.handed_client.id,
            month=month(),
            text="Mine.",
            seen=page.remark_seen,
            now=NOW,
        )
    assert not page.may_decide


# The files.


def test_the_practice_file_has_a_row_a_client_with_a_stable_id(db, people):
    seed.add_base_weeks(db, client=people.client, count=12, minutes=40)

    rows = table(file_of(db, people.head, use.PRACTICE_FILE))

    assert [row["client"] for row in rows] == ["Hanne Weidel", "Ilse Brandt", "Ruben Castor"]
    ilse = rows[1]
    assert (ilse["client_id"], ilse["done_sessions"], ilse["done_minutes"]) == (str(people.client.id), "13", "520")
    assert ilse["adherence_not_defined"] == "nothing was planned"
    assert len(ilse["inputs_sha256"]) == 64


def test_only_a_spreadsheet_gets_the_totals(db, people):
    for_sheets = table(file_of(db, people.head, use.PRACTICE_FILE, Reader.SPREADSHEETS))

    assert for_sheets[-1]["client"] == "all 3 clients"
    assert len(table(file_of(db, people.head, use.PRACTICE_FILE))) == 3


def test_a_coachs_file_holds_no_other_clients(db, people):
    assert [row["client"] for row in table(file_of(db, people.coach, use.PRACTICE_FILE))] == ["Ilse Brandt"]


def test_a_coach_standing_in_takes_no_handed_over_client_away(db, people):
    seed.accounts.add_handover(
        db,
        client_id=people.other_client.id,
        person_id=people.coach.id,
        from_on=TODAY,
        until_on=TODAY,
        with_private_notes=False,
    )

    assert names(practice(db, people.coach)) == ["Ilse Brandt", "Ruben Castor"]
    assert [row["client"] for row in table(file_of(db, people.coach, use.PRACTICE_FILE))] == ["Ilse Brandt"]


@pytest.mark.parametrize("name", [use.PRACTICE_FILE, use.SESSIONS_FILE])
def test_a_stand_in_takes_no_file_away(db, people, name):
    with pytest.raises(NotAllowed):
        file_of(db, people.stand_in, name)


@pytest.mark.parametrize(
    "note",
    ['=HYPERLINK("http://192.0.2.1","x")', "+1", "@SUM(A1)", "'=1", "wet 🌧️, twice\nsore", "<script>1</script>"],
)
def test_a_clients_words_come_back_as_they_were_written(db, people, note):
    seed.add_log(db, client=people.client, done_on=date(2026, 10, 7), note=note, effort=3.5)

    row = table(file_of(db, people.coach, use.SESSIONS_FILE))[0]

    assert unguarded(row["note"]) == note
    assert not row["note"].startswith(("=", "+", "@"))
    assert (row["done_on"], row["effort"], row["status"]) == ("2026-10-07", "3.5", "extra")


def test_what_was_done_on_days_of_the_month_adds_up_to_the_practice_file(db, people):
    seed.add_planned(db, client=people.client, planned_on=date(2026, 10, 31))
    seed.add_log(db, client=people.client, done_on=date(2026, 10, 31), minutes=33.5)
    seed.add_base_weeks(db, client=people.client, count=12, minutes=40)

    sessions = table(file_of(db, people.coach, use.SESSIONS_FILE))
    total = sum(float(row["done_minutes"]) for row in sessions if row["done_on"].startswith(OCTOBER))

    assert total == float(table(file_of(db, people.coach, use.PRACTICE_FILE))[0]["done_minutes"])


def test_the_month_is_written_into_a_folder_and_again(db, people, tmp_path):
    given = {"month": OCTOBER, "out": tmp_path / "out", "reader": Reader.MACHINES, "rules": RULES}

    written = [use.write_month(db, **given, today=TODAY, now=NOW) for _ in range(2)][1]

    assert [path.name for path in written] == ["practice.csv", "sessions.csv"]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["practice.csv", "sessions.csv"]
    assert len(table(written[0].read_bytes())) == 3


def test_the_number_of_queries_does_not_grow_with_the_clients(db, people):
    counted = []
    seed.add_client(db, coach_id=people.coach.id, name="Warm Up")
    event.listen(db.get_bind(), "before_cursor_execute", lambda *_given: counted.append(1))

    practice(db, people.head)
    few = len(counted)
    [seed.add_client(db, coach_id=people.coach.id, name=f"More {n}") for n in range(5)]
    counted.clear()
    practice(db, people.head)

    assert len(counted) == few
