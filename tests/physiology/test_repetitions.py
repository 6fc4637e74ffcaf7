"""How repetitions were done."""

import itertools
import math

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from app.physiology import repetitions as reps
from app.physiology.values import Missing, OutOfRange, WrongLength

FIGURES = (reps.variation_percent, reps.fade_percent, reps.slope_per_repetition)
HALVES = {"first_output": 180, "first_heart_rate_bpm": 130, "second_output": 178, "second_heart_rate_bpm": 138}

powers = st.lists(st.floats(50, 500), min_size=2, max_size=20)


@given(powers)
def test_variation_is_what_a_second_library_finds(values):
    series = pd.Series(values)

    assert reps.variation_percent(repetitions=values) == pytest.approx(100 * series.std() / series.mean(), abs=1e-9)


@given(powers)
def test_slope_is_what_a_second_library_finds(values):
    wanted = linregress(range(len(values)), values).slope

    assert reps.slope_per_repetition(repetitions=values) == pytest.approx(wanted, abs=1e-9)


@given(powers, st.floats(0.1, 10))
def test_shares_do_not_depend_on_the_unit(values, factor):
    scaled = [value * factor for value in values]

    assert reps.variation_percent(repetitions=scaled) == pytest.approx(
        reps.variation_percent(repetitions=values), abs=1e-6
    )
    assert reps.fade_percent(repetitions=scaled) == pytest.approx(reps.fade_percent(repetitions=values), abs=1e-6)


@given(powers, st.randoms())
def test_variation_does_not_depend_on_the_order(values, random):
    shuffled = random.sample(values, len(values))

    assert reps.variation_percent(repetitions=shuffled) == pytest.approx(
        reps.variation_percent(repetitions=values), abs=1e-9
    )


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("values", [[], [300]])
def test_fewer_than_two_are_a_gap(figure, values):
    assert isinstance(figure(repetitions=values), Missing)


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("value", [0, -3, math.nan])
def test_a_repetition_that_is_nothing_is_refused(figure, value):
    with pytest.raises(OutOfRange):
        figure(repetitions=[300, value])


@given(st.floats(5, 60), st.floats(5, 80), st.floats(10, 100))
def test_rate_times_length_is_the_speed(strokes, time, pool):
    rate = reps.stroke_rate_per_min(strokes=strokes, time_s=time)
    length = reps.stroke_length_m(length_m=pool, strokes=strokes)

    assert rate / 60 * length == pytest.approx(pool / time)


@pytest.mark.parametrize(("strokes", "time"), [(0, 20), (18, 4)])
def test_a_length_that_cannot_be_swum_is_refused(strokes, time):
    with pytest.raises(OutOfRange):
        reps.stroke_rate_per_min(strokes=strokes, time_s=time)


@pytest.mark.parametrize(("pool", "strokes"), [(9, 18), (25, 201)])
def test_a_pool_that_cannot_be_is_refused(pool, strokes):
    with pytest.raises(OutOfRange):
        reps.stroke_length_m(length_m=pool, strokes=strokes)


@given(st.floats(50, 400), st.floats(60, 200), st.floats(50, 400), st.floats(60, 200))
def test_the_two_ways_of_drift_say_the_same(first, first_rate, second, second_rate):
    given_ = dict(zip(HALVES, (first, first_rate, second, second_rate), strict=True))

    percent = reps.heart_rate_drift_percent(**given_)

    assert 1 / reps.internal_external_ratio_smyth_2022(**given_) == pytest.approx(1 - percent / 100)


@pytest.mark.parametrize(("name", "value"), [("first_output", 0), ("second_heart_rate_bpm", 20)])
def test_a_half_that_cannot_be_is_refused(name, value):
    with pytest.raises(OutOfRange):
        reps.heart_rate_drift_percent(**{**HALVES, name: value})


@pytest.mark.parametrize(
    ("ratio", "word"), [(1.05, "low"), (1.099, "low"), (1.1, "moderate"), (1.16, "moderate"), (1.2, "high")]
)
def test_the_published_words_for_a_marathon(ratio, word):
    assert reps.marathon_drift_smyth_2022(ratio=ratio) == word


def test_a_ratio_that_cannot_be_is_refused():
    with pytest.raises(OutOfRange):
        reps.marathon_drift_smyth_2022(ratio=0.1)


def test_figures_of_each_repetition_leave_unknown_samples_out():
    samples = [1, 2, math.nan, 4, 9, 9, math.nan, math.nan, 5, 7]

    found = reps.repetition_figures(samples=samples, starts=[0, 3, 6, 8], ends=[3, 4, 8, 10])

    assert found.means == pytest.approx([1.5, 4, math.nan, 6], nan_ok=True)
    assert found.highest == pytest.approx([2, 4, math.nan, 7], nan_ok=True)
    assert found.known_samples.tolist() == [2, 1, 0, 2]


@given(st.lists(st.integers(1, 30), min_size=2, max_size=20), st.integers(0, 2**32 - 1))
def test_figures_are_those_of_each_piece_alone(lengths, seed):
    edges = np.cumsum([0, *lengths])
    samples = np.random.default_rng(seed).uniform(0, 400, edges[-1])
    pieces = [samples[start:end] for start, end in itertools.pairwise(edges)]

    found = reps.repetition_figures(samples=samples, starts=edges[:-1], ends=edges[1:])

    assert found.means == pytest.approx([piece.mean() for piece in pieces])
    assert found.highest.tolist() == [piece.max() for piece in pieces]


@pytest.mark.parametrize(("starts", "ends"), [([], []), ([0, 2], [1])])
def test_each_repetition_needs_a_start_and_an_end(starts, ends):
    with pytest.raises(WrongLength):
        reps.repetition_figures(samples=[1, 2, 3], starts=starts, ends=ends)


@pytest.mark.parametrize(
    ("starts", "ends"),
    [([-1], [2]), ([1], [1]), ([0], [4]), ([0, 1], [2, 3])],
    ids=["early", "empty", "late", "over"],
)
def test_repetitions_lie_in_order_inside_the_recording(starts, ends):
    with pytest.raises(OutOfRange):
        reps.repetition_figures(samples=[1, 2, 3], starts=starts, ends=ends)
