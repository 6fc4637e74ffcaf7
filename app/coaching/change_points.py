"""Where a noisy series changes its level: the exact penalised cut into steady stretches, and the sharpest step.

Everything works on whole arrays; a recording of hours takes some tens of milliseconds.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

from app.physiology.least_squares import FloatArray

Places = npt.NDArray[np.int64]
#: Median of absolute deviations to standard deviation, for a normal spread.
_MAD_TO_SD = 1.4826


def moving_median(values: FloatArray, width: int) -> FloatArray:
    """The middle of each value's neighbourhood; short outliers vanish and edges stay where they are."""
    half = width // 2
    return np.asarray(np.median(sliding_window_view(np.pad(values, half, mode="edge"), 2 * half + 1), axis=1))


def moving_mean(values: FloatArray, width: int) -> FloatArray:
    """The mean of each value's neighbourhood."""
    half = width // 2
    sums = np.concatenate([[0.0], np.cumsum(np.pad(values, half, mode="edge"))])
    return np.asarray((sums[2 * half + 1 :] - sums[: -2 * half - 1]) / (2 * half + 1))


def moving_slope(values: FloatArray, width: int) -> FloatArray:
    """The slope of the nearest straight line through each value's neighbourhood, per place."""
    half = width // 2
    weights = np.arange(-half, half + 1, dtype=float)
    weights /= weights @ weights
    return np.asarray(np.convolve(np.pad(values, half, mode="edge"), weights[::-1], mode="valid"))


def noise_of(values: FloatArray) -> float:
    """The standard deviation of what changes from one value to the next; steps and drift hardly count."""
    if len(values) < 3:
        return 0.0
    return float(_MAD_TO_SD * np.median(np.abs(np.diff(values))) / np.sqrt(2))


def steady_stretches(values: FloatArray, *, penalty: float, longest: int) -> Places:
    """The beginnings of the steady stretches of a series, and its length as the last entry.

    Exact: of all ways to cut it, the one with the least sum of squares about each stretch's mean plus the penalty
    for each stretch (optimal partitioning after Jackson and others, 2005; from memory, unchecked). `longest` bounds
    the work; a longer steady stretch is cut once more, which changes no level.
    """
    count = len(values)
    sums = np.concatenate([[0.0], np.cumsum(values)])
    squares = np.concatenate([[0.0], np.cumsum(values**2)])
    lengths = np.arange(longest, 0, -1, dtype=float)
    best = np.zeros(count + 1)
    came_from = np.zeros(count + 1, dtype=np.int64)
    # cost(j, t) = squares[t]-squares[j] - (sums[t]-sums[j])^2/(t-j); what depends on j alone is kept in one row.
    kept = np.empty(count + 1)
    kept[0] = 0.0
    for end in range(1, count + 1):
        first = max(0, end - longest)
        gain = sums[end] - sums[first:end]
        gain *= gain
        gain /= lengths[longest - (end - first) :]
        cost = kept[first:end] - gain
        place = int(cost.argmin())
        came_from[end] = first + place
        best[end] = cost[place] + squares[end] + penalty
        kept[end] = best[end] - squares[end]
    return _walk_back(came_from, count)


def sharpest_step(values: FloatArray, near: int, *, reach: int, rises: bool) -> tuple[int, float]:
    """The place at which two levels fit best within `reach` of a place, and how high the step is.

    The step has the wanted direction; without one, the place stays where it is and the step is 0.
    """
    first, last = max(0, near - reach), min(len(values), near + reach)
    window = values[first:last]
    if len(window) < 4:
        return near, 0.0
    sums = np.cumsum(window)
    before = np.arange(1, len(window), dtype=float)
    after = len(window) - before
    step = (sums[-1] - sums[:-1]) / after - sums[:-1] / before
    signed = step if rises else -step
    explained = np.where(signed > 0, signed**2 * before * after, 0.0)
    place = int(explained.argmax())
    if explained[place] <= 0:
        return near, 0.0
    return first + place + 1, float(abs(step[place]))


def _walk_back(came_from: Places, count: int) -> Places:
    edges = [count]
    while edges[-1] > 0:
        edges.append(int(came_from[edges[-1]]))
    return np.array(edges[::-1], dtype=np.int64)
