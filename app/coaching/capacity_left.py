"""What was left of W' or D' under a recorded set, and how far that may be off by the errors of the fit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from app.coaching.measured import HOW_WORDS, KIND_WORDS, Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.recordings import Recording, Series
from app.coaching.round_figures import RoundFigures
from app.coaching.rounds_signal import round_series
from app.coaching.rounds_values import RoundSignal
from app.coaching.weeks import day_words
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import w_balance_differential_skiba_2015, w_balance_half_time_ferguson_2010

#: Speeds go through the equation as decimetres, so that a slow swimmer's lie within the limits made for watts.
_DM_A_M = 10.0
_RULE = (
    "What is spent above critical effort is taken off; below it the capacity refills the faster, the easier it is. "
    "Seconds not recorded count as rest. A rough gauge: recovery measured in groups does not foretell a person's "
    "exhaustion, and after 2 min this form gives back more than was measured (59 against 37 %)."
)
_ON_SPEED = " The form was published for power; its use with speed and D' is a house choice."


@dataclass(frozen=True, slots=True, eq=False)
class CapacityLeft:
    """What was left through a recording, and after each round, as a share of all of it; below 0 the model says that
    the work could not be done."""

    measured: Measured
    left_fraction: Series
    #: One standard error of it by the errors of the fit; None where they are not known.
    error_fraction: Series | None
    #: After each round, in order.
    after_rounds: tuple[float, ...]
    errors_after: tuple[float | None, ...]
    #: The least by the form in which half comes back after 234 s; None with speed.
    careful_least: float | None
    why: Why

    @property
    def name(self) -> str:
        """What it is called: W' with power, D' with speed."""
        return _NAMES[self.measured.kind]

    @property
    def least_fraction(self) -> float:
        """The least that was left."""
        return float(self.left_fraction.min())

    def amount_words(self, fraction: float) -> str:
        """A share as an amount: "9.2 kJ" or "130 m"."""
        return _amount(self.measured, fraction * (self.measured.capacity or 0.0))


_NAMES = {MeasuredKind.CRITICAL_POWER: "W'", MeasuredKind.CRITICAL_SPEED: "D'"}
_KINDS = {
    RoundSignal.POWER: MeasuredKind.CRITICAL_POWER,
    RoundSignal.SPEED: MeasuredKind.CRITICAL_SPEED,
    RoundSignal.SPEED_ON_THE_FLAT: MeasuredKind.CRITICAL_SPEED,
}


def capacity_left(
    recording: Recording,
    rounds: Sequence[RoundFigures],
    measured: Iterable[Measured],
    *,
    mode: Mode,
    day: date,
) -> CapacityLeft | Missing:
    """What was left under the rounds, by the newest critical power or speed of the way of moving up to that day."""
    series = round_series(recording, mode, heart_rate_counts=False)
    kind = None if isinstance(series, Missing) else _KINDS.get(series.signal)
    if isinstance(series, Missing) or kind is None:
        return Missing("it needs power or speed in the recording")
    found = newest_measured(measured, kind, mode, day)
    if found is None or found.capacity is None:
        return Missing(f"no {KIND_WORDS[kind]} was measured up to that day")
    if is_too_old(found, day):
        return Missing(f"{KIND_WORDS[kind]} is of {day_words(found.measured_on)}, over half a year before")
    effort = np.where(series.is_unknown, 0.0, np.maximum(series.values, 0.0))
    try:
        return _left(effort, rounds, found, mode)
    except OutOfRange:
        return Missing("the recording or the measured figure lies outside what the formula was made for")


def _left(effort: Series, rounds: Sequence[RoundFigures], found: Measured, mode: Mode) -> CapacityLeft | Missing:
    capacity = found.capacity or 0.0
    left = _fraction(effort, found, found.value, capacity)
    if isinstance(left, Missing):
        return left
    error = _error(effort, found, capacity)
    seconds = [min(len(left) - 1, max(0, round(one.end_s) - 1)) for one in rounds]
    after = tuple(float(left[second]) for second in seconds)
    errors = tuple(None if error is None else float(error[second]) for second in seconds)
    careful = _careful(effort, found, capacity)
    why = _why(found, mode, rounds, tuple(zip(after, errors, strict=True)), careful)
    return CapacityLeft(found, left, error, after, errors, careful, why)


def _fraction(effort: Series, found: Measured, critical: float, capacity: float) -> Series | Missing:
    scale = _DM_A_M if found.kind is MeasuredKind.CRITICAL_SPEED else 1.0
    left = w_balance_differential_skiba_2015(
        powers_w=scale * effort, critical_power_w=scale * critical, w_prime_j=scale * capacity
    )
    return left if isinstance(left, Missing) else left / (scale * capacity)


def _error(effort: Series, found: Measured, capacity: float) -> Series | None:
    """The error of the share by small steps of both figures, which go together as the fit says."""
    value_error, capacity_error, together = found.value_error, found.capacity_error, found.correlation
    if value_error is None or capacity_error is None or together is None:
        return None
    if capacity_error >= capacity or value_error >= found.value:
        return None
    by_value = _half_apart(
        _fraction(effort, found, found.value + value_error, capacity),
        _fraction(effort, found, found.value - value_error, capacity),
    )
    by_capacity = _half_apart(
        _fraction(effort, found, found.value, capacity + capacity_error),
        _fraction(effort, found, found.value, capacity - capacity_error),
    )
    if by_value is None or by_capacity is None:
        return None
    squared = by_value**2 + by_capacity**2 + 2 * together * by_value * by_capacity
    return np.asarray(np.sqrt(np.maximum(0.0, squared)))


def _half_apart(more: Series | Missing, less: Series | Missing) -> Series | None:
    return None if isinstance(more, Missing) or isinstance(less, Missing) else (more - less) / 2


def _careful(effort: Series, found: Measured, capacity: float) -> float | None:
    """The least that is left by the form in which half comes back after 234 s; it was measured with power only."""
    if found.kind is not MeasuredKind.CRITICAL_POWER:
        return None
    left = w_balance_half_time_ferguson_2010(powers_w=effort, critical_power_w=found.value, w_prime_j=capacity)
    return None if isinstance(left, Missing) else float(left.min()) / capacity


def _why(
    found: Measured,
    mode: Mode,
    rounds: Sequence[RoundFigures],
    after: Sequence[tuple[float, float | None]],
    careful: float | None,
) -> Why:
    name, is_power = _NAMES[found.kind], found.kind is MeasuredKind.CRITICAL_POWER
    critical = f"{found.value:.0f} W" if is_power else f"{found.value:.2f} m/s"
    error = found.value_error
    unsure = "error not known" if error is None else f"± {error:.0f}" if is_power else f"± {error:.2f}"
    wide = "error not known" if found.capacity_error is None else f"± {_amount(found, found.capacity_error)}"
    figures = [
        Figure(KIND_WORDS[found.kind], f"{critical}, {unsure}"),
        Figure(name, f"{_amount(found, found.capacity or 0.0)}, {wide}"),
        Figure("from", f"{day_words(found.measured_on)}, {HOW_WORDS[found.how]}"),
    ]
    for one, (share, off) in zip(rounds, after, strict=True):
        about = "" if off is None else f", ± {100 * off:.0f} (one standard error of the fit)"
        amount = _amount(found, share * (found.capacity or 0.0))
        figures.append(Figure(f"left after round {one.number}", f"{amount}, {100 * share:.0f} %{about}"))
    if careful is not None:
        figures.append(Figure("least by the form in which half is back after 234 s", f"{100 * careful:.0f} %"))
    if found.mode is not mode:
        figures.append(Figure("mind", "measured indoors and used outdoors, or the other way round: often different"))
    return Why(
        tuple(figures),
        _RULE if is_power else _RULE + _ON_SPEED,
        Provenance.FROM_MEMORY,
        "Skiba et al. 2015; the other form's half-time: Ferguson et al. 2010" if is_power else "Skiba et al. 2015",
        "Newer trials, or other edges of the rounds.",
        ("w_balance_differential_skiba_2015", *(("w_balance_half_time_ferguson_2010",) if is_power else ())),
    )


def _amount(found: Measured, amount: float) -> str:
    if found.kind is MeasuredKind.CRITICAL_POWER:
        return f"{amount / 1000:.1f} kJ"
    return f"{amount:.0f} m"
