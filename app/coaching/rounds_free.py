"""Rounds found without a plan: spans of work that are alike, stand clear of the easy level, and lift the heart."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from app.coaching.change_points import Places
from app.coaching.rounds_levels import Levels, levels_of, sharpened, spans_of_work
from app.coaching.rounds_rhythm import has_rhythm, on_rhythm, rhythm_of
from app.coaching.rounds_signal import RoundSeries
from app.coaching.rounds_support import Support, alike, support_of, support_words
from app.coaching.rounds_values import (
    BY_SPEED,
    SHORT_BY_SPEED_S,
    EdgesFrom,
    FoundRound,
    FoundRounds,
    RoundSignal,
    Sureness,
)
from app.physiology.values import Missing

#: Shorter is a surge, not a round; longer is a ride (house choices).
SHORTEST_S = 15
LONGEST_S = 1000
#: A set needs so much before its first round, where nothing but its level and lengths speaks (house choice).
_LEAD_IN_S = 60
FEWEST = 2
#: A longer rest ends a set (house choice).
_LONGEST_REST_S = 900
_EXPLAINED_LEAST = 0.6
#: A heart blurs shorter rounds, and stops on the road are shorter than such rests (house choices).
_HEART_ROUND_S = 90
_HEART_REST_S = 95
#: A brisk stretch of the warm-up stays this far below the rounds' height over the easy level (house choice).
_BRISK_FRACTION = 0.8
_NO_PAIR = Missing("no two stretches of work are alike enough to be rounds")


@dataclass(frozen=True, slots=True)
class _Wanted:
    """What a set must show: work over easy (beats apart for heart rate) and how alike in length its rounds are."""

    contrast: float
    length_spread: float


#: Chosen so that no easy session of the ground truth shows a round (house choices, docs/proof.md): where the heart
#: agrees, less contrast is enough; where only speed speaks, rounds must be as alike as a watch makes them.
_WITH_HEART = {
    RoundSignal.POWER: _Wanted(1.25, 0.12),
    RoundSignal.SPEED: _Wanted(1.2, 0.12),
    RoundSignal.SPEED_ON_THE_FLAT: _Wanted(1.2, 0.12),
}
_ALONE = {
    RoundSignal.POWER: _Wanted(1.35, 0.1),
    RoundSignal.SPEED: _Wanted(1.3, 0.05),
    RoundSignal.SPEED_ON_THE_FLAT: _Wanted(1.3, 0.06),
    RoundSignal.HEART_RATE: _Wanted(28.0, 0.12),
}
#: As alike in length as only a watch makes rounds (house choice).
_BY_THE_WATCH = 0.05
#: Two stretches alone may be alike by chance: they need this much contrast (house choice).
_PAIR_CONTRAST = {
    RoundSignal.POWER: 1.35,
    RoundSignal.SPEED: 1.3,
    RoundSignal.SPEED_ON_THE_FLAT: 1.3,
    RoundSignal.HEART_RATE: 32.0,
}
#: Or this rise of heart rate over a round; then lengths may differ more, too (house choices).
_HARD_RISE_BPM = 30.0
_HARD_LENGTH_SPREAD = 0.2
#: So clear that it needs nothing beside it.
_PLAIN = {
    RoundSignal.POWER: 1.5,
    RoundSignal.SPEED: 1.45,
    RoundSignal.SPEED_ON_THE_FLAT: 1.4,
    RoundSignal.HEART_RATE: 40.0,
}


def rounds_without_plan(series: RoundSeries) -> FoundRounds | Missing:
    """The rounds of a recording of which nobody said what was planned; Missing with the reason without any."""
    levels = levels_of(series)
    if isinstance(levels, Missing):
        return levels
    spans, chosen = _spans(series, levels)
    chosen = _without_brisk_start(series, levels, spans, chosen)
    if len(chosen) < FEWEST:
        return _NO_PAIR
    # The level of the rounds themselves tells better than all work together, brisk warm-ups included.
    work = float(np.median(np.concatenate([series.values[a:b] for a, b in spans[chosen].tolist()])))
    levels = replace(levels, work=work)
    spans, chosen = _on_rhythm(series, levels, spans, chosen)
    spans = sharpened(series, spans)
    support = support_of(series, levels, spans, chosen)
    against = _against(series, support)
    if against is not None:
        return against
    rounds = tuple(
        FoundRound(number, float(start), float(end))
        for number, (start, end) in enumerate(spans[chosen].tolist(), start=1)
    )
    is_plain = support.contrast >= _PLAIN[series.signal] and (support.heart_rise_bpm is None or support.heart_agrees)
    is_short = series.signal in BY_SPEED and support.longest_s < SHORT_BY_SPEED_S
    sureness = Sureness.SURE if is_plain and not is_short else Sureness.LIKELY
    return FoundRounds(rounds, EdgesFrom.RECORDING, series.signal, sureness, support_words(series, support))


def _spans(series: RoundSeries, levels: Levels) -> tuple[Places, Places]:
    spans = spans_of_work(series, levels)
    spans = spans[spans[:, 1] - spans[:, 0] >= SHORTEST_S]
    return spans, alike(spans)


def _on_rhythm(series: RoundSeries, levels: Levels, spans: Places, chosen: Places) -> tuple[Places, Places]:
    """Short rounds by speed with those that noise hid between them; everything else as it is."""
    rounds = spans[chosen]
    rhythm = rhythm_of(rounds)
    if rhythm is None or not has_rhythm(series, rhythm):
        return spans, chosen
    laid = on_rhythm(series, levels, rounds, rhythm)
    others = [one for one in spans.tolist() if not np.any((laid[:, 0] < one[1]) & (laid[:, 1] > one[0]))]
    together = np.array(sorted([*laid.tolist(), *others]), dtype=np.int64)
    return together, np.flatnonzero(np.isin(together[:, 0], laid[:, 0]))


def _without_brisk_start(series: RoundSeries, levels: Levels, spans: Places, chosen: Places) -> Places:
    """Those chosen without the first ones that stay below the others: the brisk part of a warm-up."""
    if len(chosen) == 0:
        return chosen
    heights = np.array([float(np.median(series.values[a:b])) for a, b in spans[chosen].tolist()]) - levels.easy
    is_full = heights >= _BRISK_FRACTION * float(np.median(heights))
    return chosen[int(is_full.argmax()) :]


def _against(series: RoundSeries, support: Support) -> Missing | None:
    """What speaks against a set, or None."""
    if series.is_ride and series.signal in BY_SPEED and support.heart_rise_bpm is None:
        return Missing("the speed of a ride without power or heart rate says too little: hills and wind make it")
    if support.heart_denies:
        return Missing("heart rate does not rise with what looks like rounds, so they are hills, wind or stops")
    if support.explained < _EXPLAINED_LEAST or support.longest_s > LONGEST_S:
        return Missing("work is spread over stretches of all lengths, which is not a set of rounds")
    if support.longest_rest_s > _LONGEST_REST_S:
        return Missing("the stretches of work lie too far apart to be a set of rounds")
    is_power = series.signal is RoundSignal.POWER
    if support.first_s < _LEAD_IN_S and not (support.heart_agrees or is_power):
        return Missing("work begins with the recording, without any easy going before it")
    is_heart = series.signal is RoundSignal.HEART_RATE
    if is_heart and (support.shortest_s < _HEART_ROUND_S or support.shortest_rest_s < _HEART_REST_S):
        return Missing("heart rate alone cannot show rounds or rests as short as these")
    return _against_level_and_lengths(series, support)


def _against_level_and_lengths(series: RoundSeries, support: Support) -> Missing | None:
    wanted = _WITH_HEART[series.signal] if support.heart_agrees else _ALONE[series.signal]
    if support.contrast < wanted.contrast:
        return Missing("what might be work is hardly above the easy level")
    is_hard_on_the_heart = (support.heart_rise_bpm or 0.0) >= _HARD_RISE_BPM
    is_too_little = series.may_be_hills or support.contrast < _PAIR_CONTRAST[series.signal]
    if support.count == FEWEST and is_too_little and not is_hard_on_the_heart:
        return Missing("two stretches alike in length are too few to be sure of at so little above the easy level")
    if series.is_ride and series.signal in BY_SPEED and not is_hard_on_the_heart:
        return Missing("on wheels heart rate must rise plainly with the rounds: hills and wind make speed alone")
    if series.may_be_hills and not support.heart_rises_plainly and support.length_spread > _BY_THE_WATCH:
        return Missing("this speed may be hills: the stretches are less alike than a watch makes rounds")
    if support.length_spread > (_HARD_LENGTH_SPREAD if is_hard_on_the_heart else wanted.length_spread):
        return Missing("the stretches of work differ too much in length to be a set of rounds")
    return None
