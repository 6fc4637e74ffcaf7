"""Interval blocks: rounds, spacing, easier weeks, and what does not fit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.interval_plans import IntervalPlan, PlanKey, interval_block, interval_plans
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import Phase
from app.coaching.planner_intervals import IntervalWishes, ceiling_of, spacing_hours
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules, rules_from
from app.coaching.time_away import Kept, Life, Possible, Stretch, possible_on
from app.coaching.week_drafts import WeekDraft

RULES = Rules()
DAYS = tuple(AvailableDay(1, day, 60, None, None) for day in (0, 1, 3, 4, 6))


def _wishes(**changes: Any) -> IntervalWishes:
    usual: dict[str, Any] = {
        "phase": Phase.INTERVAL_ONE,
        "hard_weekdays": (1,),
        "protocol_key": "four_by_four",
        "weeks": 5,
        "volume_min": 200,
        "is_introductory": True,
        "age": 45,
        "starts_on": date(2026, 9, 7),
        "mode": Mode.INDOOR_RIDE,
    }
    return IntervalWishes(**{**usual, **changes})


def _hard_rounds(weeks: tuple[WeekDraft, ...]) -> list[list[int]]:
    return [[session.rounds for session in week.sessions if session.is_hard] for week in weeks]


def _hard_days(weeks: tuple[WeekDraft, ...]) -> list[list[int]]:
    return [[session.weekday for session in week.sessions if session.is_hard] for week in weeks]


def test_the_first_block_grows_by_one_round_and_halves_in_the_easier_week() -> None:
    weeks = interval_block(_wishes(), days=DAYS, rules=RULES)

    assert _hard_rounds(weeks) == [[2], [3], [4], [2], [4]]


def test_an_easier_week_drops_a_quarter_of_the_easy_minutes() -> None:
    weeks = interval_block(_wishes(is_introductory=False), days=DAYS, rules=RULES)
    easy = [sum(session.minutes for session in week.sessions if not session.is_hard) for week in weeks]

    # full: 200 - 53 = 147; easier: 200 - 37 = 163, a quarter less = 122
    assert easy[2:4] == [147, 122]


def test_two_ticked_days_too_close_move_one_of_them_to_the_nearest_day_that_keeps_its_distance() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 3), is_introductory=False)

    nearest = interval_plans(wishes, days=DAYS, rules=RULES)[0]

    assert _hard_days(nearest.weeks) == [[0, 3]] * 5
    assert nearest.gives_up == ("5 on a day not ticked (Monday)",)


def test_the_nearest_plans_say_what_each_gives_up_and_which_rule_asks_for_it() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 3), is_introductory=False)

    plans = {plan.key: plan for plan in interval_plans(wishes, days=DAYS, rules=RULES)}

    assert list(plans) == [PlanKey.NEAREST, PlanKey.TICKED_DAYS]
    ticked = plans[PlanKey.TICKED_DAYS]
    assert ticked.gives_up == ("5 of 10 hard sessions left out",)
    assert ticked.because == ("Thu 10 Sep is 48 h from Tue 8 Sep; 72 h are needed.",)
    assert "A hard session is left out: Thu 10 Sep is 48 h from Tue 8 Sep" in ticked.weeks[0].said[-1]


def test_two_hard_days_48_hours_apart_are_kept_after_eight_weeks_under_sixty() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 3), is_introductory=False, weeks_before=8)

    assert _hard_rounds(interval_block(wishes, days=DAYS, rules=RULES))[0] == [4, 4]


def test_the_new_second_day_has_half_a_dose_for_four_weeks() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 4), weeks_before=12)

    assert _hard_rounds(interval_block(wishes, days=DAYS, rules=RULES)) == [[4, 2], [4, 2], [4, 2], [2, 2], [4, 4]]


def test_a_stricter_ceiling_leaves_every_other_second_day_easy() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 4), weeks_before=12)

    plan = interval_plans(wishes, days=DAYS, rules=rules_from({"fortnight_ceiling": 3}))[0]

    assert [len(rounds) for rounds in _hard_rounds(plan.weeks)] == [2, 1, 2, 1, 2]
    assert "would be one of 4 in 14 days; 3 is full" in plan.because[0]


def test_a_short_slot_takes_rounds_away_and_says_so() -> None:
    days = (AvailableDay(1, 1, 45, None, None), AvailableDay(1, 4, 90, None, None))

    weeks = interval_block(_wishes(is_introductory=False, volume_min=100), days=days, rules=RULES)

    # 3 rounds last 45 minutes
    assert _hard_rounds(weeks)[0] == [3]
    assert weeks[0].said == ("Tuesday holds 45 min: 3 rounds instead of 4.",)


def test_a_ticked_day_without_time_gives_its_session_to_another() -> None:
    plans = interval_plans(_wishes(hard_weekdays=(2,)), days=DAYS, rules=RULES)

    assert _hard_days(plans[0].weeks)[0] == [0]
    assert plans[0].gives_up == ("5 on a day not ticked (Monday)",)
    assert plans[1].gives_up == ("5 of 5 hard sessions left out",)
    assert "no day left has the time" in plans[1].because[0]


def test_two_days_ticked_in_the_phase_with_one_are_there_to_choose_from() -> None:
    weeks = interval_block(_wishes(hard_weekdays=(1, 4)), days=DAYS, rules=RULES)

    assert _hard_days(weeks)[0] == [1]
    assert weeks[0].said[0].startswith("One hard session a week in this phase")


def test_easy_minutes_that_do_not_fit_are_said() -> None:
    weeks = interval_block(_wishes(volume_min=400), days=DAYS, rules=RULES)

    assert any("easy min fit" in sentence for sentence in weeks[0].said)


def test_a_week_without_easy_minutes_holds_its_hard_session_only() -> None:
    weeks = interval_block(
        _wishes(is_introductory=False, volume_min=50), days=DAYS, rules=rules_from({"easy_share": 0.6})
    )

    assert [session.is_hard for session in weeks[0].sessions] == [True]


def test_rounds_give_way_so_that_four_fifths_of_the_week_stay_easy() -> None:
    wishes = _wishes(is_introductory=False, volume_min=80, weeks=1)

    [week] = interval_block(wishes, days=DAYS, rules=RULES)

    # three rounds and the brisk part of the warm-up are 13.5 min, four would be 17.5 of 80
    assert [one.rounds for one in week.sessions if one.is_hard] == [3]
    assert "1 round fewer, so that 80 % of 80 min stay easy." in week.said


def test_easy_work_stands_beside_a_test_that_stays_not_on_its_day() -> None:
    loop = Kept(date(2026, 9, 13), 40, "Standard loop, walk")

    plain, beside = (
        interval_block(_wishes(life=life), days=DAYS, rules=RULES)[0] for life in (Life(), Life(kept=(loop,)))
    )

    assert 6 in [one.weekday for one in plain.sessions]
    assert 6 not in [one.weekday for one in beside.sessions]
    assert beside.minutes + 40 == plain.minutes == 200


def test_easy_minutes_without_a_day_are_said() -> None:
    weeks = interval_block(_wishes(is_introductory=False), days=DAYS[1:2], rules=RULES)

    assert weeks[0].said == ("No day is left for 147 easy minutes.",)


@pytest.mark.parametrize("changes", [{"phase": Phase.AEROBIC_BASE}, {"hard_weekdays": ()}, {"weeks": 0}])
def test_a_block_that_cannot_be_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(DomainError):
        interval_block(_wishes(**changes), days=DAYS, rules=RULES)


@pytest.mark.parametrize(
    ("age", "weeks", "hours"), [(45, 7, 72), (45, 8, 48), (60, 30, 72), (None, 30, 72), (59, 8, 48)]
)
def test_spacing_is_wider_in_the_first_eight_weeks_and_from_sixty(age: int | None, weeks: int, hours: float) -> None:
    assert spacing_hours(age=age, interval_weeks=weeks, rules=RULES) == hours


def test_the_ceiling_is_three_unless_on_two_a_week() -> None:
    assert ceiling_of(Phase.INTERVAL_TWO, RULES) == 5
    assert ceiling_of(Phase.INTERVAL_ONE, RULES) == 3


def _with_days(weeks: tuple[WeekDraft, ...]) -> list[date]:
    return [week.starts_on + timedelta(days=one.weekday) for week in weeks for one in week.sessions if one.is_hard]


BEGINS = date(2026, 9, 7)
AWAY = st.builds(
    lambda after, length, possible: Stretch(
        BEGINS + timedelta(days=after), BEGINS + timedelta(days=after + length), possible
    ),
    st.integers(0, 40),
    st.integers(0, 16),
    st.sampled_from(Possible),
)
WISHES = st.builds(
    _wishes,
    phase=st.sampled_from([Phase.INTERVAL_ONE, Phase.INTERVAL_TWO]),
    hard_weekdays=st.lists(st.integers(0, 6), min_size=1, max_size=3, unique=True).map(tuple),
    is_introductory=st.booleans(),
    age=st.sampled_from([45, 66]),
    hard_there=st.lists(st.integers(-14, 40), max_size=3).map(
        lambda days: tuple(BEGINS + timedelta(days=day) for day in days)
    ),
    life=st.builds(Life, away=st.lists(AWAY, max_size=2).map(tuple)),
    weeks=st.just(6),
    weeks_before=st.just(5),
)
SLOTS = st.dictionaries(st.integers(0, 6), st.integers(20, 120), min_size=1)


def _client_days(slots: dict[int, int]) -> tuple[AvailableDay, ...]:
    return tuple(AvailableDay(1, day, minutes, None, None) for day, minutes in slots.items())


def _keeps_the_rules(plan: IntervalPlan, wishes: IntervalWishes) -> bool:
    placed = _with_days(plan.weeks)
    together = sorted({*placed, *wishes.hard_there})
    needed = {
        day: spacing_hours(age=wishes.age, interval_weeks=5 + (day - BEGINS).days // 7, rules=RULES)
        for day in together
    }
    is_apart = all((b - a).days * 24 >= needed[b] for a, b in pairwise(together) if {a, b} & set(placed))
    is_under = all(_fullest(together, day) <= ceiling_of(wishes.phase, RULES) for day in placed)
    is_there = all(possible_on(wishes.life.away, day) is not Possible.NOTHING for day in placed)
    return is_apart and is_under and is_there


@settings(max_examples=80, deadline=None)
@given(slots=SLOTS, wishes=WISHES)
def test_no_plan_offered_breaks_a_rule(slots: dict[int, int], wishes: IntervalWishes) -> None:
    plans = interval_plans(wishes, days=_client_days(slots), rules=RULES)
    weeks = [week for plan in plans for week in plan.weeks]

    assert all(_keeps_the_rules(plan, wishes) for plan in plans)
    assert all(one.minutes <= slots[one.weekday] for week in weeks for one in week.sessions)
    assert all(week.minutes == week.target_minutes or week.said for week in weeks)


@settings(max_examples=40, deadline=None)
@given(slots=SLOTS, wishes=WISHES, data=st.data())
def test_the_order_in_which_days_are_given_changes_no_plan(
    slots: dict[int, int], wishes: IntervalWishes, data: st.DataObject
) -> None:
    ticked = tuple(data.draw(st.permutations(wishes.hard_weekdays)))
    days = tuple(data.draw(st.permutations(_client_days(slots))))

    mixed = interval_plans(replace(wishes, hard_weekdays=ticked), days=days, rules=RULES)

    assert mixed == interval_plans(wishes, days=_client_days(slots), rules=RULES)


def _fullest(days: list[date], day: date) -> int:
    firsts = [day - timedelta(days=back) for back in range(14)]
    return max(sum(first <= one < first + timedelta(days=14) for one in days) for first in firsts)


# Common practice, no published source: the days-off rows for the interval phase.
@pytest.mark.parametrize(
    ("days_off", "rounds"),
    [
        (7, [[4], [], [3], [4], [4], [4], [2]]),  # 5 to 9: one round fewer; the easier week after three full ones
        (14, [[4], [], [], [], [], [2], [3]]),  # 14 to 27: easy only for two weeks, then 2, 3, 4
    ],
)
def test_days_off_take_rounds_away_and_bring_them_back(days_off: int, rounds: list[list[int]]) -> None:
    first = date(2026, 9, 14)
    life = Life((Stretch(first, first + timedelta(days=days_off - 1), Possible.NOTHING),))

    weeks = interval_block(_wishes(is_introductory=False, weeks=8, life=life), days=DAYS, rules=RULES)

    assert _hard_rounds(weeks)[: len(rounds)] == rounds


def test_after_days_off_two_easy_outings_come_before_the_rounds() -> None:
    first = date(2026, 9, 14)
    life = Life((Stretch(first, first + timedelta(days=6), Possible.NOTHING),))

    weeks = interval_block(_wishes(is_introductory=False, weeks=4, life=life), days=DAYS, rules=RULES)

    assert _hard_days(weeks)[2] == [3]
    assert [one.weekday for one in weeks[2].sessions if not one.is_hard and one.weekday < 3] == [0, 1]


def test_heavy_leg_work_blocks_the_day_after_it() -> None:
    wishes = _wishes(hard_weekdays=(1,), life=Life(strength_weekdays=(0,)))

    plan = interval_plans(wishes, days=DAYS, rules=RULES)[0]

    assert _hard_days(plan.weeks)[0] == [3]


def test_the_weekly_time_rises_by_the_step_and_not_while_rounds_grow() -> None:
    weeks = interval_block(_wishes(before_min=120, weeks=8), days=DAYS, rules=RULES)

    full = [week.minutes for week in weeks if not week.is_easier]
    # rounds grow 2, 3, 4 in the first three weeks; the minutes afterwards
    assert full == [135, 135, 135, 150, 165, 180]


@pytest.mark.parametrize("starts_on", [date(2026, 12, 14), date(2028, 2, 14), date(2027, 3, 15), date(2026, 10, 12)])
def test_the_odd_days_of_the_calendar_change_no_plan(starts_on: date) -> None:
    plain = interval_block(_wishes(weeks=5), days=DAYS, rules=RULES)
    odd = interval_block(_wishes(weeks=5, starts_on=starts_on), days=DAYS, rules=RULES)

    assert [week.sessions for week in odd] == [week.sessions for week in plain]
    assert [week.starts_on for week in odd] == [starts_on + timedelta(weeks=n) for n in range(5)]


def test_hard_sessions_stand_further_apart_from_the_week_of_the_sixtieth_birthday() -> None:
    wishes = _wishes(
        phase=Phase.INTERVAL_TWO,
        hard_weekdays=(1, 3),
        is_introductory=False,
        age=59,
        weeks_before=20,
        older_from=date(2026, 9, 23),
    )

    assert _hard_days(interval_block(wishes, days=DAYS, rules=RULES))[:3] == [[1, 3], [1, 3], [0, 3]]


def test_a_weekly_time_not_reached_is_said_with_where_it_begins_and_ends() -> None:
    days = tuple(AvailableDay(1, day, 180, None, None) for day in range(6))
    weeks = interval_block(_wishes(volume_min=540, before_min=110), days=days, rules=RULES)

    most = max(week.target_minutes for week in weeks)
    assert weeks[0].said[0] == (
        "540 min a week are wished; 110 were done a week lately, and a week adds 20 min at most and none while "
        f"rounds grow: it begins with {weeks[0].target_minutes}; the most in these weeks is {most}."
    )


def test_a_week_too_short_for_the_session_keeps_its_least_rounds_and_says_so() -> None:
    weeks = interval_block(_wishes(is_introductory=False, volume_min=40), days=DAYS, rules=RULES)

    assert _hard_rounds(weeks)[0] == [2]
    assert "the session has 2 rounds at least, and the week is too short for it" in " ".join(weeks[0].said)


def test_a_rest_too_short_for_an_outing_is_no_outing() -> None:
    weeks = interval_block(_wishes(volume_min=45), days=DAYS, rules=RULES)

    outings = [one.minutes for week in weeks for one in week.outings if not one.is_hard]
    assert [minutes for minutes in outings if minutes < 20] == []
    assert "easy min are left out: an outing has 20 at least." in " ".join(weeks[0].said)
