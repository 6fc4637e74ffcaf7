"""Paces for rounds of a mile out of a 5-km time: between 5-km and 10-km pace."""

from __future__ import annotations

from app.physiology.provenance import Provenance
from app.physiology.race_pace import race_time_riegel_1981
from app.physiology.units import MILE_M
from app.physiology.values import Estimate, WrongLength, check_range

FIVE_KM_M, TEN_KM_M = 5000.0, 10_000.0
_SHORTEST_S, _LONGEST_S = 720.0, 3600.0
FEWEST_ROUNDS, MOST_ROUNDS = 3, 6
_CUSTOM = "3 to 6 rounds with 2 to 4 min between them: common practice, no published source"


def five_km_pace(five_km_time_s: float) -> float:
    """The pace of a 5-km race.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    Returns: pace, s/km.
    Raises: OutOfRange outside 720 to 3600 s.
    Limits: an even 5 km on the flat.
    Error: none of its own; it is arithmetic.
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic mile repetition at 5-km pace.
    """
    _check(five_km_time_s)
    return five_km_time_s * 1000.0 / FIVE_KM_M


def mile_time_at_five_km_pace(five_km_time_s: float) -> float:
    """The time for a mile at the pace of a 5-km race: the quickest a round of a mile is run.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    Returns: time for a mile, s.
    Raises: OutOfRange outside 720 to 3600 s.
    Limits: an even 5 km on the flat.
    Error: none of its own; it is arithmetic.
    Source: definition; that rounds are run at this pace is common practice, no published source.
    Checked in tests/reference/load_intervals_readiness.csv, topic mile repetition at 5-km pace.
    """
    _check(five_km_time_s)
    return five_km_time_s * MILE_M / FIVE_KM_M


def mile_time_at_ten_km_pace(five_km_time_s: float) -> Estimate:
    """The time for a mile at the 10-km pace that equals a 5-km race: the gentlest a round of a mile is run.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    Returns: time for a mile, s.
    Raises: OutOfRange outside 720 to 3600 s.
    Limits: as for race_time_riegel_1981.
    Error: not found.
    Source: [riegel1981] Riegel 1981, published, second-hand; that rounds are run at this pace is common practice,
        no published source.
    Checked in tests/reference/load_intervals_readiness.csv, topic mile repetition at predicted 10-km pace.
    """
    _check(five_km_time_s)
    ten_km = race_time_riegel_1981(five_km_time_s, FIVE_KM_M, TEN_KM_M)
    return Estimate(ten_km.value * MILE_M / TEN_KM_M, "s", None, "error not found", "riegel1981", (_CUSTOM,))


def mile_ladder(five_km_time_s: float, rounds: int) -> tuple[Estimate, ...]:
    """Times for rounds of a mile in even steps from 10-km pace to 5-km pace.

    five_km_time_s: time for 5 km, s, 720 to 3600.
    rounds: how many rounds of a mile, count, 3 to 6.
    Returns: times in their order, s.
    Raises: OutOfRange outside 720 to 3600 s; WrongLength outside 3 to 6 rounds.
    Limits: for people who may do hard work and run 5 km; the last is the hardest, so stopping early costs nothing.
    Error: not found.
    Source: common practice, no published source; the gentlest pace by Riegel 1981.
    Checked in tests/physiology/test_mile_rounds.py by hand.
    """
    if not FEWEST_ROUNDS <= rounds <= MOST_ROUNDS:
        raise WrongLength(f"A ladder has {FEWEST_ROUNDS} to {MOST_ROUNDS} rounds of a mile.")
    gentle, quick = mile_time_at_ten_km_pace(five_km_time_s).value, mile_time_at_five_km_pace(five_km_time_s)
    step = (gentle - quick) / (rounds - 1)
    return tuple(
        Estimate(gentle - step * done, "s", None, "error not found", Provenance.COMMON_PRACTICE, (_CUSTOM,))
        for done in range(rounds)
    )


def _check(five_km_time_s: float) -> None:
    check_range("Time for 5 km", five_km_time_s, _SHORTEST_S, _LONGEST_S, "s")
