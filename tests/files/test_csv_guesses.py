"""What columns probably are: by header, by header without its unit, by cells; and what a word may mean."""

from __future__ import annotations

import pytest

from app.files.csv_fields import FileKind
from app.files.csv_guesses import guess_columns, guess_word
from app.files.csv_text import read_table


def guessed(kind: FileKind, text: str) -> dict[str, str]:
    return guess_columns(kind, read_table(text.encode()))


@pytest.mark.parametrize(
    ("header", "field"),
    [
        ("Duration (min)", "minutes"),
        ("Effort [0-10]", "effort"),
        ("Date of session:", "done_on"),
        ("Minutes done", "minutes"),
    ],
)
def test_a_unit_or_more_words_behind_a_header_do_not_hide_it(header, field):
    assert guessed(FileKind.SESSIONS, f"Who,{header}\nIda,7\n")[header.casefold()] == field


def test_the_usual_header_wins_over_one_with_more_words():
    found = guessed(FileKind.SESSIONS, "Date entered,Date,Who,Minutes\n2026-01-02,2026-01-01,Ida,45\n")

    assert (found["date"], "date entered" in found) == ("done_on", False)


@pytest.mark.parametrize(
    ("cells", "field"),
    [
        (("base", "intervals"), "phase"),
        (("female", "m"), "sex"),
        (("Europe/London", "UTC"), "zone"),
        (("active", "left"), "state"),
    ],
)
def test_a_column_is_known_by_its_words(cells, field):
    rows = "".join(f"Ida,{cell}\n" for cell in cells)

    assert guessed(FileKind.CLIENTS, f"Who,Blah\n{rows}")["blah"] == field


@pytest.mark.parametrize("cell", ["", "39", "base or so"])
def test_other_cells_are_no_guess(cell):
    assert "blah" not in guessed(FileKind.CLIENTS, f"Who,Blah\nIda,{cell}\n")


def test_no_field_is_guessed_twice():
    found = guessed(FileKind.CLIENTS, "Who,Phase,Blah\nIda,base,base\n")

    assert "blah" not in found


@pytest.mark.parametrize(
    ("word", "meant"), [("aerobic bas", "aerobic_base"), ("Retuning", "returning"), ("wobble", "")]
)
def test_a_word_is_offered_only_near_a_known_one(word, meant):
    assert guess_word(FileKind.CLIENTS, "phase", word) == meant
