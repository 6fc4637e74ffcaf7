"""Load of sessions, days and weeks."""

import math
import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import load
from app.physiology.values import Missing, OutOfRange, WrongLength

WEEK = (300, 0, 420, 240, 0, 540, 360)
OF_A_WEEK = (
    load.weekly_load_foster_1998,
    load.monotony_sample_foster_1998,
    load.monotony_population_foster_1998,
    load.strain_foster_1998,
)
UNEVEN = OF_A_WEEK[1:]

weeks = st.lists(st.integers(0, 900), min_size=7, max_size=7).filter(lambda week: len(set(week)) > 1)


@given(st.lists(st.floats(0, 2000), max_size=6), st.randoms())
def test_the_order_of_sessions_in_a_day_does_not_matter(sessions, random):
    shuffled = random.sample(sessions, len(sessions))

    assert load.day_load_foster_2001(session_loads_au=shuffled) == load.day_load_foster_2001(
        session_loads_au=sessions
    )


def test_a_day_without_sessions_is_a_rest_day():
    assert load.day_load_foster_2001(session_loads_au=[]) == 0


@given(st.floats(0, 10), st.floats(0, 700))
def test_twice_the_minutes_are_twice_the_load(effort, minutes):
    once, twice = (load.session_load_foster_2001(effort=effort, minutes=one) for one in (minutes, 2 * minutes))

    assert twice == pytest.approx(2 * once)


@pytest.mark.parametrize(("effort", "minutes"), [(10.1, 60), (-1, 60), (5, -1), (math.nan, 60), (5, 1441)])
def test_a_session_that_cannot_be_is_refused(effort, minutes):
    with pytest.raises(OutOfRange):
        load.session_load_foster_2001(effort=effort, minutes=minutes)


def test_a_negative_session_is_refused_in_a_day():
    with pytest.raises(OutOfRange):
        load.day_load_foster_2001(session_loads_au=[300, -1])


@given(weeks, st.integers(2, 20))
def test_how_the_figures_of_a_week_scale(week, factor):
    larger = [factor * day for day in week]
    before, after = ([figure(daily_load_au=one) for figure in OF_A_WEEK] for one in (week, larger))

    assert after == pytest.approx([factor * before[0], before[1], before[2], factor * before[3]])


@given(weeks, st.randoms())
def test_the_order_of_days_in_a_week_does_not_matter(week, random):
    shuffled = random.sample(week, 7)

    assert [figure(daily_load_au=shuffled) for figure in OF_A_WEEK] == pytest.approx(
        [figure(daily_load_au=week) for figure in OF_A_WEEK]
    )


@given(weeks)
def test_the_two_spreads_differ_by_a_fixed_factor(week):
    sample, population = (figure(daily_load_au=week) for figure in UNEVEN[:2])

    assert population == pytest.approx(sample * math.sqrt(7 / 6))


def test_strain_is_load_times_monotony():
    assert load.strain_foster_1998(daily_load_au=WEEK) == pytest.approx(
        sum(WEEK) * statistics.mean(WEEK) / statistics.stdev(WEEK)
    )


@pytest.mark.parametrize("figure", OF_A_WEEK)
def test_an_unknown_day_is_not_a_rest_day(figure):
    found = figure(daily_load_au=(*WEEK[:5], None, None))

    assert found == Missing("2 of 7 days are unknown, and unknown is not rest")


@pytest.mark.parametrize("figure", UNEVEN)
@pytest.mark.parametrize(
    ("day", "reason"), [(0, "empty week"), (300, "all days are equal"), (0.1, "all days are equal")]
)
def test_an_even_week_has_no_spread(figure, day, reason):
    found = figure(daily_load_au=[day] * 7)

    assert isinstance(found, Missing)
    assert reason in found.reason


@pytest.mark.parametrize("figure", OF_A_WEEK)
@pytest.mark.parametrize("week", [WEEK[:6], (*WEEK, 0)])
def test_a_week_has_seven_days(figure, week):
    with pytest.raises(WrongLength, match="seven days"):
        figure(daily_load_au=week)


@pytest.mark.parametrize("day", [-1, 20_001, math.inf])
def test_a_day_that_cannot_be_is_refused(day):
    with pytest.raises(OutOfRange):
        load.weekly_load_foster_1998(daily_load_au=(*WEEK[:6], day))
