"""What speaks for rounds being rounds: alike in length and level, clear of the easy level, and the heart's answer."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.coaching.change_points import Places
from app.coaching.recordings import Series
from app.coaching.rounds_levels import Levels
from app.coaching.rounds_signal import RoundSeries
from app.coaching.rounds_values import BY_SPEED, SHORT_BY_SPEED_S, SIGNAL_WORDS, RoundSignal, short_by_speed

#: The heart's answer is looked for in rounds of at least this length (house choice).
_HEART_ROUND_S = 60
_HEART_MEAN_S = 15
#: A rise of so many beats over a round speaks for it, less than the other against it (house choices).
_LIFTS_BPM = 12.0
_LIFTS_PLAINLY_BPM = 22.0
_DOES_NOT_LIFT_BPM = 5.0
#: Spans this many times the others' length, or a fraction of it, are no rounds of the same set (house choice).
_ALIKE = 1.35


@dataclass(frozen=True, slots=True)
class Support:
    """What speaks for a set of rounds, as figures."""

    count: int
    #: Work over easy, as a ratio; beats a minute apart for heart rate.
    contrast: float
    #: Spread of the rounds' lengths over their mean.
    length_spread: float
    #: Share of all time at the work level that the set explains.
    explained: float
    first_s: float
    shortest_s: float
    longest_s: float
    shortest_rest_s: float
    longest_rest_s: float
    #: Median rise of heart rate over a round; None where nothing tells.
    heart_rise_bpm: float | None

    @property
    def heart_agrees(self) -> bool:
        """Whether heart rate rose with the rounds."""
        return self.heart_rise_bpm is not None and self.heart_rise_bpm >= _LIFTS_BPM

    @property
    def heart_rises_plainly(self) -> bool:
        """Whether heart rate rose more than pushing a little uphill makes it rise."""
        return self.heart_rise_bpm is not None and self.heart_rise_bpm >= _LIFTS_PLAINLY_BPM

    @property
    def heart_denies(self) -> bool:
        """Whether heart rate did not rise with the rounds."""
        return self.heart_rise_bpm is not None and self.heart_rise_bpm < _DOES_NOT_LIFT_BPM


def alike(spans: Places) -> Places:
    """The places of the spans alike in length that make up most time together."""
    lengths = (spans[:, 1] - spans[:, 0]).astype(float)
    if len(lengths) == 0:
        return np.empty(0, dtype=np.int64)
    ratio = lengths[None, :] / lengths[:, None]
    belongs = (ratio <= _ALIKE) & (ratio >= 1 / _ALIKE)
    return np.flatnonzero(belongs[int((belongs * lengths[None, :]).sum(axis=1).argmax())])


def support_of(series: RoundSeries, levels: Levels, spans: Places, chosen: Places) -> Support:
    """The figures that speak for the chosen spans being a set of rounds."""
    rounds = spans[chosen]
    lengths = (rounds[:, 1] - rounds[:, 0]).astype(float)
    rests = rounds[1:, 0] - rounds[:-1, 1]
    work = float(np.median([np.median(series.values[a:b]) for a, b in rounds]))
    easy = levels.easy
    is_heart = series.signal is RoundSignal.HEART_RATE
    return Support(
        count=len(rounds),
        contrast=work - easy if is_heart else work / max(easy, 1e-9),
        length_spread=float(lengths.std() / lengths.mean()),
        explained=float(lengths.sum() / max(1.0, (spans[:, 1] - spans[:, 0]).sum())),
        first_s=float(rounds[0, 0]),
        shortest_s=float(lengths.min()),
        longest_s=float(lengths.max()),
        shortest_rest_s=float(rests.min()) if len(rests) else 0.0,
        longest_rest_s=float(rests.max()) if len(rests) else 0.0,
        heart_rise_bpm=None if is_heart else _heart_rise(series.heart_rate_bpm, rounds),
    )


def support_words(series: RoundSeries, support: Support, *, work_s: int | None = None) -> tuple[str, ...]:
    """The sentences a set's sureness rests on; work_s: of the longest round planned, None without a plan."""
    is_heart = series.signal is RoundSignal.HEART_RATE
    apart = f"{support.contrast:.0f} beats/min above" if is_heart else f"{support.contrast:.2f} times"
    found = [f"read from {SIGNAL_WORDS[series.signal]}", f"work is {apart} the easy level"]
    if support.count > 1:
        found.append(f"the rounds differ in length by {100 * support.length_spread:.0f} %")
    if series.signal in BY_SPEED and support.longest_s < SHORT_BY_SPEED_S:
        longest = support.longest_s if work_s is None else work_s
        found.append(short_by_speed(longest, is_ride=series.is_ride, is_planned=work_s is not None))
    if support.heart_rise_bpm is not None:
        verb = "rises" if support.heart_rise_bpm >= 0 else "falls"
        found.append(f"heart rate {verb} by {abs(support.heart_rise_bpm):.0f} beats/min over a round")
    return tuple(found)


def _heart_rise(heart: Series | None, rounds: Places) -> float | None:
    if heart is None:
        return None
    rises = [
        float(heart[max(a, b - _HEART_MEAN_S) : b].mean() - heart[max(0, a - 5) : a + 5].mean())
        for a, b in rounds.tolist()
        if b - a >= _HEART_ROUND_S
    ]
    return float(np.median(rises)) if rises else None
