"""The library of interval sessions: what each is for, whom it suits, its rounds and where it comes from."""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.coaching.people import Mode
from app.coaching.reasons import DomainError, Provenance


@dataclass(frozen=True, slots=True)
class IntervalProtocol:
    """One way to do hard rounds, as the library keeps it."""

    key: str
    name: str
    purpose: str
    suits: str
    work_s: int
    recovery_s: int
    rounds: int
    rounds_least: int
    rounds_most: int
    modes: tuple[Mode, ...]
    #: What is known about it, in one sentence.
    evidence: str
    source: str | None
    provenance: Provenance
    #: How the target of one round is said; None: the common words of a round.
    round_words: str | None
    step_up: str | None
    step_down: str | None


COMMON = Provenance.COMMON_PRACTICE
NO_SOURCE = "common practice, no published source"
_ROUNDS_ANYWHERE = (
    Mode.INDOOR_RIDE,
    Mode.RIDE,
    Mode.TREADMILL,
    Mode.WALK,
    Mode.RUN,
    Mode.ROW,
    Mode.CROSS_TRAIN,
)
_LONGER_BOUTS = (
    "Bouts of 2 min and more, at least 15 min of work, over 4 to 12 weeks gave the clearest gains in a pooled "
    "analysis; the dose and the 4-minute recovery here are common practice."
)
_FOUR_BY_FOUR = (
    "Rounds of 4 x 4 min three times a week raised VO2max by 7.2 % in 8 weeks in moderately trained men, "
    "with 3-minute recoveries at a higher effort than asked here; gains did not differ by age from the 20s to the "
    "70s (Støren 2017)."
)

_ALL = (
    IntervalProtocol(
        "two_by_four",
        "2 × 4 min, introductory",
        "Learn how a round should feel: easy start, few words by the third minute, upright at the end.",
        "The first hard session after the base.",
        240,
        240,
        2,
        1,
        2,
        _ROUNDS_ANYWHERE,
        "A small first dose, growing by one round a week.",
        None,
        COMMON,
        None,
        "three_by_four",
        None,
    ),
    IntervalProtocol(
        "three_by_four",
        "3 × 4 min, introductory",
        "One round more at the same effort.",
        "The week after two good rounds.",
        240,
        240,
        3,
        2,
        3,
        _ROUNDS_ANYWHERE,
        "A single bout of 4 min three times a week for 10 weeks raised VO2max by 10 % in inactive men of 35 to 45, "
        "four bouts by 13 % (p = 0.08): a small dose is no waste.",
        "Tjønna et al. 2013",
        Provenance.PUBLISHED_READ,
        None,
        "four_by_four",
        "two_by_four",
    ),
    IntervalProtocol(
        "four_by_four",
        "4 × 4 min, 4 min off",
        "The usual hard session: long enough for heart and breath to arrive, rested enough to stay even.",
        "Anyone who has done two and three rounds well.",
        240,
        240,
        4,
        2,
        4,
        _ROUNDS_ANYWHERE,
        _FOUR_BY_FOUR,
        "Helgerud et al. 2007; Støren et al. 2017",
        Provenance.PUBLISHED_READ,
        None,
        "five_on_three_off",
        "three_by_four",
    ),
    IntervalProtocol(
        "five_on_three_off",
        "4 × 5 min, 3 min off",
        "A longer round with less rest, at the old target.",
        "After 4 × 4 has gone well at a raised target.",
        300,
        180,
        4,
        2,
        4,
        _ROUNDS_ANYWHERE,
        _LONGER_BOUTS,
        "Wen et al. 2019",
        Provenance.PUBLISHED_READ,
        None,
        "five_by_four",
        "four_by_four",
    ),
    IntervalProtocol(
        "half_dose",
        "half dose, 2 × 4 min",
        "Keep the second hard day small until the body has taken to it.",
        "The second session of the week in its first four weeks, and a first session back.",
        240,
        240,
        2,
        1,
        2,
        _ROUNDS_ANYWHERE,
        "Half of the usual rounds.",
        None,
        COMMON,
        None,
        "four_by_four",
        None,
    ),
    IntervalProtocol(
        "five_by_four",
        "5 × 4 min, 4 min off",
        "A fifth round once four are steady.",
        "The well trained with four even rounds behind them.",
        240,
        240,
        5,
        3,
        5,
        _ROUNDS_ANYWHERE,
        _LONGER_BOUTS,
        "Wen et al. 2019",
        Provenance.PUBLISHED_READ,
        None,
        None,
        "five_on_three_off",
    ),
    IntervalProtocol(
        "short_thirty",
        "short rounds, 30 s on and 30 s off",
        "Form and rhythm when long rounds are too much.",
        "Those whose legs give out before the breath, and returning clients.",
        30,
        30,
        20,
        16,
        30,
        _ROUNDS_ANYWHERE,
        "Time above 90 % of VO2max was 149 s with 30/30 s, 487 s with longer bouts in the same people: "
        "gentler, and less to the point.",
        "Millet et al. 2003",
        Provenance.PUBLISHED_READ,
        "Brisk and light for 30 seconds. From the tenth on you would rather not talk. Never a sprint.",
        "three_by_four",
        "two_by_four",
    ),
    IntervalProtocol(
        "uphill_walk",
        "uphill walking rounds",
        "Hard breathing without running: the hill does the work.",
        "Never-trained clients, anyone over 60, anyone with under 12 weeks of pain-free running.",
        240,
        240,
        4,
        2,
        4,
        (Mode.WALK, Mode.TREADMILL),
        "A hill or an incline raised 1-2 % at a time until words get short by minute 3; hands off the rails.",
        None,
        COMMON,
        None,
        "five_on_three_off",
        "two_by_four",
    ),
    IntervalProtocol(
        "running_ladder",
        "running ladder, 4 × 4 min",
        "Even pacing near 5-km pace: each round a little quicker than the one before.",
        "Runners with a 5-km race in the last 12 weeks.",
        240,
        180,
        4,
        3,
        4,
        (Mode.RUN,),
        "103, 100, 99 and 98 % of the 5-km time per kilometre.",
        None,
        COMMON,
        "Near your 5-km pace. The first a little slower, then at it, then a little quicker, the last the quickest. "
        "The first 30 seconds should feel almost silly-easy.",
        "mile_rounds",
        "four_by_four",
    ),
    IntervalProtocol(
        "mile_rounds",
        "mile rounds",
        "Longer running rounds with the quickest at the end.",
        "Runners quicker than 8:30 a mile; at most 8 km of rounds.",
        450,
        210,
        4,
        3,
        5,
        (Mode.RUN,),
        "The time of a round is a guess from 7:30 a mile; the distance counts.",
        None,
        COMMON,
        "One mile, about five seconds quicker than the one before; the last at 5-km pace. "
        "Jog a quarter to half a mile between.",
        None,
        "running_ladder",
    ),
    IntervalProtocol(
        "six_minute_rounds",
        "6-min rounds",
        "What mile rounds do, by the clock.",
        "Runners slower than 8:30 a mile.",
        360,
        210,
        3,
        2,
        4,
        (Mode.RUN,),
        "Six minutes instead of the mile.",
        None,
        COMMON,
        "Six minutes, each round a touch quicker than the one before. Walk between if that settles your breath.",
        "mile_rounds",
        "running_ladder",
    ),
    IntervalProtocol(
        "keeping",
        "keeping session, 3 × 4 min",
        "Hold what was won with one short hard session a week.",
        "Clients in a keeping phase.",
        240,
        240,
        3,
        2,
        3,
        _ROUNDS_ANYWHERE,
        "Two sessions a week at kept effort held VO2max for 15 weeks in trained people; one short one is "
        "common practice.",
        "Hickson et al. 1981",
        Provenance.PUBLISHED_READ,
        None,
        "four_by_four",
        "two_by_four",
    ),
    IntervalProtocol(
        "pool_rounds",
        "pool rounds",
        "Hard breathing with nothing on the joints.",
        "Swimmers with a calm stroke; never alone.",
        210,
        180,
        4,
        2,
        4,
        (Mode.SWIM,),
        "Whole lengths nearest to 3-4 min; effort and stroke count, no heart rate.",
        None,
        COMMON,
        "Whole lengths, three to four minutes. Begin with the calmest stroke you have; count strokes in the second "
        "and the last round, they should agree. Never alone in the water.",
        None,
        None,
    ),
)

PROTOCOLS: dict[str, IntervalProtocol] = {protocol.key: protocol for protocol in _ALL}


def protocol_of(key: str) -> IntervalProtocol:
    """The library's entry of that key.

    Raises: DomainError when the library has none.
    """
    if key not in PROTOCOLS:
        raise DomainError(f"the library has no session called {key}")
    return PROTOCOLS[key]


def protocols_for(mode: Mode) -> tuple[IntervalProtocol, ...]:
    """Everything in the library that can be done that way, in the library's order."""
    return tuple(protocol for protocol in _ALL if mode in protocol.modes)


def source_words(protocol: IntervalProtocol) -> str:
    """Where it comes from, with the same words everywhere."""
    return protocol.source if protocol.source else NO_SOURCE


def session_title(protocol: IntervalProtocol, rounds: int) -> str:
    """What a session of so many rounds is called: "3 × 4 min, 4 min off"; the entry's own count gives way."""
    named = re.sub(r"[0-9]+(?= ×)", str(rounds), protocol.name, count=1)
    if named == protocol.name and "×" not in named:
        named = f"{named}: {rounds} {'round' if rounds == 1 else 'rounds'}"
    return named[0].upper() + named[1:]
