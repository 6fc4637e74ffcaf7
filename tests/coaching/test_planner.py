"""Base blocks: totals, rises, slots and longest outings, each met or explained."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.people import AvailableDay, Mode
from app.coaching.planner import WeekDraft, base_block, easier_every, rise_step, starting_volume
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.steps import total_minutes

MONDAY = date(2026, 9, 7)
RULES = Rules()


def _days(**minutes: int) -> tuple[AvailableDay, ...]:
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    return tuple(AvailableDay(1, names.index(name), slot, None, None) for name, slot in minutes.items())


def _block(
    days: tuple[AvailableDay, ...],
    *,
    start: int = 90,
    target: int = 240,
    weeks: int = 8,
    every: int = 4,
    longest: int | None = None,
) -> tuple[WeekDraft, ...]:
    return base_block(
        start_volume_min=start,
        days=days,
        target_min=target,
        weeks=weeks,
        rules=RULES,
        every=every,
        starts_on=MONDAY,
        mode=Mode.WALK,
        longest_before_min=longest,
    )


@pytest.mark.parametrize(("minutes", "step"), [(60, 15), (150, 15), (180, 18), (200, 20), (300, 20)])
def test_a_week_may_add_a_tenth_or_fifteen_minutes_and_never_more_than_twenty(minutes: int, step: float) -> None:
    assert rise_step(minutes, RULES) == pytest.approx(step)


def test_a_never_trained_client_starts_with_thirty_minutes_more_than_now() -> None:
    assert starting_volume(60) == 90


@pytest.mark.parametrize(("age", "every"), [(59, 4), (60, 3), (None, 3)])
def test_easier_weeks_come_more_often_from_sixty_or_when_age_is_unknown(age: int | None, every: int) -> None:
    assert easier_every(age, RULES) == every


def test_a_base_block_rises_by_fifteen_and_eases_every_fourth_week() -> None:
    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60)

    # 120, 135, 150, easier 72 % of 150 = 108, to the nearest five 110, then on from 150
    assert [week.minutes for week in weeks] == [120, 135, 150, 110, 165, 180, 195, 140]
    assert [week.is_easier for week in weeks] == [False, False, False, True, False, False, False, True]


def test_an_easier_week_keeps_the_days_of_the_week_before() -> None:
    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60)

    assert [s.weekday for s in weeks[3].sessions] == [s.weekday for s in weeks[2].sessions]


def test_a_shortfall_of_the_days_is_said_with_its_minutes() -> None:
    weeks = _block(_days(tue=30, thu=30), start=120, weeks=2)

    assert weeks[0].minutes == 60
    assert weeks[0].said[0] == "60 of 120 min: 60 short, because the days given hold 60 min together."


def test_a_target_out_of_reach_is_said_in_the_last_week() -> None:
    weeks = _block(_days(mon=60, wed=60, sat=90), start=90, weeks=3)

    assert "The target of 240 min a week is not reached" in weeks[-1].said[-1]


def test_two_days_a_week_are_said_not_to_hold_a_week() -> None:
    weeks = _block(_days(tue=90, sat=90), start=90, target=90, weeks=2)

    assert "held from 3 days on" in weeks[0].said[-1]


def test_the_longest_outing_grows_by_no_more_than_a_tenth() -> None:
    weeks = _block(_days(wed=60, sat=180), start=90, weeks=2, longest=40)

    assert max(s.minutes for s in weeks[0].sessions) <= 44
    assert "no outing may be longer than 44 min yet" in weeks[0].said[0]


@pytest.mark.parametrize(
    ("days", "start", "weeks", "starts_on"),
    [
        ((), 90, 4, MONDAY),
        (_days(mon=60), 0, 4, MONDAY),
        (_days(mon=60), 90, 0, MONDAY),
        (_days(mon=60), 90, 4, date(2026, 9, 8)),
    ],
)
def test_nonsense_is_refused(days: tuple[AvailableDay, ...], start: int, weeks: int, starts_on: date) -> None:
    with pytest.raises(DomainError):
        base_block(
            start_volume_min=start,
            days=days,
            target_min=240,
            weeks=weeks,
            rules=RULES,
            every=4,
            starts_on=starts_on,
            mode=Mode.WALK,
        )


def test_a_block_that_would_begin_above_its_target_is_refused() -> None:
    with pytest.raises(DomainError, match="the first week, 600 min, is above the 100 min"):
        _block(_days(mon=300, wed=300), start=600, target=100)


DAYS = st.dictionaries(st.integers(0, 6), st.integers(15, 180), min_size=1, max_size=7).map(
    lambda slots: tuple(AvailableDay(1, day, minutes, None, None) for day, minutes in slots.items())
)


@settings(max_examples=60, deadline=None)
@given(days=DAYS, start=st.integers(20, 300), more=st.integers(0, 200), every=st.integers(2, 5))
def test_any_block_meets_its_totals_or_says_why_and_never_rises_faster(
    days: tuple[AvailableDay, ...], start: int, more: int, every: int
) -> None:
    weeks = _block(days, start=start, target=start + more, weeks=10, every=every)

    full = [week for week in weeks if not week.is_easier]
    slots = {day.weekday: day.minutes for day in days}
    assert all(week.minutes == week.target_minutes or week.said for week in weeks)
    assert all(week.minutes <= week.target_minutes for week in weeks)
    assert all(b.minutes <= a.minutes + rise_step(a.minutes, RULES) for a, b in pairwise(full))
    assert all(session.minutes <= slots[session.weekday] for week in weeks for session in week.sessions)
    assert all(total_minutes(session.steps) == session.minutes for week in weeks for session in week.sessions)


@settings(max_examples=40, deadline=None)
@given(days=DAYS, longest=st.integers(20, 90))
def test_no_outing_is_longer_than_a_tenth_over_the_last_thirty_days(
    days: tuple[AvailableDay, ...], longest: int
) -> None:
    weeks = _block(days, weeks=8, longest=longest)

    tops = [longest, *(max(session.minutes for session in week.sessions) for week in weeks)]
    assert all(top <= max(tops[max(0, n - 3) : n + 1]) * 1.1 + 1e-6 for n, top in enumerate(tops[1:]))
