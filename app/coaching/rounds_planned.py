"""Rounds found with a plan: its timeline laid over the recording, wherever it began and however rests stretched."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from app.coaching.change_points import Places
from app.coaching.recordings import Series
from app.coaching.rounds_levels import Levels, levels_of, sharpened, work_density
from app.coaching.rounds_rhythm import (
    FEWEST_SHORT,
    Rhythm,
    back_from_their_ends,
    has_rhythm,
    is_kept,
    is_short,
    on_rhythm,
    without_afterthoughts,
    without_strays,
)
from app.coaching.rounds_signal import RoundSeries
from app.coaching.rounds_support import Support, support_of, support_words
from app.coaching.rounds_values import (
    BY_SPEED,
    SHORT_BY_SPEED_S,
    VERY_SHORT_S,
    EdgesFrom,
    FoundRound,
    FoundRounds,
    RoundsAsked,
    RoundSignal,
    Sureness,
    short_by_speed,
)
from app.physiology.values import Missing

#: A round may be this much shorter or longer than asked and still be that round (house choice).
_SHORTEST_FRACTION = 0.3
_LONGEST_FRACTION = 1.6
_EXTRA_ROUNDS = 4
#: One more round than asked must stand out this much against the others (house choice).
_EXTRA_FRACTION = 0.7
#: A round cut short still explains this much of what the others do; less is a surge (house choice).
_CUT_FRACTION = 0.3
_BRISK_HEIGHT = 0.5
_LEAST_FRACTION = 0.25
#: Seconds on which the timeline is laid first; edges are then read second by second.
_GRID_OF_ROUND = 60


@dataclass(frozen=True, slots=True)
class _Contrast:
    """Work over easy (beats apart for heart rate) that a planned set needs."""

    #: Where heart rate agrees and the rounds are as alike as a watch makes them.
    with_heart: float
    alone: float
    #: Enough to be sure.
    clear: float
    #: Enough where neither the watch nor the heart speaks for it.
    plain: float


#: Chosen so that no easy session of the ground truth shows a round (house choices, docs/proof.md).
_CONTRAST = {
    RoundSignal.POWER: _Contrast(1.15, 1.25, 1.4, 1.5),
    RoundSignal.SPEED: _Contrast(1.12, 1.25, 1.35, 1.45),
    RoundSignal.SPEED_ON_THE_FLAT: _Contrast(1.12, 1.25, 1.35, 1.45),
    RoundSignal.HEART_RATE: _Contrast(28.0, 28.0, 35.0, 35.0),
}
#: A round is about as long as planned within this share, and most rounds must be (house choices).
_LIKE_THE_PLAN = 0.15
_MOST_NEAR = 0.75
#: Rounds timed by a watch are alike within this share, and like the plan; hills are not (house choice).
_BY_THE_WATCH = 0.08
_SAME_LENGTH = 0.05
#: So many short rounds in their rhythm are alike where so many of them are about as long as planned (house choices).
_MANY_SHORT = 8
_NEAR_IN_RHYTHM = 0.6
#: Speed says less on wheels, where air takes its cube: this much is clear where the rhythm is kept (house choice).
_ON_WHEELS_IN_RHYTHM = 1.2
_HEART_SHORTEST_S = 60


@dataclass(frozen=True, slots=True, eq=False)
class _Best:
    """For each place on the grid: where a round beginning there had best end, and what it explains."""

    end: Places
    score: Series


def rounds_with_plan(series: RoundSeries, asked: RoundsAsked) -> FoundRounds | Missing:
    """The rounds of a plan in a recording; Missing with the reason when the recording does not show them."""
    found = _with_plan(series, asked)
    if isinstance(found, Missing) and _is_short(series, asked):
        unsure = short_by_speed(max(asked.work_s), is_ride=series.is_ride, is_planned=True)
        return Missing(f"{found.reason}; {unsure}")
    return found


def _with_plan(series: RoundSeries, asked: RoundsAsked) -> FoundRounds | Missing:
    if series.signal is RoundSignal.HEART_RATE and min(asked.work_s) < _HEART_SHORTEST_S:
        return Missing("heart rate alone cannot show rounds as short as these")
    if series.ground_speed is not None and max(asked.work_s) < VERY_SHORT_S:
        return Missing("on wheels in hills, altitude is too blurred for rounds as short as these")
    levels = levels_of(series)
    if isinstance(levels, Missing):
        return levels
    spans = _laid(series, levels, asked)
    if len(spans) == 0:
        return Missing("the recording shows no stretch of work like those planned")
    levels = _nearer(series, spans)
    spans = _laid(series, levels, asked)
    if len(spans) == 0:
        return Missing("the recording shows no stretch of work like those planned")
    if _is_short(series, asked) and not _are_enough(spans, asked):
        return Missing("too few of these short rounds stand out of the noise of speed, or they keep no rhythm")
    spans = sharpened(series, spans)
    support = support_of(series, levels, spans, np.arange(len(spans)))
    against = _against(series, support, _likeness(series, spans, asked))
    if against is not None:
        return against
    rhythm = _rhythm_of(asked)
    if rhythm is not None and series.ground_speed is not None and has_rhythm(series, rhythm):
        spans = back_from_their_ends(spans, rhythm)
    return _found(series, spans, support, asked)


def _is_short(series: RoundSeries, asked: RoundsAsked) -> bool:
    return series.signal in BY_SPEED and max(asked.work_s) < SHORT_BY_SPEED_S


def _are_enough(spans: Places, asked: RoundsAsked) -> bool:
    """Whether short rounds are more than noise makes by chance: some of them, in the rhythm of their plan."""
    rhythm = _rhythm_of(asked)
    is_rhythm = rhythm is None or len(spans) < 2 or is_kept(spans, rhythm)
    return len(spans) >= min(FEWEST_SHORT, len(asked.work_s)) and is_rhythm


def _laid(series: RoundSeries, levels: Levels, asked: RoundsAsked) -> Places:
    """The spans that together hold most work and least rest, at most some more than asked, in order."""
    grid = max(1, min(asked.work_s) // _GRID_OF_ROUND)
    sums = _running_work(series, levels, grid)
    wanted = asked.work_s + (asked.work_s[-1],) * _EXTRA_ROUNDS
    best = {length: _best_ends(sums, length, grid) for length in set(wanted)}
    value = np.zeros((len(wanted) + 1, len(sums)))
    ends_of: list[Series] = []
    for number, length in enumerate(wanted, start=1):
        here = np.full(len(sums), -np.inf)
        np.maximum.at(here, best[length].end, value[number - 1] + best[length].score)
        ends_of.append(here)
        value[number] = np.maximum(value[number - 1], np.maximum.accumulate(here))
    chosen = np.array(_walk_back(value, ends_of, wanted, best), dtype=np.int64).reshape(-1, 3)
    rhythm = _rhythm_of(asked)
    if rhythm is None or not is_short(rhythm):
        return _without_weak(chosen, sums, len(asked.work_s)) * grid
    if not has_rhythm(series, rhythm):
        spans = _without_weak(chosen, sums, len(asked.work_s)) * grid
        return without_strays(series, levels, spans, rhythm, len(asked.work_s))
    spans = on_rhythm(series, levels, chosen[:, :2] * grid, rhythm)
    spans = without_strays(series, levels, spans, rhythm, len(asked.work_s))
    return without_afterthoughts(series, levels, spans, rhythm, len(asked.work_s))


def _rhythm_of(asked: RoundsAsked) -> Rhythm | None:
    """The one length and rest of a plan's rounds; None where they differ."""
    rests = asked.recovery_s[:-1]
    if len(set(asked.work_s)) > 1 or len(set(rests)) != 1:
        return None
    return Rhythm(asked.work_s[0], rests[0])


def _running_work(series: RoundSeries, levels: Levels, grid: int) -> Series:
    """Work minus rest summed up to each place of the grid."""
    return np.concatenate([[0.0], np.cumsum(work_density(series, levels))])[::grid]


def _best_ends(sums: Series, length_s: int, grid: int) -> _Best:
    shortest = max(1, round(_SHORTEST_FRACTION * length_s / grid))
    longest = max(shortest + 1, round(_LONGEST_FRACTION * length_s / grid))
    padded = np.concatenate([sums, np.full(longest, -np.inf)])
    windows = np.lib.stride_tricks.sliding_window_view(padded, longest + 1)[:, shortest:]
    place = windows.argmax(axis=1)
    score = windows[np.arange(len(sums)), place] - sums
    least = _LEAST_FRACTION * length_s
    end = np.minimum(np.arange(len(sums)) + shortest + place, len(sums) - 1)
    return _Best(end, np.where(score >= least, score, -np.inf))


def _walk_back(
    value: Series, ends_of: list[Series], wanted: tuple[int, ...], best: dict[int, _Best]
) -> list[tuple[int, int, int]]:
    """The chosen rounds from the last to the first, then in order: start, end, place in the plan from 0."""
    found: list[tuple[int, int, int]] = []
    at = value.shape[1] - 1
    for number in range(len(wanted), 0, -1):
        here = value[number, at]
        if here <= value[number - 1, at]:
            continue
        end = int(np.flatnonzero(ends_of[number - 1][: at + 1] >= here)[0])
        one = best[wanted[number - 1]]
        starts = np.flatnonzero(one.end == end)
        start = int(starts[(value[number - 1, starts] + one.score[starts]).argmax()])
        found.append((start, end, number - 1))
        at = start
    return found[::-1]


def _without_weak(chosen: Places, sums: Series, asked: int) -> Places:
    """Start and end of those that stand out like the others; more so for those beyond what was asked."""
    if len(chosen) == 0:
        return chosen[:, :2]
    scores = sums[chosen[:, 1]] - sums[chosen[:, 0]]
    usual = float(np.median(np.sort(scores)[::-1][:asked]))
    rank = np.argsort(np.argsort(-scores, kind="stable"), kind="stable")
    keep = scores >= np.where(rank < asked, _CUT_FRACTION, _EXTRA_FRACTION) * usual
    # The brisk stretches of a warm-up come first and stay below the rounds, second for second.
    height = scores / (chosen[:, 1] - chosen[:, 0])
    keep[: int((height >= _BRISK_HEIGHT * np.median(height)).argmax())] = False
    return chosen[keep][:, :2]


def _nearer(series: RoundSeries, spans: Places) -> Levels:
    """The levels once more, now of the rounds laid and of the rest of what moved."""
    marks = np.zeros(len(series.values), dtype=bool)
    for start, end in spans.tolist():
        marks[start:end] = True
    moving = ~series.is_silent
    work = float(np.median(series.values[marks & moving] if (marks & moving).any() else series.values[marks]))
    easy = float(np.median(series.values[~marks & moving])) if (~marks & moving).any() else 0.0
    return Levels(marks, work, easy, (work + easy) / 2)


@dataclass(frozen=True, slots=True)
class _Likeness:
    """How much the rounds are like those planned: how far off the middle one is, how they scatter; shares."""

    off: float
    spread: float
    #: Share of them about as long as planned.
    near: float
    count: int
    #: Whether they are many short ones in the rhythm of their plan: then noise may spoil the edges of a few.
    is_rhythm: bool

    @property
    def is_by_the_watch(self) -> bool:
        """Whether they are as alike as only a watch makes rounds."""
        is_alike = self.spread <= _BY_THE_WATCH or (self.is_rhythm and self.near >= _NEAR_IN_RHYTHM)
        return self.count > 1 and self.off <= _BY_THE_WATCH and is_alike

    @property
    def is_near(self) -> bool:
        """Whether most are about as long as planned; one in four may be cut short or stretched."""
        return self.near >= _MOST_NEAR


def _likeness(series: RoundSeries, spans: Places, asked: RoundsAsked) -> _Likeness:
    lengths = (spans[:, 1] - spans[:, 0]).astype(float)
    wanted = np.array([asked.work_s[min(n, len(asked.work_s) - 1)] for n in range(len(spans))], dtype=float)
    ratios = lengths / wanted
    off = np.abs(ratios - 1)
    near = float((off <= _LIKE_THE_PLAN).mean())
    is_rhythm = _is_short(series, asked) and len(spans) >= _MANY_SHORT
    return _Likeness(float(np.median(off)), float(ratios.std()), near, len(spans), is_rhythm)


def _against(series: RoundSeries, support: Support, likeness: _Likeness) -> Missing | None:
    """What speaks against the rounds laid, or None."""
    wanted = _CONTRAST[series.signal]
    if support.heart_denies:
        return Missing("heart rate does not rise with what looks like rounds, so the planned rounds were not seen")
    least = wanted.with_heart if support.heart_agrees and likeness.is_by_the_watch else wanted.alone
    if likeness.is_rhythm and likeness.is_by_the_watch and series.ground_speed is not None:
        least = min(least, _ON_WHEELS_IN_RHYTHM)
    if support.contrast < least:
        return Missing("the recording shows no work that stands clear of the easy level as the plan would")
    if likeness.is_by_the_watch or _is_plain_otherwise(series, support, likeness):
        return None
    if series.may_be_hills:
        return Missing("this speed may be hills: the stretches are less alike than a watch makes rounds")
    return Missing("what might be work is hardly above the easy level, and its lengths are not those planned")


def _is_plain_otherwise(series: RoundSeries, support: Support, likeness: _Likeness) -> bool:
    """Rounds that are not alike by the watch: cut short, left out or stretched. They need more to speak for them."""
    wanted = _CONTRAST[series.signal]
    if support.heart_rises_plainly:
        return likeness.is_near or (support.contrast >= wanted.clear and not series.may_be_hills)
    return support.contrast >= wanted.plain and likeness.is_near and not series.may_be_hills


def _found(series: RoundSeries, spans: Places, support: Support, asked: RoundsAsked) -> FoundRounds:
    numbers = _numbers(spans, asked)
    rounds = tuple(
        FoundRound(n, float(start), float(end), number, None if number is None else asked.work_s[number - 1])
        for n, ((start, end), number) in enumerate(zip(spans.tolist(), numbers, strict=True), start=1)
    )
    done = {number for number in numbers if number is not None}
    skipped = tuple(n for n in range(1, len(asked.work_s) + 1) if n not in done)
    is_whole = not skipped and _likeness(series, spans, asked).off <= _SAME_LENGTH
    is_clear = support.contrast >= _CONTRAST[series.signal].clear
    heart_fits = support.heart_rise_bpm is None or support.heart_agrees
    sureness = (Sureness.UNSURE, Sureness.LIKELY, Sureness.LIKELY, Sureness.SURE)[is_whole + is_clear + heart_fits]
    if _is_short(series, asked) and sureness is Sureness.SURE:
        sureness = Sureness.LIKELY
    because = (*support_words(series, support, work_s=max(asked.work_s)), *_differences(rounds, skipped, asked))
    return FoundRounds(rounds, EdgesFrom.PLAN, series.signal, sureness, because, skipped)


def _numbers(spans: Places, asked: RoundsAsked) -> list[int | None]:
    """The round of the plan each span answers: in order; a gap as long as a round and its rests skips one."""
    spare = max(0, len(asked.work_s) - len(spans))
    found: list[int | None] = []
    number = 0
    for row in range(len(spans)):
        number += 1
        if row and spare:
            before = number - 2
            gap = spans[row, 0] - spans[row - 1, 1]
            left_out = asked.recovery_s[before] + 0.8 * (asked.work_s[before] + asked.recovery_s[before])
            if gap > left_out:
                number, spare = number + 1, spare - 1
        found.append(number if number <= len(asked.work_s) else None)
    return found


def _differences(rounds: tuple[FoundRound, ...], skipped: tuple[int, ...], asked: RoundsAsked) -> tuple[str, ...]:
    """What differs from the plan, in sentences."""
    found = [f"round {number} of the plan was not done" for number in skipped]
    extra = sum(1 for one in rounds if one.asked_number is None)
    if extra:
        found.append(f"{extra} more than the plan's {len(asked.work_s)}")
    for one, after in pairwise(rounds):
        rest, wanted = after.start_s - one.end_s, asked.recovery_s[min(one.number, len(asked.recovery_s)) - 1]
        if wanted and rest > 1.25 * wanted and one.asked_number and after.asked_number == one.asked_number + 1:
            found.append(f"the recovery after round {one.number} took {rest:.0f} s in place of {wanted} s")
    return tuple(found)
