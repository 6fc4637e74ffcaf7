"""Every signal there is: each speaks in its scene, and is silenced by handling its key."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.history import Handled, History
from app.coaching.holds import HoldKind, Stops
from app.coaching.morning import all_signals, morning
from app.coaching.phases import DecisionKind, Phase
from app.coaching.readiness import Illness
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer
from app.coaching.signals import NAMES, Family, Shelf, signals
from tests import factories as make
from tests.coaching import test_signals_contact as contact_scenes
from tests.coaching import test_signals_plan as plan_scenes
from tests.coaching import test_signals_progress as progress_scenes
from tests.coaching.signal_scenes import RULES, TODAY, calm, easy_done, found, hard_done_on, hard_planned, on, race

_MISSED = make.log(id=3, planned_session_id=898, done_on=on(-2), answer=Answer.NOT_DONE, minutes=None)
_HELD = make.hold(kind=HoldKind.COACH, began_on=on(-3))
_BROUGHT = make.decision(id=2, kind=DecisionKind.BROUGHT_IN)
_WORSE = {"fatigue": 6}

SCENES: dict[str, History] = {
    "symptom": calm(symptoms=(make.symptom(),), holds=(make.hold(),)),
    "named_not_sent": calm(unsent=(make.unsent(),)),
    "paper_while_held": calm(
        holds=(make.hold(),), clearances=(make.clearance(id=5, given_on=on(-1), recorded_at=make.at(TODAY, 18)),)
    ),
    "hold_with_training": calm(holds=(replace(_HELD, stops=Stops.HARD),), planned=(hard_planned(1),)),
    "trained_while_paused": calm(holds=(_HELD,)),
    "hard_without_leave": calm(Phase.AEROBIC_BASE, planned=(hard_planned(2),)),
    "hard_out_of_phase": calm(Phase.AEROBIC_BASE),
    "illness": calm(readiness=(make.readiness(illness=Illness.ABOVE_NECK),)),
    "pressure_high": calm(pressures=(make.pressure(systolic_mmhg=170),)),
    "medicine_changed": calm(readiness=(make.readiness(medicine_changed=True),)),
    "clearance_missing": calm(screening=(make.answers(disease=YesNo.YES),)),
    "questions_due": calm(screening=(make.answers(answered_on=on(-90)),)),
    "waiting_for_questions": calm(Phase.AEROBIC_BASE, screening=()),
    "clearance_ending": calm(clearances=(make.clearance(given_on=on(-350)),)),
    "incident_open": calm(incidents=(make.incident(happened_on=on(-8)),)),
    "hard_today_in_doubt": calm(readiness=(make.readiness(slept_h=4.0),), planned=(hard_planned(0),)),
    "readiness_down": calm(readiness=progress_scenes._notes(_WORSE, _WORSE)),
    "days_away_told": calm(told_away=(make.told_away(),)),
    "legs_heavy": calm(planned=(hard_planned(0),), logs=(easy_done(-1, heavy_legs=True), hard_done_on(-4))),
    "spacing": calm(planned=(hard_planned(0),), logs=(hard_done_on(-1),)),
    "ceiling": calm(planned=(hard_planned(0),), logs=tuple(hard_done_on(-n) for n in (4, 8, 12))),
    "not_started": calm(None, screening=(make.answers(answered_on=on(-5)),)),
    "base_met": progress_scenes._base(),
    "hard_gap": calm(logs=(hard_done_on(-9), easy_done(-1))),
    "missed_key_session": calm(logs=(_MISSED, hard_done_on(-4)), planned=(hard_planned(-2),)),
    "second_may_be_left_out": plan_scenes._missed_twice(),
    "quiet": contact_scenes._last_heard(9),
    "contact_overdue": calm(contacts=(make.contact(contact_on=on(-20)),)),
    "note_unread": calm(logs=(easy_done(-1, note="Knee fine"), hard_done_on(-4))),
    "waits_for_confirmation": calm(decisions=(make.decision(), _BROUGHT)),
    "block_ending": calm(blocks=(make.block(starts_on=on(-84)),)),
    "base_near": progress_scenes._base(25),
    "retest_due": calm(tests=(race(-90),)),
    "easy_drifting_up": calm(logs=tuple(easy_done(-8 - n, talk=contact_scenes.Talk.SENTENCES) for n in range(4))),
    "identical_to_plan": contact_scenes._echoes(10),
}


def _in_morning(history: History, *handled: Handled) -> set[str]:
    seen = morning((history,), {history.client.id: TODAY}, RULES, handled)
    said = {signal.name for line in (*seen.today, *seen.planning) for signal in all_signals(line)}
    return said | ({"waiting_for_questions"} if seen.waiting_for_questions else set())


def test_every_signal_has_its_scene() -> None:
    assert tuple(SCENES) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_speaks_with_figures_a_rule_and_something_to_do(name: str) -> None:
    signal = found(SCENES[name], name)

    assert signal is not None
    assert signal.why.rule
    assert signal.why.figures
    assert signal.acts
    assert signal.sentence.endswith((".", "”"))


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_is_silenced_by_handling_its_key_and_by_no_other(name: str) -> None:
    history = SCENES[name]
    signal = found(history, name)
    assert signal is not None
    done = Handled(history.client.id, name, signal.key, None, make.at(TODAY), make.COACH_ID)

    assert name not in _in_morning(history, done)
    assert name in _in_morning(history, replace(done, key=f"{signal.key}x"))
    assert name in _in_morning(history)


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_records_changes_no_signal(name: str) -> None:
    history = SCENES[name]
    turned = replace(
        history,
        **{
            field: tuple(reversed(getattr(history, field)))
            for field in ("logs", "planned", "readiness", "contacts", "tests", "symptoms", "holds", "blocks")
        },
    )

    assert signals(turned, TODAY, RULES) == signals(history, TODAY, RULES)


@pytest.mark.parametrize("name", NAMES)
def test_the_shelf_of_today_is_for_safety_and_for_hard_work_in_doubt(name: str) -> None:
    signal = found(SCENES[name], name)

    assert signal is not None
    assert signal.shelf is Shelf.PLANNING or signal.family in (Family.SAFETY, Family.HARD_TODAY)
