"""The month's pages, sheets and files over HTTP."""

from __future__ import annotations

import csv
import io
import re
from datetime import date

import pytest

from app.coaching.people import Origin, Visibility
from tests import seed

OCTOBER = "/month/2026-10"


@pytest.fixture
def ilse(coach, people):
    """A client with a planned and kept October and a hard session in it."""
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_base_weeks(db, client=people.client, count=12, minutes=40)
        planned = seed.add_planned(db, client=people.client, planned_on=date(2026, 10, 9))
        seed.add_log(db, client=people.client, planned_session_id=planned, done_on=date(2026, 10, 9), note="=1+1")
        seed.add_hold(
            db, client=people.client, began_on=date(2026, 10, 20), cause="Calf <b>pulled</b>", raised_at=seed.NOW
        )
    return people.client


def address(client, word=""):
    return f"{OCTOBER}/clients/{client.id}{word}"


def seen_in(page):
    return re.search(r'name="seen" value="([0-9a-f]+)"', page.text)[1]


def test_month_leads_to_the_month_that_runs(coach):
    page = coach.get("/month")

    assert (page.status_code, page.headers["location"]) == (303, "/month/2026-11")


def test_the_practice_has_a_row_a_client_and_the_sums(head, ilse):
    page = head.get(OCTOBER)

    assert page.status_code == 200
    assert f'<a href="{address(ilse)}">Ilse Brandt</a>' in page.text
    assert "14 of 1" in page.text
    assert "All 3 clients" in page.text
    assert "1 of 3 clients trained" in page.text
    assert 'not defined<br><span class="meta">nothing was planned</span>' in page.text
    assert "Fingerprint of the records" in page.text


def test_brought_in_history_is_logged_without_a_plan_on_page_and_paper(head, people):
    with head.db(write=True) as db:
        for day in (6, 8):
            seed.add_log(db, client=people.client, done_on=date(2026, 10, day), origin=Origin.FILE, minutes=40)

    pages = [head.get(OCTOBER).text, head.get(f"{OCTOBER}/print").text]
    client = head.get(address(people.client)).text

    row = '2<br><span class="meta">logged, no plan kept here</span>'
    assert [row in page for page in pages] == [True, True]
    assert ["of 0" in page for page in pages] == [False, False]
    assert client.count(">logged, no plan kept here<") == 2
    assert "<dt>Logged, no plan kept here</dt><dd>2 sessions, 1 h 20 (brought in)</dd>" in client
    assert ">extra<" not in client


def test_the_sheet_of_the_practice_has_the_columns_of_the_page_and_lies_across(head, ilse):
    heads = [
        re.findall(r'<th scope="col"[^>]*>(.*?)</th>', head.get(at).text) for at in (OCTOBER, f"{OCTOBER}/print")
    ]

    assert heads[0] == heads[1]
    assert heads[1][-2:] == ["Weeks held", "Also"]
    assert '<div class="wide-table">' in head.get(f"{OCTOBER}/print").text
    assert "@page wide { size: landscape" in head.get("/static/css/print.css").text


def test_a_coach_sees_the_own_clients_only(coach, ilse):
    page = coach.get(OCTOBER)

    assert "Ilse Brandt" in page.text
    assert "Ruben Castor" not in page.text


@pytest.mark.parametrize(
    ("month", "says"), [("2027-01", "has not begun"), ("2026-13", "is not a month"), ("x", "is not a month")]
)
@pytest.mark.parametrize("word", ["", "/print", "/practice.csv", "/clients/1"])
def test_no_such_month_is_a_sentence(coach, month, says, word):
    page = coach.get(f"/month/{month}{word}")

    assert page.status_code == 404
    assert says in page.text


def test_an_empty_month_teaches(coach):
    page = coach.get("/month/2020-02")

    assert page.status_code == 200
    assert "This page will show a row for each client" in page.text


def test_a_clients_month_says_what_was_done(coach, ilse):
    page = coach.get(address(ilse))

    assert "14 sessions done, 1 planned" in page.text
    assert "Calf &lt;b&gt;pulled&lt;/b&gt;. It stopped all training." in page.text
    assert "still open at the end" in page.text
    assert "aerobic base" in page.text


@pytest.mark.parametrize("word", ["", "/print"])
def test_a_private_note_is_on_no_page_of_the_month(coach, ilse, word):
    with coach.db(write=True) as db:
        seed.add_note(db, client=ilse, visibility=Visibility.PRIVATE, text="Worried about money.")

    assert "Worried about money" not in coach.get(address(ilse, word)).text


def test_the_sheets_say_what_they_are_not(coach, ilse):
    words = "Training record prepared by a coach; not a medical report; not for diagnosis."

    assert words in coach.get(address(ilse, "/print")).text
    assert words in coach.get(f"{OCTOBER}/print").text


def test_a_remark_is_kept_and_printed(coach, ilse):
    seen = seen_in(coach.get(address(ilse)))

    kept = coach.send(address(ilse, "/remark"), text="Steadier.\n\nNext: the hill.", seen=seen)

    assert (kept.status_code, kept.headers["location"]) == (303, address(ilse))
    assert "Next: the hill." in coach.get(address(ilse)).text
    assert "Next: the hill." in coach.get(address(ilse, "/print")).text


def test_two_tabs_the_second_keeps_its_words_and_hears_the_others(coach, ilse):
    seen = seen_in(coach.get(address(ilse)))
    coach.send(address(ilse, "/remark"), text="First tab.", seen=seen)

    second = coach.send(address(ilse, "/remark"), text="Second tab.", seen=seen)
    again = coach.send(address(ilse, "/remark"), text="Second tab.", seen=seen_in(second))

    assert second.status_code == 409
    assert "it now says “First tab.”" in second.text
    assert "\nSecond tab.</textarea>" in second.text
    assert again.status_code == 303
    assert "Second tab." in coach.get(address(ilse)).text


def test_a_remark_too_long_is_kept_in_the_form(coach, ilse):
    long = "word " * 500

    page = coach.send(address(ilse, "/remark"), text=long, seen="")

    assert page.status_code == 422
    assert "Please keep it under 2000 characters" in page.text
    assert long.strip() in page.text


def test_a_refused_remark_swaps_its_own_part(coach, ilse):
    page = coach.send(
        address(ilse, "/remark"), headers={"HX-Request": "true", "HX-Target": "month-remark"}, text="x" * 2001
    )

    assert page.status_code == 422
    assert page.text.strip().startswith('<div id="month-remark">')


def test_a_remark_on_a_month_that_has_not_begun_is_refused(coach, ilse):
    page = coach.send(f"/month/2027-01/clients/{ilse.id}/remark", text="Early.", seen="")

    assert page.status_code == 422


def test_a_stand_in_reads_only(stand_in, people):
    page = stand_in.get(address(people.handed_client))

    assert page.status_code == 200
    assert "<textarea" not in page.text
    assert stand_in.send(address(people.handed_client, "/remark"), text="x", seen="").status_code == 403
    assert stand_in.get(f"{OCTOBER}/practice.csv").status_code == 403
    assert stand_in.get(f"{OCTOBER}/sessions.csv?for=machines").status_code == 403
    assert "practice.csv" not in stand_in.get(OCTOBER).text


@pytest.mark.parametrize("name", ["practice.csv", "sessions.csv"])
def test_a_file_is_a_download_named_by_us(coach, ilse, name):
    answer = coach.get(f"{OCTOBER}/{name}?for=machines")

    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/csv; charset=utf-8; header=present"
    assert answer.headers["content-disposition"].startswith(f'attachment; filename="foothill-2026-10-{name}"')
    assert "Ilse" not in answer.headers["content-disposition"]
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["cache-control"] == "no-store"


def test_spreadsheets_get_a_mark_and_machines_none(coach, ilse):
    for_sheets = coach.get(f"{OCTOBER}/sessions.csv?for=spreadsheets").content
    for_machines = coach.get(f"{OCTOBER}/sessions.csv?for=machines").content

    assert for_sheets == b"\xef\xbb\xbf" + for_machines
    rows = list(csv.DictReader(io.StringIO(for_machines.decode(), newline="")))
    assert [row["note"] for row in rows if row["note"]] == ["'=1+1"]


def test_taking_a_file_away_is_in_the_trail(coach, head, ilse):
    coach.get(f"{OCTOBER}/practice.csv")

    page = head.get("/practice/trail")

    assert re.search(r"export.month", page.text)
    assert "practice.csv" in page.text
