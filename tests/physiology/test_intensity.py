"""Classes of effort: edges that join, and the class never falls as effort rises."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import intensity
from app.physiology.intensity import IntensityClass
from app.physiology.values import OutOfRange

CLASSES = tuple(IntensityClass)
MEASURES = [
    (intensity.intensity_from_reserve_garber_2011, intensity.RESERVE_EDGES_PERCENT, 0, 110),
    (intensity.intensity_from_hrmax_garber_2011, intensity.HRMAX_EDGES_PERCENT, 20, 110),
    (intensity.intensity_from_vo2max_garber_2011, intensity.VO2MAX_EDGES_PERCENT, 0, 120),
    (intensity.intensity_from_rpe_garber_2011, intensity.RPE_EDGES, 6, 20),
    (intensity.intensity_from_met_garber_2011, intensity.MET_EDGES, 0.9, 30),
]
FINDINGS = Path(__file__).parents[1] / "reference" / "intensity_and_vo2max.csv"


@pytest.mark.parametrize(("measure", "edges", "low", "high"), MEASURES)
def test_a_lower_edge_belongs_to_its_class_and_just_below_to_the_one_before(measure, edges, low, high):
    assert [measure(edge) for edge in edges] == list(CLASSES[1:])
    assert [measure(edge - 1e-6) for edge in edges] == list(CLASSES[:-1])


@pytest.mark.parametrize(("measure", "edges", "low", "high"), MEASURES)
def test_what_cannot_be_is_refused(measure, edges, low, high):
    assert measure(low) is CLASSES[0]
    assert measure(high) is CLASSES[-1]
    for value in (low - 0.1, high + 0.1, float("nan")):
        with pytest.raises(OutOfRange):
            measure(value)


@given(st.floats(0, 110), st.floats(0, 110))
def test_more_effort_is_never_a_lighter_class(one, other):
    low, high = sorted((one, other))

    classes = [CLASSES.index(intensity.intensity_from_reserve_garber_2011(value)) for value in (low, high)]
    assert classes == sorted(classes)


def test_the_row_of_older_adults_is_met():
    row = next(r for r in csv.DictReader(FINDINGS.read_text(encoding="utf-8").splitlines()) if r["id"] == "INT-23")

    assert row["inputs"] == "met=5;age=70;table=age_specific"
    assert intensity.intensity_from_met_by_age_garber_2011(5, 70) == row["expected"]


@pytest.mark.parametrize(("age", "edges"), [(64.9, (2.0, 4.0, 6.0, 8.5)), (65, (1.6, 3.2, 4.8, 6.8))])
def test_the_same_cost_is_more_effort_from_65_on(age, edges):
    assert [intensity.intensity_from_met_by_age_garber_2011(edge, age) for edge in edges] == list(CLASSES[1:])


def test_nobody_under_40_has_edges_of_an_age():
    with pytest.raises(OutOfRange, match="Age"):
        intensity.intensity_from_met_by_age_garber_2011(5, 39)
