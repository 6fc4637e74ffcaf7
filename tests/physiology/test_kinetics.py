"""The rise of oxygen uptake."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from app.physiology.kinetics import TIME_CONSTANTS, time_to_near_vo2max_george_2018
from app.physiology.values import Missing, OutOfRange


@given(st.floats(5, 120), st.floats(0, 0.85), st.floats(0.92, 1.3))
def test_the_time_is_where_the_rise_crosses_90_percent(tau, start, target):
    crossing = brentq(lambda t: target - (target - start) * math.exp(-t / tau) - 0.9, 0, 100 * tau)

    found = time_to_near_vo2max_george_2018(tau_s=tau, start_fraction=start, target_fraction=target)

    assert found == pytest.approx(crossing, rel=1e-6)


@pytest.mark.parametrize(("place", "time_s"), [(0, 72.6259), (1, 82.5465), (2, 49.7899), (3, 33.1309)], ids=str)
def test_the_measured_groups_at_full_effort(place, time_s):
    found = time_to_near_vo2max_george_2018(
        tau_s=TIME_CONSTANTS[place].tau_s, start_fraction=0.35, target_fraction=1.0
    )

    assert found == pytest.approx(time_s, abs=0.1)


def test_who_is_there_already_needs_no_time():
    assert time_to_near_vo2max_george_2018(tau_s=30, start_fraction=0.9, target_fraction=0.8) == 0


def test_a_bout_aimed_at_90_percent_never_passes_it():
    assert isinstance(time_to_near_vo2max_george_2018(tau_s=30, start_fraction=0.3, target_fraction=0.9), Missing)


@pytest.mark.parametrize(("name", "value"), [("tau_s", 4), ("start_fraction", 1.1), ("target_fraction", math.nan)])
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        time_to_near_vo2max_george_2018(**{"tau_s": 30, "start_fraction": 0.3, "target_fraction": 1, name: value})
