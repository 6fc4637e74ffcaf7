"""How repetitions were done: evenness, fade, strokes, heart-rate drift, and the figures of each from a recording.

No published limit says how even repetitions should be; trained cyclists repeat a test within 1.7 % ([lindsay1996]),
so smaller differences are noise.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from app.physiology.least_squares import FloatArray
from app.physiology.percent_change import change_percent
from app.physiology.values import Missing, OutOfRange, WrongLength, check_range

#: Trained cyclists' test against test ([lindsay1996]): differences below this are noise.
NOISE_PERCENT = 1.7
#: Leave this out of a drift: heart rate is still rising ([coyle2001], "about 10 min").
DRIFT_BEGINS_S = 600.0
#: Limits of the ratio late against early in marathons ([smyth2022]).
_MODERATE_RATIO = 1.1
_HIGH_RATIO = 1.2

_HIGHEST = 1e6


class MarathonDrift(StrEnum):
    """The published words for the ratio late against early in a marathon."""

    LOW = "low"
    MODERATE = "moderate"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class RepetitionFigures:
    """One value per repetition, in order; NaN where a repetition holds no known sample."""

    means: FloatArray
    highest: FloatArray
    known_samples: npt.NDArray[np.int64]


def variation_percent(*, repetitions: Sequence[float]) -> float | Missing:
    """How far repetitions differ: sample standard deviation divided by their mean.

    repetitions: mean power, speed or time of each, in the unit of the value, above 0.
    Returns: coefficient of variation, %; Missing with fewer than two.
    Raises: OutOfRange for a value that is not above 0.
    Limits: across repetitions only; within one it is another quantity.
    Error: differences below about 1.7 % are noise in trained cyclists [lindsay1996].
    Source: definition; sample spread is a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic variation between repetitions.
    """
    values = _repetitions(repetitions)
    if len(values) < 2:
        return Missing("one repetition has nothing to differ from")
    return 100 * float(values.std(ddof=1) / values.mean())


def fade_percent(*, repetitions: Sequence[float]) -> float | Missing:
    """How much the last repetition differs from the first.

    repetitions: mean power, speed or time of each, in the unit of the value, above 0.
    Returns: (last - first) / first, %; Missing with fewer than two.
    Raises: OutOfRange for a value that is not above 0.
    Limits: two repetitions decide it; look at the slope beside it.
    Error: differences below about 1.7 % are noise in trained cyclists [lindsay1996].
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic fade.
    """
    values = _repetitions(repetitions)
    if len(values) < 2:
        return Missing("one repetition has nothing to differ from")
    return change_percent(before=float(values[0]), after=float(values[-1]))


def slope_per_repetition(*, repetitions: Sequence[float]) -> float | Missing:
    """How much each repetition adds to the one before, on the nearest straight line.

    repetitions: mean power, speed or time of each, in the unit of the value, above 0.
    Returns: what each adds, per repetition; Missing with fewer than two.
    Raises: OutOfRange for a value that is not above 0.
    Limits: a straight line; one bad repetition bends it.
    Error: differences below about 1.7 % are noise in trained cyclists [lindsay1996].
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic slope per repetition.
    """
    values = _repetitions(repetitions)
    if len(values) < 2:
        return Missing("one repetition has nothing to differ from")
    place = np.arange(len(values)) - (len(values) - 1) / 2
    return float(place @ values / (place @ place))


def stroke_rate_per_min(*, strokes: float, time_s: float) -> float:
    """Strokes in a minute over one length.

    strokes: strokes of the length, count, 1 to 200.
    time_s: time of the length, s, 5 to 600.
    Returns: stroke rate, strokes/min.
    Raises: OutOfRange outside these limits.
    Limits: the push-off is ignored.
    Error: one stroke more or less.
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic stroke rate.
    """
    check_range("The strokes", strokes, 1, 200)
    check_range("The time of a length", time_s, 5, 600, "s")
    return 60 * strokes / time_s


def stroke_length_m(*, length_m: float, strokes: float) -> float:
    """Metres for each stroke over one length.

    length_m: length of the pool, m, 10 to 100.
    strokes: strokes of the length, count, 1 to 200.
    Returns: stroke length, m; times the stroke rate it is the speed.
    Raises: OutOfRange outside these limits.
    Limits: the push-off is ignored. Tiredness shortens the stroke [alberty2009]; no limit is published.
    Error: one stroke more or less.
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic stroke length.
    """
    check_range("The length of the pool", length_m, 10, 100, "m")
    check_range("The strokes", strokes, 1, 200)
    return length_m / strokes


def heart_rate_drift_percent(
    *, first_output: float, first_heart_rate_bpm: float, second_output: float, second_heart_rate_bpm: float
) -> float:
    """How much less power or speed each heartbeat gives in the second half of steady work.

    first_output: mean power or speed of the first half, W or m/s, above 0.
    first_heart_rate_bpm: mean heart rate of the first half, beats/min, 30 to 250.
    second_output: mean power or speed of the second half, W or m/s, above 0.
    second_heart_rate_bpm: mean heart rate of the second half, beats/min, 30 to 250.
    Returns: fall of output per heartbeat, %; negative when it rose.
    Raises: OutOfRange outside these limits.
    Limits: steady work without its first 10 min, stops and hot days; 5 and 10 % are convention only.
    Error: not found.
    Source: common practice, no published source; the first 10 min after [coyle2001].
    Checked in tests/reference/load_intervals_readiness.csv, topic heart-rate drift, half against half.
    """
    first, second = _per_beat(first_output, first_heart_rate_bpm), _per_beat(second_output, second_heart_rate_bpm)
    return 100 * (first - second) / first


def internal_external_ratio_smyth_2022(
    *, first_output: float, first_heart_rate_bpm: float, second_output: float, second_heart_rate_bpm: float
) -> float:
    """Heartbeats for each unit of power or speed, late against early.

    first_output: mean power or speed early, W or m/s, above 0.
    first_heart_rate_bpm: mean heart rate early, beats/min, 30 to 250.
    second_output: mean power or speed late, W or m/s, above 0.
    second_heart_rate_bpm: mean heart rate late, beats/min, 30 to 250.
    Returns: ratio, no unit; above 1 when each unit costs more heartbeats.
    Raises: OutOfRange outside these limits.
    Limits: its published words are for marathons only, 35-40 km against 5-10 km.
    Error: mean 1.16, SD 0.22 over 82,303 marathon runners.
    Source: [smyth2022].
    Checked in tests/reference/load_intervals_readiness.csv, topic internal/external ratio.
    """
    first, second = _per_beat(first_output, first_heart_rate_bpm), _per_beat(second_output, second_heart_rate_bpm)
    return first / second


def marathon_drift_smyth_2022(*, ratio: float) -> MarathonDrift:
    """The published word for a marathon's ratio of 35-40 km against 5-10 km.

    ratio: internal against external, late against early, no unit, 0.3 to 5.
    Returns: class, no unit; low below 1.1, moderate below 1.2, high from there.
    Raises: OutOfRange outside these limits.
    Limits: marathons only.
    Error: mean 1.16, SD 0.22 over 82,303 marathon runners.
    Source: [smyth2022].
    Checked in tests/reference/load_intervals_readiness.csv, topic heart-rate drift class.
    """
    check_range("The ratio", ratio, 0.3, 5)
    if ratio < _MODERATE_RATIO:
        return MarathonDrift.LOW
    return MarathonDrift.MODERATE if ratio < _HIGH_RATIO else MarathonDrift.HIGH


def repetition_figures(*, samples: npt.ArrayLike, starts: npt.ArrayLike, ends: npt.ArrayLike) -> RepetitionFigures:
    """Mean and highest value of each repetition of a recording, all at once; unknown samples (NaN) are left out.

    `starts` and `ends` are places in the recording, end not included.
    """
    values = np.asarray(samples, dtype=float)
    first, after = np.asarray(starts, dtype=np.int64), np.asarray(ends, dtype=np.int64)
    if first.shape != after.shape or first.size == 0:
        raise WrongLength("Each repetition needs a start and an end.")
    if np.any(first < 0) or np.any(after <= first) or np.any(after > len(values)) or np.any(first[1:] < after[:-1]):
        raise OutOfRange("Repetitions must lie in order inside the recording, each at least one sample long.")
    known = ~np.isnan(values)
    # reduceat wants one row of edges; every second span is a rest and dropped. A last edge needs a sample behind it.
    edges = np.column_stack([first, after]).ravel()
    counts = np.add.reduceat(np.append(known, False), edges, dtype=np.int64)[::2]
    sums = np.add.reduceat(np.append(np.where(known, values, 0.0), 0.0), edges)[::2]
    highest = np.fmax.reduceat(np.append(values, np.nan), edges)[::2]
    means = np.divide(sums, counts, out=np.full(len(sums), np.nan), where=counts > 0)
    return RepetitionFigures(means, highest, counts)


def _repetitions(repetitions: Sequence[float]) -> FloatArray:
    for value in repetitions:
        check_range("Each repetition", value, 1e-6, _HIGHEST)
    return np.array(repetitions, dtype=float)


def _per_beat(output: float, heart_rate_bpm: float) -> float:
    check_range("Power or speed", output, 1e-3, 2500)
    check_range("The heart rate", heart_rate_bpm, 30, 250, "beats/min")
    return output / heart_rate_bpm
