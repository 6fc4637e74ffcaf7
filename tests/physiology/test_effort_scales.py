"""Efforts from the 6-20 scale."""

import csv
import math
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.effort_scales import OffTheScale, ratio_effort_from_rpe_borg_2001, rpe_from_ratio_effort_borg_2001

TABLE = Path(__file__).parents[1] / "reference" / "effort_scales.csv"
CASES = list(csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines()))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["rpe"])
def test_the_published_curve_is_met(case):
    effort = ratio_effort_from_rpe_borg_2001(float(case["rpe"]))

    assert effort == pytest.approx(float(case["expected_effort"]), abs=float(case["tolerance"]))


def test_the_lowest_rating_is_no_effort():
    assert ratio_effort_from_rpe_borg_2001(6) == 0


@pytest.mark.parametrize("rpe", [5.9, 20.1, math.nan, math.inf])
def test_a_rating_off_the_scale_is_refused(rpe):
    with pytest.raises(OffTheScale):
        ratio_effort_from_rpe_borg_2001(rpe)


@given(st.floats(6, 20), st.floats(6, 20))
def test_a_higher_rating_is_never_a_lower_effort(one, other):
    low, high = sorted((one, other))

    assert 0 <= ratio_effort_from_rpe_borg_2001(low) <= ratio_effort_from_rpe_borg_2001(high) <= 10


@pytest.mark.parametrize(("effort", "rpe"), [(0, 6), (0.2, 6), (0.3, 6), (2, 10.26), (8, 20), (10, 20)])
def test_the_curve_read_forwards_is_capped_at_both_ends(effort, rpe):
    assert rpe_from_ratio_effort_borg_2001(effort) == pytest.approx(rpe, abs=0.005)


@pytest.mark.parametrize("effort", [-0.1, 11.1, math.nan])
def test_an_effort_off_the_scale_is_refused(effort):
    with pytest.raises(OffTheScale):
        rpe_from_ratio_effort_borg_2001(effort)


@given(st.floats(0.4, 7.9))
def test_there_and_back_is_the_same_effort(effort):
    back = ratio_effort_from_rpe_borg_2001(rpe_from_ratio_effort_borg_2001(effort))

    assert back == pytest.approx(effort, abs=1e-9)
