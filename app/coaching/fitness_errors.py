"""How far two tests alike differ by chance: typed errors first, else a published typical error, else nothing."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.people import Mode
from app.physiology import change
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES

RELATIVE_VO2MAX = "ml/kg/min"
_PER_CENT = 100.0


@dataclass(frozen=True, slots=True)
class Seen:
    """A difference between two tests with the typical error of one of them, where that is from, and for whom."""

    change: float
    typical_error: float
    unit: str
    provenance: Provenance
    source: str | None
    limits: str


def is_relative_vo2max(unit: str | None) -> bool:
    """Whether a unit is mL/kg/min, however it was typed."""
    return (unit or "").replace(" ", "").casefold() == RELATIVE_VO2MAX


def seen_between(before: FitnessTest, test: FitnessTest) -> Seen | None:
    """What two tests alike differ by, with its error; None when no error is known or nothing can be subtracted.

    Limits: two typed errors count as typical errors of the same test; an error of estimate is larger.
    """
    if before.value is not None and test.value is not None:
        return _typed(before, test, test.value - before.value) or _laboratory(before, test, test.value - before.value)
    if before.distance_m is None or test.distance_m is None:
        return None
    return _distance(test, test.distance_m - before.distance_m)


def _typed(before: FitnessTest, test: FitnessTest, difference: float) -> Seen | None:
    if not before.error or not test.error:
        return None
    one_test = hypot(before.error, test.error) / sqrt(2)
    limits = "The errors typed with both results, taken as what the test differs by from day to day."
    return Seen(difference, one_test, test.unit or "", Provenance.HOUSE, None, limits)


def _laboratory(before: FitnessTest, test: FitnessTest, difference: float) -> Seen | None:
    if test.protocol is not Protocol.LABORATORY or not is_relative_vo2max(test.unit) or not before.value:
        return None
    error = before.value * change.VO2MAX_WITHIN_PERSON_PERCENT / _PER_CENT
    limits = "How far one person's measured VO2max varies over weeks; one laboratory, one mode."
    return _published(difference, error, "mL/kg/min", "katch1982", limits)


def _distance(test: FitnessTest, difference: float) -> Seen | None:
    if test.protocol is Protocol.TWELVE_MINUTE_RUN:
        limits = "15 runners used to the test, so a best case."
        return _published(difference, change.TWELVE_MINUTE_RUN_ERROR_M, "m", "alvero2017", limits)
    if test.protocol is Protocol.SIX_MINUTE_WALK and test.mode in (Mode.WALK, Mode.TREADMILL):
        on_belt = test.mode is Mode.TREADMILL
        walk = change.typical_error_six_minute_walk_chuang_2012(surface="treadmill" if on_belt else "corridor")
        return _published(difference, walk.value, "m", walk.source, "Older adults; a first try counts as practice.")
    return None


def _published(difference: float, error: float, unit: str, key: str, limits: str) -> Seen:
    source = SOURCES[key]
    return Seen(difference, error, unit, source.provenance, source.short, limits)
