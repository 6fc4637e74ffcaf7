"""Which words of a note ask once more whether something felt wrong."""

from __future__ import annotations

import pytest

from app.coaching.worrying_words import worrying_words


@pytest.mark.parametrize(
    ("note", "found"),
    [
        ("Pressure on the chest uphill, gone after sitting", ("chest",)),
        ("CHEST was tight", ("chest",)),
        ("no chest pain today", ("chest",)),
        ("A bit dizzy, then breathless on the stairs", ("breath", "dizziness")),
        ("Could not catch my breath", ("breath",)),
        ("She couldn't catch her breath", ("breath",)),
        ("He could not breathe for a moment", ("breath",)),
        ("Trouble breathing, gasping", ("breath",)),
        ("Nearly fainted at the gate", ("faint",)),
        ("I blacked out for a second", ("faint",)),
        ("My heart was racing in bed", ("heartbeat",)),
        ("Palpitations at night", ("heartbeat",)),
        ("Ache in the left arm and the jaw", ("jaw or arm",)),
        ("One side went numb", ("numbness",)),
    ],
)
def test_a_note_that_names_a_sign_to_stop_for_is_found(note: str, found: tuple[str, ...]) -> None:
    assert worrying_words(note) == found


@pytest.mark.parametrize(
    "note",
    [
        None,
        "",
        "Lovely evening, legs fine",
        "Breathing calm all the way",
        "Bought a treasure chestnut tree",
        "The new heart rate belt works",
        "Only faintly tired",
        "Sore arms from the garden",
    ],
)
def test_an_ordinary_note_asks_nothing(note: str | None) -> None:
    assert worrying_words(note) == ()
