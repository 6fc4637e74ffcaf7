"""A week that days away leave with little work is the easier week of its span; the count starts again after it.

Common practice, no published source: every fourth week at 70 to 75 % of the minutes.
"""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.interval_plans import interval_block
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import Phase
from app.coaching.planner import BaseWishes, base_block, risen
from app.coaching.planner_intervals import IntervalWishes
from app.coaching.rules import Rules
from app.coaching.time_away import NOTHING_BESIDES, REST_WORDS, Life, Possible, Stretch, ways_back
from app.coaching.week_drafts import WeekDraft

MONDAY = date(2026, 9, 7)
DAYS = tuple(AvailableDay(1, day, minutes, None, None) for day, minutes in ((0, 90), (2, 60), (4, 60), (6, 90)))
RESTS = REST_WORDS


def _away(week: int, first: int, last: int, possible: Possible = Possible.NOTHING) -> Stretch:
    monday = MONDAY + timedelta(weeks=week - 1)
    return Stretch(monday + timedelta(days=first), monday + timedelta(days=last), possible)


def _base(*away: Stretch, weeks: int = 9, every: int = 4) -> tuple[WeekDraft, ...]:
    wishes = BaseWishes(120, 240, weeks, every, MONDAY, Mode.WALK, longest_before_min=36, life=Life(away))
    return base_block(wishes, days=DAYS, rules=Rules())


#: Only Wednesday has the time for a hard session.
WEDNESDAYS = tuple(AvailableDay(1, day, 75 if day == 2 else 40, None, None) for day in (0, 2, 4, 5, 6))


def _hard(*away: Stretch) -> tuple[WeekDraft, ...]:
    wishes = IntervalWishes(
        phase=Phase.INTERVAL_ONE,
        hard_weekdays=(2,),
        protocol_key="four_by_four",
        weeks=9,
        volume_min=200,
        is_introductory=False,
        age=45,
        starts_on=MONDAY,
        mode=Mode.WALK,
        weeks_before=20,
        life=Life(away) if away else NOTHING_BESIDES,
    )
    return interval_block(wishes, days=WEDNESDAYS, rules=Rules())


def _easier(weeks: tuple[WeekDraft, ...]) -> list[int]:
    return [number for number, week in enumerate(weeks, start=1) if week.is_easier]


def test_no_easier_week_follows_straight_on_a_short_holiday() -> None:
    # Wednesday to Saturday of the third week away; the fourth would have been the easier one
    weeks = _base(_away(3, 2, 5))

    assert weeks[2].minutes <= 0.75 * weeks[1].minutes
    assert RESTS in weeks[2].said
    assert _easier(weeks) == [7]


def test_what_a_holiday_leaves_is_told_with_all_that_cuts_it() -> None:
    # Monday alone is left: 90 min, of which an outing may have 42 after one of 39, a tenth more
    weeks = _base(_away(3, 2, 6))

    assert weeks[2].minutes == 42
    assert weeks[2].said[1] == (
        "42 of 150 min: 108 short, because the days given hold 90 min together and no outing may be longer than "
        "42 min yet."
    )


def test_an_easier_week_due_in_the_holiday_is_the_holiday() -> None:
    weeks = _base(_away(4, 1, 4))

    assert RESTS in weeks[3].said
    assert not weeks[3].is_easier
    assert _easier(weeks) == [8]


def test_a_holiday_that_leaves_the_work_as_it_is_changes_nothing() -> None:
    weeks = _base(_away(3, 1, 1))

    assert weeks[2].short == 0
    assert not any(RESTS in week.said for week in weeks)
    assert _easier(weeks) == [4, 8]


def test_half_the_time_of_each_day_is_a_rest_where_it_leaves_three_quarters_at_most() -> None:
    short = tuple(AvailableDay(1, day, 40, None, None) for day in (0, 2, 4))
    wishes = BaseWishes(
        120, 120, 8, 4, MONDAY, Mode.WALK, longest_before_min=60, life=Life((_away(3, 0, 6, Possible.LESS),))
    )

    weeks = base_block(wishes, days=short, rules=Rules())

    # three days of 20 min: half of 120
    assert [week.minutes for week in weeks[:4]] == [120, 120, 60, 120]
    assert RESTS in weeks[2].said
    assert _easier(weeks) == [7]


def test_an_interval_block_rests_once_with_its_holiday_too() -> None:
    assert _easier(_hard()) == [4, 8]

    weeks = _hard(_away(3, 0, 3))

    assert weeks[2].minutes <= 0.75 * weeks[1].minutes
    assert RESTS in weeks[2].said
    assert _easier(weeks) == [7]


def test_a_short_week_with_its_whole_hard_session_is_no_easier_week() -> None:
    # Friday to Sunday away: Wednesday's four rounds stay in the third week
    weeks = _hard(_away(3, 4, 6))

    assert weeks[2].minutes <= 0.75 * weeks[1].minutes
    assert any(one.is_hard for one in weeks[2].sessions)
    assert RESTS not in weeks[2].said
    assert _easier(weeks)[0] == 4


def test_after_two_short_weeks_the_last_full_one_comes_back_and_says_what_publishing_asks() -> None:
    # weeks of 165, then 100 and 110 with days away: 165 again, not a step above it
    weeks = _base(_away(6, 3, 6), _away(7, 3, 6))

    assert [week.minutes for week in weeks[4:9]] == [165, 100, 110, 165, 180]
    assert weeks[7].said == (
        "The two weeks before hold 100 and 110 min: this one comes back to 165 min and rises no further. Publishing "
        "asks about the step.",
    )
    assert not any("The two weeks before" in said for week in weeks if week is not weeks[7] for said in week.said)


def test_after_five_short_weeks_it_rises_from_what_those_held() -> None:
    # 92, 100, 110, 120 and 126 min: no full week in the last four, so 126 and 15, tidied to five
    weeks = _base(*(_away(number, 3, 6) for number in range(4, 9)))

    assert [week.minutes for week in weeks[2:]] == [150, 92, 100, 110, 120, 126, 140]
    assert "The two weeks before hold 120 and 126 min: this one rises from the larger of them." in weeks[8].said


def test_an_interval_block_says_the_same_of_two_short_weeks() -> None:
    weeks = _hard(_away(5, 3, 6), _away(6, 3, 6))

    assert [week.minutes for week in weeks[4:7]] == [93, 93, 200]
    assert weeks[6].said == (
        "The two weeks before hold 93 and 93 min: this one comes back to 200 min and rises no further. Publishing "
        "asks about the step.",
    )


STRETCHES = st.builds(
    lambda after, length, possible: Stretch(
        MONDAY + timedelta(days=after), MONDAY + timedelta(days=after + length), possible
    ),
    st.integers(0, 70),
    st.integers(0, 20),
    st.sampled_from(Possible),
)


@settings(max_examples=40, deadline=None)
@given(away=st.lists(STRETCHES, min_size=1, max_size=2), every=st.integers(2, 5))
def test_an_easier_week_never_follows_on_a_week_that_days_away_made_one(away: list[Stretch], every: int) -> None:
    weeks = _base(*away, weeks=12, every=every)
    rested = [week.is_rest for week in weeks]

    assert not any(is_rest and after.is_easier for is_rest, after in zip(rested, weeks[1:], strict=False))
    assert not any(is_rest and week.is_easier for is_rest, week in zip(rested, weeks, strict=True))


def _large_steps(weeks: tuple[WeekDraft, ...], away: list[Stretch]) -> list[int]:
    """Numbers of weeks above the step after the larger of the two before, without the table of days off."""
    back, steady = ways_back(away), [risen(week.minutes, Rules()) for week in weeks]
    return [
        n
        for n in range(2, len(weeks))
        if weeks[n].minutes > max(steady[n - 2 : n]) and weeks[n].starts_on not in back
    ]


@settings(max_examples=40, deadline=None)
@given(away=st.lists(STRETCHES, min_size=1, max_size=3))
def test_a_step_publishing_asks_about_is_said_and_goes_no_higher_than_the_fullest_of_four_weeks(
    away: list[Stretch],
) -> None:
    weeks = _base(*away, weeks=12)
    steps = _large_steps(weeks, away)

    assert all("Publishing asks about the step." in " ".join(weeks[n].said) for n in steps)
    assert all(weeks[n].minutes <= max(one.minutes for one in weeks[max(0, n - 4) : n]) for n in steps)
