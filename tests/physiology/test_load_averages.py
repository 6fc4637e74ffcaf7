"""This week against the last weeks."""

import math

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import load_averages as averages
from app.physiology.sources import SOURCES
from app.physiology.values import Missing, OutOfRange, WrongLength

RATIOS = (
    averages.acute_against_chronic_coupled_windt_2019,
    averages.acute_against_chronic_uncoupled_windt_2019,
    averages.acute_against_chronic_exponential_williams_2017,
)
COUPLED, UNCOUPLED, EXPONENTIAL = RATIOS

months = st.lists(st.integers(1, 900), min_size=28, max_size=60)


@given(months, st.sampled_from((7, 28)))
def test_an_exponential_average_is_what_a_second_library_finds(days, span):
    wanted = pd.Series(days).ewm(span=span, adjust=False).mean().iloc[-1]

    assert averages.exponential_average_williams_2017(daily_load_au=days, days=span) == pytest.approx(wanted)


@given(months)
def test_rolling_ratios_are_what_a_second_library_finds(days):
    series = pd.Series(days)
    acute, chronic = series.rolling(7).mean().iloc[-1], series.rolling(28).mean().iloc[-1]
    before = series.shift(7).rolling(21).mean().iloc[-1]

    assert COUPLED(daily_load_au=days) == pytest.approx(acute / chronic)
    assert UNCOUPLED(daily_load_au=days) == pytest.approx(acute / before)


@given(months)
def test_one_ratio_gives_the_other(days):
    uncoupled = UNCOUPLED(daily_load_au=days)

    assert averages.coupled_from_uncoupled_lolli_2019(uncoupled=uncoupled) == pytest.approx(
        COUPLED(daily_load_au=days)
    )


@given(months)
def test_the_exponential_ratio_is_that_of_its_averages(days):
    acute, chronic = (averages.exponential_average_williams_2017(daily_load_au=days, days=n) for n in (7, 28))

    assert EXPONENTIAL(daily_load_au=days) == pytest.approx(acute / chronic)


@given(months, st.integers(2, 20), st.sampled_from(RATIOS))
def test_a_ratio_does_not_depend_on_the_unit(days, factor, ratio):
    assert ratio(daily_load_au=[factor * day for day in days]) == pytest.approx(ratio(daily_load_au=days))


@given(st.floats(0, 1000))
def test_the_coupled_ratio_stays_below_4(uncoupled):
    assert averages.coupled_from_uncoupled_lolli_2019(uncoupled=uncoupled) < 4


def test_a_return_after_three_weeks_off_has_no_base():
    days = [0] * 21 + [300] * 7

    assert COUPLED(daily_load_au=days) == pytest.approx(4)
    assert UNCOUPLED(daily_load_au=days) == Missing("no recent base to compare with")


@pytest.mark.parametrize("ratio", RATIOS)
def test_without_load_there_is_no_base(ratio):
    assert ratio(daily_load_au=[0] * 28) == Missing("no recent base to compare with")


@pytest.mark.parametrize("ratio", RATIOS)
def test_a_ratio_waits_for_28_days(ratio):
    assert ratio(daily_load_au=[300] * 27) == Missing("28 days are needed; there are 27")


@pytest.mark.parametrize("ratio", RATIOS)
def test_an_unknown_day_is_not_a_rest_day(ratio):
    found = ratio(daily_load_au=[300] * 20 + [None] + [300] * 20)

    assert isinstance(found, Missing)
    assert "unknown is not rest" in found.reason


def test_an_exponential_ratio_hangs_on_every_day_since_the_first():
    days = [None] + [300] * 28

    assert COUPLED(daily_load_au=days) == pytest.approx(1)
    assert isinstance(EXPONENTIAL(daily_load_au=days), Missing)


@given(st.floats(1.01, 365))
def test_after_the_half_life_a_day_counts_half(days):
    kept = 1 - averages.exponential_weight_williams_2017(days=days)

    assert kept ** averages.exponential_half_life_days(days=days) == pytest.approx(0.5)


def test_an_average_needs_a_day():
    with pytest.raises(WrongLength):
        averages.exponential_average_williams_2017(daily_load_au=[], days=7)


def test_an_average_over_an_unknown_day_is_a_gap():
    assert isinstance(averages.exponential_average_williams_2017(daily_load_au=[1, None], days=7), Missing)


@pytest.mark.parametrize("days", [0, 366, math.nan])
def test_a_window_that_cannot_be_is_refused(days):
    with pytest.raises(OutOfRange):
        averages.exponential_weight_williams_2017(days=days)


def test_a_half_life_of_one_day_is_refused():
    with pytest.raises(OutOfRange):
        averages.exponential_half_life_days(days=1)


def test_a_negative_ratio_is_refused():
    with pytest.raises(OutOfRange):
        averages.coupled_from_uncoupled_lolli_2019(uncoupled=-0.1)


@pytest.mark.parametrize(("today", "percent"), [(12, 20), (10, 0), (5, -50), (0, -100)])
def test_today_against_the_longest_of_30_days(today, percent):
    found = averages.longest_session_change_frandsen_2025(today=today, earlier_days=[0, 10, 8] * 10)

    assert found == pytest.approx(percent)


@pytest.mark.parametrize("earlier", [[0] * 30, [10] * 29 + [None]])
def test_without_an_earlier_session_or_with_an_unknown_day_there_is_no_longest(earlier):
    assert isinstance(averages.longest_session_change_frandsen_2025(today=10, earlier_days=earlier), Missing)


def test_the_longest_of_30_days_needs_30_days():
    with pytest.raises(WrongLength):
        averages.longest_session_change_frandsen_2025(today=10, earlier_days=[10] * 29)


def test_a_session_that_cannot_be_is_refused():
    with pytest.raises(OutOfRange):
        averages.longest_session_change_frandsen_2025(today=-1, earlier_days=[10] * 30)


def test_every_objection_names_its_source():
    assert len(averages.CRITICISM) == 3
    assert {objection.source for objection in averages.CRITICISM} <= SOURCES.keys()
