"""Beside a note stands the pause: to whoever writes it, behind a name in a list, and to the client who reads it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.note_beside_pause import told_in_short, told_to_reader, told_to_writer
from app.coaching.paused_together import PausedTogether
from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from tests import factories as make

RULES = Rules()
WELL = make.history(screening=(make.answers(),))
SYMPTOM = make.hold(kind=HoldKind.SYMPTOM, stops=Stops.ALL)
KNEE = make.hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN)
TABLET = make.hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD)
WRITTEN_AT = make.at(make.TODAY)


@pytest.mark.parametrize(
    ("hold", "begins", "short"),
    [
        (SYMPTOM, "All training is paused: ", "all training"),
        (KNEE, "Running and hard work are paused: ", "running and hard work"),
        (TABLET, "Hard work is paused: ", "hard work"),
    ],
)
def test_an_open_hold_is_told_to_whoever_writes(hold, begins, short):
    history = replace(WELL, holds=(hold,))

    told = told_to_writer(history, make.TODAY, RULES)

    assert told.startswith(begins)
    assert "your coach" not in told
    assert told_in_short(history, make.TODAY, RULES) == short


def test_nothing_is_told_of_somebody_in_the_base_whose_hard_work_only_waits_its_time():
    assert told_to_writer(WELL, make.TODAY, RULES) == ""
    assert told_in_short(WELL, make.TODAY, RULES) == ""


def test_nothing_is_told_of_a_hold_that_was_lifted():
    history = replace(WELL, holds=(replace(SYMPTOM, lifted_at=WRITTEN_AT),))

    assert told_to_writer(history, make.TODAY, RULES) == ""


def test_what_stops_without_a_hold_is_told_as_well():
    unanswered = replace(WELL, screening=())
    without_paper = replace(
        WELL,
        screening=(make.answers(disease=YesNo.YES),),
        decisions=(make.decision(phase=Phase.INTERVAL_ONE),),
    )

    assert told_in_short(unanswered, make.TODAY, RULES) == "all training"
    assert told_in_short(without_paper, make.TODAY, RULES) == "hard work"


@pytest.mark.parametrize(
    ("together", "says"),
    [
        (PausedTogether(), ""),
        (PausedTogether(Stops.ALL), "Your training is still paused, whatever this note says."),
        (PausedTogether(Stops.HARD), "Hard work is still paused, whatever this note says."),
        (
            PausedTogether(Stops.MODE_AND_HARD, (Mode.RUN,)),
            "Running and hard work are still paused, whatever this note says.",
        ),
    ],
)
def test_the_client_reads_beside_the_note_that_the_pause_stands(together, says):
    assert told_to_reader(together, (), WRITTEN_AT, waits_for_answers=False) == says


@pytest.mark.parametrize(
    ("raised_after", "begins"),
    [
        (timedelta(seconds=-1), "Your training is still paused"),
        (timedelta(0), "Your training is still paused"),
        (timedelta(seconds=1), "Your coach wrote this before the pause. Your training is still paused"),
    ],
)
def test_a_note_older_than_the_pause_says_so(raised_after, begins):
    hold = replace(SYMPTOM, raised_at=WRITTEN_AT + raised_after)

    told = told_to_reader(PausedTogether(Stops.ALL), (hold,), WRITTEN_AT, waits_for_answers=False)

    assert told.startswith(begins)


def test_who_only_waits_for_the_questions_is_not_told_of_a_pause():
    told = told_to_reader(PausedTogether(Stops.ALL), (), WRITTEN_AT, waits_for_answers=True)

    assert told == "Your training still waits for your answers, whatever this note says."
