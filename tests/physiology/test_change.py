"""Change: typical error, the smallest clear change, the chance, and the three verdicts."""

import csv
import math
import statistics
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import change
from app.physiology.change import Verdict
from app.physiology.values import OutOfRange, WrongLength

scipy_stats = pytest.importorskip("scipy.stats")

TABLE = Path(__file__).parents[1] / "reference" / "intensity_and_vo2max.csv"
FINDINGS = {
    row["id"]: float(row["expected"])
    for row in csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())
    if (row["kind"], row["topic"]) == ("finding", "measurement_error")
}
ERRORS, CHANGES = st.floats(0.01, 100), st.floats(-100, 100)
TESTS = st.integers(1, 20)


@given(st.lists(CHANGES, min_size=2, max_size=30))
def test_the_typical_error_is_the_spread_over_the_root_of_two(differences):
    found = change.typical_error_weir_2005(differences=differences)

    assert found == pytest.approx(statistics.stdev(differences) / math.sqrt(2), abs=1e-9)


def test_the_typical_error_takes_the_spread_of_a_sample():
    assert change.typical_error_weir_2005(differences=[0, 2]) == pytest.approx(1.0)


@given(st.lists(CHANGES, min_size=2, max_size=10), CHANGES)
def test_learning_alike_in_everybody_is_no_error(differences, learnt):
    plain = change.typical_error_weir_2005(differences=differences)

    assert change.typical_error_weir_2005(differences=[one + learnt for one in differences]) == pytest.approx(
        plain, abs=1e-9
    )


def test_one_person_tested_twice_tells_no_error():
    with pytest.raises(WrongLength):
        change.typical_error_weir_2005(differences=[1.0])


def test_a_difference_that_is_no_number_is_refused():
    with pytest.raises(OutOfRange):
        change.typical_error_weir_2005(differences=[1.0, math.nan])


@given(CHANGES, ERRORS, CHANGES, TESTS, TESTS)
def test_the_chance_agrees_with_a_second_opinion(seen, error, wanted, before, after):
    found = change.chance_of_true_change_weir_2005(
        observed_change=seen, typical_error=error, wanted_change=wanted, tests_before=before, tests_after=after
    )

    second = scipy_stats.norm.cdf(seen, loc=wanted, scale=error * np.sqrt(1 / before + 1 / after))
    assert found.value == pytest.approx(second, abs=1e-12)


def test_the_chance_comes_true_when_tests_are_drawn():
    rng = np.random.default_rng(7)
    true = rng.uniform(-20, 20, 400_000)
    seen = true + rng.normal(0, 1.5, true.size) - rng.normal(0, 1.5, true.size)
    alike = true[np.abs(seen - 1.5) < 0.05]

    found = change.chance_of_true_change_weir_2005(observed_change=1.5, typical_error=1.5)

    assert (alike > 0).mean() == pytest.approx(found.value, abs=0.02)


@given(ERRORS, TESTS, TESTS)
def test_more_tests_on_either_side_never_blur(error, before, after):
    once = change.smallest_clear_change_weir_2005(typical_error=error)

    assert (
        change.smallest_clear_change_weir_2005(typical_error=error, tests_before=before, tests_after=after)
        <= once + 1e-9
    )


@given(ERRORS, st.floats(0.1, 10))
def test_the_clear_change_scales_with_the_unit(error, factor):
    scaled = change.smallest_clear_change_weir_2005(typical_error=error * factor)

    assert scaled == pytest.approx(factor * change.smallest_clear_change_weir_2005(typical_error=error))


@pytest.mark.parametrize(
    ("seen", "verdict"),
    [
        (0.0, Verdict.WITHIN_ERROR),
        (1.42, Verdict.WITHIN_ERROR),
        (1.44, Verdict.PROBABLY_REAL),
        (4.15, Verdict.PROBABLY_REAL),
        (4.17, Verdict.CLEAR),
    ],
)
@pytest.mark.parametrize("way", [1, -1])
def test_a_change_is_called_one_of_three_things(seen, verdict, way):
    found = change.judge_change(observed_change=way * seen, typical_error=1.5)

    assert found.verdict is verdict
    assert found.clear_from == pytest.approx(4.158, abs=0.001)
    assert found.observed == way * seen
    assert found.chance >= 0.5


def test_repeated_tests_may_make_clear_what_one_pair_could_not():
    once = change.judge_change(observed_change=3.0, typical_error=1.5)
    twice = change.judge_change(observed_change=3.0, typical_error=1.5, tests_before=2, tests_after=2)

    assert (once.verdict, twice.verdict) == (Verdict.PROBABLY_REAL, Verdict.CLEAR)


def test_exactly_at_the_limits_the_lower_word_holds():
    at = change.smallest_clear_change_weir_2005(typical_error=1.0)
    probable = statistics.NormalDist().inv_cdf(0.75) * math.sqrt(2)

    assert change.judge_change(observed_change=at, typical_error=1.0).verdict is Verdict.PROBABLY_REAL
    assert change.judge_change(observed_change=probable - 1e-9, typical_error=1.0).verdict is Verdict.WITHIN_ERROR


def test_the_words_are_the_plain_ones():
    assert [str(one) for one in Verdict] == ["within test error", "probably real", "clear"]


@pytest.mark.parametrize("wrong", [0, -1, math.nan, math.inf])
def test_an_error_must_be_above_zero(wrong):
    with pytest.raises(OutOfRange):
        change.smallest_clear_change_weir_2005(typical_error=wrong)


@pytest.mark.parametrize("name", ["tests_before", "tests_after"])
@pytest.mark.parametrize("wrong", [0, 21, 1.5, math.nan])
def test_the_number_of_tests_is_whole(name, wrong):
    with pytest.raises(OutOfRange):
        change.smallest_clear_change_weir_2005(typical_error=1.0, **{name: wrong})


@pytest.mark.parametrize(
    ("function", "wrong"),
    [
        (change.typical_error_from_percent, {"value": 0, "error_percent": 5}),
        (change.typical_error_from_percent, {"value": 30, "error_percent": 51}),
        (change.typical_error_from_retest, {"retest_see": 2, "correlation": 1.1}),
        (change.typical_error_from_retest, {"retest_see": 0, "correlation": 0.9}),
        (change.typical_error_vickers_2003, {"vo2max_ml_per_kg_min": 9}),
        (change.typical_error_twelve_minute_run_alvero_2017, {"typical_error_m": 0}),
        (change.smallest_clear_change_weir_2005, {"typical_error": 1, "z": 0}),
        (change.chance_of_true_change_weir_2005, {"observed_change": math.nan, "typical_error": 1}),
        (
            change.chance_of_true_change_weir_2005,
            {"observed_change": 1, "typical_error": 1, "wanted_change": math.inf},
        ),
    ],
)
def test_an_impossible_figure_is_refused(function, wrong):
    with pytest.raises(OutOfRange):
        function(**wrong)


def test_an_error_may_come_from_per_cent_a_pool_or_a_retest():
    assert change.typical_error_from_percent(value=30, error_percent=5) == pytest.approx(1.5)
    assert change.typical_error_vickers_2003(vo2max_ml_per_kg_min=30).value == pytest.approx(2.319, abs=0.001)
    assert change.typical_error_from_retest(retest_see=2.0, correlation=0.975) == pytest.approx(1.42, abs=0.005)


@pytest.mark.parametrize(("surface", "row"), [("corridor", "ERR-6MW1"), ("treadmill", "ERR-6MW2")])
def test_the_error_of_the_walk_gives_back_the_published_limit(surface, row):
    error = change.typical_error_six_minute_walk_chuang_2012(surface=surface).value

    assert change.smallest_clear_change_weir_2005(typical_error=error) == pytest.approx(FINDINGS[row])


def test_a_walk_on_another_surface_has_no_error():
    with pytest.raises(OutOfRange, match="corridor or treadmill"):
        change.typical_error_six_minute_walk_chuang_2012(surface="sand")


def test_the_published_errors_are_the_ones_kept():
    assert FINDINGS["ERR-KAT"] == change.VO2MAX_WITHIN_PERSON_PERCENT
    assert FINDINGS["ERR-COO1"] == change.TWELVE_MINUTE_RUN_ERROR_M


def test_the_published_error_of_the_run_is_the_default():
    assert change.typical_error_twelve_minute_run_alvero_2017().value == pytest.approx(52.2 / 44.73)


def test_one_time_in_ten_is_the_second_usual_line():
    assert statistics.NormalDist().inv_cdf(0.95) == pytest.approx(change.Z_90, abs=0.0005)


@pytest.mark.parametrize(
    ("estimate", "note"),
    [
        (change.typical_error_twelve_minute_run_alvero_2017(), "15 habituated runners"),
        (change.typical_error_six_minute_walk_chuang_2012(surface="corridor"), "Older adults"),
        (change.chance_of_true_change_weir_2005(observed_change=1, typical_error=1), "counts as equally likely"),
    ],
)
def test_what_limits_a_figure_stands_beside_it(estimate, note):
    assert [note in one for one in estimate.notes] == [True]


def test_a_chance_exactly_on_the_line_is_not_above_it(monkeypatch):
    chance = change.judge_change(observed_change=1.2, typical_error=1.0).chance
    monkeypatch.setattr(change, "PROBABLY", chance)

    assert change.judge_change(observed_change=1.2, typical_error=1.0).verdict is Verdict.WITHIN_ERROR
