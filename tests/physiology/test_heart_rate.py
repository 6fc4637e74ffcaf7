"""Maximal heart rate from age: by hand where no row is, refused outside its people, always with its error."""

import inspect
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import heart_rate as hr
from app.physiology.heart_rate_choice import hrmax_opinions
from app.physiology.values import OutOfRange, Sex

BY_AGE = [
    hr.hrmax_fox_1971,
    hr.hrmax_tanaka_2001,
    hr.hrmax_gellish_2007_rounded,
    hr.hrmax_gellish_2007_unrounded,
    hr.hrmax_gellish_2007_curved,
    hr.hrmax_nes_2013,
    hr.hrmax_gulati_2010,
    hr.hrmax_jones_1985,
    hr.hrmax_zhu_2010,
    hr.hrmax_brawner_2004,
]
# Youngest and oldest that are let in.
LIMITS = {
    hr.hrmax_gellish_2007_curved: (30, 75),
    hr.hrmax_nes_2013: (19, 89),
    hr.hrmax_zhu_2010: (18, 50),
    hr.hrmax_brawner_2004: (40, 80),
}


def name_of(value):
    return value.__name__ if inspect.isfunction(value) else None


def test_a_cycle_test_of_50_years():
    assert hr.hrmax_jones_1985(50).value == pytest.approx(166)


@pytest.mark.parametrize(("on_cycle", "bpm"), [(False, 124), (True, 119)])
def test_heart_failure_on_a_beta_blocker(on_cycle, bpm):
    assert hr.hrmax_keteyian_2012(60, 70, on_cycle).value == pytest.approx(bpm)


def test_an_impossible_rest_is_refused():
    with pytest.raises(OutOfRange, match="Heart rate at rest"):
        hr.hrmax_keteyian_2012(60, 20, False)


@pytest.mark.parametrize("equation", BY_AGE, ids=name_of)
def test_nobody_outside_its_ages_is_let_in(equation):
    youngest, oldest = LIMITS.get(equation, (18, 100))

    assert equation(youngest).value > equation(oldest).value
    for age in (youngest - 0.1, oldest + 0.1, math.nan):
        with pytest.raises(OutOfRange, match="Age"):
            equation(age)


@pytest.mark.parametrize("equation", BY_AGE, ids=name_of)
def test_the_usual_error_always_stands_beside_it(equation):
    estimate = equation(45)

    assert estimate.unit == "bpm"
    assert estimate.error_words
    assert hr.ALWAYS_SAY in estimate.notes


@pytest.mark.parametrize("equation", BY_AGE, ids=name_of)
@given(ages=st.tuples(st.floats(40, 50), st.floats(40, 50)))
def test_it_never_rises_with_age(equation, ages):
    younger, older = sorted(ages)

    assert equation(younger).value >= equation(older).value


@pytest.mark.parametrize(
    ("equation", "age", "note"),
    [
        (hr.hrmax_fox_1971, 56, "reads too low over 55; use another"),
        (hr.hrmax_gulati_2010, 75, "far from the ages it was made on (52, SD 11)"),
        (hr.hrmax_gellish_2007_rounded, 76, "outside the ages it was made on (30 to 75)"),
        (hr.hrmax_gellish_2007_unrounded, 29, "outside the ages it was made on (30 to 75)"),
    ],
    ids=name_of,
)
def test_an_age_the_equation_hardly_knows_is_marked(equation, age, note):
    assert note in equation(age).notes
    assert note not in equation(52).notes


@pytest.mark.parametrize(("sex", "second"), [(Sex.FEMALE, "gulati2010"), (Sex.MALE, "nes2013"), (None, "nes2013")])
def test_the_default_has_a_second_opinion_beside_it(sex, second):
    opinions = hrmax_opinions(60, sex)

    assert opinions.default.source == "tanaka2001"
    assert opinions.second.source == second
    assert opinions.second in opinions.all
    assert opinions.lowest_bpm <= opinions.default.value <= opinions.highest_bpm


@pytest.mark.parametrize(
    ("age", "sex", "how_many"), [(60, Sex.FEMALE, 6), (60, Sex.MALE, 5), (60, None, 4), (39, Sex.MALE, 4)]
)
def test_an_equation_not_made_for_a_person_stays_silent(age, sex, how_many):
    assert len(hrmax_opinions(age, sex).all) == how_many
