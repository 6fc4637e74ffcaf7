"""The search for hard days: it agrees with trying everything, keeps every rule, and always answers the same."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import combinations, pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.hard_days import Cost, HardAsked, Placed, hard_dates, obstacles, place_hard_days

MONDAY = date(2026, 9, 7)
WEEKDAYS = st.integers(0, 6)


def _asked(
    *,
    wanted: tuple[int, ...] = (1, 1),
    open_days: tuple[int, ...] = (1, 4),
    wished: tuple[int, ...] = (1,),
    fixed: tuple[date, ...] = (),
    spacing: int = 3,
    ceiling: int = 3,
    away: frozenset[date] = frozenset(),
) -> HardAsked:
    return HardAsked(
        MONDAY, wanted, (open_days,) * len(wanted), frozenset(wished), fixed, (spacing,), ceiling, 7, away
    )


SMALL = st.builds(
    HardAsked,
    starts_on=st.just(MONDAY),
    wanted=st.lists(st.integers(0, 2), min_size=1, max_size=3).map(tuple),
    open_days=st.lists(st.lists(WEEKDAYS, max_size=4, unique=True).map(tuple), min_size=3, max_size=3).map(tuple),
    wished=st.frozensets(WEEKDAYS, max_size=3),
    fixed=st.lists(st.integers(-15, 24), max_size=3).map(
        lambda days: tuple(MONDAY + timedelta(days=day) for day in days)
    ),
    spacing_days=st.lists(st.integers(2, 4), min_size=1, max_size=3).map(tuple),
    ceiling=st.integers(1, 5),
    gap_days=st.integers(5, 9),
    away=st.frozensets(st.integers(0, 20).map(lambda day: MONDAY + timedelta(days=day)), max_size=3),
)


def _each_plan(asked: HardAsked) -> list[tuple[tuple[int, ...], ...]]:
    """Every choice of days in every week, whatever the rules say of it."""
    weekly = [
        [way for count in range(3) for way in combinations(sorted(asked.open_days[week]), count)]
        for week in range(len(asked.wanted))
    ]
    return list(product(*weekly))


def _dates(plan: tuple[tuple[int, ...], ...]) -> list[date]:
    return [MONDAY + timedelta(weeks=week, days=day) for week, days in enumerate(plan) for day in days]


def _needed(asked: HardAsked, day: date) -> int:
    return asked.needed((day - MONDAY).days // 7)


def _keeps_the_rules(asked: HardAsked, plan: tuple[tuple[int, ...], ...]) -> bool:
    """From the definitions, day by day."""
    chosen, fixed = _dates(plan), set(asked.fixed)
    days = sorted([*chosen, *fixed])
    weeks = [
        len(days_of) + sum(MONDAY + timedelta(weeks=n) <= day < MONDAY + timedelta(weeks=n + 1) for day in fixed)
        for n, days_of in enumerate(plan)
    ]
    is_asked = all(
        not days_of or count <= wanted for days_of, count, wanted in zip(plan, weeks, asked.wanted, strict=True)
    )
    is_apart = all(
        (later - earlier).days >= _needed(asked, later) or {earlier, later}.isdisjoint(chosen)
        for earlier, later in combinations(days, 2)
    )
    is_once = len(days) == len(set(days))
    is_under = all(
        sum(first <= one < first + timedelta(days=14) for one in days) <= asked.ceiling
        for day in chosen
        for first in (day - timedelta(days=back) for back in range(14))
    )
    return is_asked and is_apart and is_once and is_under


def _cost(asked: HardAsked, plan: tuple[tuple[int, ...], ...]) -> Cost:
    """From the definitions."""
    fixed, chosen = set(asked.fixed), _dates(plan)
    end = MONDAY + timedelta(weeks=len(plan))
    before = [day for day in fixed if day < MONDAY]
    ahead = [day for day in (*chosen, *fixed) if MONDAY <= day < end]
    days = sorted([*([max(before)] if before and (MONDAY - max(before)).days <= asked.gap_days else []), *ahead])
    inside = [sum(week <= (day - MONDAY).days / 7 < week + 1 for day in fixed) for week in range(len(plan))]
    left_out = sum(
        max(0, wanted - there) - len(way) for wanted, there, way in zip(asked.wanted, inside, plan, strict=True)
    )
    gap = sum(
        max(0, (later - earlier).days - asked.gap_days)
        for earlier, later in pairwise([*days, end] if days else [])
        if not any(earlier < day < later for day in asked.away)
    )
    weeks_with = [way for way in plan if way]
    moved = sum(day not in earlier for earlier, way in pairwise(weeks_with) for day in way)
    return Cost(left_out, gap, sum(day.weekday() not in asked.wished for day in chosen), moved)


@settings(max_examples=300, deadline=None)
@given(asked=SMALL)
def test_the_search_finds_what_trying_every_plan_finds(asked: HardAsked) -> None:
    kept = [plan for plan in _each_plan(asked) if _keeps_the_rules(asked, plan)]
    best = min((_cost(asked, plan), plan) for plan in kept)

    placed = place_hard_days(asked)

    assert (placed.cost, placed.weekdays) == best


@settings(max_examples=100, deadline=None)
@given(asked=SMALL)
def test_no_plan_breaks_a_rule_and_the_same_wishes_give_the_same_plan(asked: HardAsked) -> None:
    placed = place_hard_days(asked)

    assert _keeps_the_rules(asked, placed.weekdays)
    assert place_hard_days(asked) == placed


@settings(max_examples=60, deadline=None)
@given(asked=SMALL, data=st.data())
def test_the_order_of_days_and_wishes_changes_nothing(asked: HardAsked, data: st.DataObject) -> None:
    mixed = HardAsked(
        asked.starts_on,
        asked.wanted,
        tuple(tuple(data.draw(st.permutations(days))) for days in asked.open_days),
        asked.wished,
        tuple(data.draw(st.permutations(asked.fixed))),
        asked.spacing_days,
        asked.ceiling,
        asked.gap_days,
        asked.away,
    )

    assert place_hard_days(mixed) == place_hard_days(asked)


def test_a_wished_day_is_kept_every_week() -> None:
    assert place_hard_days(_asked(wanted=(1, 1, 1))) == Placed(((1,), (1,), (1,)), Cost(0, 0, 0, 0))


def test_a_race_in_the_week_is_its_hard_session_and_keeps_its_distance() -> None:
    race = MONDAY + timedelta(days=12)  # the Saturday of the second week

    placed = place_hard_days(_asked(wanted=(1, 1, 1), open_days=(0, 1, 4), fixed=(race,)))

    # Friday is the nearest to the race, eight days before it; the Tuesday wished for would be eleven.
    assert placed == Placed(((4,), (), (1,)), Cost(0, 1, 1, 1))


def test_what_was_done_before_the_block_counts_for_its_first_days() -> None:
    done = MONDAY - timedelta(days=1)

    placed = place_hard_days(_asked(wanted=(1,), open_days=(1, 4), fixed=(done,)))

    assert placed.weekdays == ((4,),)


def test_a_full_fortnight_leaves_the_next_session_out_and_says_how_full_it_is() -> None:
    done = tuple(MONDAY - timedelta(days=back) for back in (9, 6, 3))
    asked = _asked(wanted=(1,), fixed=done, spacing=3, ceiling=3, open_days=(0, 1))

    placed = place_hard_days(asked)

    assert placed.weekdays == ((),)
    assert [(one.weekday, one.in_fortnight, one.too_near) for one in obstacles(asked, placed, 0)] == [
        (1, 4, None),
        (0, 4, None),
    ]


def test_a_day_too_near_to_another_is_named() -> None:
    asked = _asked(wanted=(2,), open_days=(1, 3), wished=(1, 3), spacing=3)

    placed = place_hard_days(asked)

    assert placed == Placed(((1,),), Cost(1, 0, 0, 0))
    [found] = obstacles(asked, placed, 0)
    assert (found.weekday, found.too_near, found.needed_days) == (3, MONDAY + timedelta(days=1), 3)


def test_days_away_explain_a_gap() -> None:
    week = timedelta(weeks=1)
    away = frozenset(MONDAY + week + timedelta(days=day) for day in range(7))

    assert place_hard_days(_asked(wanted=(1, 0, 1), away=away)).cost == Cost(0, 0, 0, 0)
    assert place_hard_days(_asked(wanted=(1, 0, 1))).cost == Cost(0, 4, 1, 1)


@pytest.mark.parametrize("ceiling", [3, 5])
def test_half_a_year_with_every_day_free_is_found_exactly(ceiling: int) -> None:
    asked = _asked(wanted=(2,) * 26, open_days=tuple(range(7)), wished=(), spacing=2, ceiling=ceiling)

    placed = place_hard_days(asked)

    assert len(hard_dates(asked, placed)) == (52 if ceiling == 5 else 39)
