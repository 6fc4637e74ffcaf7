"""Bringing rows in: identity, changes, what a file may never do, and the traces it leaves."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from app.coaching.access import Actor
from app.coaching.done_work import is_hard_done
from app.coaching.people import ClientState, Origin, Sex
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.files.csv_fields import FileKind
from app.files.csv_mapping import Mapping, suggest_columns
from app.files.csv_questions import prepare
from app.files.csv_text import read_table
from app.files.from_csv import read_rows
from app.storage import audit, clients, history, imports, phases
from app.storage.accounts import person_by_email
from app.usecases.bring_in import confirm
from app.usecases.bring_in.batches import bring_in, file_to_bring, preview
from app.usecases.bring_in.values import Becomes
from app.usecases.gate import NotAllowed, NotYours
from tests.seed import NOW, TODAY


@pytest.fixture
def transaction(app):
    return app.state.house.transaction


@pytest.fixture
def jonah(people):
    return actor_of(people.coach)


def actor_of(person):
    return Actor(person.id, person.name, person.role, person.client_id)


def reading_of(kind, text):
    table = read_table(text.encode())
    prepared = prepare(table, Mapping(kind, suggest_columns(kind, table.headers)))
    assert prepared.questions == ()
    return read_rows(table, prepared.mapping)


def bring(transaction, actor, kind, text, **options):
    file = file_to_bring(name="sheet.csv", content=text.encode(), reading=reading_of(kind, text))
    with transaction(True) as db:
        return bring_in(db, actor=actor, file=file, now=NOW, **options)


def bring_client(transaction, actor, cells, headers="Name,Email,Phone,Born,Sex,State,Phase,Since,In an emergency"):
    return bring(transaction, actor, FileKind.CLIENTS, f"{headers}\n{cells}\n")


def bring_sessions(transaction, actor, *rows, headers="Name,Date,Minutes"):
    return bring(transaction, actor, FileKind.SESSIONS, "\n".join([headers, *rows]) + "\n")


def called(transaction, name):
    with transaction(False) as db:
        (found,) = clients.by_name(db, name=name)
    return found


def record_of(transaction, client):
    with transaction(False) as db:
        (record,) = history.load(
            db, client_ids=[client.id], from_on=TODAY - timedelta(days=400), until_on=TODAY + timedelta(days=1)
        )
    return record


def trail_of(transaction, client):
    with transaction(False) as db:
        return audit.trail_of(db, client_id=client.id)


IDA = "Ida Moen,ida@example.org,123,1961-04-03,F,active,base,2026-05-15,Ole Moen"


# Clients.


def test_a_new_client_belongs_to_whoever_brought_them_in(transaction, jonah):
    batch = bring_client(transaction, jonah, IDA)
    ida = called(transaction, "Ida Moen")

    assert batch.counts.added == 1
    assert (ida.coach_id, ida.email, ida.sex, ida.born_on) == (
        jonah.person_id,
        "ida@example.org",
        Sex.FEMALE,
        date(1961, 4, 3),
    )


def test_an_emergency_contact_from_a_file_is_not_a_confirmed_one(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    ida = called(transaction, "Ida Moen")

    assert ida.emergency_contact == "Ole Moen"
    assert ida.emergency_confirmed_on is None


def test_screening_symptoms_and_consents_never_come_from_a_file(transaction, jonah):
    headers = "Name,Phase,Since,Screening,Consent,Symptoms,Clearance"
    bring_client(transaction, jonah, "Ida Moen,base,2026-05-15,all clear,yes,none,yes", headers)
    record = record_of(transaction, called(transaction, "Ida Moen"))

    assert (record.screening, record.consents, record.symptoms, record.clearances) == ((), (), (), ())


def test_the_same_client_again_changes_nothing(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, IDA)

    assert (again.counts.added, again.counts.changed, again.counts.already_here) == (0, 0, 1)


def test_a_changed_telephone_is_a_change_with_before_and_after(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, IDA.replace("123", "456"))
    ida = called(transaction, "Ida Moen")
    trace = next(entry for entry in trail_of(transaction, ida) if entry.action == "change_client")

    assert again.counts.changed == 1
    assert ida.phone == "456"
    assert json.loads(trace.change_json) == {"before": {"phone": "123"}, "after": {"phone": "456"}}
    assert trace.reason == "brought in from sheet.csv"


def test_an_empty_cell_erases_nothing(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, "Ida Moen,ida@example.org,,,,,,,")

    assert again.counts.already_here == 1
    assert called(transaction, "Ida Moen").phone == "123"


def test_a_file_does_not_set_where_a_known_client_stands(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    with transaction(True) as db:
        clients.set_state(db, client_id=called(transaction, "Ida Moen").id, state=ClientState.WAITING_FOR_CLEARANCE)
    again = bring_client(transaction, jonah, IDA)

    assert again.counts.already_here == 1
    assert called(transaction, "Ida Moen").state is ClientState.WAITING_FOR_CLEARANCE


def test_the_address_finds_a_client_whose_name_changed(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, IDA.replace("Ida Moen", "Ida Moen-Vik"))

    assert again.counts.changed == 1
    assert called(transaction, "Ida Moen-Vik").email == "ida@example.org"


def test_the_name_finds_a_client_without_an_address(transaction, jonah, people):
    again = bring_client(transaction, jonah, "  ILSE   brandt ,ilse@example.org,,,,,,,")

    assert again.counts.changed == 1
    assert called(transaction, "Ilse Brandt").id == people.client.id
    assert called(transaction, "Ilse Brandt").email == "ilse@example.org"


def test_one_name_with_two_addresses_is_not_guessed(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, IDA.replace("ida@", "other@"))

    assert again.fates[0].becomes is Becomes.REFUSED
    assert "tell the names apart" in again.fates[0].detail


def test_two_rows_about_one_client_are_not_played_against_each_other(transaction, jonah):
    twice = "Name,Phone\nIda Moen,1\nIda Moen,2\n"
    first = bring(transaction, jonah, FileKind.CLIENTS, twice)
    second = bring(transaction, jonah, FileKind.CLIENTS, twice)

    assert (first.counts.added, first.counts.refused) == (1, 1)
    assert (second.counts.changed, second.counts.already_here, second.counts.refused) == (0, 1, 1)


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        ("Ida Moen,1890-01-01,,", "Born", "110 is the most"),
        ("Ida Moen,2012-01-01,,", "Born", "adults only"),
        ("Ida Moen,2027-01-01,,", "Born", "not come yet"),
        ("Ida Moen,,base,2026-11-26", "Since", "not come yet"),
    ],
)
def test_days_that_cannot_be_are_refused(transaction, jonah, cells, column, sentence):
    batch = bring_client(transaction, jonah, cells, "Name,Born,Phase,Since")

    assert (batch.fates[0].becomes, batch.fates[0].column) == (Becomes.REFUSED, column)
    assert sentence in batch.fates[0].detail


def test_a_formula_for_a_name_is_kept_as_text(transaction, jonah):
    bring(transaction, jonah, FileKind.CLIENTS, "Name,Phone\n=1+1,+47 900\n")

    assert called(transaction, "=1+1").phone == "+47 900"


def test_somebody_elses_client_is_left_alone(transaction, jonah, people):
    batch = bring_client(transaction, jonah, "Ruben Castor,ruben@example.org,999,,,,,,")
    with transaction(False) as db:
        untouched = clients.one(db, client_id=people.other_client.id)

    assert batch.counts.added == 1
    assert untouched == people.other_client


def test_a_stand_in_brings_nothing_in(transaction, people):
    with pytest.raises(NotAllowed):
        bring_client(transaction, actor_of(people.stand_in), IDA)


# Phases.


def decisions_of(transaction, name="Ida Moen"):
    ida = called(transaction, name)
    with transaction(False) as db:
        return phases.of_client(db, client_id=ida.id)


def test_a_phase_waits_for_the_coach(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    (decision,) = decisions_of(transaction)

    assert (decision.kind, decision.phase, decision.since_on) == (
        DecisionKind.BROUGHT_IN,
        Phase.AEROBIC_BASE,
        date(2026, 5, 15),
    )
    assert (decision.attested_by, decision.confirmed_at) == ("file sheet.csv", None)
    assert current_phase([decision]) is None


def confirm_one(transaction, actor, client_id, decision_id):
    with transaction(True) as db:
        confirm.confirm_brought_in(db, actor, client_id, decision_id, NOW)


def test_a_confirmed_phase_counts_and_leaves_a_trace(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    ida = called(transaction, "Ida Moen")
    confirm_one(transaction, jonah, ida.id, decisions_of(transaction)[0].id)

    assert current_phase(decisions_of(transaction)) is not None
    assert [entry.action for entry in trail_of(transaction, ida)].count("confirm_brought_in") == 1


def test_confirming_twice_is_once(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    ida = called(transaction, "Ida Moen")
    confirm_one(transaction, jonah, ida.id, decisions_of(transaction)[0].id)
    confirm_one(transaction, jonah, ida.id, decisions_of(transaction)[0].id)

    assert [entry.action for entry in trail_of(transaction, ida)].count("confirm_brought_in") == 1


def test_a_corrected_phase_replaces_one_that_waits(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    again = bring_client(transaction, jonah, IDA.replace("2026-05-15", "2026-06-15"))
    with transaction(False) as db:
        waiting = confirm.waiting(db, actor=jonah, now=NOW)

    assert again.counts.changed == 1
    assert [one.since_on for one in waiting] == [date(2026, 6, 15)]


def test_a_replaced_phase_is_not_confirmed(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    first = decisions_of(transaction)[0]
    bring_client(transaction, jonah, IDA.replace("2026-05-15", "2026-06-15"))

    with pytest.raises(Refused, match="that stands"):
        confirm_one(transaction, jonah, first.client_id, first.id)


def test_a_confirmed_phase_is_not_brought_in_over(transaction, jonah):
    bring_client(transaction, jonah, IDA)
    ida = called(transaction, "Ida Moen")
    confirm_one(transaction, jonah, ida.id, decisions_of(transaction)[0].id)
    again = bring_client(transaction, jonah, IDA.replace("2026-05-15", "2020-01-01"))

    assert again.counts.already_here == 1
    assert len(decisions_of(transaction)) == 1


def test_a_decision_of_another_client_is_not_there(transaction, jonah, people):
    bring_client(transaction, jonah, IDA)

    with pytest.raises(NotYours):
        confirm_one(transaction, jonah, people.client.id, decisions_of(transaction)[0].id)


def test_a_stranger_confirms_nothing(transaction, jonah, people):
    bring_client(transaction, jonah, IDA)
    (decision,) = decisions_of(transaction)

    with pytest.raises(NotYours):
        confirm_one(transaction, actor_of(people.other_coach), decision.client_id, decision.id)


# Sessions and readiness.


def test_a_session_keeps_where_it_came_from(transaction, jonah, people):
    bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,45")
    (log,) = record_of(transaction, people.client).logs

    assert (log.origin, log.answer, log.planned_session_id) == (Origin.FILE, Answer.SOMETHING_ELSE, None)
    assert (log.minutes, log.from_memory, log.person_id) == (45, False, jonah.person_id)


def test_rounds_come_in_as_rounds(transaction, jonah, people):
    bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,58,4 x 4", headers="Name,Date,Minutes,Rounds")
    (log,) = record_of(transaction, people.client).logs

    assert [(done.number, done.duration_s) for done in log.rounds] == [(1, 240), (2, 240), (3, 240), (4, 240)]


def test_running_it_again_adds_nothing(transaction, jonah):
    rows = ("Ilse Brandt,2026-11-02,45", "Ilse Brandt,2026-11-03,45")
    bring_sessions(transaction, jonah, *rows)
    again = bring_sessions(transaction, jonah, *rows)

    assert (again.counts.added, again.counts.already_here) == (0, 2)


def test_two_equal_rows_on_one_day_are_two_and_stay_two(transaction, jonah, people):
    row = "Ilse Brandt,2026-11-02,45"
    first = bring_sessions(transaction, jonah, row, row)
    second = bring_sessions(transaction, jonah, row, row)
    third = bring_sessions(transaction, jonah, row, row, row)

    assert [batch.counts.added for batch in (first, second, third)] == [2, 0, 1]
    assert len(record_of(transaction, people.client).logs) == 3


def test_the_way_of_writing_does_not_make_another_row(transaction, jonah):
    bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,75")
    again = bring_sessions(transaction, jonah, "  ilse BRANDT,2 Nov 2026,1:15:00")

    assert (again.counts.added, again.counts.already_here) == (0, 1)


def test_an_entry_corrected_at_the_desk_is_not_brought_in_anew(transaction, jonah, people):
    bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,45")
    (log,) = record_of(transaction, people.client).logs
    with transaction(True) as db:
        from dataclasses import replace

        from app.storage import session_logs

        session_logs.change(db, log=replace(log, minutes=40))
    again = bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,45")

    assert again.counts.added == 0
    assert [log.minutes for log in record_of(transaction, people.client).logs] == [40]


@pytest.mark.parametrize(
    ("row", "column", "sentence"),
    [
        ("Nobody Here,2026-11-02,45", "Name", "no client"),
        ("Ruben Castor,2026-11-02,45", "Name", "no client"),
        ("Ilse Brandt,2026-11-26,45", "Date", "not come yet"),
    ],
)
def test_a_row_that_cannot_be_placed_is_refused(transaction, jonah, row, column, sentence):
    batch = bring_sessions(transaction, jonah, row)

    assert (batch.fates[0].becomes, batch.fates[0].column) == (Becomes.REFUSED, column)
    assert sentence in batch.fates[0].detail


def test_today_is_the_clients_own_day(transaction, jonah):
    bring_client(transaction, jonah, "Ida Moen,Pacific/Auckland", "Name,Zone")
    batch = bring_sessions(transaction, jonah, "Ida Moen,2026-11-25,45", "Ilse Brandt,2026-11-26,45")

    assert [fate.becomes for fate in batch.fates] == [Becomes.ADDED, Becomes.REFUSED]


def test_a_readiness_note_comes_in_once_and_claims_no_illness(transaction, jonah, people):
    text = "Name,Date,Hours slept,Note\nIlse Brandt,2026-11-02,7.5,fine\n"
    first = bring(transaction, jonah, FileKind.READINESS, text)
    second = bring(transaction, jonah, FileKind.READINESS, text)
    (note,) = record_of(transaction, people.client).readiness

    assert (first.counts.added, second.counts.added) == (1, 0)
    assert (note.slept_h, note.text, note.origin, note.sleep) == (7.5, "fine", Origin.FILE, None)


def test_one_trace_a_client_says_how_many_and_from_when(transaction, jonah, people):
    bring_sessions(transaction, jonah, "Ilse Brandt,2026-11-02,45", "Ilse Brandt,2026-11-09,45")
    trace = next(entry for entry in trail_of(transaction, people.client) if entry.action == "bring_in_sessions")

    assert json.loads(trace.change_json)["after"] == {
        "file": "sheet.csv",
        "rows": 2,
        "from_on": "2026-11-02",
        "until_on": "2026-11-09",
    }


# Looking and batches.


def test_looking_keeps_nothing_and_sees_clients_of_the_same_upload(transaction, jonah):
    readings = [
        reading_of(FileKind.CLIENTS, "Name,Phone\nIda Moen,1\n"),
        reading_of(FileKind.SESSIONS, "Name,Date,Minutes\nIda Moen,2026-11-02,45\n"),
    ]
    with transaction(False) as db:
        fates = preview(db, actor=jonah, readings=readings, now=NOW)
    with transaction(False) as db:
        found = clients.by_name(db, name="Ida Moen")

    assert [fate.counts.added for fate in fates] == [1, 1]
    assert found == []


def test_each_batch_leaves_its_progress_row(transaction, jonah):
    rows = [f"Ilse Brandt,2026-11-{day:02d},45" for day in range(1, 6)]
    text = "\n".join(["Name,Date,Minutes", *rows, "Ilse Brandt,bad,45"]) + "\n"
    first = bring(transaction, jonah, FileKind.SESSIONS, text, most=3)
    second = bring(transaction, jonah, FileKind.SESSIONS, text, from_row=3, most=3)
    with transaction(False) as db:
        progress = imports.of_person(db, person_id=jonah.person_id)

    assert (first.next_row, second.next_row) == (3, None)
    assert [(row.added, row.refused) for row in reversed(progress)] == [(3, 1), (2, 0)]
    assert {row.file_sha256 for row in progress} == {progress[0].file_sha256}


def test_the_head_coach_may_bring_in_for_everybody(transaction, people):
    with transaction(False) as db:
        head = person_by_email(db, email=people.head.email)
    assert head is not None
    batch = bring_sessions(transaction, actor_of(head), "Ruben Castor,2026-11-02,45")

    assert batch.counts.added == 1


@pytest.mark.parametrize(("rating", "is_all_out"), [("16", None), ("17", False), ("19", True)])
def test_a_rating_from_seventeen_on_comes_in_as_hard_work(transaction, jonah, people, rating, is_all_out):
    rows = (f"Ilse Brandt,2026-11-09,40,{rating}", "Ilse Brandt,2026-11-10,40,6")

    bring_sessions(transaction, jonah, *rows, headers="Name,Date,Minutes,RPE")

    with transaction(False) as db:
        (known,) = history.load(db, client_ids=[people.client.id], from_on=date(2026, 11, 1), until_on=TODAY)
    hard = {log.id: log.felt_all_out for log in known.logs if is_hard_done(log, None, Rules()) is not None}
    assert list(hard.values()) == ([] if is_all_out is None else [is_all_out])
