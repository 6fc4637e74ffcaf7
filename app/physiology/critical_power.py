"""Critical power and W': the three fits, with their errors and their misfit, and what they foretell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from app.physiology.least_squares import Fit, FloatArray, correlation_of, curve_fit, linear_fit
from app.physiology.values import Estimate, Missing, OutOfRange, WrongLength, check_range

#: A hyperbola describes trials of about 2 to 15 min ([drake2022]); trials of 12 to 20 min are needed so that
#: critical power is not overstated ([mattioni2018]).
TRIAL_LIMITS_S = (120.0, 1200.0)
#: One trial of at least this length is wanted ([mattioni2018]).
LONG_TRIAL_S = 720.0
FEWEST_TRIALS = 2
HIGHEST_POWER_W = 2500.0
HIGHEST_W_PRIME_J = 100_000.0


class Form(StrEnum):
    """Which form of the relation was fitted."""

    WORK_TIME = "work against time, a straight line"
    INVERSE_TIME = "power against 1/time, a straight line"
    HYPERBOLA = "time against power, a hyperbola"
    THREE_PARAMETERS = "time against power with a greatest power"


@dataclass(frozen=True, slots=True)
class CriticalPowerFit:
    """One fit. The errors are standard errors, None with as many trials as parameters."""

    form: Form
    critical_power_w: float
    w_prime_j: float
    critical_power_error_w: float | None
    w_prime_error_j: float | None
    covariance_w_j: float | None
    power_misfits_w: tuple[float, ...]
    notes: tuple[str, ...]

    @property
    def correlation(self) -> float | None:
        """How the errors of the two figures go together, -1 to 1; None where the fit has none."""
        return correlation_of(self.covariance_w_j, self.critical_power_error_w, self.w_prime_error_j)


def critical_power_work_time_moritani_1981(
    *, durations_s: Sequence[float], powers_w: Sequence[float], limits_s: tuple[float, float] = TRIAL_LIMITS_S
) -> CriticalPowerFit | Missing:
    """Critical power and W' as slope and start of the line of work against time.

    durations_s: how long each trial lasted, s, 120 to 1200 unless limits_s says otherwise.
    powers_w: mean power of each trial, W, 1 to 2500.
    limits_s: shortest and longest trial let in, s, wider only to show what goes wrong.
    Returns: critical power, W, and W', J, with standard errors; Missing when power does not fall with time.
    Raises: OutOfRange for a trial outside the limits; WrongLength unless two trials of different length or more.
    Limits: trials to exhaustion of 2 to 20 min, one of 12 min or more; no values for people over 50 were found.
    Error: standard errors of the fit with three trials or more; with two, not known.
    Source: [moritani1981] after [monod1965]; limits of the trials [drake2022], [mattioni2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic CP three trials, work-time line.
    """
    times, powers = _trials(durations_s, powers_w, limits_s)
    fit = linear_fit(np.column_stack([times, np.ones_like(times)]), powers * times)
    return _two_parameters(Form.WORK_TIME, fit, times, powers)


def critical_power_inverse_time_moritani_1981(
    *, durations_s: Sequence[float], powers_w: Sequence[float], limits_s: tuple[float, float] = TRIAL_LIMITS_S
) -> CriticalPowerFit | Missing:
    """Critical power and W' as start and slope of the line of power against 1/time.

    durations_s: how long each trial lasted, s, 120 to 1200 unless limits_s says otherwise.
    powers_w: mean power of each trial, W, 1 to 2500.
    limits_s: shortest and longest trial let in, s, wider only to show what goes wrong.
    Returns: critical power, W, and W', J, with standard errors; Missing when power does not fall with time.
    Raises: OutOfRange for a trial outside the limits; WrongLength unless two trials of different length or more.
    Limits: as the work-time line; short trials weigh most, so very short ones raise critical power.
    Error: standard errors of the fit with three trials or more; with two, not known.
    Source: [moritani1981]; limits of the trials [drake2022], [mattioni2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic CP three trials, power-1/time line.
    """
    times, powers = _trials(durations_s, powers_w, limits_s)
    fit = linear_fit(np.column_stack([np.ones_like(times), 1 / times]), powers)
    return _two_parameters(Form.INVERSE_TIME, fit, times, powers)


def critical_power_hyperbola_monod_1965(
    *, durations_s: Sequence[float], powers_w: Sequence[float], limits_s: tuple[float, float] = TRIAL_LIMITS_S
) -> CriticalPowerFit | Missing:
    """Critical power and W' of the hyperbola time = W' / (power - critical power), with the error in time.

    durations_s: how long each trial lasted, s, 120 to 1200 unless limits_s says otherwise.
    powers_w: mean power of each trial, W, 1 to 2500.
    limits_s: shortest and longest trial let in, s, wider only to show what goes wrong.
    Returns: critical power, W, and W', J, with standard errors; Missing when power does not fall with time.
    Raises: OutOfRange for a trial outside the limits; WrongLength unless two trials of different length or more.
    Limits: as the work-time line; the longest trial weighs most.
    Error: standard errors of the fit with three trials or more; with two, not known.
    Source: [monod1965]; limits of the trials [drake2022], [mattioni2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic CP three trials, hyperbola, error in t.
    """
    times, powers = _trials(durations_s, powers_w, limits_s)
    below = float(powers.min()) * 0.9
    start = np.array([below, float(np.mean((powers - below) * times))])
    return _two_parameters(
        Form.HYPERBOLA, curve_fit(lambda guess: hyperbola_misfit(times, powers, guess), start), times, powers
    )


def hyperbola_misfit(
    times: FloatArray, powers: FloatArray, guess: FloatArray
) -> tuple[FloatArray, FloatArray] | None:
    """How far the times of one guess lie from the trials, and their slopes; None unless all trials lie above it."""
    above = powers - guess[0]
    if not np.all(above > 0):
        return None
    return guess[1] / above - times, np.column_stack([guess[1] / above**2, 1 / above])


def critical_power_all_forms(
    *, durations_s: Sequence[float], powers_w: Sequence[float]
) -> tuple[CriticalPowerFit, ...] | Missing:
    """The three forms side by side: the wider apart they lie, the less the trials fit one hyperbola."""
    forms = (
        critical_power_work_time_moritani_1981,
        critical_power_inverse_time_moritani_1981,
        critical_power_hyperbola_monod_1965,
    )
    found: list[CriticalPowerFit] = []
    for form in forms:
        fit = form(durations_s=durations_s, powers_w=powers_w)
        if isinstance(fit, Missing):
            return fit
        found.append(fit)
    return tuple(found)


def power_for_time_monod_1965(*, critical_power_w: float, w_prime_j: float, duration_s: float) -> float:
    """The power that the hyperbola gives for a time: critical power + W' / time.

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    duration_s: time to hold, s, 120 to 1200.
    Returns: power, W.
    Raises: OutOfRange outside these limits.
    Limits: times of 2 to 20 min; outside, a hyperbola does not describe people.
    Error: wide between persons and days; take the standard errors of the fit.
    Source: [monod1965]; limits of the times [drake2022], [mattioni2018].
    Checked in tests/reference/load_intervals_readiness.csv, topic predict power.
    """
    _check_capacity(critical_power_w, w_prime_j)
    check_range("The time", duration_s, *TRIAL_LIMITS_S, "s")
    return critical_power_w + w_prime_j / duration_s


def power_for_time_with_error(fit: CriticalPowerFit, duration_s: float) -> Estimate:
    """The power that a fit gives for a time, with the error that the two fitted figures bring in together."""
    power = power_for_time_monod_1965(
        critical_power_w=fit.critical_power_w, w_prime_j=fit.w_prime_j, duration_s=duration_s
    )
    error, words = None, "not known: two trials give no error"
    if fit.critical_power_error_w is not None and fit.w_prime_error_j is not None and fit.covariance_w_j is not None:
        variance = fit.critical_power_error_w**2 + (fit.w_prime_error_j / duration_s) ** 2
        error = max(0.0, variance + 2 * fit.covariance_w_j / duration_s) ** 0.5
        words = "standard error of the fitted line; days differ more"
    return Estimate(power, "W", error, words, "monod1965", fit.notes)


def time_for_power_monod_1965(*, critical_power_w: float, w_prime_j: float, power_w: float) -> float | Missing:
    """The time to exhaustion that the hyperbola gives for a power: W' / (power - critical power).

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    power_w: power held, W, 0 to 2500.
    Returns: time, s; Missing at critical power and below, where the model gives no limit though people have one.
    Raises: OutOfRange outside these limits.
    Limits: trust it only where the answer lies within 2 to 20 min.
    Error: individual times differ widely; never a promise.
    Source: [monod1965].
    Checked in tests/reference/load_intervals_readiness.csv, topic predict time.
    """
    _check_capacity(critical_power_w, w_prime_j)
    check_range("The power", power_w, 0, HIGHEST_POWER_W, "W")
    if power_w <= critical_power_w:
        return Missing("at critical power and below the model gives no time; real limits exist all the same")
    return w_prime_j / (power_w - critical_power_w)


def power_for_repetition_monod_1965(
    *, critical_power_w: float, w_prime_j: float, repetition_s: float, spent_fraction: float
) -> float:
    """The power at which one repetition spends a wanted share of W'.

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    repetition_s: length of the repetition, s, 10 to 1200.
    spent_fraction: share of W' to spend, no unit, 0 to 1.
    Returns: power, W.
    Raises: OutOfRange outside these limits.
    Limits: a first repetition from rest.
    Error: not found; take the standard errors of the fit.
    Source: [monod1965].
    Checked in tests/reference/load_intervals_readiness.csv, topic interval design.
    """
    _check_capacity(critical_power_w, w_prime_j)
    check_range("The repetition", repetition_s, 10, TRIAL_LIMITS_S[1], "s")
    check_range("The share of W'", spent_fraction, 0, 1)
    return critical_power_w + spent_fraction * w_prime_j / repetition_s


def _check_capacity(critical_power_w: float, w_prime_j: float) -> None:
    check_range("Critical power", critical_power_w, 1, HIGHEST_POWER_W, "W")
    check_range("W'", w_prime_j, 1, HIGHEST_W_PRIME_J, "J")


def _trials(
    durations_s: Sequence[float], powers_w: Sequence[float], limits_s: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    if len(durations_s) != len(powers_w):
        raise WrongLength("Each trial needs a duration and a power.")
    check_durations(durations_s, limits_s)
    for power in powers_w:
        check_range("The power of a trial", power, 1, HIGHEST_POWER_W, "W")
    return np.array(durations_s, dtype=float), np.array(powers_w, dtype=float)


def check_durations(durations_s: Sequence[float], limits_s: tuple[float, float]) -> None:
    """Refuse trials that are too few, all alike, too short or too long for a hyperbola."""
    if len(set(durations_s)) < FEWEST_TRIALS:
        raise WrongLength("Two trials of different length are needed, three are better.")
    for duration in durations_s:
        try:
            check_range("A trial", duration, *limits_s, "s")
        except OutOfRange as refusal:
            raise OutOfRange(f"{refusal} Trials of 2 to 20 min fit a hyperbola.") from refusal


def trial_notes(durations_s: Sequence[float]) -> tuple[str, ...]:
    """What to say beside a fit of these trials."""
    shortest, longest = TRIAL_LIMITS_S
    notes = []
    if len(durations_s) == FEWEST_TRIALS:
        notes.append("two trials always fit: there is no misfit to look at")
    if max(durations_s) < LONG_TRIAL_S:
        notes.append("no trial of 12 min or more: critical power is overstated")
    if min(durations_s) < shortest or max(durations_s) > longest:
        notes.append("trials outside 2 to 20 min: a hyperbola does not describe them")
    return tuple(notes)


def _two_parameters(
    form: Form, fit: Fit | Missing, times: FloatArray, powers: FloatArray
) -> CriticalPowerFit | Missing:
    if isinstance(fit, Missing):
        return fit
    power, capacity = fit.parameters
    if power <= 0 or capacity <= 0:
        return Missing("power does not fall with time in these trials as a hyperbola does")
    return CriticalPowerFit(
        form=form,
        critical_power_w=power,
        w_prime_j=capacity,
        critical_power_error_w=fit.error(0),
        w_prime_error_j=fit.error(1),
        covariance_w_j=None if fit.covariance is None else fit.covariance[0][1],
        power_misfits_w=tuple((powers - power - capacity / times).tolist()),
        notes=trial_notes(times.tolist()),
    )
