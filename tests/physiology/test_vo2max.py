"""Every estimator of VO2max: its limits, its two forms, its error, and what it may be compared with."""

import csv
import inspect
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import (
    units,
    vo2max_ergometer,
    vo2max_heart_rate,
    vo2max_questionnaire,
    vo2max_runs,
    vo2max_walks,
)
from app.physiology.sources import SOURCES
from app.physiology.values import Missing, OutOfRange
from app.physiology.vo2max import VO2max
from tests.physiology.vo2max_calls import CALLS

MODULES = (vo2max_ergometer, vo2max_heart_rate, vo2max_questionnaire, vo2max_runs, vo2max_walks)
TABLE = Path(__file__).parents[1] / "reference" / "intensity_and_vo2max.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
LIMITS = [
    pytest.param(function, plain | {name: value}, id=f"{function.__name__}-{name}-{value:g}")
    for function, plain, limits in CALLS
    for name, low, high in limits
    for value in (math.nextafter(low, -math.inf), math.nextafter(high, math.inf), math.nan, math.inf)
]
SEXED = [pytest.param(f, plain, id=f.__name__) for f, plain, _ in CALLS if "sex" in plain]
NAMED = {f.__name__: f for f, _, _ in CALLS}
PLAIN = {f.__name__: plain for f, plain, _ in CALLS}


def value_of(row):
    return next(float(one["expected"]) for one in ROWS if one["id"] == row)


def test_every_estimator_is_among_the_calls():
    made = {
        name
        for module in MODULES
        for name, one in inspect.getmembers(module, inspect.isfunction)
        if one.__module__ == module.__name__ and one.__annotations__.get("return") == "VO2max" and name[0] != "_"
    }

    assert made == set(NAMED)


@pytest.mark.parametrize(("function", "given_"), LIMITS)
def test_a_value_outside_its_limits_is_refused(function, given_):
    with pytest.raises(OutOfRange):
        function(**given_)


@pytest.mark.parametrize(("function", "plain"), SEXED)
def test_another_sex_than_the_equation_knows_is_refused(function, plain):
    with pytest.raises(OutOfRange, match="F or M"):
        function(**plain | {"sex": "x"})


@pytest.mark.parametrize(("function", "plain"), SEXED)
def test_the_sexes_have_their_own_answer(function, plain):
    women, men = function(**plain | {"sex": "F"}), function(**plain | {"sex": "M"})

    assert women.value != men.value


@pytest.mark.parametrize(("function", "plain", "_limits"), CALLS, ids=lambda one: getattr(one, "__name__", ""))
def test_an_estimate_says_unit_error_source_and_kin(function, plain, _limits):
    found = function(**plain)

    assert found.source in SOURCES
    assert f"[{found.source}]" in inspect.getdoc(function)
    assert found.unit in ("mL/kg/min", "L/min", "mL/min", "MET")
    assert (found.error is None) == ("not found" in found.error_words or "no error" in found.error_words)
    assert found.may_be_compared_with(found)
    assert 5 < found.relative_ml_per_kg_min < 80
    assert ("memory" in inspect.getdoc(function)) == ("memory" in f"{found.notes}{found.error_words}") or (
        "spans of the two answers from memory" in inspect.getdoc(function)
    )


def test_no_two_estimators_may_stand_in_one_line():
    keys = [function(**plain).comparable_key for function, plain, _ in CALLS]

    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(("function", "plain", "_limits"), CALLS, ids=lambda one: getattr(one, "__name__", ""))
def test_both_forms_agree(function, plain, _limits):
    found = function(**plain)
    mass_kg = plain.get("mass_kg")

    absolute = found.absolute_l_per_min

    assert isinstance(absolute, Missing) == (mass_kg is None)
    assert mass_kg is None or absolute * 1000 / mass_kg == pytest.approx(found.relative_ml_per_kg_min)


@pytest.mark.parametrize(
    ("unit", "mass_kg", "relative", "absolute", "error"),
    [
        ("mL/kg/min", 80.0, 30.0, 2.4, 3.0),
        ("MET", 80.0, 105.0, 8.4, 10.5),
        ("L/min", 80.0, 375.0, 30.0, 37.5),
        ("mL/min", 80.0, 0.375, 0.03, 0.0375),
    ],
)
def test_one_form_turns_into_the_other(unit, mass_kg, relative, absolute, error):
    found = VO2max(30.0, unit, 3.0, "", "kline1987", "a test", "walk", mass_kg)

    assert found.relative_ml_per_kg_min == pytest.approx(relative)
    assert found.absolute_l_per_min == pytest.approx(absolute)
    assert found.relative_error_ml_per_kg_min == pytest.approx(error)


@pytest.mark.parametrize("unit", ["L/min", "mL/min"])
def test_without_body_mass_the_form_per_kilogram_is_missing(unit):
    found = VO2max(30.0, unit, 3.0, "", "kline1987", "a test", "walk")

    assert found.relative_ml_per_kg_min == Missing("body mass is not known")
    assert found.relative_error_ml_per_kg_min == Missing("body mass is not known")


def test_without_an_error_its_form_per_kilogram_is_missing():
    found = vo2max_runs.twelve_minute_run_cooper_1968(distance_m=2000)

    assert found.relative_error_ml_per_kg_min == Missing("the source gives no error")


@pytest.mark.parametrize(
    ("row", "function", "changes"),
    [
        ("SEE-KLI", "one_mile_walk_kline_1987", {}),
        ("SEE-KLIL", "one_mile_walk_absolute_kline_1987", {}),
        ("SEE-EBB", "treadmill_walk_ebbeling_1991", {}),
        ("SEE-GEOJ", "one_mile_jog_george_1993", {}),
        ("SEE-GEOR", "one_and_half_mile_run_george_1993", {}),
        ("SEE-STOM", "cycle_ramp_storer_1990", {"sex": "M"}),
        ("SEE-STOF", "cycle_ramp_storer_1990", {"sex": "F"}),
        ("SEE-UTH", "heart_rate_ratio_uth_2004", {}),
        ("SEE-UTHP", "heart_rate_ratio_uth_2004", {"maximum_is": "predicted"}),
        ("SEE-JACB", "no_exercise_bmi_jackson_1990", {}),
        ("SEE-JACF", "no_exercise_fat_jackson_1990", {}),
        ("SEE-BRD", "no_exercise_bradshaw_2005", {}),
        ("SEE-NESM", "no_exercise_bmi_nes_2011", {"sex": "M"}),
        ("SEE-NESF", "no_exercise_bmi_nes_2011", {"sex": "F"}),
        ("SEE-MYE", "usual_vo2max_myers_2017", {}),
        ("SEE-SOU", "usual_vo2max_souza_2018", {}),
        ("SEE-LEG82", "shuttle_two_minute_leger_1982", {}),
        ("SEE-STIM", "shuttle_stickland_2003", {"sex": "M"}),
        ("SEE-STIF", "shuttle_stickland_2003", {"sex": "F"}),
        ("SEE-POL", "bruce_women_pollock_1982", {}),
        ("SEE-F96N", "treadmill_hands_free_foster_1996", {}),
        ("SEE-F96H", "treadmill_rail_held_foster_1996", {}),
        ("SEE-SAG", "six_minute_walk_sagat_2023", {}),
    ],
)
def test_the_published_error_stands_beside_the_value(row, function, changes):
    assert NAMED[function](**PLAIN[function] | changes).error == value_of(row)


@pytest.mark.parametrize("row", [one for one in ROWS if one["id"].startswith("AST-AGE")], ids=lambda row: row["id"])
def test_the_age_factors_are_the_published_ones(row):
    age = float(row["inputs"].partition("age=")[2].partition(";")[0])

    factor = vo2max_ergometer.age_factor_astrand_1960(age_years=age)

    assert factor == pytest.approx(float(row["expected"]), abs=1e-9)


@given(st.floats(15, 65), st.floats(15, 65))
def test_the_age_factor_never_rises_with_age(one, other):
    young, old = sorted((one, other))

    assert vo2max_ergometer.age_factor_astrand_1960(age_years=old) <= vo2max_ergometer.age_factor_astrand_1960(
        age_years=young
    )


@given(st.floats(1000, 4400))
def test_the_twelve_minute_run_turns_back(distance_m):
    there = vo2max_runs.twelve_minute_run_cooper_1968(distance_m=distance_m).value

    back = vo2max_runs.twelve_minute_run_distance_cooper_1968(vo2max_ml_per_kg_min=max(there, 12))

    assert back.value == pytest.approx(max(distance_m, 12 * 44.73 + 504.9))


@given(st.floats(480, 1600), st.floats(1, 100))
def test_a_faster_mile_is_never_a_lower_vo2max(duration_s, slower_s):
    mile = PLAIN["one_mile_walk_kline_1987"] | {"sex": "M", "mass_kg": 60, "heart_rate_bpm": 100}

    fast = vo2max_walks.one_mile_walk_kline_1987(**mile | {"duration_s": duration_s})
    slow = vo2max_walks.one_mile_walk_kline_1987(**mile | {"duration_s": duration_s + slower_s})

    assert fast.value > slow.value


@pytest.mark.parametrize(
    ("function", "plain"),
    [
        (vo2max_runs.one_mile_jog_george_1993, PLAIN["one_mile_jog_george_1993"]),
        (vo2max_runs.treadmill_jog_george_1993, PLAIN["treadmill_jog_george_1993"]),
        (vo2max_runs.one_and_half_mile_run_george_1993, PLAIN["one_and_half_mile_run_george_1993"]),
    ],
)
def test_a_test_for_the_young_without_an_age_is_marked(function, plain):
    assert any("18 to 29" in note for note in function(**plain | {"age_years": None}).notes)


def test_a_man_may_jog_the_mile_faster_than_a_woman():
    jog = PLAIN["one_mile_jog_george_1993"] | {"duration_s": 500}

    assert vo2max_runs.one_mile_jog_george_1993(**jog | {"sex": "M"}).value > 40
    with pytest.raises(OutOfRange):
        vo2max_runs.one_mile_jog_george_1993(**jog)


def test_six_minutes_beyond_working_age_are_marked():
    walk = PLAIN["six_minute_walk_burr_2011"]

    assert "beyond" in " ".join(vo2max_walks.six_minute_walk_burr_2011(**walk | {"age_years": 65}).notes)
    assert "beyond" not in " ".join(vo2max_walks.six_minute_walk_burr_2011(**walk).notes)


def test_every_adult_counts_as_eighteen_on_the_shuttle():
    grown = [vo2max_runs.shuttle_leger_1988(speed_m_per_min=200, age_years=age).value for age in (17.9, 18, 34, 50)]

    assert grown[0] != grown[1] == grown[2] == grown[3]


def test_figures_that_give_nothing_above_zero_are_refused():
    heavy = PLAIN["one_mile_walk_kline_1987"] | {"mass_kg": 250, "duration_s": 1800, "heart_rate_bpm": 200}

    with pytest.raises(OutOfRange, match="does not fit"):
        vo2max_walks.one_mile_walk_kline_1987(**heavy)


@pytest.mark.parametrize(
    ("function", "changes"),
    [
        ("heart_rate_ratio_uth_2004", {"maximum_is": "guessed"}),
        ("heart_rate_ratio_uth_2004", {"maximal_heart_rate_bpm": 60, "resting_heart_rate_bpm": 60}),
        ("no_exercise_jurca_2005", {"activity_level": 2.5}),
        ("usual_vo2max_souza_2018", {"mode": "rowing"}),
    ],
)
def test_a_word_or_pair_the_equation_does_not_know_is_refused(function, changes):
    with pytest.raises(OutOfRange):
        NAMED[function](**PLAIN[function] | changes)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"height_cm": 119}, "Height"),
        ({"age_years": 39}, "Age"),
        ({"mass_kg": math.nan}, "mass"),
        ({"sex": ""}, "Sex"),
    ],
)
def test_the_expected_walk_is_for_healthy_adults_of_forty_to_eighty(changes, says):
    walk = {"height_cm": 170, "mass_kg": 70, "age_years": 60, "sex": "F"} | changes

    with pytest.raises(OutOfRange, match=says):
        vo2max_walks.six_minute_walk_distance_enright_1998(**walk)


def test_the_walk_of_a_group_is_for_no_single_client():
    found = vo2max_walks.six_minute_walk_group_ross_2010(mean_distance_m=500)

    assert "not for one client" in found.notes[0]
    with pytest.raises(OutOfRange):
        vo2max_walks.six_minute_walk_group_ross_2010(mean_distance_m=100)


def test_the_expected_walk_of_a_man_and_of_a_woman_differ():
    walk = {"height_cm": 170, "mass_kg": 70, "age_years": 60}

    found = [vo2max_walks.six_minute_walk_distance_enright_1998(**walk | {"sex": sex}).value for sex in "FM"]

    assert found == pytest.approx([518.6, 553.5])


def test_a_pound_an_inch_and_a_mile_are_what_they_are():
    assert units.KG_PER_LB == 0.45359237
    assert units.M_PER_IN == 0.0254
    assert units.MILE_M == 1609.344
    assert pytest.approx(units.MILE_M / 60) == units.M_PER_MIN_PER_MPH
