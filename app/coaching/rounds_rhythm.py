"""Short rounds by speed laid onto their rhythm: satellite noise hides half a minute, the beat tells its place."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from app.coaching.change_points import Places
from app.coaching.recordings import Series
from app.coaching.rounds_levels import Levels, work_density
from app.coaching.rounds_signal import RoundSeries
from app.coaching.rounds_values import SHORT_BY_SPEED_S

#: A rest may be this much shorter or longer than its set's usual one and still be of the rhythm (house choices).
_SHORTEST_REST, _LONGEST_REST = 0.6, 1.7
#: A round this much off its length is laid again at its full length (house choice).
_OFF_LENGTH = 0.2
#: An edge read from a hill is astray where it takes a round this much off its length (house choice).
_ASTRAY = 0.1
#: Fewer short rounds of a plan may be noise (house choice).
FEWEST_SHORT = 4
#: A rhythm nobody planned takes so many rounds to be one, most of them in it (house choices).
_FEWEST = 5
_FITTING = 0.7
#: Of a plan's rhythm so much must be kept (house choice).
_KEPT = 0.8
#: What comes before the set and stays below this share of its height is the brisk part of a warm-up (house choice).
_BRISK_HEIGHT = 0.8
#: The same where it is followed as if by a rest of the set (house choice).
_BRISK_BESIDE = 0.5
#: One more round than asked must stand out this much against the others (house choice).
_EXTRA_FRACTION = 0.5
#: Of the sets of as many rounds as asked the first that holds as much work as any, within this share of a round.
_AS_MUCH_FRACTION = 0.25
#: Where the rhythm says that a round lies, more work than rest is enough (house choice).
_LEAST_DENSITY = 0.1


@dataclass(frozen=True, slots=True)
class Rhythm:
    """How long the rounds of a set last and the rests between them."""

    work_s: int
    rest_s: int

    def left_out(self, gap_s: float) -> int:
        """How many rounds a gap between two rounds has room for, were each rest the usual one; 0 for none."""
        count = round((gap_s - self.rest_s) / (self.work_s + self.rest_s))
        if count < 1:
            return 0
        rest = (gap_s - count * self.work_s) / (count + 1)
        return count if _SHORTEST_REST * self.rest_s <= rest <= _LONGEST_REST * self.rest_s else 0

    def goes_on_after(self, gap_s: float) -> bool:
        """Whether a gap is one rest of this set."""
        return gap_s <= _LONGEST_REST * self.rest_s


def is_kept(spans: Places, rhythm: Rhythm) -> bool:
    """Whether the rests between most of these rounds are rests of the rhythm: hills keep none."""
    rests = (spans[1:, 0] - spans[:-1, 1]).tolist()
    usual = [one >= _SHORTEST_REST * rhythm.rest_s and rhythm.goes_on_after(one) for one in rests]
    return bool(sum(usual) >= _KEPT * len(usual))


def has_rhythm(series: RoundSeries, rhythm: Rhythm) -> bool:
    """Whether rounds of this length by this channel need their rhythm to be seen."""
    return series.needs_rhythm and is_short(rhythm)


def is_short(rhythm: Rhythm) -> bool:
    """Whether rounds and rests are so short that a gap in the rhythm means something."""
    return rhythm.work_s < SHORT_BY_SPEED_S and rhythm.rest_s > 0


def rhythm_of(rounds: Places) -> Rhythm | None:
    """The rhythm that rounds keep by themselves; None where they are few or keep none."""
    if len(rounds) < _FEWEST:
        return None
    rests = rounds[1:, 0] - rounds[:-1, 1]
    found = Rhythm(round(float(np.median(rounds[:, 1] - rounds[:, 0]))), round(float(np.median(rests))))
    fits = [found.goes_on_after(one) or found.left_out(one) > 0 for one in rests.tolist()]
    return found if sum(fits) >= _FITTING * len(fits) else None


def on_rhythm(series: RoundSeries, levels: Levels, spans: Places, rhythm: Rhythm) -> Places:
    """The same rounds without brisk starts, each at about its length, and those that were missed between them."""
    if len(spans) == 0:
        return spans
    density = work_density(series, levels)
    sums = np.concatenate([[0.0], np.cumsum(density)])
    laid = np.array([_at_full_length(one, sums, rhythm) for one in spans.tolist()], dtype=np.int64)
    laid = _without_brisk_start(laid, sums, rhythm).tolist()
    found = [laid[0]]
    for before, after in pairwise(laid):
        found += _between(before[1], after[0], sums, rhythm)
        found.append(after)
    return np.array(_in_order(found), dtype=np.int64)


def without_afterthoughts(series: RoundSeries, levels: Levels, spans: Places, rhythm: Rhythm, asked: int) -> Places:
    """Of more rounds than asked only those that follow in the rhythm and stand out like the others."""
    if len(spans) <= asked:
        return spans
    sums = np.concatenate([[0.0], np.cumsum(work_density(series, levels))])
    scores = sums[spans[:, 1]] - sums[spans[:, 0]]
    least = _EXTRA_FRACTION * float(np.median(scores[:asked]))
    count = asked
    while count < len(spans):
        gap = spans[count, 0] - spans[count - 1, 1]
        if not rhythm.goes_on_after(gap) or scores[count] < least:
            break
        count += 1
    return spans[:count]


def without_strays(series: RoundSeries, levels: Levels, spans: Places, rhythm: Rhythm, asked: int) -> Places:
    """Short rounds without those around them that are no part of the set: a brisk warm-up, or noise beside it.

    They stand apart and are lower or more than asked; or without them as many as asked hold clearly more work.
    """
    if len(spans) < 2:
        return spans
    sums = np.concatenate([[0.0], np.cumsum(work_density(series, levels))])
    work = sums[spans[:, 1]] - sums[spans[:, 0]]
    height = work / (spans[:, 1] - spans[:, 0])
    is_low = height < _BRISK_HEIGHT * np.median(height)
    first = 0
    while first + 1 < len(spans) and not rhythm.goes_on_after(spans[first + 1, 0] - spans[first, 1]):
        if not is_low[first] and len(spans) - first <= asked:
            break
        first += 1
    if len(spans) - first > asked:
        held = np.convolve(work[first:], np.ones(asked), mode="valid")
        first += int((held >= held.max() - _AS_MUCH_FRACTION * float(np.median(work))).argmax())
    last = len(spans)
    while last - 1 > first and is_low[last - 1] and not rhythm.goes_on_after(spans[last - 1, 0] - spans[last - 2, 1]):
        last -= 1
    return spans[first:last]


def back_from_their_ends(spans: Places, rhythm: Rhythm) -> Places:
    """Rounds on wheels as long as planned, where an edge went astray: a hill ends sharply, and begins gently."""
    off = np.abs(spans[:, 1] - spans[:, 0] - rhythm.work_s) > _ASTRAY * rhythm.work_s
    starts = np.maximum(spans[:, 1] - rhythm.work_s, np.concatenate([[0], spans[:-1, 1]]))
    return np.column_stack([np.where(off, starts, spans[:, 0]), spans[:, 1]])


def _is_off(length_s: int, rhythm: Rhythm) -> bool:
    return abs(length_s - rhythm.work_s) > _OFF_LENGTH * rhythm.work_s


def _without_brisk_start(spans: Places, sums: Series, rhythm: Rhythm) -> Places:
    scores = sums[spans[:, 1]] - sums[spans[:, 0]]
    usual = float(np.median(scores))
    first = 0
    while first + 1 < len(spans):
        is_apart = not rhythm.goes_on_after(spans[first + 1, 0] - spans[first, 1])
        if scores[first] >= (_BRISK_HEIGHT if is_apart else _BRISK_BESIDE) * usual:
            break
        first += 1
    return spans[first:]


def _at_full_length(span: list[int], sums: Series, rhythm: Rhythm) -> tuple[int, int]:
    """A span that noise cut short or drew out, laid again where its whole length holds most work."""
    start, end = span
    if not _is_off(end - start, rhythm):
        return start, end
    spare = max(0, rhythm.work_s - (end - start))
    placed = _best_window(sums, start - spare, max(end, start + rhythm.work_s) + spare, rhythm.work_s)
    return placed if placed is not None else (start, end)


def _between(end: int, start: int, sums: Series, rhythm: Rhythm) -> list[tuple[int, int]]:
    """The rounds that noise hid between two others: so many as there is room for, where they hold more work."""
    count = rhythm.left_out(start - end)
    step = (start - end - count * rhythm.work_s) / (count + 1) if count else 0.0
    found = []
    for place in range(count):
        usual = end + round(step + place * (step + rhythm.work_s))
        loose = max(3, round(0.4 * rhythm.rest_s))
        one = _best_window(sums, max(end, usual - loose), min(start, usual + rhythm.work_s + loose), rhythm.work_s)
        if one is not None:
            found.append(one)
    return found


def _best_window(sums: Series, first: int, last: int, length: int) -> tuple[int, int] | None:
    """Where in a stretch so many seconds hold most work; None where even that is hardly more than rest."""
    first, last = max(0, first), min(len(sums) - 1, last)
    if last - first < length:
        return None
    held = sums[first + length : last + 1] - sums[first : last + 1 - length]
    place = int(held.argmax())
    return (first + place, first + place + length) if held[place] >= _LEAST_DENSITY * length else None


def _in_order(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Those that do not overlap the one before."""
    kept = spans[:1]
    for one in spans[1:]:
        if one[0] >= kept[-1][1]:
            kept.append(one)
    return kept
