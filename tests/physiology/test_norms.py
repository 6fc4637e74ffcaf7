"""Norms: the grids as printed, the place between two columns, and nothing outside them."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import norms, populations
from app.physiology.sources import SOURCES
from app.physiology.values import Missing, OutOfRange

TABLE = Path(__file__).parents[1] / "reference" / "intensity_and_vo2max.csv"
ROWS = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))
PRINTED = [row for row in ROWS if row["topic"] in ("norms_2015", "norms_2017", "norms_2022")]
THRESHOLD = [row for row in ROWS if row["topic"] == "norms_vt"]
OTHERS = [row for row in ROWS if row["topic"] == "norms_other" and "want=" not in row["inputs"]]
SEXES, MODES = st.sampled_from("FM"), st.sampled_from(["treadmill", "cycle"])


def inputs(row):
    return dict(part.split("=") for part in row["inputs"].split(";"))


def first_age(words):
    return float((words.get("decade") or words["age_band"])[:2])


@pytest.mark.parametrize("row", PRINTED, ids=lambda row: row["id"])
def test_the_grid_is_as_printed(row):
    words = inputs(row)
    band = norms.grid_band(
        edition=int(row["topic"][-4:]), mode=words["mode"], sex=words["sex"], age_years=first_age(words)
    )

    cells = dict(zip(band.percentiles, band.values_ml_per_kg_min, strict=True))

    assert f"{band.age_from_years}-{band.age_until_years}" == words["decade"]
    assert cells[float(words["percentile"])] == float(row["expected"])


def test_the_grids_hold_nothing_that_is_not_printed():
    cells = sum(len(band.percentiles) for grid in norms.GRIDS.values() for band in grid)

    assert cells == len(PRINTED) == 699


@pytest.mark.parametrize("grid", norms.GRIDS.values(), ids=norms.GRIDS)
def test_every_row_of_a_grid_rises(grid):
    assert all(list(band.values_ml_per_kg_min) == sorted(set(band.values_ml_per_kg_min)) for band in grid)


@given(st.floats(5, 95), st.integers(20, 89), SEXES, MODES)
def test_place_and_value_turn_into_each_other(percentile, age_years, sex, mode):
    person = {"age_years": age_years, "sex": sex, "mode": mode}

    value = norms.vo2max_at_percentile_kaminsky_2022(percentile=percentile, **person).value

    rank = norms.percentile_kaminsky_2022(vo2max_ml_per_kg_min=value, **person)
    assert rank.value == pytest.approx(percentile, abs=1e-6)


@given(st.floats(3, 100), st.floats(3, 100), st.integers(20, 89), SEXES, MODES)
def test_more_is_never_a_lower_place(one, other, age_years, sex, mode):
    low, high = sorted((one, other))
    order = {"below": -1.0, "above": 101.0}

    ranks = [
        norms.percentile_kaminsky_2022(vo2max_ml_per_kg_min=value, age_years=age_years, sex=sex, mode=mode)
        for value in (low, high)
    ]

    places = [order.get(rank.outside, rank.value) for rank in ranks]
    assert places[0] <= places[1]


@pytest.mark.parametrize(
    ("vo2max", "words"),
    [
        (7.9, "below 5th"),
        (12.0, "5th percentile"),
        (19.4, "50th percentile"),
        (21.5, "64th percentile"),
        (29.7, "95th percentile"),
        (29.8, "above 95th"),
    ],
)
def test_a_place_is_said_in_words(vo2max, words):
    rank = norms.percentile_kaminsky_2022(vo2max_ml_per_kg_min=vo2max, age_years=63, sex="F", mode="treadmill")

    assert rank.words == words


@pytest.mark.parametrize(
    ("place", "said"), [(11, "11th"), (21, "21st"), (22, "22nd"), (33, "33rd"), (12.6, "13th"), (54, "54th")]
)
def test_places_end_as_they_are_spoken(place, said):
    value = norms.vo2max_at_percentile_kaminsky_2022(percentile=place, age_years=45, sex="M", mode="cycle").value

    rank = norms.percentile_kaminsky_2022(vo2max_ml_per_kg_min=value, age_years=45, sex="M", mode="cycle")

    assert rank.words == f"{said} percentile"


def test_a_column_that_was_not_printed_is_bridged_by_its_neighbours():
    at = {
        place: norms.vo2max_at_percentile_kaminsky_2022(percentile=place, age_years=55, sex="M", mode="cycle").value
        for place in (30, 35, 40)
    }

    assert at[35] == pytest.approx((at[30] + at[40]) / 2)


def test_an_older_edition_is_named_with_its_mode():
    cycle = norms.percentile_kaminsky_2017(vo2max_ml_per_kg_min=22.4, age_years=60, sex="M")
    treadmill = norms.percentile_kaminsky_2015(vo2max_ml_per_kg_min=28.2, age_years=69.9, sex="M")

    assert (cycle.value, cycle.edition, cycle.mode) == (50, 2017, "cycle")
    assert (treadmill.value, treadmill.edition, treadmill.mode) == (50, 2015, "treadmill")
    assert {cycle.source, treadmill.source} <= SOURCES.keys()


def test_the_value_at_a_place_of_the_older_cycle_edition():
    assert norms.vo2max_at_percentile_kaminsky_2017(percentile=50, age_years=60, sex="M").value == 22.4


@pytest.mark.parametrize(
    "wrong",
    [
        {"edition": 2014},
        {"edition": 2015, "mode": "cycle"},
        {"edition": 2017, "mode": "treadmill"},
        {"edition": 2017, "mode": "cycle", "age_years": 80},
        {"mode": "rowing"},
        {"sex": "X"},
        {"age_years": 19.9},
        {"age_years": 90},
        {"age_years": math.nan},
    ],
)
def test_what_no_grid_holds_is_refused(wrong):
    person = {"edition": 2022, "mode": "treadmill", "sex": "F", "age_years": 60}

    with pytest.raises(OutOfRange):
        norms.grid_band(**person | wrong)


@pytest.mark.parametrize("percentile", [4.9, 95.1, math.nan])
def test_no_value_is_told_outside_the_printed_columns(percentile):
    with pytest.raises(OutOfRange):
        norms.vo2max_at_percentile_kaminsky_2022(percentile=percentile, age_years=60, sex="F", mode="cycle")


@pytest.mark.parametrize("row", THRESHOLD, ids=lambda row: row["id"])
def test_the_threshold_medians_are_as_printed(row):
    words = inputs(row)

    found = populations.threshold_median_vainshelboim_2020(
        age_years=first_age(words) + 9.9, sex=words["sex"], mode=words["mode"]
    )

    assert found.value == float(row["expected"])


@pytest.mark.parametrize(("age_years", "mode"), [(19, "cycle"), (80, "cycle"), (math.nan, "cycle"), (40, "row")])
def test_a_threshold_nobody_printed_is_refused(age_years, mode):
    with pytest.raises(OutOfRange):
        populations.threshold_median_vainshelboim_2020(age_years=age_years, sex="F", mode=mode)


@pytest.mark.parametrize("row", OTHERS, ids=lambda row: row["id"])
def test_other_populations_are_as_printed(row):
    words = inputs(row)
    keys = {
        "LOE": "loe2013",
        "ASP": "aspenes2011",
        "SAG": "sagat2025",
        "FI2": "international2020",
        "ALM": "almeida2019",
    }
    statistic = words.get("stat") or f"p{words['percentile']}"

    found = populations.population_figures(
        source=keys[row["id"][:3]], sex=words["sex"], age_years=first_age(words) + 4
    )

    assert [one.vo2max_ml_per_kg_min for one in found if one.statistic == statistic] == [float(row["expected"])]


def test_every_population_has_its_source_and_figures():
    assert {one.source for one in populations.POPULATIONS} == {one.source for one in populations.FIGURES}
    assert {one.source for one in populations.POPULATIONS} <= SOURCES.keys()
    assert len(populations.FIGURES) == len(OTHERS)


def test_a_population_without_such_a_person_says_so():
    nobody = populations.population_figures(source="sagat2025", sex="F", age_years=59)
    oldest = populations.population_figures(source="sagat2025", sex="F", age_years=93)

    assert nobody == Missing("this population has nobody of that age")
    assert [(one.vo2max_ml_per_kg_min, one.sd_ml_per_kg_min) for one in oldest] == [(18.9, 4.7)]


@pytest.mark.parametrize("wrong", [{"source": "nobody2020"}, {"sex": "x"}, {"age_years": math.inf}])
def test_an_unknown_population_is_refused(wrong):
    with pytest.raises(OutOfRange):
        populations.population_figures(**{"source": "sagat2025", "sex": "F", "age_years": 62} | wrong)


def test_the_usual_change_over_years_is_the_published_one():
    yearly = {row["id"]: float(row["expected"]) for row in ROWS if row["topic"] == "decline"}

    assert populations.usual_change_stathokostas_2004(years=1, sex="M").value == yearly["DEC-ST-M"]
    assert populations.usual_change_stathokostas_2004(years=2, sex="F").value == 2 * yearly["DEC-ST-F"]


def test_the_published_fall_by_decade_follows_from_the_grid():
    medians = [
        norms.vo2max_at_percentile_kaminsky_2022(percentile=50, age_years=age, sex=sex, mode="treadmill").value
        for age in (20, 80)
        for sex in "FM"
    ]

    falls = (sum(medians[:2]) - sum(medians[2:])) / 2 / 6

    assert falls == pytest.approx(next(float(row["expected"]) for row in ROWS if row["id"] == "DEC-CALC"), abs=0.01)


@pytest.mark.parametrize("wrong", [{"years": 10.1}, {"years": -1}, {"sex": "x"}])
def test_a_change_over_more_years_than_were_watched_is_refused(wrong):
    with pytest.raises(OutOfRange):
        populations.usual_change_stathokostas_2004(**{"years": 2, "sex": "F"} | wrong)


@pytest.mark.parametrize("one", populations.MORTALITY, ids=lambda one: one.source)
def test_risk_is_said_as_what_goes_with_what(one):
    found = {row["expected"] for row in ROWS if row["topic"] == "mortality"}

    assert "watched, not treated" in one.sentence
    assert f"{one.value:g}" in found
    assert f"{one.value:g}" in one.sentence
    assert one.source in SOURCES


@pytest.mark.parametrize("one", populations.DECLINE, ids=lambda one: one.sentence)
def test_decline_has_its_figure_and_source(one):
    assert f"{one.value:g}" in one.sentence
    assert one.source in SOURCES
