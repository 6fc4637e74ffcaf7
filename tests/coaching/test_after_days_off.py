"""What days off leave of targets and of the next step: the table of days off, row by row.

Common practice, no published source.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from app.coaching.after_days_off import afresh_since, after_days_off
from app.coaching.executed import executed_sessions
from app.coaching.history import History
from app.coaching.measured import KnownHow, Measured, MeasuredKind
from app.coaching.next_step import Dimension, NextStep, Way, next_step
from app.coaching.people import HeartRateUse, Mode
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_values import Option
from app.coaching.targets import target_options
from app.coaching.told_away import AwayAnswer
from tests import factories as make
from tests.coaching.target_scenes import ACTIVE, RULES, TODAY, ago, done, five_km, history, measured, runs, scene
from tests.coaching.test_session_target import POWER, WHY

TALK = measured(MeasuredKind.TALK_POWER, value=200.0, capacity=None, how=KnownHow.TALK_TEST, measured_on=ago(90))
INCLINE = SessionTarget(TargetForm.INCLINE, 6.0, None, None, (), None, "the incline of the last session", WHY)
LADDER = SessionTarget(TargetForm.PACE, None, None, None, (309.0, 300.0, 300.0, 297.0), None, "5 km in 25:00", WHY)


def off(days: int, back: int = 7, **changes: Any) -> Any:
    """So many days off, told, of which the last was before the day so many days ago."""
    until = ago(back + 1)
    return make.told_away(from_on=until - timedelta(days=days - 1), until_on=until, **changes)


def came_back(days: int, *since: Any, target: SessionTarget | None = POWER, mode: Mode = Mode.INDOOR_RIDE) -> History:
    """Two sessions that went well, so many days off until a week ago, and what was done since."""
    before = [done(7 + days + n, target, mode=mode) for n in (10, 3)]
    return history(*before, *since, told_away=(off(days),))


def option(known: History, key: str, *figures: Measured, **session: Any) -> Option:
    return {one.key: one for one in target_options(scene(known, *figures, **session))}[key]


def step(known: History) -> NextStep:
    executed = executed_sessions(known, TODAY, RULES)
    return next_step(executed, days_off=after_days_off(known, executed, TODAY), afresh=afresh_since(known, TODAY))


# The target of the first rounds, against 260 W aimed at before and a talk test that would allow more
@pytest.mark.parametrize(
    ("days", "since", "watts"),
    [
        (4, 0, 266),  # nothing changes: one step of 2.5 % above the last target
        (9, 0, 266),  # 5 to 9: one round fewer, the target stays
        (10, 0, 253),  # 10 to 13: 5 % under those 266.5
        (13, 0, 253),
        (14, 0, 240),  # 14 to 27: 10 % under them
        (27, 0, 240),
        (10, 1, 247),  # the second of two, and no more than the 247 W of the first
        (14, 2, 234),  # the third of three, and no more than the 234 W before
        (10, 2, 253),  # the way back is over: one step above the last 247 W
    ],
)
def test_after_days_off_the_target_is_lower_for_as_many_sessions_as_the_table_says(days, since, watts):
    """Common practice, no published source."""
    lower = {10: 247.0, 14: 234.0}.get(days, 260.0)
    made = SessionTarget(TargetForm.POWER, lower, None, None, (), None, "after days off", WHY)
    known = came_back(days, *[done(n, made, rounds=2) for n in range(since, 0, -1)])

    found = option(known, "power_talk", measured(MeasuredKind.TALK_POWER, value=300.0, capacity=None))

    assert found.target is not None
    assert found.target.value == watts


def test_the_reason_names_the_days_off_and_the_hardest_that_may_be_typed_is_lower_too():
    curve = measured()

    usual, lower = (option(came_back(days), "power_curve", curve) for days in (4, 20))

    assert usual.hardest is not None
    assert lower.hardest == pytest.approx(0.9 * usual.hardest)
    assert any(one.name == "days off" and "10 % lower" in one.text for one in lower.why.figures)
    assert all(one.name != "days off" for one in usual.why.figures)


def test_paces_and_inclines_are_gentler_and_effort_ends_one_lower():
    runner = history(
        *(done(27 + n, LADDER, mode=Mode.RUN) for n in (10, 3)), tests=(five_km(),), logs=runs(), told_away=(off(20),)
    )
    walker = came_back(20, target=INCLINE, mode=Mode.TREADMILL)

    ladder = option(runner, "pace_ladder", mode=Mode.RUN).target
    incline = option(walker, "incline", mode=Mode.TREADMILL).target

    # 103, 100, 99 and 98 % of 300 s a km, each divided by 0.9
    assert ladder is not None
    assert ladder.rounds == pytest.approx((343.3, 333.3, 330.0, 326.7), abs=0.1)
    assert incline is not None
    assert incline.value == pytest.approx(5.4)
    assert [option(came_back(days), "effort").target.value for days in (9, 20)] == [7, 6]  # type: ignore[union-attr]


def test_who_did_no_rounds_before_has_none_that_come_back():
    known = history(told_away=(off(20),))

    assert after_days_off(known, (), TODAY) is None


# Which figures wait to be measured again
@pytest.mark.parametrize(("days", "waits"), [(27, False), (28, True), (90, True)])
def test_from_four_weeks_off_no_target_is_made_before_it_is_measured_again(days, waits):
    """Common practice, no published source."""
    known = came_back(days)
    older = measured(measured_on=ago(days + 20))
    again = measured(id=2, measured_on=ago(2))

    found = option(known, "power_curve", older)

    assert found.is_offered is not waits
    assert option(known, "power_curve", older, again).is_offered
    if waits:
        assert f"before {days} days off" in found.missing[0]
        assert "waits to be measured again" in found.missing[0]


def test_every_figure_and_a_race_from_before_wait_and_the_last_incline_is_not_taken_up():
    client = make.client(
        regularly_active_confirmed_on=ACTIVE.regularly_active_confirmed_on, heart_rate_use=HeartRateUse.RELIABLE
    )
    heart = measured(MeasuredKind.HIGHEST_HEART_RATE, value=160.0, capacity=None, measured_on=ago(60))
    speed = measured(MeasuredKind.CRITICAL_SPEED, mode=Mode.RUN, value=3.5, capacity=180.0, measured_on=ago(60))
    swum = measured(MeasuredKind.CRITICAL_SPEED, mode=Mode.SWIM, value=1.0, capacity=20.0, measured_on=ago(60))
    known = history(
        *(done(40 + n, INCLINE, mode=Mode.TREADMILL) for n in (9, 2)),
        client=client,
        tests=(five_km(tested_on=ago(50)),),
        logs=runs(),
        told_away=(off(30),),
    )

    waiting = [
        option(known, "power_talk", TALK),
        option(known, "heart_rate", heart),
        option(known, "pace_curve", speed, mode=Mode.RUN),
        option(known, "pace_ladder", mode=Mode.RUN),
    ]
    pool = option(known, "pool", swum, mode=Mode.SWIM)
    incline = option(known, "incline", mode=Mode.TREADMILL).target

    assert [one.is_offered for one in waiting] == [False] * 4
    assert all(any("before 30 days off" in said for said in one.missing) for one in waiting)
    assert any("before 30 days off" in one.text for one in pool.why.figures)
    assert incline is not None
    assert incline.value is None


def test_after_four_weeks_off_the_first_power_stays_near_critical_power_and_under_the_last_target():
    again = measured(measured_on=ago(2))
    high = SessionTarget(TargetForm.POWER, 300.0, None, None, (), None, "before", WHY)

    usual, afresh = (option(came_back(days, target=high), "power_curve", again) for days in (4, 30))

    assert usual.hardest == pytest.approx(1.12 * 250)
    assert afresh.hardest == pytest.approx(1.03 * 250)


def test_agreed_leave_counts_and_adjoins_and_what_was_declined_or_is_not_over_does_not():
    told = off(20)
    before = make.leave(from_on=told.from_on - timedelta(days=9), until_on=told.from_on - timedelta(days=1))
    declined = off(40, answer=AwayAnswer.DECLINED)
    lasting = make.told_away(from_on=ago(40), until_on=TODAY)

    assert afresh_since(history(told_away=(told,), leaves=(before,)), TODAY) is not None
    assert afresh_since(history(told_away=(told,)), TODAY) is None
    assert afresh_since(history(told_away=(declined,)), TODAY) is None
    assert afresh_since(history(told_away=(lasting,)), TODAY) is None
    assert afresh_since(history(told_away=(lasting,)), TODAY + timedelta(days=1)) is not None


def test_weeks_without_an_entry_are_not_days_off():
    known = history(*(done(n, POWER) for n in (60, 53)))

    assert afresh_since(known, TODAY) is None
    assert option(known, "power_curve", measured(measured_on=ago(60))).is_offered


# What comes next
@pytest.mark.parametrize(
    ("days", "since", "rounds", "watts"),
    [
        (5, 0, 3, 260),  # 5 to 9: one round fewer
        (10, 0, 2, 247),  # 10 to 13: 2, then 3 rounds at -5 %
        (13, 1, 3, 247),
        (14, 0, 2, 234),  # 14 to 27: 2, 3, 4 rounds at -10 %
        (20, 1, 3, 234),
        (27, 2, 4, 234),
    ],
)
def test_after_days_off_the_next_step_is_the_row_of_the_table(days, since, rounds, watts):
    """Common practice, no published source."""
    made = SessionTarget(TargetForm.POWER, float(watts), None, None, (), None, "after days off", WHY)
    known = came_back(days, *[done(2 * n, made, rounds=4 - n) for n in range(since, 0, -1)])

    found = step(known)

    assert found.way is Way.EASIER
    assert found.asks is not None
    assert found.asks.rounds == rounds
    assert found.asks.target is not None
    assert found.asks.target.value == pytest.approx(watts)
    assert found.sentence.startswith(f"After {days} days off")


def test_a_session_since_then_that_was_not_held_decides_before_the_table():
    low = SessionTarget(TargetForm.POWER, 234.0, None, None, (), None, "after days off", WHY)
    known = came_back(20, done(3, low, rounds=2, effort=9.5))

    found = step(known)

    assert found.dimension is Dimension.TARGET
    assert not found.sentence.startswith("After 20 days off")


def test_after_four_weeks_off_there_is_no_step_from_the_sessions_before():
    found = step(came_back(30))

    assert (found.way, found.asks) == (Way.SAME, None)
    assert "retest first" in found.sentence
    assert step(came_back(30, done(3, POWER, rounds=2))).asks is not None
