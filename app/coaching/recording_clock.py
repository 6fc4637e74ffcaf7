"""The times of a recording put in order, and its samples laid on an even clock of one second."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from app.coaching.recording_samples import NotASession, Samples
from app.coaching.recordings import Series
from app.coaching.words import counted

Indices = NDArray[np.intp]

#: House choices, all of them about files, none about training.
LONGEST_S = 24 * 3600
SHORTEST_S = 30
#: Two stretches further apart than this are not one session: a recorder's clock was set in between.
APART_S = 6 * 3600.0
#: With fewer points that carry a time, what is left is no recording of the whole.
LEAST_TIMED_FRACTION = 0.5
#: More than this share of times that do not move on, and the clock cannot be trusted at all.
MOST_OUT_OF_ORDER_FRACTION = 0.25
#: Values are carried over three usual steps, but never under or over these.
LEAST_BRIDGE_S, MOST_BRIDGE_S = 5.0, 60.0
#: Points further apart than this say little about rounds of some minutes.
COARSE_STEP_S = 20.0
#: No recorder of this kind is older; a clock that says so was never set.
EARLIEST_AT = datetime(2000, 1, 1, tzinfo=UTC)
#: A client's zone may be ahead of the desk's.
AHEAD = timedelta(days=1)


@dataclass(frozen=True, slots=True, eq=False)
class Clock:
    """Which samples count, when each was from the first on, and how long the recording is."""

    picked: Indices
    at_s: Series
    started_at: datetime | None
    seconds: int
    bridge_s: float
    notes: tuple[str, ...]


def clock_of(samples: Samples, *, latest_at: datetime) -> Clock:
    """The samples in the order of time. Raises: NotASession when their times make none."""
    timed = np.flatnonzero(np.isfinite(samples.at_s))
    if not timed.size:
        raise NotASession("No point in this file has a time: it is a route, not a recording of a session.")
    if timed.size < LEAST_TIMED_FRACTION * samples.at_s.size:
        raise NotASession("Most points in this file have no time: it is a route, not a recording of a session.")
    notes = list(_left_out(samples.at_s.size - timed.size, "without a time"))
    ordered, disordered = _in_order(timed, samples.at_s)
    notes += _left_out(disordered, "whose time did not move on")
    picked = _one_session(ordered, samples.at_s, notes)
    at_s = samples.at_s[picked] - samples.at_s[picked[0]]
    seconds = int(np.rint(at_s[-1])) + 1
    if seconds < SHORTEST_S:
        raise NotASession(f"This recording is {counted(seconds, 'second')} long; {SHORTEST_S} is the least.")
    if seconds > LONGEST_S:
        raise NotASession("This recording is longer than a day. Save the one session by itself.")
    step_s = float(np.median(np.diff(at_s)))
    if step_s > COARSE_STEP_S:
        notes.append(f"Its points stand {step_s:.0f} s apart: too far to say how a round went.")
    started_at = _start(float(samples.at_s[picked[0]]), latest_at, notes) if samples.has_calendar else None
    bridge_s = min(max(3 * step_s, LEAST_BRIDGE_S), MOST_BRIDGE_S)
    return Clock(picked, at_s, started_at, seconds, bridge_s, tuple(notes))


def _left_out(count: int, why: str) -> tuple[str, ...]:
    if not count:
        return ()
    return (f"{counted(count, 'point')} {why} {'was' if count == 1 else 'were'} left out.",)


def _in_order(timed: Indices, at_s: Series) -> tuple[Indices, int]:
    """Samples whose time moves on or stands: one that jumps ahead and is followed by earlier ones goes itself."""
    times = at_s[timed]
    back = int(np.count_nonzero(np.diff(times) < 0))
    if back > MOST_OUT_OF_ORDER_FRACTION * times.size:
        raise NotASession("The times in this file run backwards: its clock cannot be trusted. Save it again.")
    if not back:
        return timed, 0
    jumps = np.zeros(times.size, dtype=bool)
    jumps[1:-1] = (times[1:-1] > times[2:]) & (times[2:] >= times[:-2])
    kept, times = timed[~jumps], times[~jumps]
    stands = times >= np.maximum.accumulate(times)
    found = kept[stands]
    if timed.size - found.size > MOST_OUT_OF_ORDER_FRACTION * timed.size:
        raise NotASession("The times in this file jump back and forth: its clock cannot be trusted. Save it again.")
    return found, timed.size - found.size


def _one_session(ordered: Indices, at_s: Series, notes: list[str]) -> Indices:
    """The stretch with the most samples when the clock jumped by hours."""
    jumps = np.flatnonzero(np.diff(at_s[ordered]) > APART_S) + 1
    if not jumps.size:
        return ordered
    stretches = np.split(ordered, jumps)
    longest = max(stretches, key=len)
    notes += _left_out(ordered.size - longest.size, "hours away from the rest")
    return longest


def _start(first_s: float, latest_at: datetime, notes: list[str]) -> datetime | None:
    """The instant of the first sample; none when the recorder's clock was clearly wrong."""
    if EARLIEST_AT.timestamp() <= first_s <= (latest_at + AHEAD).timestamp():
        return datetime.fromtimestamp(first_s, tz=UTC)
    notes.append(f"The recorder's clock stood at {_year(first_s)}: only the time between points was used.")
    return None


def _year(first_s: float) -> str:
    try:
        return f"the year {datetime.fromtimestamp(first_s, tz=UTC).year}"
    except (ValueError, OverflowError, OSError):
        return "no date at all"


def on_clock(at_s: Series, values: Series, *, seconds: int, bridge_s: float) -> Series:
    """Values on every second: the mean of what fell on it, a straight line over short steps, NaN elsewhere."""
    is_known = np.isfinite(values)
    grid = np.full(seconds, np.nan)
    if not is_known.any():
        return grid
    at = np.rint(at_s[is_known]).astype(np.intp)
    counts = np.bincount(at, minlength=seconds)
    sums = np.bincount(at, weights=values[is_known], minlength=seconds)
    known = np.flatnonzero(counts)
    first, last = known[0], known[-1] + 1
    grid[first:last] = np.interp(np.arange(first, last), known, sums[known] / counts[known])
    for start in np.flatnonzero(np.diff(known) > bridge_s):
        grid[known[start] + 1 : known[start + 1]] = np.nan
    return grid
