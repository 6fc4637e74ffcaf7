"""Signals about progress: each fires, keeps silent just below, and returns on new evidence."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import ConsentKind, YesNo
from app.coaching.signals import Act, Family, Shelf
from tests import factories as make
from tests.coaching.signal_scenes import calm, easy_done, found, hard_planned, on, race


def _notes(*last: dict[str, Any]) -> tuple[Any, ...]:
    """Twenty usual notes and then some others, the last one today."""
    usual = [make.readiness(id=n, noted_on=on(n - 20 - len(last) + 1), fatigue=2 + n % 2) for n in range(20)]
    others = [
        make.readiness(**({"id": 100 + n, "noted_on": on(n - len(last) + 1)} | changes))
        for n, changes in enumerate(last)
    ]
    return (*usual, *others)


def test_two_of_three_worse_notes_are_down() -> None:
    signal = found(calm(readiness=_notes({"fatigue": 6}, {"fatigue": 6})), "readiness_down")

    assert signal is not None
    assert signal.shelf is Shelf.PLANNING


def test_one_worse_note_is_not_down() -> None:
    assert found(calm(readiness=_notes({"fatigue": 3}, {"fatigue": 6})), "readiness_down") is None


def test_readiness_down_with_hard_work_today_comes_before_they_start() -> None:
    notes = _notes({"fatigue": 6}, {"fatigue": 6})

    signal = found(calm(readiness=notes, planned=(hard_planned(0),)), "readiness_down")

    assert signal is not None
    assert (signal.shelf, signal.family) == (Shelf.TODAY, Family.HARD_TODAY)


@pytest.mark.parametrize(("slept", "fires"), [(4.9, True), (5.0, False)])
def test_a_short_night_doubts_todays_hard_session(slept: float, fires: bool) -> None:
    history = calm(readiness=(make.readiness(slept_h=slept),), planned=(hard_planned(0),))

    assert (found(history, "hard_today_in_doubt") is not None) is fires


def test_three_items_worse_say_easy_or_rest() -> None:
    notes = _notes({"fatigue": 6, "sleep": 6, "soreness": 6})

    signal = found(calm(readiness=notes, planned=(hard_planned(0),)), "hard_today_in_doubt")

    assert signal is not None
    assert "easy or rest, and move it by 48 h" in signal.sentence


def test_a_session_moved_twice_is_talked_about_before_it_moves_again() -> None:
    notes, rounds = _notes({"fatigue": 6, "sleep": 6, "soreness": 6}), hard_planned(0)

    signal = found(
        calm(readiness=notes, planned=(rounds,), moved_twice=frozenset({rounds.id})), "hard_today_in_doubt"
    )

    assert signal is not None
    assert signal.sentence.endswith("It was moved twice already: talk before it moves again.")
    assert signal.acts == (Act.CONTACT, Act.EASE_TODAY)


def test_a_doubt_needs_a_hard_session_today() -> None:
    history = calm(readiness=(make.readiness(slept_h=4.0),), planned=(hard_planned(1),))

    assert found(history, "hard_today_in_doubt") is None


def _base(weeks: int = 27, **records: Any) -> History:
    given: dict[str, Any] = {
        "decisions": (make.decision(),),
        "logs": make.base_weeks(weeks),
        "planned": tuple(make.planned(id=entry.id, planned_on=entry.done_on) for entry in make.base_weeks(8)),
        "pressures": (make.pressure(),),
        "consents": tuple(
            make.consent(kind, text_version=CONSENT_TEXTS[kind].version)
            for kind in (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
        ),
        "readiness": tuple(make.readiness(id=n, noted_on=on(-n)) for n in range(20)),
        "tests": (make.standard_loop(id=1, tested_on=on(-35)), make.standard_loop(id=2, tested_on=on(-7))),
    }
    return calm(Phase.AEROBIC_BASE, **(given | records))


def test_a_base_with_every_condition_met_waits_for_the_decision() -> None:
    signal = found(_base(), "base_met")

    assert signal is not None
    assert signal.key == "base_met:1:all"


def test_one_week_short_is_near_and_not_met() -> None:
    signal = found(_base(25), "base_near")

    assert signal is not None
    assert found(_base(25), "base_met") is None


def test_far_from_it_says_nothing() -> None:
    assert found(_base(15), "base_near") is None
    assert found(_base(5), "base_near") is None


def test_a_missing_safety_condition_is_neither_met_nor_near() -> None:
    history = _base(pressures=())

    assert found(history, "base_met") is None
    assert found(history, "base_near") is None


@pytest.mark.parametrize(("days", "fires"), [(27, False), (28, True)])
def test_the_standard_loop_is_due_every_four_weeks(days: int, fires: bool) -> None:
    history = calm(tests=(make.standard_loop(tested_on=on(-days)), race(-20)))

    assert (found(history, "retest_due") is not None) is fires


@pytest.mark.parametrize(("days", "fires"), [(83, False), (84, True)])
def test_a_test_is_due_after_twelve_weeks_of_intervals(days: int, fires: bool) -> None:
    history = calm(tests=(make.standard_loop(tested_on=on(-5)), race(-days)))

    signal = found(history, "retest_due")

    assert (signal is not None and signal.sentence.startswith("A test")) is fires


def test_the_phase_itself_starts_the_clock_of_the_retest() -> None:
    decision = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=on(-60))
    history = calm(decisions=(decision,), tests=(make.standard_loop(tested_on=on(-5)), race(-120)))

    assert found(history, "retest_due") is None


def test_a_planned_test_silences_the_reminder() -> None:
    session = make.planned(kind=SessionKind.TEST, planned_on=on(3))

    assert found(calm(tests=(race(-90),), planned=(session,)), "retest_due") is None


def _back_after(days_off: int, *, held: int = 5, **records: Any) -> History:
    """Held weeks since some days off, and one outing before them."""
    weeks = make.base_weeks(held, minutes=60)
    first = min(one.done_on for one in weeks)
    before = easy_done((first - make.TODAY).days - days_off)
    asked = make.answers(answered_on=first)
    given: dict[str, Any] = {"logs": (before, *weeks), "screening": (asked,), "tests": (race(-140),)}
    return calm(**(given | records))


@pytest.mark.parametrize(("days", "fires"), [(27, False), (28, True)])
def test_after_four_weeks_off_and_the_held_weeks_a_retest_sets_targets_afresh(days: int, fires: bool) -> None:
    signal = found(_back_after(days), "retest_due")

    assert (signal is not None and "targets are set afresh from it" in signal.sentence) is fires


def test_the_retest_after_a_gap_waits_for_the_held_weeks_and_ends_with_a_test() -> None:
    loop = make.standard_loop(tested_on=on(-5))

    assert found(_back_after(30, held=2, tests=(race(-80), loop)), "retest_due") is None
    assert found(_back_after(30, tests=(race(-3), loop)), "retest_due") is None
    assert found(_back_after(30, tests=(race(-80), loop)), "retest_due") is not None


def test_two_weeks_off_ask_the_questions_again() -> None:
    stale = make.answers(answered_on=on(-50))

    signal = found(_back_after(14, held=1, screening=(stale,)), "questions_due")

    assert signal is not None
    assert signal.sentence == "After 14 days without an outing the questions are asked again."
    assert Act.SEND_QUESTIONS in signal.acts


def test_who_was_cleared_and_not_started_is_named_until_started() -> None:
    waiting = make.client(state=ClientState.WAITING_FOR_CLEARANCE, regularly_active_confirmed_on=on(-280))
    ill = make.answers(disease=YesNo.YES)
    cleared = calm(None, client=waiting, screening=(ill,), clearances=(make.clearance(given_on=on(-1)),))

    signal = found(cleared, "not_started")

    assert signal is not None
    assert signal.sentence == "Cleared on 4 October 2026, not started yet: start the aerobic base."
    assert (signal.shelf, signal.acts[0]) == (Shelf.PLANNING, Act.START)
    assert found(replace(cleared, decisions=(make.decision(),)), "not_started") is None
    assert found(replace(cleared, clearances=()), "not_started") is None


@pytest.mark.parametrize(("days", "speaks"), [(-3, False), (-4, True)])
def test_who_was_asked_and_may_train_is_named_after_three_days(days: int, speaks: bool) -> None:
    asked = calm(None, screening=(make.answers(answered_on=on(days)),))

    assert (found(asked, "not_started") is not None) is speaks


def test_not_started_handled_speaks_again_a_week_later() -> None:
    asked = calm(None, screening=(make.answers(answered_on=on(-5)),))

    first, later = found(asked, "not_started"), found(asked, "not_started", today=on(7))

    assert first is not None
    assert later is not None
    assert first.key != later.key


def test_no_test_is_asked_for_while_hard_work_waits() -> None:
    due = calm(tests=(race(-90), make.standard_loop(tested_on=on(-7))))

    assert found(due, "retest_due") is not None
    assert found(replace(due, holds=(make.hold(stops=Stops.HARD),)), "retest_due") is None
