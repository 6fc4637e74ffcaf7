"""CSV out: read back by the csv module, formulas guarded, numbers left alone."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.reasons import DomainError
from app.files import csv_values
from app.files.to_csv import Reader, csv_bytes, guarded, unguarded, written

MACHINES = Reader.MACHINES


def _read(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))


def test_records_end_in_crlf_and_quotes_are_doubled():
    content = csv_bytes(["name", "note"], [["Ilse, the elder", 'said "fine"\ntwice']], reader=MACHINES)

    assert content == b'name,note\r\n"Ilse, the elder","said ""fine""\ntwice"\r\n'


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "\0", "＝", "＋", "－", "＠"])
def test_text_that_begins_like_a_formula_is_guarded(start):
    text = f"{start}1+1"

    rows = _read(csv_bytes(["note"], [[text]], reader=MACHINES))

    assert rows == [["note"], [f"'{text}"]]


def test_a_link_formula_comes_back_as_it_was_written():
    text = '=HYPERLINK("http://192.0.2.1","click")'

    rows = _read(csv_bytes(["note"], [[text]], reader=MACHINES))

    assert unguarded(rows[1][0]) == text
    assert csv_values.text(rows[1][0]) == text


@pytest.mark.parametrize(("number", "cell"), [(-3, "-3"), (-3.5, "-3.5"), (45.0, "45"), (0.812345, "0.8123")])
def test_numbers_stay_numbers(number, cell):
    assert written(number) == cell


def test_days_are_iso_days_and_nothing_is_an_empty_cell():
    assert (written(date(2026, 10, 5)), written(None)) == ("2026-10-05", "")


@pytest.mark.parametrize("number", [float("nan"), float("inf")])
def test_a_number_that_is_none_is_refused(number):
    with pytest.raises(DomainError, match="not finite"):
        written(number)


def test_a_row_of_another_width_is_refused():
    with pytest.raises(DomainError, match="does not fit"):
        csv_bytes(["a", "b"], [["only one"]], reader=MACHINES)


def test_only_spreadsheets_get_the_mark():
    rows = [["Zoë 🚶‍♀️"]]

    for_sheets = csv_bytes(["name"], rows, reader=Reader.SPREADSHEETS)
    for_machines = csv_bytes(["name"], rows, reader=MACHINES)

    assert for_sheets == b"\xef\xbb\xbf" + for_machines
    assert _read(for_machines)[1] == ["Zoë 🚶‍♀️"]


@given(st.text(alphabet=st.characters(exclude_categories=["Cs"]), max_size=40))
def test_guarding_loses_nothing(text):
    assert unguarded(guarded(text)) == text


@given(st.text(alphabet="='+-@\t\r\n\0＝a", max_size=6))
def test_guarding_loses_nothing_near_the_signs(text):
    rows = _read(csv_bytes(["note", "end"], [[text, "x"]], reader=MACHINES))

    assert unguarded(rows[1][0]) == text
    assert not rows[1][0].startswith(("=", "+", "-", "@"))
