"""Speed as it would have been on the flat, held against the single formulae of the floor below."""

import numpy as np
import pytest

from app.coaching.flat_speed import USUAL_RIDER, flat_speed_on_foot, flat_speed_on_wheels
from app.physiology.gradient_cost import running_cost_minetti_2002
from app.physiology.slope import cycling_power_martin_1998, cycling_speed_martin_1998


@pytest.mark.parametrize("slope", [-0.06, 0.0, 0.03, 0.06])
def test_on_foot_it_is_speed_by_the_cost_of_the_slope(slope):
    cost = running_cost_minetti_2002(slope=slope).value / running_cost_minetti_2002(slope=0.0).value

    assert flat_speed_on_foot(np.array([2.5]), np.array([slope]))[0] == pytest.approx(2.5 * cost)


@pytest.mark.parametrize(("speed", "slope"), [(3.0, 0.06), (4.0, 0.04), (6.0, 0.0), (8.0, -0.01)])
def test_on_wheels_it_is_the_speed_that_the_same_power_gives_on_the_flat(speed, slope):
    power = cycling_power_martin_1998(rider=USUAL_RIDER, speed_m_per_s=speed, slope=slope).total_w
    on_the_flat = cycling_speed_martin_1998(rider=USUAL_RIDER, power_w=power)

    assert flat_speed_on_wheels(np.array([speed]), np.array([slope]))[0] == pytest.approx(on_the_flat, rel=0.01)


def test_on_wheels_a_hill_that_does_all_the_work_leaves_nothing():
    assert flat_speed_on_wheels(np.array([7.0]), np.array([-0.06]))[0] == 0
