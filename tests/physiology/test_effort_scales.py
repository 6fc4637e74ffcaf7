"""Efforts from the 6-20 scale."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.effort_scales import OffTheScale, ratio_effort_from_rpe

TABLE = Path(__file__).parents[1] / "reference" / "effort_scales.csv"
CASES = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["rpe"])
def test_the_published_curve_is_met(case):
    effort = ratio_effort_from_rpe(float(case["rpe"]))

    assert effort == pytest.approx(float(case["expected_effort"]), abs=float(case["tolerance"]))


def test_the_lowest_rating_is_no_effort():
    assert ratio_effort_from_rpe(6) == 0


@pytest.mark.parametrize("rpe", [5.9, 20.1, math.nan, math.inf])
def test_a_rating_off_the_scale_is_refused(rpe):
    with pytest.raises(OffTheScale):
        ratio_effort_from_rpe(rpe)


@given(st.floats(6, 20), st.floats(6, 20))
def test_a_higher_rating_is_never_a_lower_effort(one, other):
    low, high = sorted((one, other))

    assert 0 <= ratio_effort_from_rpe(low) <= ratio_effort_from_rpe(high) <= 10
