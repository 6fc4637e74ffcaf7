"""Load from heart rate."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import curve_fit

from app.physiology import heart_rate_load as hearts
from app.physiology.values import Missing, OutOfRange, Sex, WrongLength

PERSON = {"resting_bpm": 60, "maximum_bpm": 190}
SHARES = (0.45, 0.6, 0.7, 0.8, 0.9, 1.0)
LACTATES = (1.1, 1.6, 2.3, 3.6, 5.9, 9.2)
CURVES = (hearts.lactate_curve_log_linear_manzi_2009, hearts.lactate_curve_non_linear_manzi_2009)


def impulse(minutes, rates, sex=Sex.MALE, **more):
    return hearts.training_impulse_banister_1991(
        minutes=minutes, heart_rates_bpm=rates, sex=sex, **{**PERSON, **more}
    )


@given(st.lists(st.floats(40, 190), min_size=1, max_size=20), st.sampled_from(Sex))
def test_samples_may_be_taken_in_parts_and_in_any_order(rates, sex):
    parts = [impulse(1, [rate], sex).value for rate in reversed(rates)]

    assert impulse(1, rates, sex).value == pytest.approx(math.fsum(parts))


@given(st.floats(60, 189), st.floats(0.1, 50))
def test_a_higher_heart_rate_is_never_a_lower_load(rate, more):
    assert impulse(10, [min(190, rate + more)]).value > impulse(10, [rate]).value


@given(st.floats(0, 700))
def test_twice_the_minutes_are_twice_the_load(minutes):
    assert impulse(2 * minutes, [150]).value == pytest.approx(2 * impulse(minutes, [150]).value)


def test_the_error_is_test_against_test():
    load = impulse(60, [150])

    assert load.error == pytest.approx(0.156 * load.value)
    assert load.notes == ()


def test_a_heart_rate_above_the_maximum_marks_the_maximum():
    assert impulse(1, [191, 150]).notes == ("heart rate passed the maximum: the maximum is wrong",)


def test_an_unknown_heart_rate_is_a_gap():
    gap = Missing("1 samples of this recording have no heart rate")
    curve = hearts.LactateCurve(1, 2, "by hand")

    assert impulse(1, [150, math.nan]) == gap
    assert (
        hearts.individual_impulse_manzi_2009(minutes=1, heart_rates_bpm=[150, math.nan], curve=curve, **PERSON) == gap
    )


@pytest.mark.parametrize(("minutes", "rates"), [(1, []), ([1, 2], [150])])
def test_each_sample_needs_its_minutes(minutes, rates):
    with pytest.raises(WrongLength):
        impulse(minutes, rates)


@pytest.mark.parametrize(
    ("minutes", "rates", "more"),
    [
        (1, [19], {}),
        (1, [251], {}),
        (-1, [150], {}),
        (math.nan, [150], {}),
        (1, [150], {"resting_bpm": 20}),
        (1, [150], {"maximum_bpm": 75}),
        (1, [150], {"base": 3}),
    ],
)
def test_values_outside_are_refused(minutes, rates, more):
    with pytest.raises(OutOfRange):
        impulse(minutes, rates, **more)


def test_the_individual_form_by_hand():
    curve = hearts.LactateCurve(0.2, 4, "by hand")

    load = hearts.individual_impulse_manzi_2009(minutes=[10, 5], heart_rates_bpm=[125, 60], curve=curve, **PERSON)

    assert load.value == pytest.approx(10 * 0.5 * 0.2 * math.exp(2))
    assert load.notes == ("curve: by hand", "recipe from memory, unchecked")
    assert load.error is None


def test_the_non_linear_curve_is_what_a_second_solver_finds():
    wanted, _ = curve_fit(lambda x, a, b: a * np.exp(b * x), SHARES, LACTATES, p0=(0.2, 4))

    curve = CURVES[1](reserve_fractions=SHARES, lactates_mmol_per_l=LACTATES)

    assert (curve.factor_mmol_per_l, curve.exponent) == pytest.approx(wanted, rel=1e-5)


def test_the_log_linear_curve_is_what_a_second_library_finds():
    exponent, factor = np.polyfit(SHARES, np.log(LACTATES), 1)

    curve = CURVES[0](reserve_fractions=SHARES, lactates_mmol_per_l=LACTATES)

    assert (curve.factor_mmol_per_l, curve.exponent) == pytest.approx((math.exp(factor), exponent))


@given(st.floats(0.31, 0.6), st.floats(0.5, 3.5), st.sampled_from(CURVES))
def test_a_step_test_without_noise_gives_its_curve_back(factor, exponent, fit):
    lactates = [factor * math.exp(exponent * share) for share in SHARES]

    curve = fit(reserve_fractions=SHARES, lactates_mmol_per_l=lactates)

    assert (curve.factor_mmol_per_l, curve.exponent) == pytest.approx((factor, exponent), rel=1e-4)


@pytest.mark.parametrize("fit", CURVES)
@pytest.mark.parametrize(
    ("shares", "lactates"), [(SHARES, LACTATES[::-1]), ([0.5] * 6, LACTATES), ([0.0] * 6, LACTATES)]
)
def test_lactate_that_does_not_rise_is_a_gap(fit, shares, lactates):
    assert isinstance(fit(reserve_fractions=shares, lactates_mmol_per_l=lactates), Missing)


def test_a_curve_that_rises_in_the_logarithms_only_is_a_gap():
    found = CURVES[1](reserve_fractions=(0, 0.3, 0.6, 1), lactates_mmol_per_l=(0.3, 30, 30, 0.5))

    assert isinstance(found, Missing)


def test_a_search_that_does_not_end_is_a_gap(monkeypatch):
    monkeypatch.setattr(hearts, "curve_fit", lambda *_: Missing("no end"))

    assert CURVES[1](reserve_fractions=SHARES, lactates_mmol_per_l=LACTATES) == Missing("no end")


@pytest.mark.parametrize("fit", CURVES)
@pytest.mark.parametrize("steps", [3, 5])
def test_too_few_steps_are_refused(fit, steps):
    with pytest.raises(WrongLength):
        fit(reserve_fractions=SHARES[:steps], lactates_mmol_per_l=LACTATES[: min(steps, 4)])


@pytest.mark.parametrize(("shares", "lactates"), [((*SHARES[:5], 1.1), LACTATES), (SHARES, (0.1, *LACTATES[1:]))])
def test_a_step_that_cannot_be_is_refused(shares, lactates):
    with pytest.raises(OutOfRange):
        CURVES[0](reserve_fractions=shares, lactates_mmol_per_l=lactates)


@pytest.mark.parametrize(
    ("percent", "weight"), [(0, 0), (49.9, 0), (50, 1), (69.9, 2), (70, 3), (89, 4), (90, 5), (105, 5)]
)
def test_an_edge_counts_upward(percent, weight):
    assert hearts.heart_rate_weight_edwards_1993(percent_of_maximum=percent) == weight


@given(st.lists(st.tuples(st.floats(0, 90), st.floats(0, 110)), max_size=8), st.randoms())
def test_the_order_of_parts_does_not_matter(parts, random):
    shuffled = random.sample(parts, len(parts))
    loads = [
        hearts.summated_load_edwards_1993(minutes=[m for m, _ in one], percents_of_maximum=[p for _, p in one])
        for one in (parts, shuffled)
    ]

    assert loads[0].value == loads[1].value
    assert loads[0].value <= 5 * math.fsum(minutes for minutes, _ in parts) + 1e-9


def test_a_summated_load_needs_both_of_each_part():
    with pytest.raises(WrongLength):
        hearts.summated_load_edwards_1993(minutes=[1, 2], percents_of_maximum=[70])


@pytest.mark.parametrize(("minutes", "percent"), [(-1, 70), (1, 111)])
def test_a_part_that_cannot_be_is_refused(minutes, percent):
    with pytest.raises(OutOfRange):
        hearts.summated_load_edwards_1993(minutes=[minutes], percents_of_maximum=[percent])


def test_a_threshold_load_carries_its_error():
    load = hearts.threshold_load_lucia_2003(minutes_below_first=50, minutes_between=10, minutes_above_second=10)

    assert (load.value, load.error) == (100, pytest.approx(10.7))


def test_negative_minutes_are_refused():
    with pytest.raises(OutOfRange):
        hearts.threshold_load_lucia_2003(minutes_below_first=50, minutes_between=-1, minutes_above_second=10)
