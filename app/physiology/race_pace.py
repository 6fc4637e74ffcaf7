"""From one race to another: equal times, an index of racing, and what a race costs in oxygen."""

from __future__ import annotations

import math

from app.physiology.values import Estimate, check_range

EXPONENT = 1.06
_SHORTEST_MIN, _LONGEST_MIN = 3.5, 230.0
_SECONDS = 60.0
_HALF_MARATHON_M = 21_097.5
_PAST_HALF = "past the half marathon it came out at least 10 min too fast for half of recreational runners"
_PAST_RANGE = "the answer lies outside 3.5 to 230 min, where the rule was drawn"

# Daniels & Gilbert 1979: cost of running at v m/min, and the share of VO2max that can be held for t minutes.
_COST = (-4.60, 0.182258, 0.000104)
_SHARE, _SLOW, _FAST = 0.8, (0.1894393, 0.012778), (0.2989558, 0.1932605)
_INDEX_SHORTEST_MIN, _INDEX_LONGEST_MIN, _INDEX_REFUSED_MIN = 3.5, 240.0, 600.0
_INDEX_NOTE = "an equivalent with an assumed running economy; not a measured VO2max and not ranked as one"
_INDEX_RANGE = "outside 3.5 min to 4 h, where it was drawn (from memory, unchecked)"


def race_time_riegel_1981(
    time_s: float, distance_m: float, wanted_distance_m: float, exponent: float = EXPONENT
) -> Estimate:
    """The time for one distance that equals a time for another.

    time_s: time raced, s, 210 to 13800.
    distance_m: distance raced, m, 800 to 100000.
    wanted_distance_m: distance asked for, m, 800 to 100000.
    exponent: how fast pace fades with distance, no unit, 1 to 1.2.
    Returns: equal time, s.
    Raises: OutOfRange outside these limits.
    Limits: races of about 3.5 to 230 min; sound up to the half marathon in recreational runners, marathons come
        out at least 10 min too fast for half of them. Past that marked.
    Error: not found.
    Source: [riegel1981] Riegel 1981; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_prediction.
    """
    check_range("Time raced", time_s, _SHORTEST_MIN * _SECONDS, _LONGEST_MIN * _SECONDS, "s")
    _check_distance(distance_m)
    _check_distance(wanted_distance_m)
    value = time_s * race_time_ratio_riegel_1981(wanted_distance_m / distance_m, exponent)
    is_inside = _SHORTEST_MIN <= value / _SECONDS <= _LONGEST_MIN
    marks = (*((_PAST_HALF,) if wanted_distance_m > _HALF_MARATHON_M else ()), *(() if is_inside else (_PAST_RANGE,)))
    return Estimate(value, "s", None, "error not found", "riegel1981", marks)


def race_time_ratio_riegel_1981(distance_ratio: float, exponent: float = EXPONENT) -> float:
    """How many times longer a race takes that is so many times as far.

    distance_ratio: wanted distance over raced distance, no unit, 0.008 to 125.
    exponent: how fast pace fades with distance, no unit, 1 to 1.2.
    Returns: time over time, no unit.
    Raises: OutOfRange outside these limits.
    Limits: races of about 3.5 to 230 min.
    Error: not found.
    Source: [riegel1981] Riegel 1981; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_prediction.
    """
    check_range("Distance ratio", distance_ratio, 0.008, 125.0)
    check_range("Exponent", exponent, 1.0, 1.2)
    ratio: float = distance_ratio**exponent
    return ratio


def vo2_cost_daniels_gilbert_1979(speed_m_per_min: float) -> Estimate:
    """Oxygen cost of running on the flat at a speed.

    speed_m_per_min: running speed, m/min, 50 to 450.
    Returns: oxygen uptake, mL/kg/min.
    Raises: OutOfRange outside 50 to 450 m/min.
    Limits: trained runners on the flat.
    Error: not found.
    Source: [daniels1979] Daniels & Gilbert 1979, as every later text met prints them; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_vo2.
    """
    check_range("Running speed", speed_m_per_min, 50.0, 450.0, "m/min")
    return _daniels(_cost(speed_m_per_min), "mL/kg/min")


def vo2max_fraction_daniels_gilbert_1979(time_min: float) -> Estimate:
    """The share of VO2max that can be held for a time in a race.

    time_min: time raced, min, 3.5 to 600; marked over 240.
    Returns: share of VO2max, fraction.
    Raises: OutOfRange outside 3.5 to 600 min.
    Limits: trained runners; drawn for about 3.5 min to 4 h, from memory, unchecked.
    Error: not found.
    Source: [daniels1979] Daniels & Gilbert 1979, as every later text met prints them; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_vo2.
    """
    check_range("Time raced", time_min, _INDEX_SHORTEST_MIN, _INDEX_REFUSED_MIN, "min")
    return _daniels(_fraction(time_min), "fraction", *_range_note(time_min))


def race_index_daniels_gilbert_1979(distance_m: float, time_min: float) -> Estimate:
    """An index of racing: the cost of the pace over the share that can be held so long.

    distance_m: distance raced, m, 800 to 100000.
    time_min: time raced, min, 3.5 to 600; marked over 240.
    Returns: index, mL/kg/min equivalent.
    Raises: OutOfRange outside these limits, or for a speed outside 50 to 450 m/min.
    Limits: trained runners; it assumes their running economy. An equivalent, never ranked as a measured VO2max.
    Error: not found.
    Source: [daniels1979] Daniels & Gilbert 1979, as every later text met prints them; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_vo2.
    """
    _check_distance(distance_m)
    fraction = vo2max_fraction_daniels_gilbert_1979(time_min)
    cost = vo2_cost_daniels_gilbert_1979(distance_m / time_min)
    return _daniels(cost.value / fraction.value, "mL/kg/min equivalent", _INDEX_NOTE, *_range_note(time_min))


def speed_for_vo2_daniels_gilbert_1979(vo2_ml_per_kg_min: float) -> Estimate:
    """The running speed that costs a wanted oxygen uptake.

    vo2_ml_per_kg_min: wanted oxygen uptake, mL/kg/min, 5 to 95.
    Returns: running speed, m/min.
    Raises: OutOfRange outside 5 to 95 mL/kg/min.
    Limits: trained runners on the flat.
    Error: not found.
    Source: [daniels1979] Daniels & Gilbert 1979, as every later text met prints them; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_vo2.
    """
    check_range("Oxygen uptake", vo2_ml_per_kg_min, 5.0, 95.0, "mL/kg/min")
    constant, linear, square = _COST
    root = math.sqrt(linear**2 - 4.0 * square * (constant - vo2_ml_per_kg_min))
    return _daniels((root - linear) / (2.0 * square), "m/min")


def race_time_for_index_daniels_gilbert_1979(race_index: float, distance_m: float) -> Estimate:
    """The time in which an index runs a distance, found by halving.

    race_index: index, mL/kg/min equivalent, 20 to 90.
    distance_m: distance asked for, m, 1000 to 100000.
    Returns: time, s.
    Raises: OutOfRange outside these limits, or when the time is not from 3.5 to 600 min.
    Limits: trained runners; drawn for about 3.5 min to 4 h, from memory, unchecked. Marked over 4 h.
    Error: not found.
    Source: [daniels1979] Daniels & Gilbert 1979, as every later text met prints them; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic race_vo2.
    """
    check_range("Index", race_index, 20.0, 90.0, "mL/kg/min equivalent")
    check_range("Distance", distance_m, 1000.0, 100_000.0, "m")
    time_min = _time_for(race_index, distance_m)
    check_range("The time this takes", time_min, _INDEX_SHORTEST_MIN, _INDEX_REFUSED_MIN, "min")
    return _daniels(time_min * _SECONDS, "s", _INDEX_NOTE, *_range_note(time_min))


def _time_for(race_index: float, distance_m: float) -> float:
    """A slower race always has the lower index, so the time wanted can be closed in on from both sides."""
    low, high = _INDEX_SHORTEST_MIN / 2, 2 * _INDEX_REFUSED_MIN
    while low < (middle := (low + high) / 2) < high:
        if _cost(distance_m / middle) / _fraction(middle) > race_index:
            low = middle
        else:
            high = middle
    return middle


def _cost(speed_m_per_min: float) -> float:
    constant, linear, square = _COST
    return constant + linear * speed_m_per_min + square * speed_m_per_min**2


def _fraction(time_min: float) -> float:
    return _SHARE + sum(size * math.exp(-rate * time_min) for size, rate in (_SLOW, _FAST))


def _range_note(time_min: float) -> tuple[str, ...]:
    return () if time_min <= _INDEX_LONGEST_MIN else (_INDEX_RANGE,)


def _check_distance(distance_m: float) -> None:
    check_range("Distance", distance_m, 800.0, 100_000.0, "m")


def _daniels(value: float, unit: str, *notes: str) -> Estimate:
    return Estimate(value, unit, None, "error not found", "daniels1979", notes)
