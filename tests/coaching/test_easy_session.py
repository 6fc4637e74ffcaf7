"""An easy session with a recording: what it is judged with, and what its heart alone says to the morning."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import numpy as np
import pytest

from app.coaching.easy_session import Beside, is_easy_session, judged_easy, minutes_not_easy
from app.coaching.heat import HeatNote
from app.coaching.measured import KnownHow, Measured, MeasuredKind
from app.coaching.people import HeartRateUse, Mode, Origin
from app.coaching.prescriptions import SessionKind
from app.coaching.recordings import Recording
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.physiology.values import Missing
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, calm, on
from tests.coaching.test_signals_plan import found

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
#: 77 % of 180 is 138.6.
HIGHEST = Measured(
    1, 1, MeasuredKind.HIGHEST_HEART_RATE, Mode.RIDE, TODAY - timedelta(days=30), 180.0, None, None, None, None,
    KnownHow.ALL_OUT, None, "[]", None, Origin.COACH, NOW, 1,
)  # fmt: skip
HOT = HeatNote(1, TODAY, 31.0, 40.0, None, NOW, 1)


def ride(minutes_above: int, bpm: float = 150.0) -> Recording:
    heart = np.full(3600, 120.0)
    heart[1200 : 1200 + 60 * minutes_above] = bpm
    return Recording(time_s=np.arange(3600.0), power_w=np.full(3600, 130.0), heart_rate_bpm=heart)


def silent(**changes: Any) -> SessionLog:
    """An easy ride outdoors about which nothing was said."""
    return make.log(**({"done_on": TODAY, "mode": Mode.RIDE, "talk": None, "effort": None} | changes))


def beside(**changes: Any) -> Beside:
    given: dict[str, Any] = {
        "known": make.history(client=make.client(heart_rate_use=HeartRateUse.RELIABLE), screening=()),
        "figures": (HIGHEST,),
        "heat": None,
        "after_transition": True,
        "rules": Rules(),
    }
    return Beside(**(given | changes))


@pytest.mark.parametrize(("minutes", "said"), [(5, None), (7, 7.0)])
def test_the_heart_alone_says_not_easy_from_more_than_five_minutes_above_the_edge(minutes, said):
    assert minutes_not_easy(silent(), ride(minutes), beside()) == (said and pytest.approx(said, abs=0.3))


def test_the_edge_is_seventy_seven_per_cent_of_the_measured_maximum():
    assert minutes_not_easy(silent(), ride(20, bpm=138.0), beside()) is None
    assert minutes_not_easy(silent(), ride(20, bpm=139.5), beside()) is not None


@pytest.mark.parametrize(
    "without",
    [
        {"figures": ()},
        {"figures": (replace(HIGHEST, measured_on=TODAY - timedelta(weeks=27)),)},
        {"figures": (replace(HIGHEST, set_aside_at=NOW, set_aside_by=1),)},
        {"heat": HOT},
        {"known": make.history(client=make.client(heart_rate_use=HeartRateUse.NOT_RELIABLE))},
    ],
    ids=("no maximum", "too old", "set aside", "hot day", "not reliable"),
)
def test_a_heart_that_may_not_be_judged_by_says_nothing(without):
    assert minutes_not_easy(silent(), ride(30), beside(**without)) is None
    assert judged_easy(silent(), ride(30), beside(**without)).was_easy is None


def test_a_hot_day_outdoors_says_nothing_of_drift_and_one_indoors_does():
    hot = beside(heat=HOT)

    assert isinstance(judged_easy(silent(), ride(0), hot).drift_percent, Missing)
    assert judged_easy(silent(mode=Mode.INDOOR_RIDE), ride(0), hot).drift_percent == pytest.approx(0.0)


@pytest.mark.parametrize(
    ("log", "planned", "is_easy"),
    [
        ({}, None, True),
        ({"kind": SessionKind.INTERVALS}, None, False),
        ({"kind": SessionKind.INTERVALS, "answer": Answer.AS_PLANNED}, make.planned(), True),
        ({"answer": Answer.EASY_VERSION}, make.planned_hard(), True),
        ({"answer": Answer.AS_PLANNED}, make.planned_hard(), False),
        ({"answer": Answer.NOT_DONE, "minutes": None}, make.planned(), False),
    ],
)
def test_easy_is_what_the_plan_meant_else_what_the_entry_says(log, planned, is_easy):
    assert is_easy_session(make.log(**log), planned) is is_easy


def test_two_silent_easy_sessions_with_a_high_heart_reach_the_morning_and_answers_come_first():
    plans = tuple(make.planned(id=60 + n, planned_on=on(-n)) for n in (3, 5))
    logs = tuple(
        make.log(id=160 + n, done_on=on(-n), planned_session_id=60 + n, talk=None, effort=None) for n in (3, 5)
    )
    above = ((163, 22.0), (165, 31.0))

    signal = found(calm(planned=plans, logs=logs, above_easy=above), "easy_not_easy")

    assert signal is not None
    assert ("nothing said; 31 min with the heart above the edge of easy") in [one.text for one in signal.why.figures]
    assert found(calm(planned=plans, logs=logs), "easy_not_easy") is None
    answered = tuple(replace(one, effort=3.0) for one in logs)
    assert found(calm(planned=plans, logs=answered, above_easy=above), "easy_not_easy") is None
