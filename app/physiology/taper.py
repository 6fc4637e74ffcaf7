"""Tapers: how much load is left over when it falls off before a goal."""

from __future__ import annotations

import math

from app.physiology.values import check_range

#: The cut of volume that worked best, over about two weeks, effort and frequency kept ([bosquet2007]).
BEST_CUT_PERCENT = (41.0, 60.0)
BEST_LENGTH_DAYS = 14


def exponential_taper_mean_percent(*, tau_days: float, days: int) -> float:
    """Mean load of a taper that falls off exponentially, against normal load.

    tau_days: days in which load falls to 37 %, d, 1 to 60.
    days: length of the taper, d, 1 to 42.
    Returns: mean load of its days, % of normal; the first day is already cut by one day's fall.
    Raises: OutOfRange outside these limits.
    Limits: volume only; effort and frequency are kept.
    Error: not found; 41 to 60 % less over two weeks worked best [bosquet2007].
    Source: definition, beside [bosquet2007].
    Checked in tests/reference/load_intervals_readiness.csv, topic exponential taper.
    """
    check_range("The time constant", tau_days, 1, 60, "days")
    check_range("The taper", days, 1, 42, "days")
    return 100 * math.fsum(math.exp(-day / tau_days) for day in range(1, days + 1)) / days
