"""A recording thinned for drawing: every stretch keeps its least, its most and its mean, and a gap stays a gap."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.coaching.recordings import Series


@dataclass(frozen=True, slots=True)
class Stretch:
    """Some seconds of one channel; `low`, `high` and `mean` are of what is known in them."""

    start_s: float
    end_s: float
    low: float
    high: float
    mean: float


def thinned(values: Series, most: int) -> tuple[tuple[Stretch, ...], ...]:
    """A channel as at most so many stretches of equal length, in runs: a stretch nothing is known of ends a run.

    No peak and no trough is lost: the least and the most of all stretches are those of the channel.
    """
    count = len(values)
    if count == 0 or most < 1:
        return ()
    width = -(-count // most)
    runs: list[list[Stretch]] = [[]]
    for start in range(0, count, width):
        part = values[start : start + width]
        known = part[np.isfinite(part)]
        if known.size == 0:
            if runs[-1]:
                runs.append([])
            continue
        end = min(count, start + width)
        runs[-1].append(
            Stretch(float(start), float(end), float(known.min()), float(known.max()), float(known.mean()))
        )
    return tuple(tuple(run) for run in runs if run)
