"""The changed plan after days off, travel and illness: what each session becomes, and what never happens.

Common practice, no published source; base only from 14 days on and the fever rules are house choices.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.changed_plan import ChangedPlan, changed_plan
from app.coaching.history import History
from app.coaching.holds import HoldKind, IllnessReturn, Stops
from app.coaching.lookahead import Level, breaches
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.steps import from_json, work_rounds
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayKind, ToldAway
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()


def on(days: int) -> date:
    return TODAY + timedelta(days=days)


def easy(days: int, minutes: int = 40, **changes: Any) -> PlannedSession:
    return make.planned(
        **({"id": 300 + days, "version_id": 300 + days, "planned_on": on(days), "minutes": minutes} | changes)
    )


def hard(days: int, **changes: Any) -> PlannedSession:
    return make.planned_hard(**({"id": 100 + days, "version_id": 100 + days, "planned_on": on(days)} | changes))


def a_plan(weeks: int = 10) -> tuple[PlannedSession, ...]:
    """Every week: rounds on Wednesday, easy on Monday, Friday and Sunday."""
    days = [(7 * week + day, day == 2) for week in range(-5, weeks) for day in (0, 2, 4, 6)]
    return tuple(hard(day) if is_hard else easy(day) for day, is_hard in days)


def somebody(days_off: int = 0, **records: Any) -> History:
    """Promoted, screened, regularly active; trained up to the days off, which end the day before TODAY."""
    logs = make.base_weeks(20, before=TODAY)
    given: dict[str, Any] = {
        "client": make.client(born_on=date(1985, 10, 7), regularly_active_confirmed_on=on(-280)),
        "decisions": (make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_TWO, since_on=on(-140)),),
        "screening": (make.answers(),),
        "logs": (
            *(one for one in logs if one.done_on < on(-days_off - 1)),
            make.log(id=9000, done_on=on(-days_off - 1)),
        ),
        "planned": a_plan(),
        "until_on": on(100),
    }
    return make.history(**(given | records))


def off(days: int, **changes: Any) -> ToldAway:
    return make.told_away(**({"from_on": on(-days), "until_on": on(-1)} | changes))


def offered(days_off: int, **records: Any) -> ChangedPlan:
    """The changed plan after so many days off up to yesterday."""
    return changed_plan(somebody(days_off, **records), off(days_off), TODAY, RULES)


def became(plan: ChangedPlan) -> dict[int, tuple[bool, int, int]]:
    """By days from TODAY: whether hard, minutes and rounds of what a session becomes."""
    return {
        (one.after.planned_on - TODAY).days: (one.after.is_hard, one.after.minutes, one.after.rounds)
        for one in plan.changes
    }


def test_under_five_days_off_offer_no_change():
    plan = offered(4)

    assert (plan.row, plan.changes) == (None, ())


@pytest.mark.parametrize("days", [5, 9])
def test_five_to_nine_days_two_easy_sessions_then_one_round_fewer(days):
    plan = offered(days)

    assert became(plan) == {2: (False, 30, 0), 9: (True, 49, 3)}
    assert [one.because for one in plan.changes] == [
        f"After {days} days off: two easy sessions first.", f"After {days} days off: one round fewer.",
    ]  # fmt: skip


def test_one_round_less_one_is_the_easy_version():
    steps = make.interval_steps(1)
    sessions = (*a_plan()[:-1], easy(0), easy(1), hard(3, rounds=1, steps_json=make.to_json(steps)))

    plan = offered(6, planned=tuple(one for one in sessions if on(0) <= one.planned_on <= on(3) and one.id != 102))

    assert became(plan) == {3: (False, 30, 0)}


@pytest.mark.parametrize("days", [10, 12])
def test_ten_to_thirteen_days_a_week_at_three_quarters_then_two_and_three_rounds(days):
    plan = offered(days)

    assert became(plan) == {
        0: (False, 30, 0), 2: (False, 30, 0), 4: (False, 30, 0), 6: (False, 30, 0),
        9: (True, 41, 2), 16: (True, 49, 3),
    }  # fmt: skip
    assert plan.changes[4].after.purpose.endswith("Aim 5 % under your last target.")


def test_thirteen_days_off_leave_fourteen_between_outings_so_the_gap_rule_keeps_rounds_away():
    """The stricter of two rules holds: what may not be published is offered as easy."""
    plan = offered(13)

    assert [day for day, (is_hard, *_) in became(plan).items() if is_hard] == []
    assert "hard work is not open yet" in plan.changes[-1].because
    assert plan.changes[-1].closed_by.startswith("no outing is logged since 21 September 2026")
    assert [one.later.rounds for one in plan.changes if one.later] == [2, 3]


@pytest.mark.parametrize("days", [14, 27])
def test_two_to_four_weeks_base_only_and_the_rounds_wait_as_drafts(days):
    plan = offered(days)

    hard_ones = [one for one in plan.changes if one.before.is_hard]
    assert [(one.before.planned_on - TODAY).days for one in hard_ones] == [2, 9, 16, 23, 30]
    assert all(not one.after.is_hard and one.is_binding for one in hard_ones)
    assert [one.later and one.later.rounds for one in hard_ones] == [None, None, 2, 3, 4]
    assert hard_ones[-1].later
    assert hard_ones[-1].later.purpose.endswith("Aim 10 % under your last target.")


def test_two_to_four_weeks_take_half_and_three_quarters_of_the_minutes():
    figures = became(offered(20))

    assert [figures[day][1] for day in (0, 4, 6, 7, 11, 13)] == [20, 20, 20, 30, 30, 30]
    assert 14 not in figures


@pytest.mark.parametrize("days", [28, 84, 85])
def test_from_four_weeks_on_no_planned_rounds_are_kept_anywhere(days):
    plan = offered(days)

    hard_ones = [one for one in plan.changes if one.before.is_hard]
    assert len(hard_ones) == 10
    assert all(not one.after.is_hard and one.is_binding and one.later is None for one in hard_ones)
    assert [became(plan)[day][1] for day in (0, 7, 14, 21)] == [20, 20, 30, 35]


def test_a_week_never_takes_more_than_its_share_of_the_last_full_week():
    """The plan rose meanwhile: 75 % of the 40-minute weeks before, not of the 60-minute ones ahead."""
    sessions = tuple(easy((one.planned_on - TODAY).days, 40 if one.planned_on < TODAY else 60) for one in a_plan())

    plan = offered(11, planned=sessions)

    assert became(plan)[0] == (False, 30, 0)


def test_a_test_and_a_race_wait_until_the_rounds_are_back():
    test = make.planned_hard(id=900, version_id=900, planned_on=on(8), kind=SessionKind.TEST, title="Test", rounds=0)

    plan = offered(11, planned=(*a_plan(), test))

    assert became(plan)[8] == (False, 30, 0)


def test_strength_is_left_alone():
    strength = easy(1, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH)

    assert 1 not in became(offered(20, planned=(*a_plan(), strength)))


def test_travel_with_nothing_possible_takes_the_sessions_away_and_counts_as_days_off():
    told = off(0, kind=AwayKind.TRAVEL, from_on=on(7), until_on=on(13))

    plan = changed_plan(somebody(), told, TODAY, RULES)

    assert [(one.before.planned_on - TODAY).days for one in plan.changes if one.is_taken_away] == [7, 9, 11, 13]
    assert became(plan)[16] == (False, 30, 0)
    assert (plan.minutes_before - plan.minutes_after) == 40 * 3 + 57 + 27 + 8


def test_travel_on_foot_turns_everything_into_easy_walks():
    told = off(0, kind=AwayKind.TRAVEL, from_on=on(0), until_on=on(6), possible=Possible.WALKING)
    rides = tuple(replace(one, mode=Mode.RIDE, title="Easy ride") for one in a_plan())

    plan = changed_plan(somebody(planned=rides), told, TODAY, RULES)

    assert {one.after.mode for one in plan.changes} == {Mode.WALK}
    assert became(plan) == {0: (False, 40, 0), 2: (False, 30, 0), 4: (False, 40, 0), 6: (False, 40, 0)}


def test_travel_with_less_time_halves_and_eases():
    told = off(0, kind=AwayKind.TRAVEL, from_on=on(0), until_on=on(6), possible=Possible.LESS)

    plan = changed_plan(somebody(), told, TODAY, RULES)

    assert became(plan) == {0: (False, 20, 0), 2: (False, 30, 0), 4: (False, 20, 0), 6: (False, 20, 0)}


def test_fever_rules_come_on_top():
    """Six days lost: half the minutes for six days, nothing hard before seven days well (house)."""
    back = IllnessReturn(1, make.CLIENT_ID, 1, on(-3), TODAY, 6, None, None, make.at(TODAY), make.COACH_ID)

    plan = offered(6, illness_returns=(back,))

    assert became(plan) == {0: (False, 20, 0), 2: (False, 25, 0), 4: (False, 20, 0), 9: (False, 30, 0)}
    assert plan.changes[-1].later
    assert plan.changes[-1].later.rounds == 3
    assert plan.changes[1].because.endswith("two easy sessions first; after being ill half the usual minutes.")


def test_while_all_training_is_paused_nothing_is_offered_and_what_waits_is_named():
    ill = make.hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, began_on=on(-3))

    plan = offered(6, holds=(ill,))

    assert plan.changes == ()
    assert [(one.planned_on - TODAY).days for one in plan.waiting] == [2, 9]


def test_a_hold_on_hard_work_turns_the_offered_rounds_into_easy_ones_that_wait():
    pause = make.hold(kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD, began_on=on(-3))

    plan = offered(6, holds=(pause,))

    assert became(plan) == {2: (False, 30, 0), 9: (False, 30, 0)}


def test_what_is_entered_already_is_left_alone():
    entered = make.log(id=77, planned_session_id=102, done_on=TODAY)
    history = somebody(6)

    plan = changed_plan(replace(history, logs=(*history.logs, entered)), off(6), TODAY, RULES)

    assert 2 not in became(plan)


histories = st.builds(
    lambda days, gap, hold, phase, held_back: somebody(
        days,
        decisions=(make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=on(-140)),),
        holds=hold,
        planned=tuple(one for one in a_plan(6) if (one.planned_on - TODAY).days % gap or one.is_hard),
        screening=() if held_back else (make.answers(),),
    ),
    st.integers(0, 100),
    st.integers(2, 9),
    st.sampled_from(
        [(), (make.hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, began_on=on(-3)),),
         (make.hold(kind=HoldKind.COACH, stops=Stops.HARD, began_on=on(-3)),)]
    ),
    st.sampled_from([Phase.INTERVAL_ONE, Phase.INTERVAL_TWO, Phase.AEROBIC_BASE]),
    st.booleans(),
)  # fmt: skip
tellings = st.builds(
    lambda first, days, possible, kind: off(
        0, from_on=on(first), until_on=on(first + days - 1), possible=possible, kind=kind
    ),
    st.integers(-60, 30),
    st.integers(1, 100),
    st.sampled_from(Possible),
    st.just(AwayKind.TRAVEL),
)


def refusals(history: History, plan: ChangedPlan) -> list[str]:
    going = [one.after for one in plan.changes]
    return [one.sentence for one in breaches(history, going, TODAY, RULES) if one.level is Level.REFUSES]


@settings(max_examples=60, deadline=None)
@given(histories, tellings)
def test_accepting_never_breaks_a_rule_that_refuses(history, told):
    plan = changed_plan(history, told, TODAY, RULES)

    assert refusals(history, plan) == []


@settings(max_examples=60, deadline=None)
@given(histories, tellings)
def test_nothing_hard_is_offered_on_a_day_away_or_under_a_hold(history, told):
    plan = changed_plan(history, told, TODAY, RULES)

    offered_hard = [one.after for one in plan.changes if not one.is_taken_away and is_hard_or_middle(one.after)]
    assert [one for one in offered_hard if told.from_on <= one.planned_on <= told.until_on] == []
    assert not (offered_hard and history.open_holds)


@settings(max_examples=60, deadline=None)
@given(histories, tellings)
def test_no_session_is_lost_or_moved_and_nothing_grows(history, told):
    plan = changed_plan(history, told, TODAY, RULES)

    assert all(
        one.after.id == one.before.id and one.after.planned_on == one.before.planned_on for one in plan.changes
    )
    assert all(one.is_taken_away or one.after.minutes <= one.before.minutes for one in plan.changes)
    away = [one for one in plan.changes if one.is_taken_away]
    assert all(told.from_on <= one.before.planned_on <= told.until_on and one.because for one in away)
    assert plan.minutes_after <= plan.minutes_before


@settings(max_examples=30, deadline=None)
@given(histories, tellings)
def test_the_same_records_give_the_same_offer(history, told):
    first = changed_plan(history, told, TODAY, RULES)
    again = changed_plan(replace(history, planned=tuple(reversed(history.planned))), told, TODAY, RULES)

    assert (first.key, first.changes) == (again.key, again.changes)


@settings(max_examples=40, deadline=None)
@given(histories, st.integers(14, 120))
def test_two_weeks_off_or_more_never_leave_a_round_that_could_be_kept(history, days):
    plan = changed_plan(history, off(days), TODAY, RULES)

    hard_ones = [one for one in plan.changes if one.before.is_hard]
    assert all(one.is_binding and work_rounds(from_json(one.after.steps_json)) == 0 for one in hard_ones)


def test_entries_on_days_that_were_told_as_off_are_named():
    walked = make.log(id=88, done_on=on(-3))
    history = somebody(8)

    plan = changed_plan(replace(history, logs=(*history.logs, walked)), off(8), TODAY, RULES)

    assert plan.entered == (on(-3),)


def test_entries_on_a_journey_on_foot_are_as_they_should_be():
    told = off(8, kind=AwayKind.TRAVEL, possible=Possible.WALKING)

    plan = changed_plan(somebody(0, logs=(make.log(done_on=on(-3)),)), told, TODAY, RULES)

    assert plan.entered == ()
