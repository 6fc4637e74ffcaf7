"""How fast oxygen uptake rises at the start of a bout, and when it comes near VO2max."""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.physiology.values import Missing, check_range

NEAR_VO2MAX_FRACTION = 0.9
#: Before the rise begins; add it to the answer ([george2018] gives the time constants, the delay is usual).
DELAY_S = (15.0, 20.0)


@dataclass(frozen=True, slots=True)
class TimeConstant:
    """The measured time constant of oxygen uptake of one group of people."""

    who: str
    tau_s: float


#: Measured groups ([george2018]): training, not age, makes the rise quick.
TIME_CONSTANTS = (
    TimeConstant("young, inactive", 38.8),
    TimeConstant("older, inactive", 44.1),
    TimeConstant("older, recreationally active", 26.6),
    TimeConstant("older, trained", 17.7),
)
#: Eight men of 68 before and after three weeks of training ([murias2010]).
TIME_CONSTANT_BEFORE_AFTER_S = (43.0, 35.0)


def time_to_near_vo2max_george_2018(
    *, tau_s: float, start_fraction: float, target_fraction: float
) -> float | Missing:
    """The time until oxygen uptake passes 90 % of VO2max, rising towards a target: -tau ln((A - 0.9) / (A - b)).

    tau_s: time constant of oxygen uptake, s, 5 to 120.
    start_fraction: oxygen uptake at the start, share of VO2max, 0 to 1.
    target_fraction: oxygen uptake the bout would end at, share of VO2max, 0.5 to 1.3.
    Returns: time, s, without the delay of 15 to 20 s; 0 when already there; Missing for a target of 90 % or less.
    Raises: OutOfRange outside these limits.
    Limits: an ideal single rise; real bouts below the speed of VO2max are slower.
    Error: not found; time constants differ from 15 to 44 s between groups.
    Source: [george2018] for the time constants; the rise is the usual single exponential.
    Checked in tests/reference/load_intervals_readiness.csv, topic time to 90 % VO2max, ideal.
    """
    check_range("The time constant", tau_s, 5, 120, "s")
    check_range("The start", start_fraction, 0, 1)
    check_range("The target", target_fraction, 0.5, 1.3)
    if start_fraction >= NEAR_VO2MAX_FRACTION:
        return 0.0
    if target_fraction <= NEAR_VO2MAX_FRACTION:
        return Missing("a bout aimed at 90 % of VO2max or less never passes it")
    left, span = target_fraction - NEAR_VO2MAX_FRACTION, target_fraction - start_fraction
    return -tau_s * math.log(left / span)
