"""The hill that a round needs on foot, by what walking or running up it costs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.physiology.energy import KCAL_PER_LITRE
from app.physiology.gradient_cost import running_cost_minetti_2002, walking_cost_minetti_2002
from app.physiology.oxygen_cost import REST, STEEPEST, Gait
from app.physiology.oxygen_cost_inverse import (
    running_speed_for_vo2_bushman_2020,
    walking_speed_for_vo2_bushman_2020,
)
from app.physiology.values import check_range

#: By definition of the calorie; with the 5 kcal of a litre it turns energy into oxygen.
_J_PER_CAL = 4.184
_J_PER_ML = KCAL_PER_LITRE * _J_PER_CAL
_M_PER_KM = 1000.0
_SPEED_UP = {Gait.WALK: walking_speed_for_vo2_bushman_2020, Gait.RUN: running_speed_for_vo2_bushman_2020}
_COST_UP = {Gait.WALK: walking_cost_minetti_2002, Gait.RUN: running_cost_minetti_2002}
_SECOND = "the second length is by energy for each metre, taken above rest and with 5 kcal to the litre of oxygen"
_EFFORT_FIRST = "on foot the effort and the talk test decide; the length says only where to look for a hill"


@dataclass(frozen=True, slots=True)
class HillOnFoot:
    """The stretch of hill a round covers on foot, by two opinions, and the walk back down."""

    value: float
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...]
    range: tuple[float, float]
    by_oxygen_m: float
    by_energy_m: float
    speed_m_per_min: float
    pace_s_per_km: float
    climb_m: float
    back_s: float
    back_fits: bool | None


def hill_for_round_on_foot(
    *,
    gait: Gait,
    vo2_ml_per_kg_min: float,
    work_s: float,
    slope: float,
    recovery_s: float | None = None,
    back_speed_m_per_min: float = 80.0,
) -> HillOnFoot:
    """The length of hill that a round on foot needs: the speed that costs a wanted oxygen uptake, times its length.

    gait: walk or run, no unit.
    vo2_ml_per_kg_min: oxygen uptake the round is meant to cost, mL/kg/min, over 3.5 to 100.
    work_s: length of the round, s, 10 to 1200.
    slope: rise over run, no unit, 0 to 0.40.
    recovery_s: recovery the way back must fit into, s, 5 to 3600.
    back_speed_m_per_min: walking speed on the way back, m/min, 20 to 134; 80 is common practice.
    Returns: length of hill, m, with a second opinion by energy cost, speed, climb and the way back.
    Raises: OutOfRange outside these limits, or when the speed is no walk (50 to 134 m/min) or no run (80 to 400).
    Limits: a steady state, not holding on; a round ends before it is reached, so the first minutes cost less.
    Error: not found; the two opinions bound the range, and ultra runners missed a related curve by 8 % uphill.
    Source: [bushman2020] for the length; published, read. Second opinion [minetti2002], from memory; 5 kcal a litre
    by convention.
    Checked in tests/reference/intensity_and_vo2max.csv, topic acsm_inverse.
    """
    check_range("The round", work_s, 10, 1200, "s")
    check_range("The slope", slope, 0, STEEPEST)
    check_range("Speed on the way back", back_speed_m_per_min, 20, 134, "m/min")
    if recovery_s is not None:
        check_range("The recovery", recovery_s, 5, 3600, "s")
    gait = Gait(gait)
    found = _SPEED_UP[gait](vo2_ml_per_kg_min, slope)
    length_m = found.value * work_s / 60
    second_m = _speed_by_energy(gait, vo2_ml_per_kg_min, slope) * work_s / 60
    back_s = 60 * length_m / back_speed_m_per_min
    return HillOnFoot(
        value=length_m,
        unit="m",
        error=None,
        error_words="not found; the range only holds two opinions",
        source="bushman2020",
        notes=(*found.notes, _SECOND, _EFFORT_FIRST),
        range=(min(length_m, second_m), max(length_m, second_m)),
        by_oxygen_m=length_m,
        by_energy_m=second_m,
        speed_m_per_min=found.value,
        pace_s_per_km=60 * _M_PER_KM / found.value,
        climb_m=length_m * math.sin(math.atan(slope)),
        back_s=back_s,
        back_fits=None if recovery_s is None else back_s <= recovery_s,
    )


def _speed_by_energy(gait: Gait, vo2_ml_per_kg_min: float, slope: float) -> float:
    return (vo2_ml_per_kg_min - REST) * _J_PER_ML / _COST_UP[gait](slope=slope).value
