"""Each round of a recording as figures: mean and spread, how it began, sagged and ended, the heart, the technique.

All limits of what is worth a word are in execution.py; here are only figures. None stands for not known.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from app.coaching.people import Mode
from app.coaching.recordings import Recording, Series
from app.coaching.rounds_signal import round_series
from app.coaching.rounds_values import FoundRounds, RoundSignal
from app.coaching.session_logs import RoundDone
from app.physiology.values import Missing

FIRST_S = 30
LAST_S = 90
MINUTE_S = 60
#: A last minute is shown from this length on.
_MINUTE_LEAST_S = 20
#: Spread within a round is that of means of so many seconds: shorter is the meter's own noise (house choice).
_SPREAD_MEAN_S = 10
_HEART_END_S = 10
_HEART_FALL_S = 60
#: Less of a round known, and its figures would not be its own (house choice).
_KNOWN_LEAST = 0.8


class Output(StrEnum):
    """What the rounds put out, and in which unit."""

    POWER = "power"
    SPEED = "speed"
    #: Speed as it would have been on the flat for the same effort.
    SPEED_ON_THE_FLAT = "speed_on_the_flat"


OUTPUT_UNITS = {Output.POWER: "W", Output.SPEED: "m/s", Output.SPEED_ON_THE_FLAT: "m/s"}
_OUTPUT_OF = {
    RoundSignal.POWER: Output.POWER,
    RoundSignal.SPEED: Output.SPEED,
    RoundSignal.SPEED_ON_THE_FLAT: Output.SPEED_ON_THE_FLAT,
}


@dataclass(frozen=True, slots=True)
class RoundFigures:
    """One round. Outputs are W or m/s, as the set says; None is not known."""

    number: int
    start_s: float
    end_s: float
    #: The round of the plan it answers, and how long the plan wanted it.
    asked_number: int | None
    asked_s: int | None
    is_complete: bool
    output: float | None = None
    #: Spread of 10-s means about the round's mean, %.
    spread_percent: float | None = None
    #: The first 30 s against the rest of the round, %.
    first_30_percent: float | None = None
    #: Mean of each minute; the last may be shorter.
    minutes: tuple[float, ...] = ()
    #: The third minute against the first two, %.
    third_minute_percent: float | None = None
    #: The fourth minute against the third, %.
    fourth_minute_percent: float | None = None
    #: The last 90 s against what came before, %.
    last_90_percent: float | None = None
    heart_rate_mean_bpm: float | None = None
    heart_rate_end_bpm: float | None = None
    #: Beats lost in the first minute of recovery.
    heart_rate_fall_bpm: float | None = None
    cadence_per_min: float | None = None
    work_j: float | None = None
    distance_m: float | None = None
    effort: float | None = None
    #: Counted by the client in the whole round.
    strokes: int | None = None

    @property
    def duration_s(self) -> float:
        """How long it lasted."""
        return self.end_s - self.start_s


#: A round done to this share of its length is done (common practice, no published source).
DONE_FRACTION = 0.85


def figures_of_rounds(
    recording: Recording, found: FoundRounds, *, mode: Mode | None = None, heart_rate_counts: bool = True
) -> tuple[Output | None, tuple[RoundFigures, ...]]:
    """What the rounds put out, and each with its figures, in order.

    The output is None where only heart rate was recorded. With `heart_rate_counts` False no heart rate is given.
    """
    series = round_series(recording, mode, heart_rate_counts=heart_rate_counts)
    known = None if isinstance(series, Missing) else series
    output = None if known is None else _OUTPUT_OF.get(known.signal)
    values = None if known is None or output is None else np.where(known.is_unknown, np.nan, known.values)
    heart = recording.heart_rate_bpm if heart_rate_counts else None
    is_power = output is Output.POWER
    channels = _Channels(recording, values, heart, is_power=is_power)
    return output, tuple(_one(channels, found, place) for place in range(len(found.rounds)))


def figures_of_log(rounds: Sequence[RoundDone]) -> tuple[Output | None, tuple[RoundFigures, ...]]:
    """The same from rounds typed in: their means, end heart rates, cadences and efforts, one after the other."""
    ordered = sorted(rounds, key=lambda one: one.number)
    by_power = any(one.power_w is not None for one in ordered)
    by_speed = any(one.speed_m_per_s is not None for one in ordered)
    output = Output.POWER if by_power else Output.SPEED if by_speed else None
    found: list[RoundFigures] = []
    start = 0.0
    for one in ordered:
        heart = one.heart_rate_end_bpm
        found.append(
            RoundFigures(
                number=one.number,
                start_s=start,
                end_s=start + one.duration_s,
                asked_number=one.number,
                asked_s=None,
                is_complete=one.is_complete,
                output=one.power_w if by_power else one.speed_m_per_s,
                heart_rate_end_bpm=None if heart is None else float(heart),
                cadence_per_min=one.cadence_per_min,
                effort=one.effort,
                strokes=one.strokes,
            )
        )
        start += one.duration_s
    return output, tuple(found)


def rounds_done(output: Output | None, rounds: Sequence[RoundFigures]) -> tuple[RoundDone, ...]:
    """The rounds as a log keeps them, so that minutes by band, signals and progression read what was recorded."""
    return tuple(
        RoundDone(
            number=one.number,
            duration_s=round(one.duration_s),
            is_complete=one.is_complete,
            power_w=one.output if output is Output.POWER else None,
            speed_m_per_s=one.output if output in (Output.SPEED, Output.SPEED_ON_THE_FLAT) else None,
            heart_rate_end_bpm=None if one.heart_rate_end_bpm is None else round(one.heart_rate_end_bpm),
            cadence_per_min=one.cadence_per_min,
            effort=one.effort,
            heart_rate_mean_bpm=None if one.heart_rate_mean_bpm is None else round(one.heart_rate_mean_bpm),
            strokes=one.strokes,
        )
        for one in rounds
    )


def with_told(rounds: Sequence[RoundFigures], told: Sequence[RoundDone]) -> tuple[RoundFigures, ...]:
    """The same rounds with the efforts and the strokes the client gave, number by number."""
    of = {one.number: one for one in told}
    return tuple(
        replace(one, effort=of[one.number].effort, strokes=of[one.number].strokes) if one.number in of else one
        for one in rounds
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Channels:
    """What a round's figures are taken from."""

    recording: Recording
    values: Series | None
    heart: Series | None
    is_power: bool


def _one(channels: _Channels, found: FoundRounds, place: int) -> RoundFigures:
    recording, values, heart = channels.recording, channels.values, channels.heart
    round_ = found.rounds[place]
    start, end = round(round_.start_s), round(round_.end_s)
    after = round(found.rounds[place + 1].start_s) if place + 1 < len(found.rounds) else len(recording.time_s)
    inside = None if values is None else values[start:end]
    output = None if inside is None else mean_of(inside)
    first, second, third, fourth = (None if inside is None else _minute(inside, n) for n in range(4))
    return RoundFigures(
        number=round_.number,
        start_s=round_.start_s,
        end_s=round_.end_s,
        asked_number=round_.asked_number,
        asked_s=round_.asked_s,
        is_complete=round_.asked_s is None or round_.duration_s >= DONE_FRACTION * round_.asked_s,
        output=output,
        spread_percent=None if inside is None else _spread(inside),
        first_30_percent=None if inside is None else _against(inside[:FIRST_S], inside[FIRST_S:]),
        minutes=() if inside is None else _minutes(inside),
        third_minute_percent=_change(third, None if first is None or second is None else (first + second) / 2),
        fourth_minute_percent=_change(fourth, third),
        last_90_percent=None if inside is None else _against(inside[-LAST_S:], inside[:-LAST_S]),
        heart_rate_mean_bpm=None if heart is None else mean_of(heart[start:end]),
        heart_rate_end_bpm=None if heart is None else mean_of(heart[max(start, end - _HEART_END_S) : end]),
        heart_rate_fall_bpm=_fall(heart, end, after),
        cadence_per_min=None if recording.cadence_per_min is None else mean_of(recording.cadence_per_min[start:end]),
        work_j=output * (end - start) if channels.is_power and output is not None else None,
        distance_m=_distance(recording, start, end),
    )


def mean_of(values: Series) -> float | None:
    """The mean of what is known; None where too little is."""
    known = np.isfinite(values)
    if len(values) == 0 or known.mean() < _KNOWN_LEAST:
        return None
    return float(values[known].mean())


def _against(part: Series, rest: Series) -> float | None:
    if len(part) < FIRST_S or len(rest) < FIRST_S:
        return None
    return _change(mean_of(part), mean_of(rest))


def _change(value: float | None, against: float | None) -> float | None:
    if value is None or against is None or against <= 0:
        return None
    return 100 * (value / against - 1)


def _minute(values: Series, number: int) -> float | None:
    part = values[MINUTE_S * number : MINUTE_S * (number + 1)]
    return mean_of(part) if len(part) >= _MINUTE_LEAST_S else None


def _minutes(values: Series) -> tuple[float, ...]:
    means = [_minute(values, number) for number in range(-(-len(values) // MINUTE_S))]
    known: list[float] = []
    for one in means:
        if one is None:
            break
        known.append(one)
    return tuple(known)


def _spread(values: Series) -> float | None:
    whole = len(values) // _SPREAD_MEAN_S
    mean = mean_of(values)
    if whole < 3 or not mean:
        return None
    parts = [mean_of(part) for part in np.split(values[: whole * _SPREAD_MEAN_S], whole)]
    known = [part for part in parts if part is not None]
    return 100 * float(np.std(known, ddof=1)) / mean if len(known) >= 3 else None


def _fall(heart: Series | None, end: int, after: int) -> float | None:
    """Beats from the end of the round to a minute later; None when the next round began before."""
    if heart is None or after - end < _HEART_FALL_S or end + _HEART_FALL_S > len(heart):
        return None
    at_end = mean_of(heart[max(0, end - _HEART_END_S) : end])
    later = mean_of(heart[end + _HEART_FALL_S - _HEART_END_S : end + _HEART_FALL_S])
    return None if at_end is None or later is None else at_end - later


def _distance(recording: Recording, start: int, end: int) -> float | None:
    if recording.distance_m is not None:
        known = recording.distance_m[start:end]
        known = known[np.isfinite(known)]
        if len(known) >= 2:
            return float(known[-1] - known[0]) * (end - start) / max(1, end - start - 1)
    if recording.speed_m_per_s is None:
        return None
    speed = mean_of(recording.speed_m_per_s[start:end])
    return None if speed is None else speed * (end - start)
