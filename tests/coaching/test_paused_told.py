"""What pauses training, told to the coach, and what is not even drafted because of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.hold_rules import StoppedWork
from app.coaching.paused_told import not_drafted
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_steps import easy_steps
from app.coaching.steps import to_json
from tests.factories import planned, planned_hard

NOTHING = StoppedWork((), (), ())
HARD = StoppedWork((), ("pain in the chest, since Mon 23 Nov.",), ())
ALL = StoppedWork(("fever, since Mon 23 Nov.",), (), ())
EASY = planned(kind=SessionKind.EASY, mode=Mode.WALK, steps_json=to_json(easy_steps(30, Mode.WALK)), minutes=30)


@pytest.mark.parametrize(
    ("stopped", "says"),
    [
        (HARD, "No hard or middle work for Hilde now. Hard work is paused: pain in the chest, since Mon 23 Nov."),
        (ALL, "No hard or middle work for Hilde now. All training is paused: fever, since Mon 23 Nov."),
        (NOTHING, ""),
    ],
)
def test_hard_work_is_not_drafted_while_it_is_stopped(stopped: StoppedWork, says: str) -> None:
    assert not_drafted(stopped, planned_hard(), "Hilde") == says


def test_easy_work_and_what_is_taken_away_may_be_drafted() -> None:
    assert not_drafted(ALL, EASY, "Hilde") == ""
    assert not_drafted(HARD, replace(planned_hard(), is_cancelled=True), "Hilde") == ""
