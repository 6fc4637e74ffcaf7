"""The one series that rounds are read from: power before speed before heart rate, cleaned, set right for slopes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.coaching.change_points import moving_mean, moving_median, moving_slope
from app.coaching.flat_speed import flat_speed_on_foot, flat_speed_on_wheels
from app.coaching.people import Mode
from app.coaching.recordings import Recording, Series
from app.coaching.rounds_values import BY_SPEED, SHORT_BY_SPEED_S, RoundSignal
from app.physiology.gradient_cost import STEEPEST
from app.physiology.values import Missing

Marks = npt.NDArray[np.bool_]

#: A channel known for less than this share of the time is no channel to read rounds from (house choice).
KNOWN_LEAST = 0.6
#: Slower is standing (house choice).
STANDING_M_PER_S = 0.5
#: Below this a pedal turns without pushing.
COASTING_W = 10.0
#: Satellites and scales jump for a few seconds at most; rounds are longer (house choice).
_MEDIAN_S = 5
_SETTING_OFF_S = 6
#: Zero for at most so long is a lost sample, not a rest (house choice).
_LOST_S = 8
#: Nobody told the sport: moving faster than this as a rule is riding (house choice).
_RIDING_M_PER_S = 4.5
#: A hill is seen over so many seconds; shorter, the altitude's own noise makes slopes (house choice).
_SLOPE_REACH_S = 15
_ALTITUDE_MEAN_S = 15
#: On wheels rounds planned this short are lost in so long a look; a shorter one sees them through more noise.
_SHORT_SLOPE_REACH_S = 4
_SHORT_ALTITUDE_MEAN_S = 5
#: Less of the road than this sloped, and the correction would only add noise (house choice).
_HILLY = 0.015
#: A heart follows effort with about this time constant ([george2018] gives 41-44 s for any age; 38 s is used here).
HEART_TAU_S = 38.0
_HEART_SLOPE_S = 21

_WHEELS = frozenset({Mode.RIDE, Mode.INDOOR_RIDE})


@dataclass(frozen=True, slots=True, eq=False)
class RoundSeries:
    """The series, gaps filled with a straight line, and where it says nothing about effort."""

    signal: RoundSignal
    values: Series
    #: Gaps, standing, coasting: time that is neither work nor easy work.
    is_silent: Marks
    #: Of the silent seconds, those of which nothing is known at all.
    is_unknown: Marks
    #: Heart rate beside it, gaps filled; None without.
    heart_rate_bpm: Series | None
    is_ride: bool
    #: Whether hills may be what changes it: a speed without altitude, or on wheels.
    may_be_hills: bool = False
    #: Speed over the ground, where hills were set right on wheels: it changes at once where a hill begins.
    ground_speed: Series | None = None
    #: Whether slopes were looked at closely, for the short rounds of a plan on wheels.
    is_close: bool = False

    @property
    def needs_rhythm(self) -> bool:
        """Whether short rounds in it are told from noise by their rhythm as much as by their level."""
        return self.signal in BY_SPEED and (self.is_close or not self.is_ride)


def round_series(
    recording: Recording, mode: Mode | None, *, heart_rate_counts: bool = True, longest_work_s: int | None = None
) -> RoundSeries | Missing:
    """The series to read rounds from.

    Power before speed before heart rate; speed is set right for the slope where it is hilly and the altitude known.
    `heart_rate_counts` is False for a client whose heart rate is not reliable; `longest_work_s` is of the plan.
    """
    if len(recording.time_s) < 2:
        return Missing("this recording has no length")
    heart = _usable(recording.heart_rate_bpm) if heart_rate_counts else None
    beside = None if heart is None else filled(heart)
    speed = _usable(recording.speed_m_per_s)
    is_ride = _is_ride(speed, mode)
    power = _usable(recording.power_w)
    if power is not None:
        return _by_power(_without_zero_drops(power, recording.cadence_per_min), speed, beside, is_ride=is_ride)
    if speed is not None:
        is_short = is_ride and longest_work_s is not None and longest_work_s < SHORT_BY_SPEED_S
        return _by_speed(recording, speed, beside, is_ride=is_ride, is_short=is_short)
    if heart is not None:
        return _by_heart_rate(heart, is_ride=is_ride)
    return Missing("no channel of this recording is known well enough to see rounds: power, speed or heart rate")


def filled(values: Series) -> Series:
    """The same series with its gaps bridged by straight lines."""
    known = np.isfinite(values)
    places = np.arange(len(values))
    return np.interp(places, places[known], values[known])


def _without_zero_drops(power: Series, cadence: Series | None) -> Series:
    """Power without zeros of a few seconds, which are lost samples, unless the pedals stood still as well."""
    zero = power <= 0
    if cadence is not None:
        zero &= ~(cadence <= 0)
    found = power.copy()
    for start, end in runs_of(zero).tolist():
        if end - start <= _LOST_S:
            found[start:end] = np.nan
    return found


def runs_of(marks: Marks) -> npt.NDArray[np.int64]:
    """Beginning and end of each run of marked seconds, two columns."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], marks, [False]]).astype(np.int8)))
    return edges.reshape(-1, 2)


def _usable(values: Series | None) -> Series | None:
    if values is None or np.isfinite(values).mean() < KNOWN_LEAST or np.nanmax(values) <= 0:
        return None
    return values


def _by_power(power: Series, speed: Series | None, heart: Series | None, *, is_ride: bool) -> RoundSeries:
    unknown = _long_gaps(power)
    smooth = moving_median(filled(power), _MEDIAN_S)
    silent = unknown | (smooth < COASTING_W)
    if speed is not None:
        silent |= moving_median(filled(speed), _MEDIAN_S) < STANDING_M_PER_S
    return RoundSeries(RoundSignal.POWER, smooth, silent, unknown, heart, is_ride)


def _by_speed(
    recording: Recording, speed: Series, heart: Series | None, *, is_ride: bool, is_short: bool
) -> RoundSeries:
    unknown = _long_gaps(speed)
    smooth = moving_median(filled(speed), _MEDIAN_S)
    silent = unknown | (smooth < STANDING_M_PER_S)
    reach, mean = (_SHORT_SLOPE_REACH_S, _SHORT_ALTITUDE_MEAN_S) if is_short else (_SLOPE_REACH_S, _ALTITUDE_MEAN_S)
    slope = _slope(recording, smooth, reach_s=reach, mean_s=mean)
    if slope is None or float(np.abs(slope[~silent]).mean() if (~silent).any() else 0.0) < _HILLY:
        may_be_hills = slope is None or is_ride
        return RoundSeries(
            RoundSignal.SPEED, smooth, silent, unknown, heart, is_ride, may_be_hills, is_close=is_short
        )
    flat = flat_speed_on_wheels(smooth, slope) if is_ride else flat_speed_on_foot(smooth, slope)
    # On wheels the hill may do all the work: that is coasting, and says nothing about effort.
    silent |= flat < STANDING_M_PER_S
    ground = filled(np.where(_beside(smooth < STANDING_M_PER_S), np.nan, smooth)) if is_ride else None
    return RoundSeries(
        RoundSignal.SPEED_ON_THE_FLAT, flat, silent, unknown, heart, is_ride, is_ride, ground, is_short
    )


def _beside(marks: Marks) -> Marks:
    """Marked seconds and those beside them, in which somebody slows down to stand or sets off."""
    return np.asarray(moving_mean(marks.astype(float), 2 * _SETTING_OFF_S + 1) > 1e-9)


def _by_heart_rate(heart: Series, *, is_ride: bool) -> RoundSeries:
    """What the heart was on its way to: rate + time constant x slope, so that edges stand where effort changed."""
    unknown = _long_gaps(heart)
    smooth = moving_median(filled(heart), _MEDIAN_S)
    driven = moving_mean(smooth, _HEART_SLOPE_S) + HEART_TAU_S * moving_slope(smooth, _HEART_SLOPE_S)
    return RoundSeries(RoundSignal.HEART_RATE, driven, unknown, unknown, filled(heart), is_ride)


def _slope(recording: Recording, speed: Series, *, reach_s: int, mean_s: int) -> Series | None:
    """Rise over run along the way; None where the altitude is not known well enough."""
    altitude = _usable(None if recording.altitude_m is None else recording.altitude_m + 1000.0)
    if altitude is None:
        return None
    height = moving_mean(filled(altitude), mean_s)
    rise = moving_slope(height, 2 * reach_s + 1)
    run = moving_mean(speed, 2 * reach_s + 1)
    return np.clip(np.divide(rise, run, out=np.zeros_like(rise), where=run > STANDING_M_PER_S), -STEEPEST, STEEPEST)


def _long_gaps(values: Series, shortest_s: int = 10) -> Marks:
    """Unknown seconds in a row of at least so many; shorter gaps are bridged."""
    found = np.zeros(len(values), dtype=bool)
    for start, end in runs_of(~np.isfinite(values)).tolist():
        found[start:end] = end - start >= shortest_s
    return found


def moves_like_a_ride(speed_m_per_s: Series | None) -> bool:
    """Whether a speed is a ride's, where nobody said; False without one."""
    if speed_m_per_s is None:
        return False
    moving = speed_m_per_s[np.isfinite(speed_m_per_s) & (speed_m_per_s > STANDING_M_PER_S)]
    return len(moving) > 0 and float(np.median(moving)) > _RIDING_M_PER_S


def _is_ride(speed: Series | None, mode: Mode | None) -> bool:
    return moves_like_a_ride(speed) if mode is None else mode in _WHEELS
