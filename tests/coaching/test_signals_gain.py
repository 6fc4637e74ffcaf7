"""What comes next in the interval phase: after a decision to stay at one, the question waits."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.phases import DecisionKind, Phase
from app.coaching.second_week import WEEKS_ON_ONE
from app.coaching.signals import signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, on
from tests.coaching.signal_table import TABLE


@pytest.mark.parametrize(
    ("days_ago", "is_asked"), [(1, False), (7 * WEEKS_ON_ONE - 1, False), (7 * WEEKS_ON_ONE, True)]
)
def test_a_decision_to_stay_at_one_is_asked_again_only_after_as_many_weeks(days_ago: int, is_asked: bool) -> None:
    rows = TABLE["second_due"]()
    stays = make.decision(id=2, kind=DecisionKind.STAY, phase=Phase.INTERVAL_ONE, since_on=on(-days_ago))
    history = replace(rows.fires, decisions=(*rows.fires.decisions, stays))

    assert ("second_due" in {one.name for one in signals(history, TODAY, rows.rules)}) is is_asked
