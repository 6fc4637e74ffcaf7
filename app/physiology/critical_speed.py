"""Critical speed and D' of running and swimming: the line of distance against time, and what it foretells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.physiology.critical_power import TRIAL_LIMITS_S, check_durations, trial_notes
from app.physiology.least_squares import correlation_of, linear_fit
from app.physiology.values import Missing, WrongLength, check_range

HIGHEST_SPEED_M_PER_S = 12.0
LONGEST_TRIAL_M = 10_000.0
HIGHEST_D_PRIME_M = 2000.0
#: The published field test of trained men; slower people need shorter ones, to stay near 3, 7 and 12 min.
FIELD_TEST_DISTANCES_M = (1200.0, 2400.0, 3600.0)


@dataclass(frozen=True, slots=True)
class CriticalSpeedFit:
    """One fit. The errors are standard errors, None with two trials."""

    critical_speed_m_per_s: float
    d_prime_m: float
    critical_speed_error_m_per_s: float | None
    d_prime_error_m: float | None
    covariance_m2_per_s: float | None
    distance_misfits_m: tuple[float, ...]
    notes: tuple[str, ...]

    @property
    def correlation(self) -> float | None:
        """How the errors of the two figures go together, -1 to 1; None where the fit has none."""
        return correlation_of(self.covariance_m2_per_s, self.critical_speed_error_m_per_s, self.d_prime_error_m)


def critical_speed_galbraith_2014(
    *, distances_m: Sequence[float], durations_s: Sequence[float]
) -> CriticalSpeedFit | Missing:
    """Critical speed and D' as slope and start of the line of distance against time.

    distances_m: distance of each trial, m, 1 to 10000.
    durations_s: time of each trial, s, 120 to 1200.
    Returns: critical speed, m/s, and D', m, with standard errors; Missing when speed does not fall with time.
    Raises: OutOfRange for a trial outside the limits; WrongLength unless two trials of different length or more.
    Limits: all-out runs with long rests; made with trained men over 1200, 2400 and 3600 m.
    Error: repeats differ by 0.4 to 2 % in critical speed and 10 to 18 % in D'; 0.14 m/s and 88 m from a laboratory.
    Source: [galbraith2014]; limits of the trials [drake2022], [mattioni2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic critical speed running.
    """
    if len(distances_m) != len(durations_s):
        raise WrongLength("Each trial needs a distance and a time.")
    check_durations(durations_s, TRIAL_LIMITS_S)
    for distance in distances_m:
        check_range("The distance of a trial", distance, 1, LONGEST_TRIAL_M, "m")
    times = np.array(durations_s, dtype=float)
    fit = linear_fit(np.column_stack([times, np.ones_like(times)]), np.array(distances_m, dtype=float))
    if isinstance(fit, Missing):
        return fit
    speed, start = fit.parameters
    if speed <= 0 or start <= 0:
        return Missing("speed does not fall with time in these trials as it does in all-out ones")
    covariance = None if fit.covariance is None else fit.covariance[0][1]
    return CriticalSpeedFit(
        speed, start, fit.error(0), fit.error(1), covariance, fit.residuals, trial_notes(durations_s)
    )


def critical_speed_swimming_wakayoshi_1992(
    *, short_m: float, short_s: float, long_m: float, long_s: float
) -> float | Missing:
    """Critical swimming speed from two all-out swims: the extra distance divided by the extra time.

    short_m: the shorter swim, m, 50 to 10000.
    short_s: its time, s, 120 to 1200.
    long_m: the longer swim, m, 50 to 10000.
    long_s: its time, s, 120 to 1200.
    Returns: speed, m/s; Missing unless the longer swim was the slower one.
    Raises: OutOfRange outside these limits; WrongLength when the times are equal.
    Limits: two swims always fit; college swimmers 1.06 to 1.26 m/s.
    Error: not found for two swims.
    Source: [wakayoshi1992].
    Checked in tests/reference/load_intervals_readiness.csv, topic critical speed swimming.
    """
    fit = _two_swims(short_m, short_s, long_m, long_s)
    return fit if isinstance(fit, Missing) else fit.critical_speed_m_per_s


def d_prime_swimming_wakayoshi_1992(
    *, short_m: float, short_s: float, long_m: float, long_s: float
) -> float | Missing:
    """The distance beyond critical speed that two all-out swims leave.

    short_m: the shorter swim, m, 50 to 10000.
    short_s: its time, s, 120 to 1200.
    long_m: the longer swim, m, 50 to 10000.
    long_s: its time, s, 120 to 1200.
    Returns: distance, m; Missing unless the longer swim was the slower one.
    Raises: OutOfRange outside these limits; WrongLength when the times are equal.
    Limits: two swims always fit.
    Error: not found for two swims; far less repeatable than the speed.
    Source: [wakayoshi1992].
    Checked in tests/reference/load_intervals_readiness.csv, topic D' swimming.
    """
    fit = _two_swims(short_m, short_s, long_m, long_s)
    return fit if isinstance(fit, Missing) else fit.d_prime_m


def pace_per_100_m(*, speed_m_per_s: float) -> float:
    """Seconds for 100 m at a speed.

    speed_m_per_s: speed, m/s, 0.1 to 12.
    Returns: pace, s per 100 m.
    Raises: OutOfRange outside these limits.
    Limits: none; a change of unit.
    Error: none.
    Source: a change of unit, after [wakayoshi1992].
    Checked in tests/reference/load_intervals_readiness.csv, topic critical speed swimming pace.
    """
    check_range("The speed", speed_m_per_s, 0.1, HIGHEST_SPEED_M_PER_S, "m/s")
    return 100 / speed_m_per_s


def time_for_distance_galbraith_2014(
    *, critical_speed_m_per_s: float, d_prime_m: float, distance_m: float
) -> float | Missing:
    """The time that the line of distance against time gives for a distance: (distance - D') / critical speed.

    critical_speed_m_per_s: critical speed, m/s, 0.1 to 12.
    d_prime_m: D', m, 0 to 2000.
    distance_m: distance, m, 1 to 10000.
    Returns: time, s; Missing when it falls outside 2 to 20 min, where the line does not hold.
    Raises: OutOfRange outside these limits.
    Limits: distances that last 2 to 20 min.
    Error: 0.14 m/s and 88 m from a laboratory; never a promise.
    Source: [galbraith2014]; limits of the times [drake2022], [mattioni2018].
    Checked in tests/physiology/test_critical_speed.py, there and back.
    """
    check_range("Critical speed", critical_speed_m_per_s, 0.1, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("D'", d_prime_m, 0, HIGHEST_D_PRIME_M, "m")
    check_range("The distance", distance_m, 1, LONGEST_TRIAL_M, "m")
    time_s = (distance_m - d_prime_m) / critical_speed_m_per_s
    shortest, longest = TRIAL_LIMITS_S
    if not shortest <= time_s <= longest:
        return Missing("the answer lies outside 2 to 20 min, where the line does not hold")
    return time_s


def _two_swims(short_m: float, short_s: float, long_m: float, long_s: float) -> CriticalSpeedFit | Missing:
    for distance in (short_m, long_m):
        check_range("The swim", distance, 50, LONGEST_TRIAL_M, "m")
    return critical_speed_galbraith_2014(distances_m=(short_m, long_m), durations_s=(short_s, long_s))
