"""Ladders of running rounds: a pace for each round out of a 5-km time, miles, and the splits of a round.

Source: common practice, no published source, unless a line says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.mile_rounds import FIVE_KM_M, five_km_pace, mile_time_at_five_km_pace
from app.physiology.units import KILOMETRE_M, MILE_M
from app.physiology.values import Missing, check_range

#: Of the time for a kilometre at 5-km pace: the first round a little slower, then at it, then quicker to the last.
FIRST_FRACTION, SECOND_FRACTION, LAST_FRACTION = 1.03, 1.00, 0.98
_STEP_FRACTION = 0.01
#: Rounds of the whole ladder; with fewer the quickest are left out.
WHOLE_LADDER = 4
MOST_ROUNDS = 12
#: The first session of rounds by pace: so much slower in round 1, and no quicker than 5-km pace in the last.
FIRST_SESSION_SLOWER_S_PER_KM = 15.0
#: Each mile so much quicker than the one before, the last at 5-km pace.
MILE_STEP_S = 5.0
FEWEST_MILES, MOST_MILES = 3, 6
#: The limit of rounds of a mile in one session; five miles, 8.05 km, are taken as the 8 km meant.
MOST_MILES_M = 8_050.0
#: Slower than this a mile: rounds of six minutes instead.
SLOWEST_MILE_S = 510.0
SIX_MINUTES_S = 360
#: From here on three miles are enough, and quicker than this five are usual (house choice within 3 to 6).
THREE_MILES_FROM_S, FIVE_MILES_UNDER_S = 465.0, 390.0
LAP_M, SHORT_SPLIT_M = 400.0, 100.0


@dataclass(frozen=True, slots=True)
class Split:
    """Where the clock stands at a distance within one round."""

    distance_m: float
    time_s: float


def ladder_fractions(rounds: int) -> tuple[float, ...]:
    """The time of each round as a share of the time at 5-km pace: 103, 100, 99, 98 % for four.

    Fewer rounds leave out the quickest; more spread the way from 100 to 98 % evenly.
    """
    check_range("The number of rounds", rounds, 1, MOST_ROUNDS)
    if rounds <= WHOLE_LADDER:
        quicker = [SECOND_FRACTION - _STEP_FRACTION * n for n in range(rounds - 1)]
        return tuple(round(one, 6) for one in (FIRST_FRACTION, *quicker))
    step = (SECOND_FRACTION - LAST_FRACTION) / (rounds - 2)
    return (FIRST_FRACTION, *(round(SECOND_FRACTION - step * n, 6) for n in range(rounds - 1)))


def percent_ladder(*, five_km_time_s: float, rounds: int) -> tuple[float, ...]:
    """The pace of each round of a ladder: 103, 100, 99 and 98 % of the time for a kilometre at 5-km pace.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    rounds: how many rounds, count, 1 to 12.
    Returns: pace of each round, s/km, in their order.
    Raises: OutOfRange outside these limits.
    Limits: flat ground, a 5 km raced within 12 weeks, for people who may do hard work.
    Error: not found; recreational runners miss a 400 m asked for by about 10 s.
    Source: common practice, no published source.
    Checked in tests/coaching/test_ladders.py, by hand.
    """
    pace = five_km_pace(five_km_time_s)
    return tuple(pace * one for one in ladder_fractions(rounds))


def first_session_ladder(*, five_km_time_s: float, rounds: int) -> tuple[float, ...]:
    """The pace of each round of a first session by pace: from 15 s/km slower down to 5-km pace in the last.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    rounds: how many rounds, count, 1 to 12; a single round is run at the slower end.
    Returns: pace of each round, s/km, in their order.
    Raises: OutOfRange outside these limits.
    Limits: flat ground, a 5 km raced within 12 weeks, for people who may do hard work.
    Error: not found; recreational runners miss a 400 m asked for by about 10 s.
    Source: common practice, no published source; even steps between are a house choice.
    Checked in tests/coaching/test_ladders.py, by hand.
    """
    check_range("The number of rounds", rounds, 1, MOST_ROUNDS)
    pace = five_km_pace(five_km_time_s)
    step = FIRST_SESSION_SLOWER_S_PER_KM / max(1, rounds - 1)
    return tuple(pace + FIRST_SESSION_SLOWER_S_PER_KM - step * n for n in range(rounds))


def mile_round_times(*, five_km_time_s: float, rounds: int) -> tuple[float, ...] | Missing:
    """The time of each round of a mile: about 5 s quicker each, the last at 5-km pace, at most 8 km in all.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    rounds: how many rounds of a mile, count, 3 to 6.
    Returns: time of each mile, s, in their order; Missing where six-minute rounds or fewer miles come instead.
    Raises: OutOfRange outside these limits.
    Limits: flat ground, for people who may do hard work and run a mile within 8:30.
    Error: not found; recreational runners miss a 400 m asked for by about 10 s.
    Source: common practice, no published source.
    Checked in tests/reference/load_intervals_readiness.csv, topic mile repetition at 5-km pace, for the last mile.
    """
    check_range("The number of miles", rounds, FEWEST_MILES, MOST_MILES)
    last_s = mile_time_at_five_km_pace(five_km_time_s)
    if last_s > SLOWEST_MILE_S:
        return Missing(f"a mile at this 5-km pace takes {clock(last_s)}, over 8:30: rounds of six minutes instead")
    if rounds * MILE_M > MOST_MILES_M:
        return Missing(f"{rounds} miles are {rounds * MILE_M / KILOMETRE_M:.1f} km; rounds of a mile stop at 8 km")
    return tuple(last_s + MILE_STEP_S * (rounds - 1 - n) for n in range(rounds))


def usual_miles(five_km_time_s: float) -> int:
    """How many rounds of a mile are usual: four, three for slower runners, five for the quickest."""
    mile_s = mile_time_at_five_km_pace(five_km_time_s)
    if mile_s >= THREE_MILES_FROM_S:
        return FEWEST_MILES
    return 5 if mile_s < FIVE_MILES_UNDER_S else 4


def walks_between(five_km_time_s: float) -> bool:
    """Whether the recovery is walked: slow runners walk, quick ones jog; the line is drawn at 8:30 a mile (house)."""
    return five_km_time_s * MILE_M / FIVE_KM_M > SLOWEST_MILE_S


def splits(pace_s_per_km: float, *, every_m: float, distance_m: float) -> tuple[Split, ...]:
    """The clock at every so many metres of a round run evenly, and at its end."""
    check_range("The distance of a split", every_m, 50, 2000, "m")
    whole = int(distance_m / every_m + 1e-9)
    places = [every_m * n for n in range(1, whole + 1)]
    if not places or distance_m - places[-1] > 1e-6 * distance_m:
        places.append(distance_m)
    return tuple(Split(place, place * pace_s_per_km / KILOMETRE_M) for place in places)


def distance_in(pace_s_per_km: float, work_s: float) -> float:
    """How far a round of so many seconds goes at a pace, m."""
    return work_s * KILOMETRE_M / pace_s_per_km


def clock(seconds: float) -> str:
    """Minutes and whole seconds: "8:03"."""
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes}:{rest:02d}"
