"""The signal about hard work done outside its phase: a race in base is said, whatever was planned."""

from __future__ import annotations

import pytest

from app.coaching.people import ClientState, Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import YesNo
from app.coaching.signals import Family, Shelf
from tests import factories as make
from tests.coaching.signal_scenes import calm, easy_done, found, hard_done_on, hard_planned, on

RACE = make.log(id=40, done_on=on(-1), kind=SessionKind.RACE, mode=Mode.RUN, minutes=900, talk=None, effort=None)


def test_a_race_in_base_without_leave_is_decided_before_they_start():
    known = {"client": make.client(), "screening": (make.answers(disease=YesNo.YES),)}

    signal = found(calm(Phase.AEROBIC_BASE, logs=(RACE,), **known), "hard_out_of_phase")

    assert (signal.shelf, signal.family) == (Shelf.TODAY, Family.SAFETY)
    assert signal.sentence.startswith("Race, not planned, on ")
    assert "the phase is: aerobic base." in signal.sentence
    assert "Leave for hard work is missing too." in signal.sentence


def test_a_race_in_base_with_leave_waits_for_planning():
    signal = found(calm(Phase.AEROBIC_BASE, logs=(RACE,)), "hard_out_of_phase")

    assert (signal.shelf, signal.family) == (Shelf.PLANNING, Family.REST)


@pytest.mark.parametrize(
    "follows",
    [make.planned(id=8, planned_on=on(1), title="Canal walk"), hard_planned(5, id=8, title="Canal walk")],
    ids=["a session within two days", "hard work whenever it is"],
)
def test_a_race_in_base_with_leave_is_decided_today_when_work_follows(follows):
    signal = found(calm(Phase.AEROBIC_BASE, logs=(RACE,), planned=(follows,)), "hard_out_of_phase")

    assert (signal.shelf, signal.family) == (Shelf.TODAY, Family.SAFETY)
    assert "Planned after it: Canal walk on " in signal.sentence
    assert signal.key != found(calm(Phase.AEROBIC_BASE, logs=(RACE,)), "hard_out_of_phase").key


def test_an_easy_session_three_days_after_a_race_leaves_it_to_planning():
    later = make.planned(id=8, planned_on=on(2), title="Canal walk")

    signal = found(calm(Phase.AEROBIC_BASE, logs=(RACE,), planned=(later,)), "hard_out_of_phase")

    assert signal.shelf is Shelf.PLANNING


def test_a_planned_session_done_too_hard_is_named_by_its_title():
    history = calm(
        Phase.AEROBIC_BASE,
        logs=(hard_done_on(-2, planned_session_id=7),),
        planned=(make.planned(id=7, planned_on=on(-2), title="Along the canal"),),
    )

    assert found(history, "hard_out_of_phase").sentence.startswith("Along the canal on ")


@pytest.mark.parametrize(("days", "is_said"), [(-6, True), (-7, False)])
def test_it_is_news_for_a_week(days, is_said):
    signal = found(calm(Phase.AEROBIC_BASE, logs=(easy_done(-1), hard_done_on(days))), "hard_out_of_phase")

    assert (signal is not None) is is_said


def test_hard_work_in_its_phase_is_not_said():
    assert found(calm(Phase.INTERVAL_ONE, logs=(RACE,)), "hard_out_of_phase") is None


def test_hard_work_of_before_a_step_back_is_not_said():
    decisions = (
        make.decision(id=1, phase=Phase.INTERVAL_ONE, kind=DecisionKind.PROMOTE, since_on=on(-90)),
        make.decision(id=2, phase=Phase.AEROBIC_BASE, kind=DecisionKind.STEP_BACK, since_on=on(-1)),
    )

    assert found(calm(decisions=decisions, logs=(hard_done_on(-3),)), "hard_out_of_phase") is None


def test_easy_work_in_base_is_not_said():
    history = calm(Phase.AEROBIC_BASE, logs=(easy_done(-1),), planned=(hard_planned(9),))

    assert found(history, "hard_out_of_phase") is None


def test_it_is_said_of_a_paused_client_too():
    history = calm(Phase.AEROBIC_BASE, client=make.client(state=ClientState.PAUSED), logs=(RACE,))

    assert found(history, "hard_out_of_phase") is not None


def test_a_newer_hard_session_is_new_evidence():
    again = make.log(id=41, done_on=on(0), kind=SessionKind.RACE)

    first = found(calm(Phase.AEROBIC_BASE, logs=(RACE,)), "hard_out_of_phase")
    later = found(calm(Phase.AEROBIC_BASE, logs=(RACE, again)), "hard_out_of_phase")

    assert first.key != later.key
