"""What comes next in the interval phase: after a decision to stay at one, the question waits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.conversation import sheet_of
from app.coaching.phases import DecisionKind, Phase
from app.coaching.second_week import WEEKS_ON_ONE
from app.coaching.signals import signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, hard_planned, on
from tests.coaching.signal_table import TABLE


@pytest.mark.parametrize(
    ("days_ago", "is_asked"), [(1, False), (7 * WEEKS_ON_ONE - 1, False), (7 * WEEKS_ON_ONE, True)]
)
def test_a_decision_to_stay_at_one_is_asked_again_only_after_as_many_weeks(days_ago: int, is_asked: bool) -> None:
    rows = TABLE["second_due"]()
    stays = make.decision(id=2, kind=DecisionKind.STAY, phase=Phase.INTERVAL_ONE, since_on=on(-days_ago))
    history = replace(rows.fires, decisions=(*rows.fires.decisions, stays))

    assert ("second_due" in {one.name for one in signals(history, TODAY, rows.rules)}) is is_asked


@pytest.mark.parametrize(
    "changes",
    [
        {"screening": (make.answers(answered_on=on(-200)),)},
        {"pressures": ()},
        {"holds": (make.hold(),)},
        {"planned": (hard_planned(1), hard_planned(2))},
        {"planned": tuple(hard_planned(days) for days in (2, 4, 6, 8, 10, 12))},
    ],
    ids=["screening out of date", "no reading", "on hold", "too close", "fortnight over full"],
)
def test_a_second_session_is_not_spoken_for_while_safety_or_load_speaks_against_it(changes) -> None:
    rows = TABLE["second_due"]()
    asked = "Would a second hard day fit your week?"

    assert any(asked in question for question in sheet_of(rows.fires, TODAY, rows.rules).questions)
    against = replace(rows.fires, **changes)
    assert "second_due" not in {one.name for one in signals(against, TODAY, rows.rules)}
    assert not any(asked in question for question in sheet_of(against, TODAY, rows.rules).questions)
