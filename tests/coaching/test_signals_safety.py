"""Safety signals: each fires, keeps silent just below, and names its records."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.holds import Family as SignFamily
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Mode
from app.coaching.phases import Phase
from app.coaching.readiness import Illness
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, YesNo
from app.coaching.signals import Act, Family, Shelf, signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, calm, easy_done, found, hard_planned, names, on

RULES = Rules()


def test_a_calm_client_says_nothing() -> None:
    assert names(calm()) == ()


def test_a_symptom_with_its_open_hold_comes_first() -> None:
    history = calm(symptoms=(make.symptom(),), holds=(make.hold(),), planned=(make.planned(),))

    signal = found(history, "symptom")

    assert signal is not None
    assert (signal.shelf, signal.family, signal.key) == (Shelf.TODAY, Family.SAFETY, "symptom:1:")
    assert "All training is paused" in signal.sentence
    assert names(history)[:2] == ("symptom", "hold_with_training")


def test_a_symptom_whose_hold_is_lifted_is_silent() -> None:
    history = calm(symptoms=(make.symptom(),), holds=(make.hold(lifted_at=make.at(TODAY)),))

    assert found(history, "symptom") is None


def test_a_second_report_is_new_evidence() -> None:
    reports = (make.symptom(), make.symptom(id=2, felt_on=TODAY))

    signal = found(calm(symptoms=reports, holds=(make.hold(),)), "symptom")

    assert signal is not None
    assert signal.key == "symptom:1,2:"


@pytest.mark.parametrize(("stops", "fires"), [(Stops.ALL, True), (Stops.HARD, False)])
def test_a_hold_with_training_it_stops(stops: Stops, fires: bool) -> None:
    history = calm(holds=(make.hold(kind=HoldKind.COACH, stops=stops),), planned=(make.planned(),))

    assert (found(history, "hold_with_training") is not None) is fires


def test_a_session_planned_under_a_hold_speaks_although_the_earlier_line_was_handled() -> None:
    holds, first = (make.hold(kind=HoldKind.COACH),), make.planned(id=31, planned_on=on(1))
    before = found(calm(holds=holds, planned=(first,)), "hold_with_training")
    after = found(calm(holds=holds, planned=(first, make.planned(id=32, planned_on=on(4)))), "hold_with_training")

    assert before is not None
    assert after is not None
    assert before.key != after.key


def test_hard_work_under_a_hold_not_seen_today_says_call() -> None:
    history = calm(holds=(make.hold(kind=HoldKind.COACH, stops=Stops.HARD),), planned=(hard_planned(0),))

    signal = found(history, "hold_with_training")

    assert signal is not None
    assert signal.shelf is Shelf.TODAY
    assert signal.sentence.endswith("The pause was not seen on the phone: phone them before they start.")


def test_a_hold_that_was_seen_needs_no_call() -> None:
    seen = make.hold(kind=HoldKind.COACH, stops=Stops.HARD, seen_at=make.at(TODAY))

    signal = found(calm(holds=(seen,), planned=(hard_planned(0),)), "hold_with_training")

    assert signal is not None
    assert "phone" not in signal.sentence


def test_a_hold_of_somebody_without_a_phone_says_call() -> None:
    held = make.hold(kind=HoldKind.COACH, stops=Stops.HARD)
    history = calm(client=make.client(has_phone=False), holds=(held,), planned=(hard_planned(0),))

    signal = found(history, "hold_with_training")

    assert signal is not None
    assert signal.sentence.endswith("No phone here shows the pause: phone them before they start.")


@pytest.mark.parametrize(("began", "fires"), [(-3, True), (-1, False)])
def test_training_while_all_is_paused(began: int, fires: bool) -> None:
    history = calm(holds=(make.hold(kind=HoldKind.COACH, began_on=on(began)),))

    assert (found(history, "trained_while_paused") is not None) is fires


def test_disease_without_paper_in_the_interval_phase() -> None:
    history = calm(screening=(make.answers(disease=YesNo.YES),))

    signal = found(history, "clearance_missing")

    assert signal is not None
    assert Act.CLEARANCE_PAGE in signal.acts


def test_a_paper_for_hard_work_silences_it() -> None:
    history = calm(screening=(make.answers(disease=YesNo.YES),), clearances=(make.clearance(),))

    assert found(history, "clearance_missing") is None


@pytest.mark.parametrize(("age", "fires"), [(336, False), (337, True), (365, True), (366, False)])
def test_a_clearance_that_ends_within_four_weeks(age: int, fires: bool) -> None:
    history = calm(clearances=(make.clearance(given_on=on(-age)),))

    assert (found(history, "clearance_ending") is not None) is fires


@pytest.mark.parametrize(
    ("illness", "days", "fires"),
    [
        (Illness.FEVER_OR_BELOW, 0, True),
        (Illness.ABOVE_NECK, -2, True),
        (Illness.FEVER_OR_BELOW, -3, False),
        (Illness.NONE, 0, False),
    ],
)
def test_illness_is_news_for_three_days(illness: Illness, days: int, fires: bool) -> None:
    history = calm(readiness=(make.readiness(noted_on=on(days), illness=illness),))

    assert (found(history, "illness") is not None) is fires


def test_a_later_note_that_says_well_ends_the_news() -> None:
    notes = (make.readiness(noted_on=on(-1), illness=Illness.ABOVE_NECK), make.readiness(id=2))

    assert found(calm(readiness=notes), "illness") is None


def test_a_changed_medicine_speaks() -> None:
    assert found(calm(readiness=(make.readiness(medicine_changed=True),)), "medicine_changed")


@pytest.mark.parametrize(("systolic", "fires"), [(159, False), (160, True)])
def test_a_high_pressure_speaks_from_its_limit(systolic: int, fires: bool) -> None:
    history = calm(pressures=(make.pressure(systolic_mmhg=systolic),))

    assert (found(history, "pressure_high") is not None) is fires


def test_a_lower_reading_silences_the_high_one() -> None:
    readings = (make.pressure(systolic_mmhg=170), make.pressure(id=2, measured_on=TODAY))

    assert found(calm(pressures=readings), "pressure_high") is None


@pytest.mark.parametrize(("age", "fires"), [(84, False), (85, True)])
def test_questions_are_due_after_twelve_weeks(age: int, fires: bool) -> None:
    logs = tuple(easy_done(-n) for n in range(1, 90, 7))
    history = calm(Phase.AEROBIC_BASE, logs=logs, screening=(make.answers(answered_on=on(-age)),))

    assert (found(history, "questions_due") is not None) is fires


@pytest.mark.parametrize(("back", "fires"), [(14, True), (13, False)])
def test_questions_are_due_after_a_silence_of_two_weeks(back: int, fires: bool) -> None:
    history = calm(
        Phase.AEROBIC_BASE,
        logs=(easy_done(-back), easy_done(-40)),
        screening=(make.answers(answered_on=on(-back)),),
    )

    assert (found(history, "questions_due") is not None) is fires


def test_questions_are_due_after_a_lifted_symptom_hold_and_speak_again_after_the_next() -> None:
    felt = make.hold(kind=HoldKind.SYMPTOM, began_on=on(-4), lifted_at=make.at(on(-1)))
    again = make.hold(id=2, kind=HoldKind.SYMPTOM, began_on=on(-2), lifted_at=make.at(on(0)))
    asked = {"screening": (make.answers(answered_on=on(-20)),)}

    first = found(calm(Phase.AEROBIC_BASE, holds=(felt,), **asked), "questions_due")
    second = found(calm(Phase.AEROBIC_BASE, holds=(felt, again), **asked), "questions_due")

    assert first is not None
    assert second is not None
    assert "Something felt wrong" in first.sentence
    assert first.key != second.key


def test_never_asked_waits_for_questions() -> None:
    assert "waiting_for_questions" in names(calm(Phase.AEROBIC_BASE, screening=()))


@pytest.mark.parametrize(
    ("records", "fires"),
    [
        ({"screening": (make.answers(disease=YesNo.YES),)}, True),
        ({"phase": Phase.AEROBIC_BASE}, True),
        ({}, False),
    ],
)
def test_hard_work_published_without_leave(records: dict[str, Any], fires: bool) -> None:
    history = calm(**({"planned": (hard_planned(2),)} | records))

    assert (found(history, "hard_without_leave") is not None) is fires


def test_easy_work_needs_no_leave() -> None:
    session = make.planned(planned_on=on(2))

    assert found(calm(Phase.AEROBIC_BASE, planned=(session,)), "hard_without_leave") is None


@pytest.mark.parametrize("state", [ClientState.ASKED, ClientState.LEFT])
def test_who_asked_or_left_raises_nothing(state: ClientState) -> None:
    history = calm(client=make.client(state=state), symptoms=(make.symptom(),), holds=(make.hold(),))

    assert names(history) == ()


def test_a_paused_client_raises_safety_only() -> None:
    history = calm(
        client=make.client(state=ClientState.PAUSED, regularly_active_confirmed_on=TODAY - timedelta(weeks=40)),
        pressures=(make.pressure(systolic_mmhg=170),),
        contacts=(),
        blocks=(),
        logs=(),
    )

    assert names(history) == ("pressure_high",)


def test_a_paper_recorded_while_a_hold_is_open_speaks_with_its_number() -> None:
    paper = make.clearance(id=5, given_on=on(0), recorded_at=make.at(on(0), 12))

    signal = found(
        calm(symptoms=(make.symptom(),), holds=(make.hold(id=7),), clearances=(paper,)), "paper_while_held"
    )

    assert signal is not None
    assert "by Dr. Amrei Sohl is on file" in signal.sentence
    assert "still open. Read it and lift it, or say why not." in signal.sentence
    assert (signal.key, signal.hold_id, signal.acts[0]) == ("paper_while_held:c5,h7:", 7, Act.LIFT)


@pytest.mark.parametrize(("given_on", "first"), [(on(0), "paper_while_held"), (on(-3), "symptom")])
def test_a_paper_that_lifts_the_hold_is_said_before_the_symptom_itself(given_on: date, first: str) -> None:
    paper = make.clearance(id=5, given_on=given_on, recorded_at=make.at(on(0), 12))
    history = calm(
        symptoms=(make.symptom(),),
        holds=(make.hold(),),
        clearances=(paper,),
        planned=(make.planned(planned_on=TODAY),),
    )

    said = [one.name for one in signals(history, TODAY, RULES)]

    assert said[0] == first
    assert {"symptom", "paper_while_held", "hold_with_training"} <= set(said)


@pytest.mark.parametrize(
    ("changes", "said", "act"),
    [
        ({}, "A paper of 5 October 2026", Act.LIFT),
        ({"how_seen": "copy"}, "A paper of 5 October 2026", Act.LIFT),
        ({"how_seen": "telephone"}, "A clearance told by telephone of 5 October 2026", Act.ASK_IN_WRITING),
        ({"state": ClearanceState.REFUSED}, "A refusal of 5 October 2026", Act.LIFT),
        (
            {"state": ClearanceState.REFUSED, "how_seen": "telephone"},
            "A refusal told by telephone of 5 October 2026",
            Act.ASK_IN_WRITING,
        ),
    ],
)
def test_what_was_told_by_telephone_is_asked_for_in_writing_not_read(changes, said, act) -> None:
    answer = make.clearance(id=5, given_on=on(0), recorded_at=make.at(on(0), 12), **changes)

    signal = found(calm(holds=(make.hold(),), clearances=(answer,)), "paper_while_held")

    assert signal is not None
    assert signal.sentence.startswith(said)
    assert signal.acts[0] is act
    assert signal.leads is (act is Act.LIFT and "state" not in changes)


def test_a_paper_that_came_before_the_telephone_call_is_still_read() -> None:
    paper = make.clearance(id=5, given_on=on(0), recorded_at=make.at(on(0), 10))
    told = make.clearance(id=6, given_on=on(0), recorded_at=make.at(on(0), 12), how_seen="telephone")

    signal = found(calm(holds=(make.hold(),), clearances=(paper, told)), "paper_while_held")

    assert signal is not None
    assert (signal.leads, signal.acts[0]) == (True, Act.LIFT)


def test_a_paper_from_before_the_symptom_is_said_not_to_lift_it() -> None:
    paper = make.clearance(id=5, given_on=on(-3), recorded_at=make.at(on(0), 12))

    signal = found(calm(holds=(make.hold(),), clearances=(paper,)), "paper_while_held")

    assert signal is not None
    assert "It is not dated later than Sun 4 Oct. It does not lift it." in signal.sentence


def test_a_paper_on_file_before_the_hold_and_one_asked_for_only_are_silent() -> None:
    old = make.clearance(id=5, given_on=on(-30), recorded_at=make.at(on(-29)))
    asked = make.clearance(id=6, state=ClearanceState.REQUESTED, given_on=None, recorded_at=make.at(on(0), 12))

    assert found(calm(holds=(make.hold(),), clearances=(old, asked)), "paper_while_held") is None


def test_a_paper_speaks_again_for_a_paused_client_and_a_second_paper() -> None:
    first = make.clearance(id=5, given_on=on(0), recorded_at=make.at(on(0), 12))
    held = calm(client=make.client(state=ClientState.PAUSED), holds=(make.hold(),), clearances=(first,))
    second = replace(held, clearances=(first, replace(first, id=6)))

    one, two = found(held, "paper_while_held"), found(second, "paper_while_held")

    assert one is not None
    assert two is not None
    assert one.key != two.key


def test_an_injury_stops_its_mode_and_all_hard_work_and_both_are_said() -> None:
    sore = make.symptom(sign="joint", family=SignFamily.B)
    knee = make.hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN)

    signal = found(calm(symptoms=(sore,), holds=(knee,)), "symptom")

    assert signal is not None
    assert "Running and all hard work are paused" in signal.sentence
