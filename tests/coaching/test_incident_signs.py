"""An incident whose words name a sign to stop for is asked about before it is kept without a pause."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.incident_signs import asks_to_pause, named_unpaused, not_paused_words, sign_named
from app.coaching.symptoms import SIGNS, sign_of
from tests import factories as make

YESTERDAY = make.TODAY - timedelta(days=1)


@pytest.mark.parametrize(
    ("words", "sign", "named"),
    [
        ("Chest pain on the hill, gone after sitting", None, ("chest",)),
        ("Could not breathe for a minute", None, ("breath",)),
        ("Nearly fainted, then dizzy", None, ("faint", "dizziness")),
        ("No chest pain, only tired", None, ("chest",)),
        ("Chest pain, then she stopped", "wanted_to_stop", ("chest",)),
        ("Out of breath when the knee hurt", "joint", ("breath",)),
        ("Fell on the left arm", None, ("jaw or arm",)),
        ("Fell on the left arm", "fall", ()),
        ("One side of the foot is numb", "joint", ()),
        ("Chest pain on the hill", "chest", ()),
        ("Fell, dizzy", "fall_head", ()),
        ("The chain broke", None, ()),
        ("Sore knee", "joint", ()),
    ],
)
def test_words_that_name_a_sign_are_found_where_not_all_training_stops(words, sign, named):
    assert named_unpaused(["Third round", words], sign, (), YESTERDAY) == named


@pytest.mark.parametrize(("began", "asks"), [(-1, True), (0, False), (1, False)])
def test_nothing_is_asked_where_an_open_pause_asks_for_as_late_a_paper(began, asks):
    hold = make.hold(kind=HoldKind.SYMPTOM, stops=Stops.ALL, began_on=YESTERDAY + timedelta(days=began))

    assert bool(named_unpaused(["Chest pain"], None, (hold,), YESTERDAY)) is asks


@pytest.mark.parametrize(
    "changes",
    [{"lifted_at": make.at(make.TODAY)}, {"kind": HoldKind.MEDICINE_CHANGE, "stops": Stops.HARD}],
    ids=["lifted", "stops less"],
)
def test_a_pause_that_does_less_asks_nothing_less(changes):
    hold = replace(make.hold(began_on=YESTERDAY), **changes)

    assert named_unpaused(["Chest pain"], None, (hold,), YESTERDAY) == ("chest",)


def test_a_yes_raises_the_hold_of_the_first_sign_named():
    for words in ("chest", "out of breath", "fainted", "dizzy", "palpitations", "jaw", "numb"):
        named = named_unpaused([words], None, (), YESTERDAY)

        assert sign_of(sign_named(named)) in SIGNS
        assert named_unpaused([words], sign_named(named), (), YESTERDAY) == ()


@pytest.mark.parametrize(
    ("named", "sign", "says"),
    [
        (
            ("chest",),
            None,
            "The words speak of the chest. Nothing is paused by this record. Pause all training of Ilse?",
        ),
        (
            ("breath", "faint", "dizziness"),
            "joint",
            "The words speak of breath, fainting and dizziness. Not all training is paused by this record. "
            "Pause all training of Ilse?",
        ),
    ],
)
def test_the_question_says_what_was_read_and_what_is_paused(named, sign, says):
    assert asks_to_pause(named, sign, "Ilse") == says


def test_a_no_stands_on_the_record_with_its_reason():
    assert not_paused_words(("chest",), "A strap rubbed.") == (
        "The words speak of the chest; asked, and not all training was paused: A strap rubbed."
    )
