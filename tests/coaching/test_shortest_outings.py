"""No outing under 20 minutes but where a day or a whole week has no more, and then it says so."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.people import AvailableDay, Mode
from app.coaching.planner import BaseWishes, base_block
from app.coaching.rules import Rules
from app.coaching.time_away import NOTHING_BESIDES, Kept, Life, Possible, Stretch
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import spread_minutes

MONDAY = date(2026, 9, 7)
RULES = Rules()


def _block(
    slots: dict[int, int], *, start: int, every: int = 4, weeks: int = 4, life: Life = NOTHING_BESIDES
) -> tuple[WeekDraft, ...]:
    days = [AvailableDay(1, day, minutes, None, None) for day, minutes in slots.items()]
    wishes = BaseWishes(start, start + 60, weeks, every, MONDAY, Mode.WALK, life=life)
    return base_block(wishes, days=days, rules=RULES)


def _outings(week: WeekDraft) -> list[tuple[int, int]]:
    return [(one.weekday, one.minutes) for one in week.outings]


def test_a_small_easier_week_has_fewer_outings_of_the_same_days_instead_of_short_ones() -> None:
    # 60 and 75 min on three days; then 72 % of 75 is 54, which three days would cut into 18 each
    weeks = _block({0: 45, 2: 45, 4: 45}, start=60, every=3)

    assert [minutes for _day, minutes in _outings(weeks[1])] == [25, 20, 30]
    assert weeks[2].is_easier
    assert weeks[2].minutes == 54
    assert len(weeks[2].outings) == 2
    assert min(minutes for _day, minutes in _outings(weeks[2])) >= 20
    assert "2 of the 3 days before, since an outing is hardly shorter than 20 min." in weeks[2].said


def test_short_days_hold_short_outings_only_where_the_minutes_need_them_and_say_so() -> None:
    # 55 min over days of 20: two outings hold 40, so the third is as long as what is left
    weeks = _block({0: 20, 2: 20, 4: 20}, start=55, weeks=1)

    assert sorted(minutes for _day, minutes in _outings(weeks[0])) == [15, 20, 20]
    assert "An outing of 15 min: the longer ones are as long as they may be." in weeks[0].said


def test_a_rest_too_short_for_an_outing_is_left_out_with_its_reason() -> None:
    # 50 min over days of 20: a third outing would have ten
    weeks = _block({0: 20, 2: 20, 4: 20}, start=50, weeks=1)

    assert [minutes for _day, minutes in _outings(weeks[0])] == [20, 20]
    assert "40 of 50 min: 10 short, because another outing would be shorter than 20 min." in weeks[0].said


def test_a_day_with_less_time_than_an_outing_takes_is_told() -> None:
    weeks = _block({1: 15, 3: 45, 5: 45}, start=60, weeks=1)

    assert (1, 15) in _outings(weeks[0])
    assert "Tuesday has 15 min: outings there are that short." in weeks[0].said


def test_what_a_race_leaves_of_its_week_is_no_outing_of_a_few_minutes() -> None:
    race = Kept(MONDAY + timedelta(days=6), 55, "Harbour race")

    (week,) = _block({0: 45, 2: 45, 4: 45}, start=60, weeks=1, life=Life(kept=(race,)))

    assert week.outings == ()
    assert "55 of 60 min: 5 short, because another outing would be shorter than 20 min." in week.said


def test_a_week_of_less_than_one_outing_keeps_its_minutes_and_says_why_they_are_so_few() -> None:
    weeks = _block({0: 45, 3: 45}, start=20, every=2, weeks=2)

    assert [minutes for _day, minutes in _outings(weeks[1])] == [14]
    assert "An outing of 14 min: the whole week has no more." in weeks[1].said


def test_half_of_a_short_day_is_no_slot() -> None:
    away = (Stretch(MONDAY, MONDAY + timedelta(days=6), Possible.LESS),)

    (week,) = _block({0: 30, 2: 60, 4: 60}, start=90, weeks=1, life=Life(away))

    assert [day for day, _minutes in _outings(week)] == [2, 4]


@settings(max_examples=80, deadline=None)
@given(
    total=st.integers(20, 300),
    slots=st.dictionaries(st.integers(0, 6), st.integers(10, 120), min_size=1, max_size=7),
    longest=st.integers(30, 120),
    kept=st.lists(st.integers(0, 6), max_size=5, unique=True),
)
def test_only_one_outing_of_a_week_is_shorter_than_twenty_minutes_and_than_its_day(
    total: int, slots: dict[int, int], longest: int, kept: list[int]
) -> None:
    spread = spread_minutes(total, slots, longest, fewest_days=kept)
    missing = {day: min(20, slots[day]) - minutes for day, minutes in spread.items()}

    assert sum(max(0, minutes) for minutes in missing.values()) <= 5
    assert sum(spread.values()) <= total


def test_a_short_day_with_odd_minutes_is_filled_before_a_long_one() -> None:
    slots = {0: 10, 1: 10, 2: 12, 3: 14, 4: 45, 5: 95, 6: 105}

    assert spread_minutes(285, slots, 105) == slots | {6: 99}


@pytest.mark.parametrize(("total", "days"), [(60, 3), (59, 2), (40, 2), (39, 1)])
def test_days_of_the_week_before_are_kept_as_far_as_each_has_an_outing(total: int, days: int) -> None:
    spread = spread_minutes(total, {0: 45, 2: 45, 4: 45, 6: 45}, 60, fewest_days=(0, 2, 4))

    assert len(spread) == days
    assert set(spread) <= {0, 2, 4}
