"""What is left of W' through a recording: three forms that rest on different assumptions and are never mixed.

Power is taken as constant from one sample to the next, so each form is an exact step from sample to sample, and
one function takes all steps of a recording at once.
"""

from __future__ import annotations

import math
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from app.physiology.critical_power import HIGHEST_POWER_W, HIGHEST_W_PRIME_J
from app.physiology.least_squares import FloatArray
from app.physiology.values import Missing, OutOfRange, WrongLength, check_range

#: Half of W' is back after this time of rest after exhaustion ([ferguson2010], six men, SD 32 s).
HALF_TIME_S = 234.0
#: Measured shares of W' back after 2, 6 and 15 min ([ferguson2010]); no single exponential passes through them.
MEASURED_RECOVERY = ((120.0, 0.37), (360.0, 0.65), (900.0, 0.86))

#: Within a block the summed decay stays so small that its exponential can neither overflow nor vanish.
_DECAY_OF_A_BLOCK = 200.0
#: exp(-300) of what was spent is nothing beside any W'.
_LARGEST_DECAY_OF_A_STEP = 300.0
_LONGEST_STEP_S = 3600.0


class RecoveryModel(StrEnum):
    """Which of the three forms is meant; they are never mixed."""

    DIFFERENTIAL = "differential"
    INTEGRAL = "integral"
    CONSERVATIVE = "conservative"

    def step(
        self,
        above: FloatArray,
        capacity: float | FloatArray,
        step_s: float | FloatArray,
        tau_s: float | FloatArray = math.nan,
    ) -> tuple[FloatArray, FloatArray]:
        """What a step of constant effort spends, and by which decay it forgets what was spent before.

        Deficit after the step = deficit before it times exp(-decay) + spent. `above` is used up: large new arrays
        would cost more than the arithmetic. Only the integral form takes a time constant.
        """
        spent = np.maximum(above, 0.0)
        if self is RecoveryModel.INTEGRAL:
            spent *= -tau_s * np.expm1(-step_s / tau_s)
            above[...] = step_s / tau_s
            return spent, above
        spent *= step_s
        if self is RecoveryModel.DIFFERENTIAL:
            decay = np.minimum(above, 0.0, out=above)
            decay *= -step_s / capacity
        else:
            decay = np.less(above, 0.0, out=above)
            decay *= math.log(2) * step_s / HALF_TIME_S
        return spent, decay

    def tau_s(self, below_critical_power_w: FloatArray) -> FloatArray:
        """The time constant of the integral form after [skiba2012]; the other forms have none."""
        if self is not RecoveryModel.INTEGRAL:
            return np.full(np.shape(below_critical_power_w), math.nan)
        return np.asarray(546 * np.exp(-0.01 * below_critical_power_w) + 316, dtype=float)


def w_balance_differential_skiba_2015(
    *,
    powers_w: npt.ArrayLike,
    critical_power_w: float,
    w_prime_j: float,
    step_s: float = 1.0,
    start_j: float | None = None,
) -> FloatArray | Missing:
    """What is left of W' after each sample; it refills the faster, the further power lies below critical power.

    powers_w: power of each sample, W, 0 to 2500, held for one step.
    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    step_s: time from sample to sample, s, above 0 to 3600.
    start_j: what is left at the beginning, J, at most W'; all of it when not given.
    Returns: what is left after each sample, J, below 0 where the model says that the work cannot be done; Missing
    when a sample has no power.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: a rough gauge, one decimal of kJ at most; group recovery does not foretell a person's exhaustion.
    Error: after 2 min it gives back more than was measured after exhaustion (59 against 37 %).
    Source: [skiba2015]; from memory, unchecked. Not to be mixed with other forms: [skiba_clarke2021].
    Checked in tests/reference/load_intervals_readiness.csv, topic W-prime balance differential.
    """
    powers = _recording(powers_w, critical_power_w, w_prime_j, step_s)
    if isinstance(powers, Missing):
        return powers
    spent, decay = RecoveryModel.DIFFERENTIAL.step(powers - critical_power_w, w_prime_j, step_s)
    return _left(w_prime_j, spent, decay, _spent_at_start(w_prime_j, start_j))


def w_balance_integral_skiba_2012(
    *, powers_w: npt.ArrayLike, critical_power_w: float, w_prime_j: float, tau_s: float, step_s: float = 1.0
) -> FloatArray | Missing:
    """What is left of W' after each sample; all that was spent comes back with one time constant, during work too.

    powers_w: power of each sample, W, 0 to 2500, held for one step.
    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    tau_s: time constant of recovery, s, 10 to 2000, from recovery_tau_skiba_2012.
    step_s: time from sample to sample, s, above 0 to 3600.
    Returns: what is left after each sample, J, below 0 where the model says that the work cannot be done; Missing
    when a sample has no power.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: a rough gauge, one decimal of kJ at most; too slow for rests under 5 min.
    Error: 18.6 % of W' against measured recovery [caen2021].
    Source: [skiba2012]; published, second-hand. Not to be mixed with other forms: [skiba_clarke2021].
    Checked in tests/reference/load_intervals_readiness.csv, topic W-prime balance integral.
    """
    powers = _recording(powers_w, critical_power_w, w_prime_j, step_s)
    if isinstance(powers, Missing):
        return powers
    check_range("The time constant", tau_s, 10, 2000, "s")
    spent, decay = RecoveryModel.INTEGRAL.step(powers - critical_power_w, w_prime_j, step_s, tau_s)
    return _left(w_prime_j, spent, decay, 0.0)


def w_balance_half_time_ferguson_2010(
    *,
    powers_w: npt.ArrayLike,
    critical_power_w: float,
    w_prime_j: float,
    step_s: float = 1.0,
    start_j: float | None = None,
) -> FloatArray | Missing:
    """What is left of W' after each sample; below critical power half of what was spent is back after 234 s.

    powers_w: power of each sample, W, 0 to 2500, held for one step.
    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    step_s: time from sample to sample, s, above 0 to 3600.
    start_j: what is left at the beginning, J, at most W'; all of it when not given.
    Returns: what is left after each sample, J, below 0 where the model says that the work cannot be done; Missing
    when a sample has no power.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: easy rests between bouts. It is the careful form there; just below critical power, where the differential
    form recovers more slowly, it is not. How hard the measured rest was is not known.
    Error: a single half-time gives 30, 66, 93 % after 2, 6, 15 min; 37, 65, 86 % were measured.
    Source: [ferguson2010] for the half-time; its use through a recording is a house choice.
    Checked in tests/physiology/test_w_balance.py, by the half-time itself and an equation solver.
    """
    powers = _recording(powers_w, critical_power_w, w_prime_j, step_s)
    if isinstance(powers, Missing):
        return powers
    spent, decay = RecoveryModel.CONSERVATIVE.step(powers - critical_power_w, w_prime_j, step_s)
    return _left(w_prime_j, spent, decay, _spent_at_start(w_prime_j, start_j))


def recovery_tau_skiba_2012(*, below_critical_power_w: float) -> float:
    """The time constant of recovery for the integral form: 546 exp(-0.01 D) + 316.

    below_critical_power_w: critical power minus the mean power of all time below it, W, 0 to 1000.
    Returns: time constant, s.
    Raises: OutOfRange outside these limits.
    Limits: young active men; for the integral form only.
    Error: not found for the constants; 18.6 % of W' for the form built on them [caen2021].
    Source: [skiba2012]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic tau of W-prime recovery.
    """
    check_range("The distance below critical power", below_critical_power_w, 0, 1000, "W")
    return float(RecoveryModel.INTEGRAL.tau_s(np.array(below_critical_power_w)))


def recovery_tau_bartram_2018(*, below_critical_power_w: float) -> float:
    """The time constant of recovery of elite cyclists: 2287.2 D to the power of -0.688.

    below_critical_power_w: critical power minus the power of the rest, W, 10 to 1000.
    Returns: time constant, s.
    Raises: OutOfRange outside these limits.
    Limits: four elite cyclists; not for recreational clients.
    Error: R2 0.433, no standard error found.
    Source: [bartram2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic tau of W-prime recovery, elite.
    """
    check_range("The distance below critical power", below_critical_power_w, 10, 1000, "W")
    return float(2287.2 * below_critical_power_w**-0.688)


def mean_power_below_w(*, powers_w: npt.ArrayLike, critical_power_w: float) -> float | Missing:
    """How far below critical power the time below it was spent, for recovery_tau_skiba_2012.

    powers_w: power of each sample of equal length, W, 0 to 2500.
    critical_power_w: critical power, W, 1 to 2500.
    Returns: critical power minus the mean power of the samples below it, W; Missing when no sample lies below it or
    one has no power.
    Raises: OutOfRange outside these limits; WrongLength without samples.
    Limits: the whole recording.
    Error: that of the power meter.
    Source: [skiba2012]; published, second-hand.
    Checked in tests/physiology/test_w_balance.py, by hand.
    """
    powers = _recording(powers_w, critical_power_w, HIGHEST_W_PRIME_J, 1.0)
    if isinstance(powers, Missing):
        return powers
    below = powers[powers < critical_power_w]
    if below.size == 0:
        return Missing("no time was spent below critical power")
    return critical_power_w - float(below.mean())


def recovered_percent_chorley_2022(
    *,
    rest_s: float,
    fast_percent: float = 50.67,
    fast_tau_s: float = 21.5,
    slow_percent: float = 49.33,
    slow_tau_s: float = 388.0,
) -> float:
    """How much of W' is back after a rest in the two-phase group curve; for comparison, not for a person.

    rest_s: rest after exhaustion, s, 0 to 3600.
    fast_percent: share that comes back fast, % of W', 0 to 100.
    fast_tau_s: time constant of the fast share, s, 1 to 2000.
    slow_percent: share that comes back slowly, % of W', 0 to 100.
    slow_tau_s: time constant of the slow share, s, 1 to 2000.
    Returns: share of W' that is back, %.
    Raises: OutOfRange outside these limits.
    Limits: ten trained cyclists of about 41; slower after a second bout.
    Error: not found.
    Source: [chorley2022].
    Checked in tests/reference/load_intervals_readiness.csv, topic bi-exponential recovery.
    """
    check_range("The rest", rest_s, 0, 3600, "s")
    for share in (fast_percent, slow_percent):
        check_range("A share of W'", share, 0, 100, "%")
    for tau in (fast_tau_s, slow_tau_s):
        check_range("A time constant", tau, 1, 2000, "s")
    fast, slow = -math.expm1(-rest_s / fast_tau_s), -math.expm1(-rest_s / slow_tau_s)
    return fast_percent * fast + slow_percent * slow


def _recording(
    powers_w: npt.ArrayLike, critical_power_w: float, w_prime_j: float, step_s: float
) -> FloatArray | Missing:
    check_range("Critical power", critical_power_w, 1, HIGHEST_POWER_W, "W")
    check_range("W'", w_prime_j, 1, HIGHEST_W_PRIME_J, "J")
    check_range("The time between samples", step_s, 1e-3, _LONGEST_STEP_S, "s")
    powers = np.asarray(powers_w, dtype=float)
    if powers.ndim != 1 or powers.size == 0:
        raise WrongLength("A recording is one row of samples, at least one.")
    lowest, highest = float(powers.min()), float(powers.max())
    if math.isnan(lowest):
        return Missing(f"{int(np.isnan(powers).sum())} samples of this recording have no power")
    if lowest < 0 or highest > HIGHEST_POWER_W:
        raise OutOfRange(f"Power must be from 0 to {HIGHEST_POWER_W:g} W in every sample.")
    return powers


def _spent_at_start(w_prime_j: float, start_j: float | None) -> float:
    if start_j is None:
        return 0.0
    check_range("What is left at the beginning", start_j, -HIGHEST_W_PRIME_J, w_prime_j, "J")
    return w_prime_j - start_j


def _left(w_prime_j: float, spent: FloatArray, decay: FloatArray, deficit: float) -> FloatArray:
    """What is left after each step of deficit = deficit exp(-decay) + spent, all steps at once.

    With S the summed decay, deficit exp(S) grows by spent exp(S) a step, so it is a running sum. Where S grows
    large the recording is cut into blocks. Only positive numbers are added, so nothing is lost to rounding.
    Both arrays are used up: large new ones would cost more than the arithmetic.
    """
    np.minimum(decay, _LARGEST_DECAY_OF_A_STEP, out=decay)
    np.cumsum(decay, out=decay)
    first, before = 0, 0.0
    while first < len(spent):
        # Only what is not used up yet still rises; a search through the rest would cut a block at every sample.
        reach = int(np.searchsorted(decay[first:], before + _DECAY_OF_A_BLOCK, side="right"))
        last = first + max(reach, 1)
        block, growth = spent[first:last], decay[first:last]
        after = float(growth[-1])
        growth -= before
        np.exp(growth, out=growth)
        block *= growth
        np.cumsum(block, out=block)
        block += deficit
        block /= growth
        first, before, deficit = last, after, float(block[-1])
    np.subtract(w_prime_j, spent, out=spent)
    return spent
