"""Cadence in a gear, and the steepest slope that is ridden seated."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from app.physiology.gearing import cadence_in_gear, steepest_seated_slope
from app.physiology.slope import Rider, cycling_power_martin_1998, cycling_speed_martin_1998
from app.physiology.values import Missing, OutOfRange

RIDER = {"power_w": 200.0, "total_mass_kg": 85.0}
GEAR = {"front_teeth": 34, "rear_teeth": 34}


def test_one_turn_of_a_gear_of_one_to_one_is_one_turn_of_the_wheel():
    assert cadence_in_gear(speed_m_per_s=2.1, **GEAR) == pytest.approx(60)
    assert cadence_in_gear(speed_m_per_s=2.1, front_teeth=34, rear_teeth=17) == pytest.approx(30)


def root(speed_m_per_s, power_w=200.0):
    def over(slope):
        found = cycling_power_martin_1998(rider=Rider(85), speed_m_per_s=speed_m_per_s, slope=slope)
        return found.total_w - power_w

    return brentq(over, 0, 0.45)


def test_without_a_gear_the_steepest_slope_is_where_8_km_per_h_are_just_held():
    assert steepest_seated_slope(**RIDER).value == pytest.approx(root(8 / 3.6), abs=1e-9)


def test_a_high_gear_asks_for_more_than_8_km_per_h():
    gear = {"front_teeth": 39, "rear_teeth": 25}

    found = steepest_seated_slope(**RIDER, **gear)

    assert found.value == pytest.approx(root(2.1 * 39 / 25), abs=1e-9)
    assert found.value < steepest_seated_slope(**RIDER, **GEAR).value
    assert any("common practice" in note for note in found.notes)


@given(st.floats(80, 500), st.floats(50, 130), st.floats(-3, 5))
def test_on_the_steepest_slope_speed_and_cadence_are_just_enough(power_w, mass, wind):
    found = steepest_seated_slope(power_w=power_w, total_mass_kg=mass, headwind_m_per_s=wind, **GEAR)
    speed = cycling_speed_martin_1998(rider=Rider(mass), power_w=power_w, slope=found.value, headwind_m_per_s=wind)

    assert found.value == 0.45 or speed * 3.6 == pytest.approx(8, abs=1e-3)
    assert found.value == 0.45 or cadence_in_gear(speed_m_per_s=speed, **GEAR) >= 60


def test_a_light_rider_with_much_power_stays_seated_on_all_that_is_reckoned():
    assert steepest_seated_slope(power_w=2000, total_mass_kg=50).value == 0.45


def test_too_little_power_for_the_flat_is_said():
    found = steepest_seated_slope(power_w=10, total_mass_kg=85)

    assert isinstance(found, Missing)
    assert "8.0 km/h even on the flat" in found.reason


@pytest.mark.parametrize("only", [{"front_teeth": 34}, {"rear_teeth": 34}])
def test_half_a_gear_is_refused(only):
    with pytest.raises(OutOfRange, match="in front and behind"):
        steepest_seated_slope(**RIDER, **only)


@pytest.mark.parametrize(
    ("name", "value"),
    [("front_teeth", 17), ("rear_teeth", 61), ("wheel_circumference_m", 0.9), ("power_w", 0), ("total_mass_kg", 29)],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        steepest_seated_slope(**{**RIDER, **GEAR, name: value})


def test_a_speed_outside_is_refused():
    with pytest.raises(OutOfRange):
        cadence_in_gear(speed_m_per_s=31, **GEAR)
