"""Speed as it would have been on the flat for the same effort, for whole recordings: on foot and on wheels."""

from __future__ import annotations

import numpy as np

from app.coaching.recordings import Series
from app.physiology.gradient_cost import RUNNING_CURVE
from app.physiology.slope import GRAVITY_M_PER_S2, Rider

#: Rider and bicycle nobody weighed: only how rounds stand to rests depends on it (house choice).
USUAL_RIDER = Rider(mass_kg=85.0)
_FASTEST_M_PER_S = 25.0


def flat_speed_on_foot(speed_m_per_s: Series, slope: Series) -> Series:
    """By the energy cost of running ([minetti2002], from memory, unchecked): cost there over cost on the flat."""
    return np.asarray(speed_m_per_s * np.polyval(RUNNING_CURVE, slope) / RUNNING_CURVE[-1])


def flat_speed_on_wheels(speed_m_per_s: Series, slope: Series, rider: Rider = USUAL_RIDER) -> Series:
    """By the power of steady riding ([martin1998], from memory, unchecked); 0 where the hill does all the work.

    Speeding up and wind are left out: recordings do not know the wind.
    """
    power = _steady_power(speed_m_per_s, slope, rider)
    speeds = np.linspace(0.0, _FASTEST_M_PER_S, 501)
    return np.interp(power, _steady_power(speeds, np.zeros_like(speeds), rider), speeds)


def _steady_power(speed: Series, slope: Series, rider: Rider) -> Series:
    """Air, rolling and climbing; what bearings and drive take is nearly the same share everywhere."""
    drag = 0.5 * rider.air_density_kg_per_m3 * (rider.drag_area_m2 + rider.wheel_drag_area_m2)
    weight_n = rider.mass_kg * GRAVITY_M_PER_S2
    return np.asarray((drag * speed**2 + weight_n * (rider.rolling_coefficient + slope)) * speed)
