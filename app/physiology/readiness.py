"""The arithmetic of readiness: two sums of opposite direction, one's own baseline, resting heart rate, ln RMSSD."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.physiology.values import Missing, OutOfRange, WrongLength, check_range

FEWEST_BASELINE_DAYS = 14
#: Valid mornings a week for a weekly mean ([plews2014], triathletes).
FEWEST_MORNINGS = 3
HEART_RATE_BASELINE_DAYS = 28
#: Half of the band on each side of the baseline, in standard deviations; from memory.
BAND_HALF_WIDTH_SD = 0.5
_HIGHEST_LN_RMSSD = math.log(500)
_TWO_SUMS = "an item is missing, and a sum without it is another index"


@dataclass(frozen=True, slots=True)
class Range:
    """From where to where someone's own values usually lie."""

    low: float
    high: float


def hooper_index_1995(
    *, sleep: int | None, fatigue: int | None, stress: int | None, soreness: int | None
) -> int | Missing:
    """The four-item index: sleep, fatigue, stress and soreness added; higher is worse.

    sleep: rating, no unit, 1 (very, very good) to 7 (very, very bad).
    fatigue: rating, no unit, 1 (very, very low) to 7 (very, very high).
    stress: rating, no unit, 1 (very, very low) to 7 (very, very high).
    soreness: rating, no unit, 1 (very, very low) to 7 (very, very high).
    Returns: sum, points, 4 to 28, higher is worse; Missing when an item is.
    Raises: OutOfRange outside these limits.
    Limits: against one's own baseline; cut-offs found elsewhere are unsupported. Never merged with the other sum.
    Error: not found.
    Source: [hooper1995]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic Hooper index.
    """
    items = (sleep, fatigue, stress, soreness)
    known = [item for item in items if item is not None]
    for item in known:
        check_range("A rating", item, 1, 7)
    return Missing(_TWO_SUMS) if len(known) < len(items) else sum(known)


def wellness_mclean_2010(
    *,
    fatigue: float | None,
    sleep: float | None,
    soreness: float | None,
    stress: float | None,
    mood: float | None,
) -> float | Missing:
    """The five-item sum of wellness; higher is better, the opposite of the four-item index.

    fatigue: rating, no unit, 1 (always tired) to 5 (very fresh), half steps.
    sleep: rating, no unit, 1 (no sleep) to 5 (very restful), half steps.
    soreness: rating, no unit, 1 (very sore) to 5 (feeling great), half steps.
    stress: rating, no unit, 1 (highly stressed) to 5 (very relaxed), half steps.
    mood: rating, no unit, 1 (very bad) to 5 (very good), half steps.
    Returns: sum, points, 5 to 25, higher is better; Missing when an item is.
    Raises: OutOfRange outside these limits or between half steps.
    Limits: against one's own baseline. Never merged with the four-item index.
    Error: not found.
    Source: [mclean2010]; published, second-hand, half steps from memory.
    Checked in tests/reference/load_intervals_readiness.csv, topic wellness score.
    """
    items = (fatigue, sleep, soreness, stress, mood)
    known = [item for item in items if item is not None]
    for item in known:
        check_range("A rating", item, 1, 5)
        if (2 * item) % 1:
            raise OutOfRange("A rating goes in half steps.")
    return Missing(_TWO_SUMS) if len(known) < len(items) else math.fsum(known)


def own_baseline_z(*, baseline: Sequence[float], today: float) -> float | Missing:
    """How unusual today is for this person: its distance from their mean in their own standard deviations.

    baseline: earlier values of the same person, in the unit of the value, 14 or more.
    today: today's value, in the unit of the value, -1000000 to 1000000.
    Returns: distance from the own mean, SD; Missing with fewer than 14 values or when all are equal.
    Raises: OutOfRange for a value that is no finite number.
    Limits: one person, one index; its sign follows the direction of that index.
    Error: with 14 days the standard deviation itself is known to about 20 %.
    Source: definition with sample spread; 14 days are a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic individual z-score.
    """
    for value in (*baseline, today):
        check_range("Each value", value, -1e6, 1e6)
    if len(baseline) < FEWEST_BASELINE_DAYS:
        return Missing(f"{FEWEST_BASELINE_DAYS} earlier days are needed; there are {len(baseline)}")
    if max(baseline) == min(baseline):
        return Missing("all earlier days are equal, so nothing says what is unusual")
    return (today - statistics.fmean(baseline)) / statistics.stdev(baseline)


def resting_heart_rate_change_bpm(*, baseline_bpm: Sequence[float], today_bpm: float) -> float | Missing:
    """How far resting heart rate lies from the person's own mean.

    baseline_bpm: at least 14 earlier mornings, beats/min, 25 to 120.
    today_bpm: this morning, beats/min, 25 to 120.
    Returns: change, beats/min; Missing with fewer than 14 mornings.
    Raises: OutOfRange outside these limits.
    Limits: too small an effect to use alone: overload of up to two weeks raises it by 0.55 SD, longer not at all.
    Error: not found; an alarm at 5 to 10 beats is common practice only.
    Source: [bosquet2008]; 14 mornings are a house choice.
    Checked in tests/physiology/test_readiness.py, by hand.
    """
    for rate in (*baseline_bpm, today_bpm):
        check_range("Resting heart rate", rate, 25, 120, "beats/min")
    if len(baseline_bpm) < FEWEST_BASELINE_DAYS:
        return Missing(f"{FEWEST_BASELINE_DAYS} earlier mornings are needed; there are {len(baseline_bpm)}")
    return today_bpm - statistics.fmean(baseline_bpm)


def rmssd_task_force_1996(*, rr_intervals_ms: npt.ArrayLike) -> float | Missing:
    """Root of the mean squared difference from one heartbeat interval to the next.

    rr_intervals_ms: intervals in order, ms, 250 to 3000, cleaned of extra beats.
    Returns: RMSSD, ms; Missing with fewer than two intervals.
    Raises: OutOfRange outside these limits.
    Limits: sinus rhythm at rest; not in atrial fibrillation, with a pacemaker or many extra beats.
    Error: not found.
    Source: [task_force1996]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic RMSSD.
    """
    intervals = np.asarray(rr_intervals_ms, dtype=float)
    if not np.all((intervals >= 250) & (intervals <= 3000)):
        raise OutOfRange("Heartbeat intervals must be from 250 to 3000 ms.")
    if intervals.size < 2:
        return Missing("one interval has no difference to the next")
    return float(np.sqrt(np.mean(np.diff(intervals) ** 2)))


def ln_rmssd(*, rmssd_ms: float) -> float:
    """The natural logarithm of RMSSD, the form in which it is averaged.

    rmssd_ms: RMSSD, ms, 1 to 500.
    Returns: ln RMSSD, ln ms.
    Raises: OutOfRange outside these limits.
    Limits: average the logarithms, never RMSSD itself.
    Error: that of RMSSD.
    Source: definition, of [task_force1996]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic lnRMSSD.
    """
    check_range("RMSSD", rmssd_ms, 1, 500, "ms")
    return math.log(rmssd_ms)


def ln_rmssd_week_mean_plews_2014(*, mornings_ln_ms: Sequence[float | None]) -> float | Missing:
    """Mean of ln RMSSD over the last seven mornings, from at least three valid ones.

    mornings_ln_ms: up to seven mornings in order, ln ms, 0 to 6.21; none where there was no valid one.
    Returns: mean, ln ms; Missing with fewer than three valid mornings.
    Raises: OutOfRange outside these limits; WrongLength for more than seven.
    Limits: three a week was found in triathletes; team sport was advised five.
    Error: not found.
    Source: [plews2014].
    Checked in tests/reference/load_intervals_readiness.csv, topic 7-day mean.
    """
    if len(mornings_ln_ms) > 7:
        raise WrongLength("A week has seven mornings.")
    valid = _valid(mornings_ln_ms)
    if len(valid) < FEWEST_MORNINGS:
        return Missing(f"{FEWEST_MORNINGS} valid mornings are needed; there are {len(valid)}")
    return statistics.fmean(valid)


def mean_ln_rmssd(*, rmssd_ms: Sequence[float]) -> float:
    """The mean of the logarithms of several RMSSD values, which is not the logarithm of their mean.

    rmssd_ms: one or more values, ms, 1 to 500.
    Returns: mean ln RMSSD, ln ms.
    Raises: OutOfRange outside these limits; WrongLength without values.
    Limits: values of one person.
    Error: that of RMSSD.
    Source: definition, of [task_force1996]; from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic mean of logs.
    """
    if not rmssd_ms:
        raise WrongLength("A mean needs at least one value.")
    return statistics.fmean(ln_rmssd(rmssd_ms=value) for value in rmssd_ms)


def ln_rmssd_range_javaloyes_2019(*, baseline_ln_ms: Sequence[float | None]) -> Range | Missing:
    """The person's own usual range of ln RMSSD: baseline mean, half a standard deviation to each side.

    baseline_ln_ms: the 28 mornings of the baseline, ln ms, 0 to 6.21; none where there was no valid one.
    Returns: low and high end, ln ms; Missing unless each of the four weeks has three valid mornings.
    Raises: OutOfRange outside these limits; WrongLength unless 28 mornings.
    Limits: compare the weekly mean, not one morning; far above the range is not automatically good.
    Error: not found.
    Source: [javaloyes2019], [vesterinen2016]; the width of half an SD is from memory, unchecked.
    Checked in tests/reference/load_intervals_readiness.csv, topic normal range lower.
    """
    if len(baseline_ln_ms) != HEART_RATE_BASELINE_DAYS:
        raise WrongLength(f"The baseline has {HEART_RATE_BASELINE_DAYS} mornings.")
    weeks = [_valid(baseline_ln_ms[start : start + 7]) for start in range(0, HEART_RATE_BASELINE_DAYS, 7)]
    if min(len(week) for week in weeks) < FEWEST_MORNINGS:
        return Missing(f"a week of the baseline has fewer than {FEWEST_MORNINGS} valid mornings")
    valid = [value for week in weeks for value in week]
    mean, half = statistics.fmean(valid), BAND_HALF_WIDTH_SD * statistics.stdev(valid)
    return Range(mean - half, mean + half)


def _valid(mornings_ln_ms: Sequence[float | None]) -> list[float]:
    valid = [value for value in mornings_ln_ms if value is not None]
    for value in valid:
        check_range("ln RMSSD", value, 0, _HIGHEST_LN_RMSSD + 0.01, "ln ms")
    return valid
