"""What is counted of technique: strokes before cadence, whole rounds only, and nothing where nothing was counted."""

from __future__ import annotations

from typing import Any

import pytest

from app.coaching.execution import Told, execution
from app.coaching.execution_values import CountsAs
from app.coaching.people import Mode
from app.coaching.round_figures import figures_of_log, with_told
from app.coaching.rules import Rules
from app.coaching.session_logs import Posture, RoundDone
from app.coaching.set_figures import figures_of_set
from app.coaching.technique import TechniqueChange, technique_change
from tests import factories as make
from tests.coaching.signal_scenes import calm, found, hard_done_on
from tests.coaching.test_executed import executed


def swum(*strokes: int | None, **each: Any) -> tuple[RoundDone, ...]:
    """Rounds of a swim with the strokes counted in each."""
    return tuple(make.work_round(number=n, strokes=one, **each) for n, one in enumerate(strokes, start=1))


def test_strokes_that_were_counted_come_before_cadence() -> None:
    second, last = (make.work_round(strokes=one, cadence_per_min=30.0) for one in (120, 132))

    change = technique_change(second, last)

    assert change == TechniqueChange("strokes", "strokes", 120, 132)
    assert change is not None
    assert change.fraction == pytest.approx(0.1)


def test_strokes_of_a_round_cut_short_say_nothing() -> None:
    second = make.work_round(strokes=120, cadence_per_min=30.0)

    short = technique_change(second, make.work_round(strokes=80, cadence_per_min=30.0, is_complete=False))

    assert short == TechniqueChange("cadence", "a minute", 30.0, 30.0)
    assert technique_change(make.work_round(strokes=120), make.work_round(strokes=80, is_complete=False)) is None


@pytest.mark.parametrize("second", [{}, {"strokes": 120}, {"cadence_per_min": 0.0}])
def test_what_was_counted_once_or_never_is_not_compared(second: dict[str, Any]) -> None:
    assert technique_change(make.work_round(**second), make.work_round()) is None


@pytest.mark.parametrize(("last", "counts_as"), [(126, CountsAs.GOOD), (127, CountsAs.BAD), (113, CountsAs.BAD)])
def test_a_swimmers_strokes_within_five_percent_of_the_second_round_are_kept(last: int, counts_as: CountsAs) -> None:
    swim = executed(mode=Mode.SWIM, done_rounds=swum(110, 120, 124, last))

    assert swim.counts_as is counts_as


def test_the_judgement_of_a_swim_counts_its_strokes() -> None:
    output, rounds = figures_of_log(swum(118, 120, 125, 130, speed_m_per_s=1.1))
    told = Told(posture=Posture.STOOD, efforts=(6, 6, 7, 7), readiness_usual=True)

    judged = execution(figures_of_set(output, rounds), told, mode=Mode.SWIM, rules=Rules())

    assert judged.technique_lost
    assert "the last round +8.3 % against the second" in [one.text for one in judged.checks]


def test_strokes_of_the_entry_stand_beside_the_rounds_of_a_recording() -> None:
    _output, recorded = figures_of_log(swum(None, None, None, None, speed_m_per_s=1.1))

    assert [one.strokes for one in with_told(recorded, swum(118, 120, 125))] == [118, 120, 125, None]


def test_the_morning_names_the_strokes() -> None:
    swim = hard_done_on(-2, mode=Mode.SWIM, rounds=swum(118, 120, 125, 130), posture=Posture.STOOD)

    signal = found(calm(logs=(swim,)), "technique_lost")

    assert signal is not None
    assert "120 strokes in the second round, 130 in the last." in signal.sentence
