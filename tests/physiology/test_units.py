"""Units into each other and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import units
from app.physiology.values import OutOfRange


@given(st.floats(0, 30))
def test_multiples_of_rest_come_back(met):
    assert units.met_from_vo2(units.vo2_from_met(met)) == pytest.approx(met)


@given(st.floats(0, 20))
def test_speeds_come_back(mph):
    assert units.speed_mph_from_m_per_min(units.speed_from_mph(mph)) == pytest.approx(mph)


@given(st.floats(0, 600))
def test_powers_come_back(watts):
    assert units.power_from_kgm_per_min(units.kgm_per_min_from_power(watts)) == pytest.approx(watts)


def test_a_pace_that_nobody_moves_at_is_refused():
    with pytest.raises(OutOfRange, match="Pace"):
        units.pace_per_mile_from_pace_per_km(99)
