"""This week compared with the last weeks, by rolling and exponential averages, and what is said against it."""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from app.physiology.load import HIGHEST_LOAD_AU, known_days
from app.physiology.values import Missing, WrongLength, check_range

ACUTE_DAYS = 7
CHRONIC_DAYS = 28
LONGEST_WINDOW_DAYS = 365
SPIKE_DAYS = 30
_NO_BASE = Missing("no recent base to compare with")


@dataclass(frozen=True, slots=True)
class Criticism:
    """One published objection to dividing acute by chronic load, with its source."""

    sentence: str
    source: str


#: Shown beside every ratio. The sentences are ours, the figures are the papers'.
CRITICISM = (
    Criticism(
        "The week is part of both sides of the ratio: by arithmetic alone they correlate 0.5 (0.52 when simulated).",
        "lolli2019",
    ),
    Criticism(
        "Dividing by one fixed number foretold injury about as well: odds ratio 1.95 against 2.45, and the ratio"
        " told injured from uninjured little better than chance (0.574, where 0.5 is chance).",
        "impellizzeri2021",
    ),
    Criticism(
        "In 5205 runners a higher weekly ratio did not go with more injuries; a single run longer than the longest"
        " of the last 30 days did.",
        "frandsen2025",
    ),
)
#: Hazard rate ratio of one run by how far it passed the longest of 30 days ([frandsen2025], 5205 runners).
SINGLE_RUN_HAZARDS = ((10.0, 1.64), (30.0, 1.52), (100.0, 2.28))


def acute_against_chronic_coupled_windt_2019(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Mean load of the last 7 days divided by that of the last 28, the 7 among them.

    daily_load_au: at least 28 days in order, the last one today, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: ratio, no unit, at most 4; Missing with an unknown day, with fewer days, or without load.
    Raises: OutOfRange for a load outside these limits.
    Limits: a description; no safe range and no chance of injury follows from it. See CRITICISM.
    Error: that of the loads on both sides, 28.1 % each in recreational people [wallace2014].
    Source: [windt2019]; criticism [lolli2019], [impellizzeri2021].
    Checked in tests/reference/load_intervals_readiness.csv, topic ACWR rolling coupled.
    """
    days = _last_days(daily_load_au)
    if isinstance(days, Missing):
        return days
    chronic = statistics.fmean(days)
    return _NO_BASE if chronic == 0 else statistics.fmean(days[-ACUTE_DAYS:]) / chronic


def acute_against_chronic_uncoupled_windt_2019(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Mean load of the last 7 days divided by that of the 21 days before.

    daily_load_au: at least 28 days in order, the last one today, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: ratio, no unit; Missing with an unknown day, with fewer days, or when the 21 days hold no load.
    Raises: OutOfRange for a load outside these limits.
    Limits: a description; no safe range and no chance of injury follows from it. See CRITICISM.
    Error: that of the loads on both sides, 28.1 % each in recreational people [wallace2014].
    Source: [windt2019]; criticism [impellizzeri2021].
    Checked in tests/reference/load_intervals_readiness.csv, topic ACWR rolling uncoupled.
    """
    days = _last_days(daily_load_au)
    if isinstance(days, Missing):
        return days
    before = statistics.fmean(days[:-ACUTE_DAYS])
    return _NO_BASE if before == 0 else statistics.fmean(days[-ACUTE_DAYS:]) / before


def coupled_from_uncoupled_lolli_2019(*, uncoupled: float) -> float:
    """The coupled ratio that belongs to an uncoupled one: 4 r / (r + 3).

    uncoupled: last 7 days against the 21 before, no unit, 0 to 1000.
    Returns: last 7 days against the last 28, no unit, below 4.
    Raises: OutOfRange outside these limits.
    Limits: 7 and 28 days.
    Error: none; algebra.
    Source: [lolli2019], [windt2019].
    Checked in tests/reference/load_intervals_readiness.csv, topic coupled from uncoupled.
    """
    check_range("The ratio", uncoupled, 0, 1000)
    return 4 * uncoupled / (uncoupled + 3)


def exponential_weight_williams_2017(*, days: float) -> float:
    """The weight of today in an exponential average named after a number of days: 2 / (N + 1).

    days: N, d, 1 to 365.
    Returns: weight, no unit, 0 to 1.
    Raises: OutOfRange outside these limits.
    Limits: daily values.
    Error: none; a definition.
    Source: [williams2017].
    Checked in tests/reference/load_intervals_readiness.csv, topic EWMA decay.
    """
    check_range("The days", days, 1, LONGEST_WINDOW_DAYS, "days")
    return 2 / (days + 1)


def exponential_half_life_days(*, days: float) -> float:
    """How long a day's load takes to count half in an exponential average named after N days.

    days: N, d, above 1 to 365.
    Returns: half-life, d.
    Raises: OutOfRange outside these limits.
    Limits: daily values.
    Error: none; algebra.
    Source: computed from [williams2017].
    Checked in tests/reference/load_intervals_readiness.csv, topic EWMA half-life.
    """
    check_range("The days", days, 1.001, LONGEST_WINDOW_DAYS, "days")
    return math.log(0.5) / math.log1p(-exponential_weight_williams_2017(days=days))


def exponential_average_williams_2017(*, daily_load_au: Sequence[float | None], days: float) -> float | Missing:
    """Exponential average of daily load up to the last day, started at the first day's load.

    daily_load_au: days in order, AU, 0 to 20000; rest days 0, unknown days none.
    days: N of the weight 2 / (N + 1), d, 1 to 365.
    Returns: average, AU a day; Missing with an unknown day.
    Raises: OutOfRange outside these limits; WrongLength without days.
    Limits: hide it until N days are known; the first day weighs too much before.
    Error: that of the loads, 28.1 % each in recreational people [wallace2014].
    Source: [williams2017]; the start at the first day's load is a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic EWMA series.
    """
    if not daily_load_au:
        raise WrongLength("An average needs at least one day.")
    weight = exponential_weight_williams_2017(days=days)
    known = known_days(daily_load_au)
    if isinstance(known, Missing):
        return known
    average = known[0]
    for load in known[1:]:
        average += weight * (load - average)
    return average


def acute_against_chronic_exponential_williams_2017(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Exponential average of 7 days divided by that of 28.

    daily_load_au: at least 28 days in order, the last one today, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: ratio, no unit; Missing with an unknown day, with fewer days, or without load.
    Raises: OutOfRange for a load outside these limits.
    Limits: a description; no safe range and no chance of injury follows from it. See CRITICISM.
    Error: that of the loads on both sides, 28.1 % each in recreational people [wallace2014].
    Source: [williams2017]; hidden until 28 days exist, a house choice. Criticism [impellizzeri2021].
    Checked in tests/physiology/test_load_averages.py, against its two averages.
    """
    days = _last_days(daily_load_au)
    if isinstance(days, Missing):
        return days
    acute = exponential_average_williams_2017(daily_load_au=daily_load_au, days=ACUTE_DAYS)
    chronic = exponential_average_williams_2017(daily_load_au=daily_load_au, days=CHRONIC_DAYS)
    if isinstance(acute, Missing) or isinstance(chronic, Missing):
        return Missing("a day before the last 28 is unknown, and unknown is not rest")
    return _NO_BASE if chronic == 0 else acute / chronic


def longest_session_change_frandsen_2025(*, today: float, earlier_days: Sequence[float | None]) -> float | Missing:
    """How far today's session passes the longest of the 30 days before.

    today: length of today's session, km or min, 0 to 20000.
    earlier_days: longest session of each of the 30 days before, the same unit; rest days 0, unknown days none.
    Returns: change against the longest, %; Missing with an unknown day or without any session.
    Raises: OutOfRange outside these limits; WrongLength unless 30 days.
    Limits: made with runs; hazard rate ratios 1.64, 1.52, 2.28 for 10-30, 30-100, over 100 % longer.
    Error: not found.
    Source: [frandsen2025].
    Checked in tests/physiology/test_load_averages.py, by hand.
    """
    check_range("Today's session", today, 0, HIGHEST_LOAD_AU)
    if len(earlier_days) != SPIKE_DAYS:
        raise WrongLength(f"The longest of {SPIKE_DAYS} days needs {SPIKE_DAYS} days.")
    known = known_days(earlier_days)
    if isinstance(known, Missing):
        return known
    longest = max(known)
    return _NO_BASE if longest == 0 else 100 * (today - longest) / longest


def _last_days(daily_load_au: Sequence[float | None]) -> list[float] | Missing:
    if len(daily_load_au) < CHRONIC_DAYS:
        return Missing(f"{CHRONIC_DAYS} days are needed; there are {len(daily_load_au)}")
    return known_days(daily_load_au[-CHRONIC_DAYS:])
