"""Weeks on the way back from days off are held to the share the table gives them, not to the empty weeks before."""

from __future__ import annotations

import pytest

from app.coaching.lookahead import breaches
from app.coaching.lookahead_values import Level
from app.coaching.phases import Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.time_away import Possible
from tests import factories as make
from tests.coaching.test_lookahead_mends import RULES, TODAY, easy, on, somebody


def _weeks(*minutes: int) -> list[PlannedSession]:
    """Monday, Wednesday and Friday of each week, so many minutes each; none where it is 0."""
    return [easy(7 * week + day, each) for week, each in enumerate(minutes) for day in (0, 2, 4) if each]


def _steps(*minutes: int) -> list[str]:
    found = breaches(somebody(Phase.AEROBIC_BASE), _weeks(*minutes), TODAY, RULES)
    return [one.sentence for one in found if one.kind == "step"]


# From the last Friday to the Monday after two whole weeks are 16 days without an outing; a full week has 180 min.
@pytest.mark.parametrize(
    ("weeks", "says"),
    [
        ((60, 0, 0, 30, 45, 50), []),
        ((60, 0, 0, 31, 45), ["Week of Mon 26 Oct: 93 min; after 16 days off 90 are the most."]),
        ((60, 0, 0, 30, 46), ["Week of Mon 2 Nov: 138 min; after 16 days off 135 are the most."]),
        ((60, 0, 0, 30, 45, 52), ["Week of Mon 9 Nov: 156 min, 21 more than before; 15 is the most. A large step."]),
        (
            (60, 30, 25, 60),
            [
                "Week of Mon 26 Oct: 180 min, 90 more than before; 15 is the most. A large step. The two weeks "
                "before held 90 and 75 min; the week of Mon 5 Oct held 180."
            ],
        ),
        ((60, 0, 0, 0, 0, 30, 36, 45, 54), []),
        ((60, 0, 0, 0, 0, 30, 40), ["Week of Mon 16 Nov: 120 min; after 30 days off 108 are the most."]),
    ],
)
def test_a_week_back_is_held_to_its_share_of_the_last_full_one(weeks: tuple[int, ...], says: list[str]) -> None:
    assert _steps(*weeks) == says


def test_a_step_after_two_short_weeks_names_the_days_away() -> None:
    away = make.leave(from_on=on(10), until_on=on(13))
    told = make.told_away(from_on=on(17), until_on=on(20), possible=Possible.NOTHING)
    client = somebody(Phase.AEROBIC_BASE, leaves=(away,), told_away=(told,))

    steps = [one for one in breaches(client, _weeks(60, 30, 25, 60), TODAY, RULES) if one.kind == "step"]

    assert [(one.level, one.on) for one in steps] == [(Level.ASKS, on(21))]
    assert "with days away (Thu 15 Oct to Sun 18 Oct, Thu 22 Oct to Sun 25 Oct)" in steps[0].sentence
    assert "fuller before" in [figure.name for figure in steps[0].why.figures]
