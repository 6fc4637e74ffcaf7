"""Long-run and short-run load averages, and the two-part answer of performance to load with fixed constants.

The averages describe load. They are never shown as a person's state, nor is their difference.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.physiology.least_squares import FloatArray, linear_fit
from app.physiology.load import known_days
from app.physiology.values import Missing, OutOfRange, WrongLength, check_range

#: Usual starting values, from memory, unchecked.
LONG_RUN_DAYS = 45.0
SHORT_RUN_DAYS = 15.0
#: One more than the unknowns, so that there is a misfit to judge by.
FEWEST_TESTS = 4
#: A share of the figure itself; a standard error above it says that the figure is not known (house choice).
LARGEST_ERROR_FRACTION = 0.5
_LONGEST_DAYS = 365.0


@dataclass(frozen=True, slots=True)
class ResponseFit:
    """Performance without training, and how much of it each unit of the two sums gives and takes."""

    start: float
    gain: float
    loss: float
    gain_error: float
    loss_error: float
    misfits: tuple[float, ...]
    correlation_of_sums: float


def impulse_sum_morton_1990(*, daily_load_au: Sequence[float | None], tau_days: float) -> float | Missing:
    """Loads of the days before, each fading exponentially with its age; a day's load counts from the day after.

    daily_load_au: days in order, the last one yesterday, AU, 0 to 20000; rest days 0, unknown days none.
    tau_days: time constant of fading, d, 1 to 365.
    Returns: sum, AU; Missing with an unknown day.
    Raises: OutOfRange outside these limits; WrongLength without days.
    Limits: a form in which today's load counts at once is larger by exp(1 / tau); never mix the two.
    Error: that of the loads.
    Source: [banister1975], [morton1990]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic impulse response, one load.
    """
    check_range("The time constant", tau_days, 1, _LONGEST_DAYS, "days")
    loads = _loads(daily_load_au)
    if isinstance(loads, Missing):
        return loads
    kept, total = math.exp(-1 / tau_days), 0.0
    for load in loads:
        total = (total + load) * kept
    return total


def response_banister_1975(
    *,
    daily_load_au: Sequence[float | None],
    start: float,
    gain: float,
    loss: float,
    long_days: float = LONG_RUN_DAYS,
    short_days: float = SHORT_RUN_DAYS,
) -> float | Missing:
    """Performance on the day after the last one: start + gain times the long sum - loss times the short sum.

    daily_load_au: days in order, the last one yesterday, AU, 0 to 20000; rest days 0, unknown days none.
    start: performance without training, in the test's unit, -1000000 to 1000000.
    gain: performance for each AU of the long sum, in the test's unit, 0 to 1000.
    loss: performance for each AU of the short sum, in the test's unit, 0 to 1000.
    long_days: time constant of what is gained, d, 1 to 365.
    short_days: time constant of what is lost, d, 1 to 365, below the other.
    Returns: performance, in the test's unit; Missing with an unknown day.
    Raises: OutOfRange outside these limits; WrongLength without days.
    Limits: not a forecast for a person: nine swimmers' constants had ranges of 17-59 and 6-32 d [hellard2006].
    Error: R2 0.79 in nine swimmers; no standard error found.
    Source: [banister1975], [morton1990]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic model with fixed tau.
    """
    _check_constants(long_days, short_days)
    for factor in (gain, loss):
        check_range("A factor", factor, 0, 1000)
    check_range("The start", start, -1e6, 1e6)
    long_sum = impulse_sum_morton_1990(daily_load_au=daily_load_au, tau_days=long_days)
    short_sum = impulse_sum_morton_1990(daily_load_au=daily_load_au, tau_days=short_days)
    if isinstance(long_sum, Missing) or isinstance(short_sum, Missing):
        return Missing("a day is unknown, and unknown is not rest")
    return start + gain * long_sum - loss * short_sum


def load_average_morton_1990(*, daily_load_au: Sequence[float | None], tau_days: float) -> float | Missing:
    """Exponential load average with a time constant, from nothing, today counted: weight 1 - exp(-1 / tau).

    daily_load_au: days in order, the last one today, AU, 0 to 20000; rest days 0, unknown days none.
    tau_days: time constant, d, 1 to 365; 45 for the long-run and 15 for the short-run average.
    Returns: average, AU a day; Missing with an unknown day.
    Raises: OutOfRange outside these limits; WrongLength without days.
    Limits: describes load, not the person; starts at nothing, so the first time constants read low.
    Error: that of the loads.
    Source: [banister1975], [morton1990]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic averaged form.
    """
    check_range("The time constant", tau_days, 1, _LONGEST_DAYS, "days")
    return _average(daily_load_au, -math.expm1(-1 / tau_days))


def load_average_short_cut(*, daily_load_au: Sequence[float | None], tau_days: float) -> float | Missing:
    """The same average with the weight 1 / tau, as often printed; it reads a little higher.

    daily_load_au: days in order, the last one today, AU, 0 to 20000; rest days 0, unknown days none.
    tau_days: time constant, d, 1 to 365.
    Returns: average, AU a day; Missing with an unknown day.
    Raises: OutOfRange outside these limits; WrongLength without days.
    Limits: for comparing with figures made that way; never beside the other form without a word.
    Error: that of the loads.
    Source: [morton1990]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic averaged form.
    """
    check_range("The time constant", tau_days, 1, _LONGEST_DAYS, "days")
    return _average(daily_load_au, 1 / tau_days)


def days_until_harmless_fitz_clarke_1991(
    *, gain: float = 1.0, loss: float = 2.0, long_days: float = LONG_RUN_DAYS, short_days: float = SHORT_RUN_DAYS
) -> float:
    """How many days before a target a session's loss and gain balance; later ones lower that day's performance.

    gain: performance for each AU of the long sum, in the test's unit, above 0 to 1000.
    loss: performance for each AU of the short sum, in the test's unit, the gain to 1000.
    long_days: time constant of what is gained, d, 1 to 365.
    short_days: time constant of what is lost, d, 1 to 365, below the other.
    Returns: days before the target, d.
    Raises: OutOfRange outside these limits.
    Limits: follows from the constants; in nine swimmers the range was 7 to 35 d [hellard2006].
    Error: 95 % range 7 to 35 d in nine swimmers [hellard2006].
    Source: [fitz_clarke1991]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic influence curve.
    """
    return _days_before(gain, loss, long_days, short_days, 1.0)


def days_of_most_gain_fitz_clarke_1991(
    *, gain: float = 1.0, loss: float = 2.0, long_days: float = LONG_RUN_DAYS, short_days: float = SHORT_RUN_DAYS
) -> float:
    """How many days before a target a session adds most to that day's performance.

    gain: performance for each AU of the long sum, in the test's unit, above 0 to 1000.
    loss: performance for each AU of the short sum, in the test's unit, the gain to 1000.
    long_days: time constant of what is gained, d, 1 to 365.
    short_days: time constant of what is lost, d, 1 to 365, below the other.
    Returns: days before the target, d.
    Raises: OutOfRange outside these limits.
    Limits: follows from the constants; in nine swimmers the range was 25 to 61 d [hellard2006].
    Error: 95 % range 25 to 61 d in nine swimmers [hellard2006].
    Source: [fitz_clarke1991]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic influence curve.
    """
    return _days_before(gain, loss, long_days, short_days, long_days / short_days)


def fit_response_fixed_constants(
    *,
    daily_load_au: Sequence[float | None],
    test_days: Sequence[int],
    test_values: Sequence[float],
    long_days: float = LONG_RUN_DAYS,
    short_days: float = SHORT_RUN_DAYS,
) -> ResponseFit | Missing:
    """The three factors of the two-part answer that lie nearest to tests, the time constants held fixed.

    daily_load_au: days in order from day 0, AU, 0 to 20000; rest days 0, unknown days none.
    test_days: day of each test, d, 1 to the number of days; loads of the days before it count.
    test_values: result of each test, in the test's unit, higher is better.
    long_days: time constant of what is gained, d, 1 to 365.
    short_days: time constant of what is lost, d, 1 to 365, below the other.
    Returns: start with gain and loss and their standard errors, in the test's unit; Missing with an unknown
    day, when the tests do not tell the sums apart, when a factor is not above 0, or when its error passes half of it.
    Raises: OutOfRange outside these limits; WrongLength for fewer than four tests.
    Limits: for looking back; a good fit does not make usable constants [hellard2006].
    Error: standard errors of the fit.
    Source: [banister1975], [morton1990]; from memory, unchecked. When to refuse is a house choice.
    Checked in tests/physiology/test_impulse_response.py, by the points of topic model with fixed tau.
    """
    _check_constants(long_days, short_days)
    loads = _loads(daily_load_au)
    if isinstance(loads, Missing):
        return loads
    days, values = tests_on_days(len(loads), test_days, test_values, FEWEST_TESTS)
    sums = impulse_sums(loads, np.array([long_days, short_days]))[days]
    fit = linear_fit(np.column_stack([np.ones(len(days)), sums[:, 0], -sums[:, 1]]), values)
    if isinstance(fit, Missing):
        return fit
    start, gain, loss = fit.parameters
    # Four tests and three unknowns: there is always an error.
    errors = (fit.error(1) or 0.0, fit.error(2) or 0.0)
    if gain <= 0 or loss <= 0:
        return Missing("the tests do not show both a gain and a loss from load")
    if errors[0] > LARGEST_ERROR_FRACTION * gain or errors[1] > LARGEST_ERROR_FRACTION * loss:
        return Missing("the tests leave the gain or the loss open: its error is more than half of it")
    correlation = float(np.corrcoef(sums[:, 0], sums[:, 1])[0, 1])
    return ResponseFit(start, gain, loss, *errors, fit.residuals, correlation)


def impulse_sums(loads: Sequence[float], tau_days: FloatArray) -> FloatArray:
    """The fading sum on each day, the day after the last included; one column a time constant."""
    kept = np.exp(-1 / tau_days)
    sums = np.zeros((len(loads) + 1, len(tau_days)))
    for day, load in enumerate(loads):
        sums[day + 1] = (sums[day] + load) * kept
    return sums


def tests_on_days(
    days: int, test_days: Sequence[int], test_values: Sequence[float], fewest: int
) -> tuple[list[int], FloatArray]:
    """Tests that can be fitted, or a refusal."""
    if len(test_days) != len(test_values) or len(set(test_days)) < fewest:
        raise WrongLength(f"{fewest} tests on different days are needed, each with its result.")
    for day, value in zip(test_days, test_values, strict=True):
        check_range("The day of a test", day, 1, days)
        check_range("The result of a test", value, -1e6, 1e6)
    return list(test_days), np.array(test_values, dtype=float)


def _loads(daily_load_au: Sequence[float | None]) -> list[float] | Missing:
    if not daily_load_au:
        raise WrongLength("A series has at least one day.")
    return known_days(daily_load_au)


def _average(daily_load_au: Sequence[float | None], weight: float) -> float | Missing:
    loads = _loads(daily_load_au)
    if isinstance(loads, Missing):
        return loads
    average = 0.0
    for load in loads:
        average += weight * (load - average)
    return average


def _check_constants(long_days: float, short_days: float) -> None:
    check_range("The short time constant", short_days, 1, _LONGEST_DAYS, "days")
    check_range("The long time constant", long_days, 1, _LONGEST_DAYS, "days")
    if short_days >= long_days:
        raise OutOfRange("The short time constant must be below the long one.")


def _days_before(gain: float, loss: float, long_days: float, short_days: float, ratio: float) -> float:
    _check_constants(long_days, short_days)
    check_range("The gain", gain, 1e-6, 1000)
    check_range("The loss", loss, gain, 1000)
    return long_days * short_days / (long_days - short_days) * math.log(loss / gain * ratio)
