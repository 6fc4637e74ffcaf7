"""The three-parameter form of critical power: a greatest power at which the time is nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.physiology.critical_power import (
    HIGHEST_POWER_W,
    HIGHEST_W_PRIME_J,
    TRIAL_LIMITS_S,
    critical_power_hyperbola_monod_1965,
)
from app.physiology.least_squares import FloatArray, curve_fit
from app.physiology.values import Missing, WrongLength, check_range

#: The greatest power is seen only in short trials, so these are let in here.
SHORT_TRIAL_LIMITS_S = (10.0, TRIAL_LIMITS_S[1])
FEWEST_TRIALS = 3
#: Beyond these the trials say nothing about the greatest power; a house choice.
_HIGHEST_FITTED_P_MAX_W = 3000.0
#: So far above critical power a greatest power changes no time any more; the search turns back there.
_FARTHEST_ROOM_W = 1e6
#: The search begins at several greatest powers, these times the highest of the trials, and the best end counts.
_STARTS_OF_P_MAX = np.geomspace(1.2, 3.0, 4)


@dataclass(frozen=True, slots=True)
class ThreeParameterFit:
    """One fit. The errors are standard errors, None with as many trials as parameters."""

    critical_power_w: float
    w_prime_j: float
    p_max_w: float
    critical_power_error_w: float | None
    w_prime_error_j: float | None
    p_max_error_w: float | None
    time_misfits_s: tuple[float, ...]


def time_for_power_morton_1996(
    *, critical_power_w: float, w_prime_j: float, p_max_w: float, power_w: float
) -> float | Missing:
    """The time to exhaustion with a greatest power: W' / (P - CP) - W' / (Pmax - CP).

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    p_max_w: greatest power, W, above critical power to 3000.
    power_w: power held, W, 0 to the greatest power.
    Returns: time, s; Missing at critical power and below.
    Raises: OutOfRange outside these limits.
    Limits: critical power is lower and W' larger here than in the two-parameter form; never mix the two.
    Error: not found.
    Source: [morton1996]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic three-parameter CP.
    """
    check_range("Critical power", critical_power_w, 1, HIGHEST_POWER_W, "W")
    check_range("W'", w_prime_j, 1, HIGHEST_W_PRIME_J, "J")
    check_range("The greatest power", p_max_w, critical_power_w, _HIGHEST_FITTED_P_MAX_W, "W")
    check_range("The power", power_w, 0, p_max_w, "W")
    if power_w <= critical_power_w:
        return Missing("at critical power and below the model gives no time; real limits exist all the same")
    return w_prime_j / (power_w - critical_power_w) - w_prime_j / (p_max_w - critical_power_w)


def critical_power_morton_1996(
    *, durations_s: Sequence[float], powers_w: Sequence[float]
) -> ThreeParameterFit | Missing:
    """Critical power, W' and greatest power from trials to exhaustion, with the error in time.

    durations_s: how long each trial lasted, s, 10 to 1200.
    powers_w: mean power of each trial, W, 1 to 2500.
    Returns: critical power, W, W', J, greatest power, W, with standard errors from four trials on; Missing when
    the trials do not tell the three apart.
    Raises: OutOfRange for a trial outside the limits; WrongLength for fewer than three trials.
    Limits: needs short trials as well as long ones; critical power comes out lower than with two parameters.
    Error: standard errors of the fit with four trials or more; with three, not known.
    Source: [morton1996]; from memory, unchecked.
    Checked in tests/physiology/test_critical_power_three.py, against a second solver.
    """
    if len(durations_s) != len(powers_w) or len(durations_s) < FEWEST_TRIALS:
        raise WrongLength("Three trials or more are needed, each with a duration and a power.")
    begin = critical_power_hyperbola_monod_1965(
        durations_s=durations_s, powers_w=powers_w, limits_s=SHORT_TRIAL_LIMITS_S
    )
    if isinstance(begin, Missing):
        return begin
    two = np.array([begin.critical_power_w, begin.w_prime_j])
    times, powers = np.array(durations_s, dtype=float), np.array(powers_w, dtype=float)
    found = [_from_start(times, powers, np.append(two, powers.max() * factor)) for factor in _STARTS_OF_P_MAX]
    fits = [fit for fit in found if fit is not None]
    if not fits:
        return Missing("these trials do not tell the greatest power; short trials are needed for it")
    return min(fits, key=lambda fit: sum(misfit**2 for misfit in fit.time_misfits_s))


def _from_start(times: FloatArray, powers: FloatArray, start: FloatArray) -> ThreeParameterFit | None:
    fit = curve_fit(lambda guess: three_parameter_misfit(times, powers, guess), start)
    if isinstance(fit, Missing):
        return None
    power, capacity, greatest = fit.parameters
    if power <= 0 or greatest > _HIGHEST_FITTED_P_MAX_W:
        return None
    errors = (fit.error(0), fit.error(1), fit.error(2))
    return ThreeParameterFit(power, capacity, greatest, *errors, fit.residuals)


def three_parameter_misfit(
    times: FloatArray, powers: FloatArray, guess: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    """How far the times of one guess lie from the trials, and their slopes; None unless all trials lie within it."""
    power, capacity, greatest = guess
    above, room = powers - power, greatest - power
    if not np.all(above > 0) or greatest <= powers.max() or room > _FARTHEST_ROOM_W:
        return None
    residuals = capacity / above - capacity / room - times
    by_power = capacity / above**2 - capacity / room**2
    by_greatest = np.full_like(powers, capacity / room**2)
    return residuals, np.column_stack([by_power, 1 / above - 1 / room, by_greatest])
