"""Oxygen cost and its inverses: back and forth, found by halving as a second opinion, and the gap between gaits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import oxygen_cost as cost
from app.physiology import oxygen_cost_inverse as inverse
from app.physiology.energy import energy_of_distance, energy_rate_from_vo2
from app.physiology.oxygen_cost import Gait
from app.physiology.values import Estimate, Missing, OutOfRange

optimize = pytest.importorskip("scipy.optimize")

WALKS, GRADES = st.floats(50.1, 133.9), st.floats(0, 0.2)


@given(WALKS, GRADES)
def test_the_walking_speed_comes_back(speed, grade):
    vo2 = cost.vo2_walking_bushman_2020(speed, grade).value

    assert inverse.walking_speed_for_vo2_bushman_2020(vo2, grade).value == pytest.approx(speed)


@given(st.floats(51, 133), GRADES)
def test_the_walking_grade_comes_back(speed, grade):
    vo2 = cost.vo2_walking_bushman_2020(speed, grade).value + 1e-9

    assert inverse.walking_grade_for_vo2_bushman_2020(vo2, speed).value == pytest.approx(grade, abs=1e-8)


@given(st.floats(81, 250), GRADES)
def test_running_comes_back_by_speed_and_by_grade(speed, grade):
    vo2 = cost.vo2_running_bushman_2020(speed, grade).value + 1e-9

    assert inverse.running_speed_for_vo2_bushman_2020(vo2, grade).value == pytest.approx(speed)
    assert inverse.running_grade_for_vo2_bushman_2020(vo2, speed).value == pytest.approx(grade, abs=1e-8)


@given(st.floats(51, 199), st.floats(40, 120))
def test_the_power_comes_back(power, mass):
    vo2 = cost.vo2_leg_cycling_bushman_2020(power, mass).value

    assert inverse.cycling_power_for_vo2_bushman_2020(vo2, mass).value == pytest.approx(power)


@given(st.floats(12.1, 29.9), st.floats(0.04, 0.4))
def test_the_step_rate_comes_back(rate, height):
    vo2 = cost.vo2_stepping_bushman_2020(rate, height).value

    assert inverse.step_rate_for_vo2_bushman_2020(vo2, height).value == pytest.approx(rate)


def test_root_finding_finds_the_same_speed():
    def off(speed):
        return cost.vo2_running_bushman_2020(speed, 0.03).value - 45

    assert inverse.running_speed_for_vo2_bushman_2020(45, 0.03).value == pytest.approx(optimize.brentq(off, 80, 400))


@pytest.mark.parametrize("speed", [100.1, 120, 133.9])
def test_between_walking_and_running_the_gait_is_asked_for(speed):
    assert cost.vo2_on_foot(speed) == Missing(cost.ASK_GAIT)
    assert isinstance(cost.vo2_on_foot(speed, gait=Gait.WALK), Estimate)


@pytest.mark.parametrize(
    ("speed", "gait", "same"),
    [
        (100, None, cost.vo2_walking_bushman_2020),
        (134, None, cost.vo2_running_bushman_2020),
        (120, Gait.RUN, cost.vo2_running_bushman_2020),
        (120, Gait.WALK, cost.vo2_walking_bushman_2020),
    ],
)
def test_elsewhere_or_once_told_the_right_equation_answers(speed, gait, same):
    assert cost.vo2_on_foot(speed, 0.02, gait) == same(speed, 0.02)


def test_a_speed_that_holds_only_for_one_gait_is_marked():
    assert "truly a walk" in cost.vo2_walking_bushman_2020(101).notes[-1]
    assert "truly a run" in cost.vo2_running_bushman_2020(134).notes[-1]
    assert "truly" not in "".join(cost.vo2_walking_bushman_2020(100).notes + cost.vo2_running_bushman_2020(135).notes)


@pytest.mark.parametrize(
    "refused",
    [
        lambda: cost.vo2_walking_bushman_2020(49),
        lambda: cost.vo2_walking_bushman_2020(80, -0.01),
        lambda: cost.vo2_running_bushman_2020(79),
        lambda: cost.vo2_leg_cycling_bushman_2020(201, 70),
        lambda: cost.vo2_stepping_bushman_2020(31, 0.2),
        lambda: inverse.walking_speed_for_vo2_bushman_2020(30),
        lambda: inverse.running_speed_for_vo2_bushman_2020(10),
        lambda: inverse.walking_grade_for_vo2_bushman_2020(90, 60),
        lambda: inverse.cycling_power_for_vo2_bushman_2020(60, 80),
        lambda: inverse.step_rate_for_vo2_bushman_2020(60, 0.1),
    ],
)
def test_nothing_is_stretched_past_its_range(refused):
    with pytest.raises(OutOfRange):
        refused()


@pytest.mark.parametrize(
    "grade_for", [inverse.walking_grade_for_vo2_bushman_2020, inverse.running_grade_for_vo2_bushman_2020]
)
def test_a_speed_that_is_too_fast_on_the_flat_already_says_so(grade_for):
    with pytest.raises(OutOfRange, match="Already the flat costs more"):
        grade_for(5, 100)


def test_energy_of_a_distance_is_its_rate_times_its_time():
    rate = energy_rate_from_vo2(cost.vo2_running_bushman_2020(150, 0.02).value, 70)

    whole = energy_of_distance(Gait.RUN, 3000, 150, 70, grade_fraction=0.02)
    assert whole.value == pytest.approx(rate.value * 20)
