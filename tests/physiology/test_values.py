"""Refusals: a sentence with the limits, and no way around them for what is no number."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.values import OutOfRange, check_range


@pytest.mark.parametrize("value", [18, 18.0, 63, 100])
def test_what_lies_inside_passes_edges_included(value):
    assert check_range("Age", value, 18, 100, "years") is None


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(value):
    with pytest.raises(OutOfRange, match=r"^Age must be a number from 18 to 100 years\.$"):
        check_range("Age", value, 18, 100, "years")


@given(st.floats(allow_nan=False, allow_infinity=False).filter(lambda x: not 0 <= x <= 1))
def test_what_lies_outside_is_refused_with_its_figure(value):
    with pytest.raises(OutOfRange, match=r"^Share must be from 0 to 1; .* is outside\.$"):
        check_range("Share", value, 0, 1)
