"""Cycling on a slope, and the inverse against a root finder."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from app.physiology.slope import (
    Rider,
    climb_rate_m_per_h,
    cycling_power_martin_1998,
    cycling_speed_martin_1998,
    headwind_m_per_s,
)
from app.physiology.values import Missing, OutOfRange

RIDER = Rider(mass_kg=85)

slopes = st.floats(-0.05, 0.2)
speeds = st.floats(1, 20)


def power(speed, slope=0.0, wind=0.0, rider=RIDER, **more):
    return cycling_power_martin_1998(rider=rider, speed_m_per_s=speed, slope=slope, headwind_m_per_s=wind, **more)


@given(st.floats(20, 600), slopes, st.floats(-8, 8))
def test_the_speed_is_where_the_power_is_met(watts, slope, wind):
    found = cycling_speed_martin_1998(rider=RIDER, power_w=watts, slope=slope, headwind_m_per_s=wind)
    root = brentq(lambda speed: power(speed, slope, wind).total_w - watts, 1e-6, 30)

    assert found == pytest.approx(root, rel=1e-6)


@given(speeds, st.floats(0, 0.2), st.floats(0, 8))
def test_speed_for_power_undoes_power_for_speed(speed, slope, wind):
    watts = power(speed, slope, wind).total_w

    found = cycling_speed_martin_1998(rider=RIDER, power_w=min(2500, watts), slope=slope, headwind_m_per_s=wind)

    assert watts > 2500 or found == pytest.approx(speed, rel=1e-9)


@given(speeds, st.floats(-0.2, 0.19), st.floats(0, 8))
def test_steeper_faster_and_windier_cost_more(speed, slope, wind):
    usual = power(speed, slope, wind).total_w

    assert power(speed, slope + 0.01, wind).total_w > usual
    assert power(speed, slope, wind + 1).total_w > usual
    assert power(speed, slope, wind, Rider(85, drag_area_m2=0.5)).total_w > usual


@given(speeds, slopes, st.floats(-8, 8))
def test_the_terms_make_up_the_whole(speed, slope, wind):
    found = power(speed, slope, wind)

    terms = found.air_w + found.rolling_w + found.bearings_w + found.gravity_w + found.kinetic_w
    assert found.total_w * RIDER.drive_efficiency == pytest.approx(terms)


def test_a_following_wind_faster_than_the_rider_pushes():
    assert power(5, wind=-8).air_w < 0
    assert power(5, wind=-5).air_w == 0


def test_speeding_up_costs_and_slowing_down_gives():
    up = power(8, start_speed_m_per_s=7, end_speed_m_per_s=9, duration_s=10).kinetic_w
    down = power(8, start_speed_m_per_s=9, end_speed_m_per_s=7, duration_s=10).kinetic_w

    assert up == pytest.approx(0.5 * (85 + 0.14 / 0.311**2) * 32 / 10)
    assert down == -up


@pytest.mark.parametrize("left_out", ["start_speed_m_per_s", "end_speed_m_per_s", "duration_s"])
def test_speeding_up_needs_both_ends_and_the_time(left_out):
    given_ = {"start_speed_m_per_s": 7, "end_speed_m_per_s": 9, "duration_s": 10, left_out: None}

    with pytest.raises(OutOfRange, match="both ends"):
        power(8, **given_)


@pytest.mark.parametrize(
    ("name", "value"),
    [("start_speed_m_per_s", -1), ("end_speed_m_per_s", 31), ("duration_s", 0)],
)
def test_speeding_up_outside_its_limits_is_refused(name, value):
    with pytest.raises(OutOfRange):
        power(8, **{"start_speed_m_per_s": 7, "end_speed_m_per_s": 9, "duration_s": 10, name: value})


@pytest.mark.parametrize(
    ("speed", "slope", "wind"), [(-1, 0, 0), (31, 0, 0), (8, 0.5, 0), (8, 0, 21), (math.nan, 0, 0)]
)
def test_values_outside_are_refused(speed, slope, wind):
    with pytest.raises(OutOfRange):
        power(speed, slope, wind)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("mass_kg", 29),
        ("drag_area_m2", 0),
        ("rolling_coefficient", 0),
        ("air_density_kg_per_m3", 2),
        ("wheel_drag_area_m2", 0.06),
        ("wheel_inertia_kg_m2", 2),
        ("wheel_radius_m", 0.1),
        ("drive_efficiency", 1.1),
    ],
)
def test_a_rider_who_cannot_be_is_refused(name, value):
    with pytest.raises(OutOfRange):
        Rider(**{"mass_kg": 85, name: value})


def test_a_speed_beyond_30_metres_a_second_is_a_gap():
    assert isinstance(cycling_speed_martin_1998(rider=RIDER, power_w=300, slope=-0.3), Missing)


def test_a_power_of_nothing_is_refused():
    with pytest.raises(OutOfRange):
        cycling_speed_martin_1998(rider=RIDER, power_w=0)


@pytest.mark.parametrize(("angle", "wind"), [(0, 5), (60, 2.5), (90, 0), (180, -5)])
def test_a_wind_by_its_angle(angle, wind):
    assert headwind_m_per_s(wind_m_per_s=5, degrees_from_travel=angle) == pytest.approx(wind, abs=1e-9)


@pytest.mark.parametrize(("wind", "angle"), [(-1, 0), (5, 181)])
def test_a_wind_that_cannot_be_is_refused(wind, angle):
    with pytest.raises(OutOfRange):
        headwind_m_per_s(wind_m_per_s=wind, degrees_from_travel=angle)


@given(st.floats(0, 0.45), st.floats(0, 30))
def test_a_climb_never_rises_more_than_its_road_is_long(slope, speed):
    assert 0 <= climb_rate_m_per_h(slope=slope, speed_m_per_s=speed) <= 3600 * speed * slope + 1e-9


@pytest.mark.parametrize(("slope", "speed"), [(-0.01, 3), (0.1, 31)])
def test_a_climb_that_cannot_be_is_refused(slope, speed):
    with pytest.raises(OutOfRange):
        climb_rate_m_per_h(slope=slope, speed_m_per_s=speed)
