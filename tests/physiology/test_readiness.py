"""The arithmetic of readiness."""

import math
import statistics

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import readiness
from app.physiology.values import Missing, OutOfRange, WrongLength

HOOPER = {"sleep": 3, "fatigue": 2, "stress": 4, "soreness": 3}
WELLNESS = {"fatigue": 3, "sleep": 4, "soreness": 2.5, "stress": 3.5, "mood": 4}
INTERVALS = st.lists(st.floats(250, 3000), min_size=2, max_size=60)


@given(st.integers(1, 6), st.sampled_from(tuple(HOOPER)))
def test_a_worse_rating_raises_the_four_item_index(rating, item):
    better, worse = (readiness.hooper_index_1995(**{**HOOPER, item: one}) for one in (rating, rating + 1))

    assert worse == better + 1


@given(st.floats(1, 4.5), st.sampled_from(tuple(WELLNESS)))
def test_a_better_rating_raises_the_five_item_sum(rating, item):
    rating = round(2 * rating) / 2
    worse, better = (readiness.wellness_mclean_2010(**{**WELLNESS, item: one}) for one in (rating, rating + 0.5))

    assert better == worse + 0.5


@pytest.mark.parametrize("item", HOOPER)
def test_no_four_item_index_without_an_item(item):
    assert isinstance(readiness.hooper_index_1995(**{**HOOPER, item: None}), Missing)


@pytest.mark.parametrize("item", WELLNESS)
def test_no_five_item_sum_without_an_item(item):
    assert isinstance(readiness.wellness_mclean_2010(**{**WELLNESS, item: None}), Missing)


@pytest.mark.parametrize("rating", [0, 8])
def test_a_rating_outside_1_to_7_is_refused(rating):
    with pytest.raises(OutOfRange):
        readiness.hooper_index_1995(**{**HOOPER, "sleep": rating})


@pytest.mark.parametrize("rating", [0.5, 5.5, 3.25, math.nan])
def test_a_rating_off_the_half_steps_is_refused(rating):
    with pytest.raises(OutOfRange):
        readiness.wellness_mclean_2010(**{**WELLNESS, "mood": rating})


@given(st.lists(st.integers(40, 80), min_size=14, max_size=40), st.integers(30, 90))
def test_z_is_what_a_second_library_finds(baseline, today):
    series = pd.Series(baseline, dtype=float)
    wanted = (today - series.mean()) / series.std() if series.nunique() > 1 else None

    found = readiness.own_baseline_z(baseline=baseline, today=today)

    assert isinstance(found, Missing) if wanted is None else found == pytest.approx(wanted)


@given(st.lists(st.integers(40, 80), min_size=14, max_size=14, unique=True), st.floats(0.1, 9), st.floats(-50, 50))
def test_z_does_not_depend_on_the_unit(baseline, factor, shift):
    other = [factor * value + shift for value in baseline]

    assert readiness.own_baseline_z(baseline=other, today=factor * 70 + shift) == pytest.approx(
        readiness.own_baseline_z(baseline=baseline, today=70), abs=1e-6
    )


def test_thirteen_days_are_no_baseline():
    assert readiness.own_baseline_z(baseline=range(13), today=3) == Missing(
        "14 earlier days are needed; there are 13"
    )
    assert isinstance(readiness.resting_heart_rate_change_bpm(baseline_bpm=[50] * 13, today_bpm=60), Missing)


def test_equal_days_say_nothing_of_what_is_unusual():
    found = readiness.own_baseline_z(baseline=[17] * 14, today=14)

    assert found == Missing("all earlier days are equal, so nothing says what is unusual")


def test_a_value_that_is_no_number_is_refused():
    with pytest.raises(OutOfRange):
        readiness.own_baseline_z(baseline=[17] * 14, today=math.nan)


def test_resting_heart_rate_against_the_own_mean():
    found = readiness.resting_heart_rate_change_bpm(baseline_bpm=[50, 54] * 7, today_bpm=59)

    assert found == pytest.approx(7)


@pytest.mark.parametrize("rate", [24, 121])
def test_a_resting_heart_rate_that_cannot_be_is_refused(rate):
    with pytest.raises(OutOfRange):
        readiness.resting_heart_rate_change_bpm(baseline_bpm=[50] * 14, today_bpm=rate)


@given(INTERVALS)
def test_rmssd_is_the_root_of_the_mean_squared_difference(intervals):
    wanted = math.sqrt(pd.Series(intervals).diff().pow(2).mean())

    assert readiness.rmssd_task_force_1996(rr_intervals_ms=intervals) == pytest.approx(wanted)


@given(INTERVALS)
def test_rmssd_is_the_same_backwards(intervals):
    assert readiness.rmssd_task_force_1996(rr_intervals_ms=intervals[::-1]) == pytest.approx(
        readiness.rmssd_task_force_1996(rr_intervals_ms=intervals)
    )


@pytest.mark.parametrize("intervals", [[], [800]])
def test_one_interval_has_no_difference(intervals):
    assert isinstance(readiness.rmssd_task_force_1996(rr_intervals_ms=intervals), Missing)


@pytest.mark.parametrize("interval", [249, 3001, math.nan])
def test_an_interval_that_cannot_be_is_refused(interval):
    with pytest.raises(OutOfRange):
        readiness.rmssd_task_force_1996(rr_intervals_ms=[800, interval])


@given(st.lists(st.floats(1, 500), min_size=1, max_size=20))
def test_the_mean_of_logs_is_never_above_the_log_of_the_mean(values):
    assert readiness.mean_ln_rmssd(rmssd_ms=values) <= math.log(statistics.fmean(values)) + 1e-9


def test_a_mean_of_logs_needs_a_value():
    with pytest.raises(WrongLength):
        readiness.mean_ln_rmssd(rmssd_ms=[])


@pytest.mark.parametrize("value", [0, 501])
def test_an_rmssd_that_cannot_be_is_refused(value):
    with pytest.raises(OutOfRange):
        readiness.ln_rmssd(rmssd_ms=value)


def test_a_week_takes_three_valid_mornings():
    assert readiness.ln_rmssd_week_mean_plews_2014(mornings_ln_ms=[3.7, None, 3.9, None, 3.8]) == pytest.approx(3.8)
    assert readiness.ln_rmssd_week_mean_plews_2014(mornings_ln_ms=[3.7, None, 3.9]) == Missing(
        "3 valid mornings are needed; there are 2"
    )


def test_a_week_has_at_most_seven_mornings():
    with pytest.raises(WrongLength):
        readiness.ln_rmssd_week_mean_plews_2014(mornings_ln_ms=[3.7] * 8)


@pytest.mark.parametrize("value", [-0.1, 6.3])
def test_a_morning_that_cannot_be_is_refused(value):
    with pytest.raises(OutOfRange):
        readiness.ln_rmssd_week_mean_plews_2014(mornings_ln_ms=[3.7, 3.8, value])


def test_the_usual_range_leaves_mornings_without_a_value_out():
    mornings = [3.6, 3.8, 4.0, None, None, None, None] * 4
    known = np.array([3.6, 3.8, 4.0] * 4)

    found = readiness.ln_rmssd_range_javaloyes_2019(baseline_ln_ms=mornings)

    assert (found.low + found.high) / 2 == pytest.approx(3.8)
    assert found.high - found.low == pytest.approx(known.std(ddof=1))


def test_a_week_with_two_mornings_spoils_the_range():
    mornings = [3.6, 3.8, 4.0] + [None] * 4 + [3.7, 3.8] + [None] * 5 + [3.8] * 14

    assert isinstance(readiness.ln_rmssd_range_javaloyes_2019(baseline_ln_ms=mornings), Missing)


def test_a_range_takes_28_mornings():
    with pytest.raises(WrongLength):
        readiness.ln_rmssd_range_javaloyes_2019(baseline_ln_ms=[3.8] * 27)
