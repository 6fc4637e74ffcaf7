"""A clinician's two numbers: in place of the practice's strict pair, never widening hard work, never for ever."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.leave_to_train import stopped_now
from app.coaching.pressure_rules import limits_for, own_limit_counts, pressure_stop_of
from app.coaching.rules import Rules
from tests import factories as make
from tests.coaching.signal_scenes import calm, on

TODAY = make.TODAY
RULES = Rules()
#: Over the practice's strict lower number, under a clinician's.
READING = make.pressure(systolic_mmhg=150, diastolic_mmhg=104)


def scene(**records: object) -> History:
    return calm(**({"pressures": (READING,)} | records))


def stops(history: History, rules: Rules = RULES) -> Stops | None:
    stop = pressure_stop_of(history, TODAY, rules)
    return None if stop is None else stop.stops


def test_without_two_numbers_the_strict_lower_limit_stops_everything() -> None:
    assert stops(scene()) is Stops.ALL
    assert stopped_now(scene(), TODAY, RULES).all_because


def test_with_two_numbers_a_reading_under_them_stops_hard_work_only() -> None:
    history = scene(pressure_limits=(make.pressure_limit(),))

    assert stops(history) is Stops.HARD
    assert stopped_now(history, TODAY, RULES).all_because == ()
    assert stopped_now(history, TODAY, RULES).hard_because


@pytest.mark.parametrize(
    ("high", "low", "stop"), [(180, 90, Stops.ALL), (150, 110, Stops.ALL), (179, 109, Stops.HARD)]
)
def test_all_training_stops_at_either_of_the_two_numbers(high: int, low: int, stop: Stops) -> None:
    reading = make.pressure(systolic_mmhg=high, diastolic_mmhg=low)

    assert stops(scene(pressures=(reading,), pressure_limits=(make.pressure_limit(),))) is stop


def test_lower_numbers_narrow_hard_work_too() -> None:
    own = make.pressure_limit(systolic_mmhg=140, diastolic_mmhg=90)
    limits = limits_for(scene(pressure_limits=(own,)), TODAY, RULES)

    assert (limits.pressure_systolic_all, limits.pressure_systolic_hard) == (140, 140)
    assert (limits.pressure_diastolic_all, limits.pressure_diastolic_hard) == (90, 90)


def test_higher_numbers_never_widen_hard_work() -> None:
    own = make.pressure_limit(systolic_mmhg=200, diastolic_mmhg=110)
    limits = limits_for(scene(pressure_limits=(own,)), TODAY, RULES)

    assert (limits.pressure_systolic_hard, limits.pressure_diastolic_hard) == (160, 100)


@pytest.mark.parametrize(
    "changes",
    [
        {"given_on": TODAY - timedelta(days=366)},
        {"given_on": TODAY + timedelta(days=1)},
        {"taken_back_at": make.at(TODAY), "taken_back_by": 1},
    ],
    ids=["too old", "dated in the future", "taken back"],
)
def test_numbers_that_do_not_count_widen_nothing(changes: dict[str, object]) -> None:
    assert stops(scene(pressure_limits=(make.pressure_limit(**changes),))) is Stops.ALL


def test_a_symptom_after_the_paper_ends_what_it_widened() -> None:
    felt = make.symptom(felt_on=on(-2))

    assert stops(scene(pressure_limits=(make.pressure_limit(),), symptoms=(felt,))) is Stops.ALL


def test_narrower_numbers_outlive_their_date() -> None:
    own = make.pressure_limit(systolic_mmhg=140, diastolic_mmhg=90, given_on=TODAY - timedelta(days=400))
    limits = limits_for(scene(pressure_limits=(own,)), TODAY, RULES)

    assert (limits.pressure_systolic_all, limits.pressure_diastolic_all) == (140, 90)


def test_the_newest_paper_counts() -> None:
    older, newer = make.pressure_limit(), make.pressure_limit(id=2, systolic_mmhg=150, given_on=on(-3))
    limits = limits_for(scene(pressure_limits=(newer, older)), TODAY, RULES)

    assert limits.own == newer
    assert own_limit_counts(limits)


def test_a_stricter_practice_still_stops_hard_work_earlier() -> None:
    strict = Rules(pressure_systolic_hard=140)
    reading = make.pressure(systolic_mmhg=145, diastolic_mmhg=85)

    assert stops(scene(pressures=(reading,), pressure_limits=(make.pressure_limit(),)), strict) is Stops.HARD
