"""The pages that bring a practice in: upload, answer, look, keep, confirm."""

import re
from datetime import timedelta

import pytest

from app.coaching.phases import Phase, current_phase
from app.storage import clients, history, imports, phases
from tests.seed import TODAY

HOME = "/practice/import"
CLIENTS = b"Name,Email,Phase,Since,Date of birth\nIda Moen,ida@example.org,base,2026-05-15,1961-04-03\n"
SESSIONS = b"Name,Date,Minutes,Effort\nIda Moen,2026-11-02,45,3\nIda Moen,2026-11-04,0:50,4\n"


def upload(browser, **files):
    sent = {kind: (f"{kind}.csv", content, "text/csv") for kind, content in files.items()}
    return browser.send(HOME, files=sent)


def shown_form(browser, address):
    """The answers that a preview page shows, as a browser would send them."""
    page = browser.get(address).text
    form = page[page.index('<form action="' + address + '"') :]
    form = form[: form.index("</form>")]
    chosen = {}
    for name, body in re.findall(r'<select id="[^"]*" name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        found = re.search(r'<option value="([^"]*)" selected', body)
        chosen[name] = found[1] if found else ""
    for name, value in re.findall(r'<input id="[^"]*" name="([^"]*)"[^>]*value="([^"]*)"', form):
        chosen[name] = value
    for name, value in re.findall(r'<input type="hidden" name="(said[^"]*)" value="([^"]*)"', form):
        chosen[name] = value
    return chosen


def answer(browser, address, do="look", **changed):
    named = {name if "-" in name else name.replace("_", "-"): value for name, value in changed.items()}
    return browser.send(address, **(shown_form(browser, address) | named | {"do": do}))


def client_called(browser, name):
    with browser.db() as db:
        return clients.by_name(db, name=name)


def logs_of(browser, client):
    with browser.db() as db:
        (record,) = history.load(
            db, client_ids=[client.id], from_on=TODAY - timedelta(days=400), until_on=TODAY + timedelta(days=1)
        )
    return record.logs


def test_the_page_says_what_will_show_here(coach):
    page = coach.get(HOME)

    assert page.status_code == 200
    assert "Nothing yet." in page.text


def test_a_client_and_their_sessions_come_in_together(coach, people):
    looked = upload(coach, clients=CLIENTS, sessions=SESSIONS)
    address = looked.headers["location"]
    page = coach.get(address)

    assert looked.status_code == 303
    assert "3 rows would be added" in page.text
    assert client_called(coach, "Ida Moen") == []

    kept = answer(coach, address, do="keep")
    (ida,) = client_called(coach, "Ida Moen")
    result = coach.get(kept.headers["location"])

    assert "Added 3, changed 0, refused 0." in result.text
    assert ida.coach_id == people.coach.id
    assert [log.minutes for log in logs_of(coach, ida)] == [45, 50]


def test_what_was_brought_in_counts_once_it_is_confirmed(coach):
    address = upload(coach, clients=CLIENTS).headers["location"]
    answer(coach, address, do="keep")
    (ida,) = client_called(coach, "Ida Moen")
    with coach.db() as db:
        (before,) = phases.of_client(db, client_id=ida.id)

    assert current_phase([before]) is None
    assert "Phases to confirm" in coach.get(HOME).text

    sent = coach.send(f"/clients/{ida.id}/brought-in", decision_id=before.id)
    with coach.db() as db:
        now_in_force = current_phase(phases.of_client(db, client_id=ida.id))

    assert sent.headers["location"] == f"/clients/{ida.id}"
    assert now_in_force is not None
    assert now_in_force.phase is Phase.AEROBIC_BASE
    assert "Phases to confirm" not in coach.get(HOME).text


def test_all_waiting_phases_are_confirmed_at_once(coach):
    two = CLIENTS + b"Ole Moen,ole@example.org,base,2026-06-15,1959-04-03\n"
    address = upload(coach, clients=two).headers["location"]
    answer(coach, address, do="keep")
    with coach.db() as db:
        ids = [c.id for c in clients.by_name(db, name="Ida Moen") + clients.by_name(db, name="Ole Moen")]
        waiting = imports.waiting_decisions(db, client_ids=ids)

    coach.send("/practice/brought-in", decision_ids=",".join(str(one.id) for one in waiting))

    with coach.db() as db:
        assert len(waiting) == 2
        assert imports.waiting_decisions(db, client_ids=ids) == []


def test_the_same_files_again_add_nothing(coach):
    for _ in range(2):
        address = upload(coach, clients=CLIENTS, sessions=SESSIONS).headers["location"]
        kept = answer(coach, address, do="keep")

    assert "Added 0, changed 0, refused 0." in coach.get(kept.headers["location"]).text


def test_a_question_is_asked_only_when_needed_and_holds_everything_up(coach):
    ambiguous = b"Name,Date,Minutes\nIlse Brandt,3/11/2026,45\n"
    address = upload(coach, sessions=ambiguous).headers["location"]
    page = coach.get(address).text

    assert "“3/11/2026” in this file 3 November 2026 or 11 March 2026?" in page
    assert "Bring these rows in" not in page

    answer(coach, address, dates_0="day-first")
    page = coach.get(address).text

    assert "11 March 2026" not in page
    assert "3 November 2026" in page
    assert "Bring these rows in" in page


def test_unknown_headers_are_matched_by_hand_and_remembered(coach):
    odd = b"Wer;Wann;Wie lange\nIlse Brandt;2026-11-02;45\n"
    address = upload(coach, sessions=odd).headers["location"]
    answer(coach, address, column_0_0="client", column_0_1="done_on", column_0_2="minutes")
    answer(coach, address, do="keep")

    turned = b"Wie lange;Wer;Wann\n50;Ilse Brandt;2026-11-03\n"
    again = coach.get(upload(coach, sessions=turned).headers["location"]).text

    assert "Read as you confirmed it" in again
    assert "1 row would be added" in again


def test_answers_changed_after_looking_are_looked_at_before_they_are_kept(coach, people):
    text = b"Name,Date,Minutes,Distance\nIlse Brandt,2026-11-02,45,5 km\n"
    address = upload(coach, sessions=text).headers["location"]
    sent = answer(coach, address, do="keep", column_0_3="")

    assert sent.headers["location"] == address
    assert logs_of(coach, people.client) == ()
    assert "follow your answers now" in coach.get(address).text


def test_a_word_is_explained_or_its_row_refused(coach, people):
    text = b"Name,Date,Minutes,Mode\nIlse Brandt,2026-11-02,45,Unicycle\n"
    address = upload(coach, sessions=text).headers["location"]

    assert "does not know here" in coach.get(address).text

    answer(coach, address, word_0_mode_0="ride")
    answer(coach, address, do="keep")

    assert [log.mode.value for log in logs_of(coach, people.client)] == ["ride"]


def test_a_word_that_stands_near_another_is_not_taken_for_it(coach, people):
    text = b"Name,Date,Minutes,Mode\nIlse Brandt,2026-11-02,45,Unicycle\nIlse Brandt,2026-11-03,40,Walk\n"
    address = upload(coach, sessions=text).headers["location"]
    page = coach.get(address).text

    kept = answer(coach, address, do="keep")

    assert "1 row would be added" in page
    assert re.search("“unicycle”, nearest: [a-z ]*(ride|bicycle)", page, re.IGNORECASE)
    assert "Added 1, changed 0, refused 1." in coach.get(kept.headers["location"]).text
    assert [log.minutes for log in logs_of(coach, people.client)] == [40]


def test_two_columns_for_one_field_are_refused_and_the_choice_stays(coach):
    address = upload(coach, sessions=SESSIONS).headers["location"]
    sent = answer(coach, address, column_0_3="minutes")

    assert sent.status_code == 422
    assert "Two columns cannot both be" in sent.text
    assert sent.text.count('<option value="minutes" selected>') == 2


def test_a_readiness_scale_without_an_end_is_asked_for_beside_its_field(coach):
    address = upload(coach, readiness=b"Name,Date,Sleep\nIlse Brandt,2026-11-02,4\n").headers["location"]
    sent = answer(coach, address, lowest_0="1", high_is_0="better")

    assert sent.status_code == 422
    assert "readiness.csv: Readiness numbers need both: the lowest and the highest" in sent.text
    assert 'value="1"' in sent.text


def test_the_scale_is_asked_in_plain_words_with_the_files_own_numbers(coach):
    address = upload(coach, readiness=b"Name,Date,Sleep\nIlse Brandt,2026-11-02,4\nIlse Brandt,2026-11-03,2\n")
    page = coach.get(address.headers["location"]).text

    assert "In this file, does a high number mean better or worse?" in page
    assert "“Sleep” holds 4, 2." in page
    assert "high_is" not in re.sub(r"<[^>]*>", "", page)


def test_columns_that_do_not_come_in_are_named_with_their_cells(coach):
    text = b"Name,Email,Shoe size\nIda Moen,ida@example.org,39\n"
    page = coach.get(upload(coach, clients=text).headers["location"]).text

    assert "This column will not come in</strong>" in page
    assert re.search(r">Shoe size</label></th><td[^>]*>39</td>", page)
    assert 'data-label="Columns that will not come in">Shoe size<' in page


def test_the_counts_stand_above_the_questions_and_the_rows(coach):
    page = coach.get(upload(coach, clients=CLIENTS, sessions=SESSIONS).headers["location"]).text

    counted = [page.index(f'data-label="Will be added">{count}<') for count in (1, 2)]
    assert max(counted) < page.index('<form action="/practice/import/')


def test_an_emergency_contact_comes_in_with_phone_and_relation(coach):
    text = (
        b"Name,Emergency contact name,Emergency contact phone,Emergency contact relationship\n"
        b"Ida Moen,Edwin Moen,+44 7700 900102,husband\n"
    )
    address = upload(coach, clients=text).headers["location"]
    answer(coach, address, do="keep")

    (ida,) = client_called(coach, "Ida Moen")
    assert (ida.emergency_contact, ida.emergency_phone) == ("Edwin Moen, husband", "+44 7700 900102")


def test_a_bad_row_is_refused_with_line_column_and_reason(coach, people):
    text = b"Name,Date,Minutes\nIlse Brandt,2026-11-02,45:00\nIlse Brandt,2026-11-03,45\n"
    address = upload(coach, sessions=text).headers["location"]
    kept = answer(coach, address, do="keep")
    result = coach.get(kept.headers["location"]).text

    assert "Added 1, changed 0, refused 1." in result
    assert "Did you mean 45 min?" in result
    assert re.search(r'data-label="Line">2<.*?data-label="Column">Minutes<', result, re.DOTALL)
    assert len(logs_of(coach, people.client)) == 1


@pytest.mark.parametrize(
    ("content", "sentence"),
    [(b"", "empty"), (b"PK\x03\x04", "whole workbook"), (b"x" * (5 * 1024 * 1024 + 1), "larger than 5 MB")],
    ids=["empty", "workbook", "large"],
)
def test_a_file_that_is_no_table_is_refused_beside_its_field(coach, content, sentence):
    sent = upload(coach, sessions=content)

    assert sent.status_code == 422
    assert re.search(rf'id="f-sessions-error">sessions\.csv: .*{sentence}', sent.text)


def test_a_readable_file_is_not_lost_over_an_unreadable_one(coach):
    sent = upload(coach, clients=CLIENTS, sessions=b"")
    page = coach.get(sent.headers["location"]).text

    assert "sessions.csv: This file is empty." in page
    assert "Ida Moen" in page


def test_an_upload_without_a_file_asks_for_one(coach):
    sent = coach.send(HOME)

    assert sent.status_code == 422
    assert "Choose at least one file." in sent.text


def test_a_body_over_the_limit_is_cut_off(coach):
    assert upload(coach, sessions=b"x" * (7 * 1024 * 1024)).status_code == 413


def test_markup_and_formulas_are_shown_as_text(coach):
    nasty = b"Name,Email\n<script>alert(1)</script>,a@example.org\n=1+1,b@example.org\n"
    page = coach.get(upload(coach, clients=nasty).headers["location"]).text

    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert "=1+1" in page


def test_another_coach_does_not_find_the_upload(coach, other_coach):
    address = upload(coach, clients=CLIENTS).headers["location"]

    assert other_coach.get(address).status_code == 404
    assert other_coach.send(address, do="keep").status_code == 404
    assert other_coach.send(address + "/keep").status_code == 404
    assert other_coach.send(address + "/forget").status_code == 404
    assert coach.get(address).status_code == 200


def test_a_stand_in_brings_nothing_in(stand_in):
    assert stand_in.get(HOME).status_code == 403
    assert upload(stand_in, clients=CLIENTS).status_code == 403
    assert stand_in.send("/practice/brought-in", decision_ids="1").status_code == 403


def test_a_client_of_somebody_else_is_no_client_here(coach):
    text = b"Name,Date,Minutes\nRuben Castor,2026-11-02,45\n"
    page = coach.get(upload(coach, sessions=text).headers["location"]).text

    assert "no client “Ruben Castor” on your roster" in page


def test_uploaded_files_are_gone_after_use(coach, desk_dir):
    used = upload(coach, clients=CLIENTS).headers["location"]
    left = upload(coach, sessions=SESSIONS).headers["location"]
    answer(coach, used, do="keep")

    assert [path.parent.name for path in (desk_dir / "incoming").rglob("*.csv")] == [left.rpartition("/")[2]]


def test_an_upload_that_is_left_leaves_nothing(coach, desk_dir):
    address = upload(coach, clients=CLIENTS).headers["location"]
    coach.send(address + "/forget")

    assert coach.get(address).status_code == 404
    assert list((desk_dir / "incoming").iterdir()) == []
    assert client_called(coach, "Ida Moen") == []


def test_a_long_file_is_kept_in_steps(coach, people, monkeypatch):
    monkeypatch.setattr("app.usecases.bring_in.uploads.BATCH_ROWS", 2)
    rows = b"".join(b"Ilse Brandt,2026-11-%02d,45\n" % day for day in range(1, 6))
    address = upload(coach, sessions=b"Name,Date,Minutes\n" + rows).headers["location"]
    first = answer(coach, address, do="keep").headers["location"]

    assert first == f"{address}?file=0&row=2"
    assert "Go on bringing it in" in coach.get(first).text
    assert len(logs_of(coach, people.client)) == 2

    coach.send(address + "/keep", file=0, row=2)
    last = coach.send(address + "/keep", file=0, row=4).headers["location"]

    assert "Added 5, changed 0, refused 0." in coach.get(last).text
    assert len(logs_of(coach, people.client)) == 5


@pytest.mark.parametrize(
    ("file", "row", "status"), [("x", "1", 404), ("", "1", 404), ("1", "٣", 404), ("99", "0", 303)]
)
def test_a_place_that_is_not_in_the_upload_keeps_nothing(coach, file, row, status):
    address = upload(coach, clients=CLIENTS).headers["location"]

    assert coach.send(address + "/keep", file=file, row=row).status_code == status
    assert client_called(coach, "Ida Moen") == []


READINESS = b"Day,Who,Slept well,Hours slept,Pulse in bed,Words\n2026-11-02,Ida Moen,4,7.5,60,Fresh again\n"
MAPPING = b"""
[clients]
columns = { "Who" = "name", "Discipline" = "phase", "Since" = "phase_since_on" }
words = { phase = { "groundwork" = "aerobic_base" } }
"""
ODD = b"Who,Discipline,Since\nIda Moen,groundwork,2026-05-15\n"


def use_mapping(browser, address, content):
    return browser.send(f"{address}/mapping", files={"mapping": ("mapping.toml", content, "text/plain")})


def test_a_mapping_file_answers_everything_at_once(coach, people):
    address = upload(coach, clients=ODD).headers["location"]

    answered = use_mapping(coach, address, MAPPING)
    answer(coach, address, do="keep")

    assert answered.status_code == 303
    assert len(client_called(coach, "Ida Moen")) == 1


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"[clients", "cannot be read"),
        (b"\xff\xfe", "This is no text"),
        (b"[sessions]\ncolumns = {}", "It says nothing about clients."),
        (b"", "It says nothing about clients."),
    ],
)
def test_a_mapping_file_that_cannot_be_used_says_why(coach, content, sentence):
    address = upload(coach, clients=ODD).headers["location"]

    answered = use_mapping(coach, address, content)

    assert answered.status_code == 422
    assert sentence in answered.text


def test_a_mapping_of_somebody_elses_upload_is_nobodys(coach, other_coach):
    address = upload(coach, clients=ODD).headers["location"]

    assert use_mapping(other_coach, address, MAPPING).status_code == 404


def test_a_since_without_its_phase_is_asked_about_by_name(coach):
    page = coach.get(upload(coach, clients=ODD).headers["location"]).text

    assert "“Since” is taken for “In this phase since”, but no column was recognised as “Phase”." in page
    assert "Is it one of these: “Discipline”?" in page


def test_a_word_near_a_known_one_is_named_and_chosen(coach):
    text = b"Name,Phase,Since\nIda Moen,aerobic bas,2026-05-15\n"
    address = upload(coach, clients=text).headers["location"]

    asked = coach.get(address).text
    answer(coach, address, word_0_phase_0="aerobic_base")
    answer(coach, address, do="keep")

    assert "“aerobic bas” is a word this desk does not know here, as “Phase”." in asked
    assert len(client_called(coach, "Ida Moen")) == 1


def test_a_row_about_readiness_shows_hours_heart_rate_and_words(coach):
    address = upload(coach, clients=CLIENTS, readiness=READINESS).headers["location"]

    answer(coach, address, lowest_1="1", highest_1="5", **{"high_is-1": "better"})

    page = coach.get(address).text
    assert "slept 7.5 h, resting heart rate 60, “Converted from a scale of" in page
