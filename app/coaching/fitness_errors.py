"""How far two tests alike differ by chance: typed errors first, else a published typical error, else nothing."""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum, sqrt

from app.coaching.fitness_sides import Side
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.people import Mode
from app.physiology import change
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES

RELATIVE_VO2MAX = "ml/kg/min"


@dataclass(frozen=True, slots=True)
class Seen:
    """A difference between two sides with the typical error of one of them, where that is from, and for whom."""

    change: float
    typical_error: float
    unit: str
    provenance: Provenance
    source: str | None
    limits: str
    #: The card that the typical error is reckoned by; none where it was typed.
    formulae: tuple[str, ...] = ()


def is_relative_vo2max(unit: str | None) -> bool:
    """Whether a unit is mL/kg/min, however it was typed."""
    return (unit or "").replace(" ", "").casefold() == RELATIVE_VO2MAX


def seen_between(before: Side, after: Side) -> Seen | None:
    """What two sides of tests alike differ by, with the error of one test; None when none is known or can be told.

    Limits: typed errors count as typical errors of the same test; an error of estimate is larger.
    """
    if before.value is not None and after.value is not None:
        difference = after.value - before.value
        return _typed(before, after, difference) or _laboratory(before, after, difference)
    if before.distance_m is None or after.distance_m is None:
        return None
    return _distance(after.last, after.distance_m - before.distance_m)


def _typed(before: Side, after: Side, difference: float) -> Seen | None:
    errors = [one for one in (*before.errors, *after.errors) if one]
    if len(errors) < before.count + after.count:
        return None
    one_test = sqrt(fsum(one**2 for one in errors) / len(errors))
    limits = "The errors typed with the results, taken as what the test differs by from day to day."
    return Seen(difference, one_test, after.last.unit or "", Provenance.HOUSE, None, limits)


def _laboratory(before: Side, after: Side, difference: float) -> Seen | None:
    if after.last.protocol is not Protocol.LABORATORY or not is_relative_vo2max(after.last.unit) or not before.value:
        return None
    formula = change.typical_error_from_percent
    error = formula(value=before.value, error_percent=change.VO2MAX_WITHIN_PERSON_PERCENT)
    limits = "How far one person's measured VO2max varies over weeks; one laboratory, one mode."
    return _published(difference, error, "mL/kg/min", "katch1982", limits=limits, formula=formula.__name__)


def _distance(test: FitnessTest, difference: float) -> Seen | None:
    if test.protocol is Protocol.TWELVE_MINUTE_RUN:
        limits = "15 runners used to the test, so a best case."
        formula = change.typical_error_twelve_minute_run_alvero_2017.__name__
        return _published(
            difference, change.TWELVE_MINUTE_RUN_ERROR_M, "m", "alvero2017", limits=limits, formula=formula
        )
    if test.protocol is Protocol.SIX_MINUTE_WALK and test.mode in (Mode.WALK, Mode.TREADMILL):
        limits = "Older adults; a first try counts as practice."
        walked = change.typical_error_six_minute_walk_chuang_2012
        walk = walked(surface="treadmill" if test.mode is Mode.TREADMILL else "corridor")
        return _published(difference, walk.value, "m", walk.source, limits=limits, formula=walked.__name__)
    return None


def _published(difference: float, error: float, unit: str, key: str, *, limits: str, formula: str) -> Seen:
    source = SOURCES[key]
    return Seen(difference, error, unit, source.provenance, source.short, limits, (formula,))
