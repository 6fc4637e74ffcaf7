"""The strongest stretches of 2 to 20 min of a recording, offered as evidence for critical power."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.coaching.measured import Fitted, MeasuredKind, Trial, fit_trials
from app.coaching.reasons import DomainError
from app.coaching.recordings import Recording, Series
from app.coaching.round_figures import mean_of
from app.physiology.values import Missing

#: The lengths looked at, all within what a hyperbola describes ([drake2022], [mattioni2018]); house choice.
LENGTHS_S = (120, 180, 240, 300, 360, 480, 600, 720, 900, 1200)
#: A stretch with more of it unknown is not offered (house choice).
_UNKNOWN_MOST = 0.02
#: A heart this near its measured maximum at the end speaks for an all-out effort (house choice).
_NEAR_HIGHEST = 0.95
_HEART_END_S = 20
#: A stretch below this part of what the present fit gives for its time was surely not all-out (house choice).
_SURELY_BELOW = 0.90
ALL_OUT_EFFORT = 9


@dataclass(frozen=True, slots=True)
class Stretch:
    """The strongest stretch of one length: where it is, its mean power, and what speaks for and against all-out."""

    #: The log whose recording it is in.
    log_id: int
    length_s: int
    start_s: int
    power_w: float
    #: What the present fit gives for this time, W; None without a fit.
    expected_w: float | None
    for_all_out: tuple[str, ...]
    against_all_out: tuple[str, ...]

    @property
    def end_s(self) -> int:
        """Its end."""
        return self.start_s + self.length_s

    def overlaps(self, other: Stretch) -> bool:
        """Whether both hold a same second of the same recording."""
        return self.log_id == other.log_id and self.start_s < other.end_s and other.start_s < self.end_s

    @property
    def beats_the_fit(self) -> bool:
        """Whether it was more than the present fit calls possible: then the fit is too low, all-out or not."""
        return self.expected_w is not None and self.power_w > self.expected_w

    @property
    def trial(self) -> Trial:
        """As a trial, once the coach says that it was all-out."""
        return Trial(float(self.length_s), self.power_w)


@dataclass(frozen=True, slots=True)
class Effort:
    """What is known of how hard the session was; None is not known."""

    was_all_out: bool = False
    effort: float | None = None
    #: The client's measured maximum; never one from a formula. None as well where heart rate is not reliable.
    highest_heart_rate_bpm: float | None = None


def strongest_stretches(
    recording: Recording, effort: Effort, *, log_id: int, present: Fitted | None = None
) -> tuple[Stretch, ...] | Missing:
    """The strongest stretch of each length, shortest first; lengths the recording does not hold are left out.

    present: the fit in use, to stand beside each.
    A stretch is a trial only where it was all-out; nothing here says that it was, the coach does.
    """
    power = recording.power_w
    if power is None:
        return Missing("strongest stretches need power")
    known = np.isfinite(power)
    sums = np.concatenate([[0.0], np.cumsum(np.where(known, power, 0.0))])
    unknown = np.concatenate([[0], np.cumsum(~known)])
    found = []
    for length in LENGTHS_S:
        best = _best(sums, unknown, length)
        if best is not None:
            start, mean = best
            speaks_for, against = _said(
                effort, _heart_share(recording, start + length, effort.highest_heart_rate_bpm)
            )
            expected = None if present is None else present.value + present.capacity / length
            if expected is not None and mean < _SURELY_BELOW * expected:
                against = (*against, f"{mean:.0f} W where the present fit gives {expected:.0f} W")
            found.append(Stretch(log_id, length, start, mean, expected, speaks_for, against))
    return tuple(found) or Missing("the recording is shorter than 2 min, or its power has too many gaps")


def apart(stretches: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """Those that share no second, longest first: overlapping ones are one effort, not two trials."""
    chosen: list[Stretch] = []
    for one in sorted(stretches, key=lambda each: (-each.length_s, each.start_s)):
        if not any(one.overlaps(other) for other in chosen):
            chosen.append(one)
    return tuple(chosen)


def fit_with(accepted: Sequence[Stretch], trials: Sequence[Trial]) -> Fitted | Missing:
    """The fit done again with the accepted stretches and the trials there are, with its errors.

    Raises: DomainError for stretches that overlap, which are one effort, and for trials outside a hyperbola's reach.
    """
    if len(apart(accepted)) < len(accepted):
        raise DomainError("Two of these stretches overlap: they are one effort and count once.")
    together = [*trials, *(one.trial for one in accepted)]
    if len({one.duration_s for one in together}) < 2:
        return Missing("a fit needs two all-out efforts of different length, three are better")
    return fit_trials(MeasuredKind.CRITICAL_POWER, together)


def _best(sums: Series, unknown: np.ndarray[tuple[int], np.dtype[np.int64]], length: int) -> tuple[int, float] | None:
    """Start and mean power of the strongest stretch of a length; unknown seconds do not count into the mean."""
    if len(sums) <= length:
        return None
    gaps = unknown[length:] - unknown[:-length]
    means = np.where(gaps <= _UNKNOWN_MOST * length, (sums[length:] - sums[:-length]) / (length - gaps + 1e-9), -1.0)
    place = int(means.argmax())
    return (place, float(means[place])) if means[place] > 0 else None


def _said(effort: Effort, heart_share: float | None) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What speaks for an all-out effort, and what against."""
    speaks_for: list[str] = []
    against: list[str] = []
    if effort.was_all_out:
        speaks_for.append("a race, a test, or felt all-out")
    if effort.effort is not None:
        (speaks_for if effort.effort >= ALL_OUT_EFFORT else against).append(
            f"effort {effort.effort:g} of the session"
        )
    if heart_share is not None:
        words = f"heart rate at its end {100 * heart_share:.0f} % of the measured maximum"
        (speaks_for if heart_share >= _NEAR_HIGHEST else against).append(words)
    return tuple(speaks_for), tuple(against)


def _heart_share(recording: Recording, end: int, highest_bpm: float | None) -> float | None:
    if recording.heart_rate_bpm is None or not highest_bpm:
        return None
    at_end = mean_of(recording.heart_rate_bpm[max(0, end - _HEART_END_S) : end])
    return None if at_end is None else at_end / highest_bpm
