"""Work and easy told apart in the series of a recording: steady stretches, the level between them, spans of work."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.coaching.change_points import Places, noise_of, sharpest_step, steady_stretches
from app.coaching.recordings import Series
from app.coaching.rounds_signal import Marks, RoundSeries
from app.coaching.rounds_values import SHORT_BY_SPEED_S, RoundSignal
from app.physiology.values import Missing

BIN_S = 5
#: Longer stretches are cut once more, which changes nothing but the work.
_LONGEST_STRETCH_BINS = 240
#: Times noise squared times log of the count: what one more cut must explain; speed's noise clings together.
_PENALTY = {
    RoundSignal.POWER: 4.0,
    RoundSignal.SPEED: 9.0,
    RoundSignal.SPEED_ON_THE_FLAT: 9.0,
    RoundSignal.HEART_RATE: 12.0,
}
#: Standing, coasting or nothing known for so long splits work in two; shorter stays inside a round (house choice).
SPLITS_S = 45
SHORTEST_SERIES_S = 120
#: One second of work or rest counts as much as another, however far above or below the middle.
_MOST_A_SECOND = 1.5
_EDGE_REACH_S = {
    RoundSignal.POWER: 15,
    RoundSignal.SPEED: 20,
    RoundSignal.SPEED_ON_THE_FLAT: 25,
    RoundSignal.HEART_RATE: 45,
}

#: A slope is known blurred; on wheels the speed over the ground shows where it began (house choices).
_GROUND_REACH_S = 45
_GROUND_STEP_M_PER_S = 1.0


#: Levels this near each other are one, but for how a recorder rounds (house choice).
_SAME_LEVEL = 0.005
_ONE_LEVEL = Missing("this recording has one level of effort only")


@dataclass(frozen=True, slots=True, eq=False)
class Levels:
    """Where work is, by level alone, and the two levels."""

    is_work: Marks
    work: float
    easy: float
    between: float


def levels_of(series: RoundSeries) -> Levels | Missing:
    """Every second told work or not, from the steady stretches of the time that says something about effort."""
    places = np.flatnonzero(~series.is_silent)
    bins = len(places) // BIN_S
    if bins * BIN_S < SHORTEST_SERIES_S:
        return Missing("hardly two minutes of this recording say how hard it was")
    values = series.values[places[: bins * BIN_S]].reshape(bins, BIN_S).mean(axis=1)
    edges = steady_stretches(values, penalty=_penalty(values, series.signal), longest=_LONGEST_STRETCH_BINS)
    lengths = np.diff(edges)
    means = np.add.reduceat(values, edges[:-1]) / lengths
    between = _two_classes(means, lengths)
    above = means > between
    if not above.any() or above.all():
        return _ONE_LEVEL
    work = float(np.average(means[above], weights=lengths[above]))
    easy = float(np.average(means[~above], weights=lengths[~above]))
    if work - easy < _SAME_LEVEL * abs(easy):
        return _ONE_LEVEL
    marks = np.zeros(len(series.values), dtype=bool)
    marks[places[: bins * BIN_S]] = np.repeat(np.repeat(above, lengths), BIN_S)
    return Levels(marks, work, easy, between)


def work_density(series: RoundSeries, levels: Levels) -> Series:
    """1 for a second at the level of work, -1 at the easy one; less than rest where silent, 0 where not known."""
    half = max(1e-9, (levels.work - levels.easy) / 2)
    density = np.clip((series.values - levels.between) / half, -_MOST_A_SECOND, _MOST_A_SECOND)
    density[series.is_silent] = np.minimum(density[series.is_silent], -0.5)
    density[series.is_unknown] = 0.0
    return np.asarray(density)


def spans_of_work(series: RoundSeries, levels: Levels) -> Places:
    """Beginning and end of each span of work in a row, two columns; short stops stay inside, long ones split it."""
    places = np.flatnonzero(~series.is_silent)
    marks = levels.is_work[places]
    # A new span begins where work begins, and where work goes on after a long silence.
    follows = np.concatenate([[False], marks[:-1] & (np.diff(places) < SPLITS_S)])
    goes_on = np.concatenate([marks[1:] & (np.diff(places) < SPLITS_S), [False]])
    starts = places[marks & ~follows]
    ends = places[marks & ~goes_on] + 1
    return np.column_stack([starts, ends])


def sharpened(series: RoundSeries, spans: Places) -> Places:
    """The same spans with each edge moved to where the level changes most sharply near it."""
    found = spans.copy()
    reach = _EDGE_REACH_S[series.signal]
    for row in range(len(spans)):
        start, end = spans[row]
        before = found[row - 1, 1] if row else 0
        after = spans[row + 1, 0] if row + 1 < len(spans) else len(series.values)
        half = _loose(series, int(end - start))
        begins = sharpest_step(series.values, start, reach=_within(reach, half, start - before), rises=True)[0]
        ends = sharpest_step(series.values, end, reach=_within(reach, half, after - end), rises=False)[0]
        if series.ground_speed is not None:
            begins = _on_the_ground(series.ground_speed, begins, min(half, start - before))
            ends = _on_the_ground(series.ground_speed, ends, min(half, after - end))
        found[row] = max(begins, before), max(ends, begins + 1)
    return found


def _on_the_ground(speed: Series, near: int, room: int) -> int:
    """The place near an edge where speed over the ground jumps, either way; the edge itself where it does not."""
    reach = _within(_GROUND_REACH_S, room, room)
    steps = [sharpest_step(speed, near, reach=reach, rises=rises) for rises in (True, False)]
    place, height = max(steps, key=lambda one: one[1])
    return place if height >= _GROUND_STEP_M_PER_S else near


def _loose(series: RoundSeries, length_s: int) -> int:
    """How far into a span its edges may move: a short one by speed would be eaten up by noise."""
    is_noisy = series.needs_rhythm and length_s < SHORT_BY_SPEED_S
    return length_s // (4 if is_noisy else 2)


def _within(reach: int, half: int, room: int) -> int:
    return int(max(3, min(reach, half, room)))


def _penalty(values: Series, signal: RoundSignal) -> float:
    noise = max(noise_of(values), 1e-6 * float(np.abs(values).max()) + 1e-9)
    return _PENALTY[signal] * noise**2 * float(np.log(len(values)))


def _two_classes(means: Series, lengths: Places) -> float:
    """The level that splits the stretches so that the two sides lie farthest apart, by time (Otsu's criterion)."""
    order = np.argsort(means)
    level, weight = means[order], lengths[order].astype(float)
    below = np.cumsum(weight)[:-1]
    above = weight.sum() - below
    if len(below) == 0:
        return float(level[0])
    low = np.cumsum(level * weight)[:-1] / below
    high = ((level * weight).sum() - np.cumsum(level * weight)[:-1]) / above
    split = int((below * above * (high - low) ** 2).argmax())
    return float((level[split] + level[split + 1]) / 2)
