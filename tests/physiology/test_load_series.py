"""The load figures of many clients over years, against pandas and against the figures one by one."""

import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import load, load_averages, load_series
from app.physiology.values import Missing, OutOfRange, WrongLength

DAYS = st.lists(st.one_of(st.integers(0, 900), st.just(0), st.none()), min_size=1, max_size=60)


def array(days):
    return np.array([math.nan if day is None else day for day in days], dtype=float)


def one_by_one(figure, days, window):
    """The figure of every window by itself; NaN for a gap."""
    found = [
        figure(daily_load_au=days[max(0, end - window) : end]) if end >= window else None
        for end in range(1, len(days) + 1)
    ]
    return [math.nan if value is None or isinstance(value, Missing) else value for value in found]


@pytest.mark.parametrize(
    ("series", "figure", "window"),
    [
        (load_series.weekly_loads, load.weekly_load_foster_1998, 7),
        (load_series.monotonies, load.monotony_sample_foster_1998, 7),
        (load_series.strains, load.strain_foster_1998, 7),
        (load_series.coupled_ratios, load_averages.acute_against_chronic_coupled_windt_2019, 28),
        (load_series.uncoupled_ratios, load_averages.acute_against_chronic_uncoupled_windt_2019, 28),
    ],
)
@given(days=DAYS)
def test_a_series_is_its_figures_one_by_one(series, figure, window, days):
    wanted = one_by_one(figure, days, window)

    assert series(array(days)) == pytest.approx(wanted, nan_ok=True)


@given(DAYS, st.integers(1, 40))
def test_a_rolling_mean_is_what_a_second_library_finds(days, window):
    wanted = pd.Series(array(days)).rolling(window).mean()

    assert load_series.rolling_means(array(days), days=window) == pytest.approx(
        wanted.to_numpy(), nan_ok=True, abs=1e-9
    )


@given(st.lists(st.integers(0, 900), min_size=1, max_size=60), st.sampled_from((7, 28)))
def test_an_exponential_average_is_what_a_second_library_finds(days, span):
    wanted = pd.Series(days).ewm(span=span, adjust=False).mean()

    assert load_series.exponential_averages(array(days), days=span) == pytest.approx(wanted.to_numpy())


def test_an_exponential_average_starts_again_after_an_unknown_day():
    found = load_series.exponential_averages(array([None, 100, 200, None, 400, 400]), days=3)

    assert found == pytest.approx([math.nan, 100, 150, math.nan, 400, 400], nan_ok=True)


def test_a_weighted_average_may_start_from_nothing():
    found = load_series.weighted_averages(array([100] * 42), weight=-math.expm1(-1 / 42), start_au=0)

    assert found[-1] == pytest.approx(100 * (1 - math.exp(-1)))


def test_known_days_in_a_row_are_counted():
    assert load_series.known_run_lengths(array([1, None, 0, 3, None, None, 2])).tolist() == [1, 0, 1, 2, 0, 0, 1]


@given(st.integers(0, 2**32 - 1))
def test_many_clients_at_once_are_each_alone(seed):
    loads = np.random.default_rng(seed).integers(0, 900, (3, 40)).astype(float)

    assert load_series.monotonies(loads) == pytest.approx(
        np.stack([load_series.monotonies(row) for row in loads]), nan_ok=True
    )
    assert load_series.exponential_averages(loads, days=7)[1] == pytest.approx(
        load_series.exponential_averages(loads[1], days=7)
    )


@pytest.mark.parametrize("days", [[], 300.0])
def test_a_series_has_days(days):
    with pytest.raises(WrongLength):
        load_series.weekly_loads(days)


@pytest.mark.parametrize("day", [-1, 20_001])
def test_a_day_that_cannot_be_is_refused(day):
    with pytest.raises(OutOfRange):
        load_series.weekly_loads([300, day])


def test_nothing_known_is_not_defined():
    assert np.isnan(load_series.weekly_loads([math.nan] * 9)).all()


@pytest.mark.parametrize("window", [0, 366])
def test_a_window_that_cannot_be_is_refused(window):
    with pytest.raises(OutOfRange):
        load_series.rolling_means([300], days=window)


def test_a_weight_that_cannot_be_is_refused():
    with pytest.raises(OutOfRange):
        load_series.weighted_averages([300], weight=1.1)


#: Every day known, uneven, with rests: windows of 28 days are full from the last week of the first month on.
KNOWN = [(37 * day * day) % 611 if day % 3 else 0 for day in range(1, 61)]


@pytest.mark.parametrize(
    ("series", "figure", "window"),
    [
        (load_series.weekly_loads, load.weekly_load_foster_1998, 7),
        (load_series.monotonies, load.monotony_sample_foster_1998, 7),
        (load_series.strains, load.strain_foster_1998, 7),
        (load_series.coupled_ratios, load_averages.acute_against_chronic_coupled_windt_2019, 28),
        (load_series.uncoupled_ratios, load_averages.acute_against_chronic_uncoupled_windt_2019, 28),
    ],
)
@pytest.mark.parametrize("share", [1.0, 0.001])
def test_a_series_without_gaps_is_its_figures_one_by_one(series, figure, window, share):
    days = [share * day for day in KNOWN]

    found = series(days)

    assert found == pytest.approx(one_by_one(figure, days, window), nan_ok=True)
    assert np.isfinite(found).sum() == len(KNOWN) - window + 1


def test_a_rolling_mean_without_gaps_is_a_mean():
    assert load_series.rolling_means([3, 6, 0, 9], days=3) == pytest.approx([math.nan, math.nan, 3, 5], nan_ok=True)


@pytest.mark.parametrize("ratio", [load_series.coupled_ratios, load_series.uncoupled_ratios])
def test_a_ratio_without_a_base_is_not_defined(ratio):
    assert np.isnan(ratio([0] * 28)).all()


def test_known_days_are_counted_for_each_client_alone():
    found = load_series.known_run_lengths([[1, math.nan, 0, 3], [math.nan, 2, 2, 2]])

    assert found.tolist() == [[1, 0, 1, 2], [0, 1, 2, 3]]


@pytest.mark.parametrize("day", [0, 300, 0.1])
def test_an_even_week_has_no_monotony_in_a_series_either(day):
    found = load_series.monotonies([day] * 7 + [500])

    assert np.isnan(found[:7]).all()
    assert np.isfinite(found[7])
