"""Walking and running on a slope."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import gradient_cost as cost
from app.physiology.values import Missing, OutOfRange

COSTS = (cost.running_cost_minetti_2002, cost.walking_cost_minetti_2002)


@pytest.mark.parametrize(("slope", "measured"), cost.MEASURED_RUNNING)
def test_measured_means_lie_within_the_stated_error(slope, measured):
    found = cost.running_cost_minetti_2002(slope=slope)

    assert found.value == pytest.approx(measured, abs=found.error)


@given(st.floats(0, 0.44), st.sampled_from(COSTS))
def test_steeper_uphill_costs_more(slope, figure):
    assert figure(slope=slope + 0.01).value > figure(slope=slope).value


@given(st.floats(-0.45, 0.45))
def test_every_slope_costs_something_and_running_is_the_written_polynomial(slope):
    polynomial = np.polyval([155.4, -30.4, -43.3, 46.3, 19.5, 3.6], slope)

    assert cost.running_cost_minetti_2002(slope=slope).value == pytest.approx(polynomial)
    assert cost.walking_cost_minetti_2002(slope=slope).value > 0


@given(st.floats(120, 1200), st.floats(0, 0.45))
def test_equal_effort_is_never_faster_uphill(pace, slope):
    assert cost.equal_effort_pace_minetti_2002(flat_pace_s_per_km=pace, slope=slope) >= pace


def test_no_pace_is_given_downhill():
    assert isinstance(cost.equal_effort_pace_minetti_2002(flat_pace_s_per_km=360, slope=-0.05), Missing)


@pytest.mark.parametrize("slope", [-0.46, 0.46, math.nan])
@pytest.mark.parametrize("figure", COSTS)
def test_a_slope_outside_is_refused(slope, figure):
    with pytest.raises(OutOfRange):
        figure(slope=slope)


@pytest.mark.parametrize(("pace", "slope"), [(119, 0), (1201, 0), (360, 0.5), (360, -0.5)])
def test_a_pace_or_slope_outside_is_refused(pace, slope):
    with pytest.raises(OutOfRange):
        cost.equal_effort_pace_minetti_2002(flat_pace_s_per_km=pace, slope=slope)
