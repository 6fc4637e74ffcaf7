"""The hill a round needs: published speeds, energy over the round, an equation solver, and its laws."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from app.physiology.hill import Surface, hill_for_round
from app.physiology.slope import GRAVITY_M_PER_S2, Rider, cycling_power_martin_1998
from app.physiology.values import Missing, OutOfRange
from tests.physiology.reference_rows import rows

ROUND = {"power_w": 200.0, "work_s": 240.0, "total_mass_kg": 85.0, "slope": 0.06}
GEAR = {"front_teeth": 34, "rear_teeth": 30}


# The published rows leave out the drag of the wheels themselves, so here it is taken off the drag area.
@pytest.mark.parametrize("row", [row for row in rows() if row.topic == "climbing speed"], ids=lambda row: row.id)
def test_the_speed_is_the_published_one(row):
    found = hill_for_round(
        power_w=float(row.inputs["power"]),
        work_s=240,
        total_mass_kg=float(row.inputs["mass"]),
        slope=float(row.inputs["slope"]),
        drag_area_m2=float(row.inputs["CdA"]) - Rider(85).wheel_drag_area_m2,
        headwind_m_per_s=float(row.inputs["wind"]),
    )

    assert found.speed_km_per_h == pytest.approx(float(row.expected), abs=row.tolerance)
    assert found.value == pytest.approx(found.speed_km_per_h / 3.6 * 240)


def test_the_climb_rate_is_the_published_one():
    row = next(row for row in rows() if row.id == "CYC-22")

    found = hill_for_round(**ROUND, drag_area_m2=0.32 - Rider(85).wheel_drag_area_m2)

    assert found.climb_rate_m_per_h == pytest.approx(float(row.expected), abs=row.tolerance)
    assert found.climb_m == pytest.approx(found.climb_rate_m_per_h * 240 / 3600)


@given(st.floats(80, 500), st.floats(60, 600), st.floats(45, 140), st.floats(0.01, 0.2), st.floats(0, 6))
def test_the_work_of_the_round_is_the_height_won_and_what_was_lost_on_the_way(power, work_s, mass, slope, wind):
    found = hill_for_round(power_w=power, work_s=work_s, total_mass_kg=mass, slope=slope, headwind_m_per_s=wind)

    speed, rider = found.value / work_s, Rider(mass)
    height_j = mass * GRAVITY_M_PER_S2 * found.climb_m
    along_j = rider.rolling_coefficient * mass * GRAVITY_M_PER_S2 * math.sqrt(found.value**2 - found.climb_m**2)
    drag = 0.5 * rider.air_density_kg_per_m3 * (rider.drag_area_m2 + rider.wheel_drag_area_m2)
    air_j = drag * (speed + wind) ** 2 * found.value
    bearings_j = (0.091 + 0.0087 * speed) * found.value
    assert power * work_s * rider.drive_efficiency == pytest.approx(height_j + along_j + air_j + bearings_j, rel=1e-6)


def test_a_solver_of_the_motion_settles_at_the_same_speed():
    rider = Rider(85)

    def speeding_up(_, state):
        needed = cycling_power_martin_1998(rider=rider, speed_m_per_s=state[1], slope=0.06).total_w
        return [state[1], (200 - needed) * rider.drive_efficiency / (rider.mass_kg * state[1])]

    moved = solve_ivp(speeding_up, (0, 240), [0.0, 1.0], rtol=1e-8).y

    found = hill_for_round(**ROUND)
    assert moved[1][-1] * 3.6 == pytest.approx(found.speed_km_per_h, rel=1e-4)
    assert moved[0][-1] == pytest.approx(found.value, rel=0.03)


hills = st.fixed_dictionaries(
    {
        "power_w": st.floats(80, 500),
        "work_s": st.floats(30, 1000),
        "total_mass_kg": st.floats(45, 140),
        "slope": st.floats(0.01, 0.2),
    }
)


@given(hills, st.floats(5, 100), st.floats(0.005, 0.1))
def test_more_power_needs_a_longer_hill_and_more_slope_mass_and_wind_a_shorter_one(hill, more, steeper):
    usual = hill_for_round(**hill).value

    assert hill_for_round(**{**hill, "power_w": hill["power_w"] + more}).value > usual
    assert hill_for_round(**{**hill, "slope": hill["slope"] + steeper}).value < usual
    assert hill_for_round(**{**hill, "total_mass_kg": hill["total_mass_kg"] + more}).value < usual
    assert hill_for_round(**hill, headwind_m_per_s=3).value < usual


@given(hills)
def test_the_range_holds_the_length(hill):
    found = hill_for_round(**hill)

    assert found.range[0] < found.value < found.range[1]


def test_rougher_ground_needs_a_shorter_hill():
    lengths = [hill_for_round(**ROUND, surface=surface).value for surface in Surface]

    assert lengths == sorted(lengths, reverse=True)


def test_down_a_steep_hill_it_is_rolled_at_30_km_per_h_at_most():
    found = hill_for_round(**ROUND, recovery_s=180)

    assert found.back_km_per_h == pytest.approx(30)
    assert found.back_s == pytest.approx(20 + found.value / (30 / 3.6))
    assert found.back_fits is True


def test_down_a_gentle_hill_it_rolls_slower_and_may_not_fit():
    found = hill_for_round(**{**ROUND, "slope": 0.01}, recovery_s=120)

    assert found.back_km_per_h < 30
    assert found.back_fits is False


def test_turning_the_pedals_on_the_way_back_is_quicker():
    gentle = {**ROUND, "slope": 0.01}

    assert hill_for_round(**gentle, recovery_power_w=60).back_s < hill_for_round(**gentle).back_s


def test_a_headwind_up_the_hill_pushes_on_the_way_back():
    gentle = {**ROUND, "slope": 0.01}

    up_against, up_with = (hill_for_round(**gentle, headwind_m_per_s=wind) for wind in (3, -3))
    assert up_against.back_km_per_h > up_with.back_km_per_h


def test_without_a_recovery_nothing_is_said_about_the_way_back_fitting():
    assert hill_for_round(**ROUND).back_fits is None


def test_the_lowest_gear_says_cadence_and_whether_it_is_ridden_seated():
    found = hill_for_round(**ROUND, **GEAR)

    assert found.cadence_per_min == pytest.approx(60 * found.value / 240 / (2.1 * 34 / 30))
    assert (found.stays_seated, found.steepest_seated_slope > 0.06) == (True, True)


def test_too_high_a_gear_takes_the_rider_out_of_the_saddle():
    found = hill_for_round(**ROUND, front_teeth=39, rear_teeth=21)

    assert found.cadence_per_min < 60
    assert (found.stays_seated, found.steepest_seated_slope < 0.06) == (False, True)


def test_without_a_gear_only_8_km_per_h_are_asked_for():
    steep = hill_for_round(**{**ROUND, "slope": 0.12})

    assert steep.cadence_per_min is None
    assert (hill_for_round(**ROUND).stays_seated, steep.stays_seated) == (True, False)


@given(hills)
def test_it_is_ridden_seated_up_to_the_steepest_slope_and_no_further(hill):
    found = hill_for_round(**hill, **GEAR)

    assert found.stays_seated == (
        found.steepest_seated_slope is not None and hill["slope"] <= found.steepest_seated_slope
    )


def test_hardly_any_power_has_no_slope_to_stay_seated_on():
    found = hill_for_round(**{**ROUND, "power_w": 10})

    assert (found.steepest_seated_slope, found.stays_seated) == (None, False)


def test_a_gale_from_behind_is_beyond_what_is_reckoned():
    blown = {"power_w": 2500, "work_s": 60, "total_mass_kg": 40, "slope": 0.005, "headwind_m_per_s": -20}

    assert isinstance(hill_for_round(**blown), Missing)


def test_a_range_that_would_pass_30_metres_a_second_ends_there():
    blown = {"power_w": 700, "work_s": 60, "total_mass_kg": 40, "slope": 0.005, "headwind_m_per_s": -20}

    found = hill_for_round(**blown)

    assert found.range[1] == 60 * 30


def test_down_a_mountain_the_brakes_hold_it_at_30_km_per_h():
    assert hill_for_round(**{**ROUND, "slope": 0.45}).back_km_per_h == pytest.approx(30)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("power_w", value) for value in (0, 2501, math.nan)),
        *(("work_s", value) for value in (9, 1201)),
        *(("total_mass_kg", value) for value in (29, 251)),
        *(("slope", value) for value in (0, -0.05, 0.46)),
        *(("headwind_m_per_s", value) for value in (-21, 21)),
        *(("drag_area_m2", value) for value in (0.09, 1.1)),
        *(("recovery_s", value) for value in (4, 3601)),
        *(("recovery_power_w", value) for value in (0, 2501)),
        *(("turns_s", value) for value in (-1, 121)),
        ("front_teeth", 34),
    ],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        hill_for_round(**{**ROUND, name: value})
