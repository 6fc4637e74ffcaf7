"""Whether a change between two tests is more than their error: typical error, clear change, chance, plain verdict.

Only like with like: same test, mode, site and medicines. A standard error of estimate is no typical error.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from app.physiology.values import Estimate, OutOfRange, WrongLength, check_range
from app.physiology.vo2max import ML_PER_KG_MIN
from app.physiology.vo2max_runs import COOPER_M_PER_ML_PER_KG_MIN

Z_95 = 1.96
Z_90 = 1.645
#: Chance above which a change is called probably real (house choice).
PROBABLY = 0.75
_MOST_TESTS = 20
_LARGEST = 1e6
#: 95 % limits of two walks.
_SIX_MINUTE_WALK_CLEAR_M = {"corridor": 54.08, "treadmill": 56.54}
#: How far one person's measured VO2max varies over weeks, Katch, Sady & Freedson 1982.
VO2MAX_WITHIN_PERSON_PERCENT = 5.6
#: Typical error of the distance of a 12-minute run, Alvero-Cruz et al. 2017.
TWELVE_MINUTE_RUN_ERROR_M = 52.2
_FLAT_PRIOR = "Before the tests, every true change counts as equally likely."


class Verdict(StrEnum):
    """What a change is called; the words are the screen's."""

    WITHIN_ERROR = "within test error"
    PROBABLY_REAL = "probably real"
    CLEAR = "clear"


@dataclass(frozen=True, slots=True)
class Change:
    """A change with what speaks for it. `chance` is that of a true change in the direction seen."""

    observed: float
    verdict: Verdict
    chance: float
    clear_from: float


def typical_error_weir_2005(*, differences: Sequence[float]) -> float:
    """The typical error of a test from a sample tested twice.

    differences: second test minus first, one for each person, in the test's unit; at least two.
    Returns: typical error, in the test's unit: sample standard deviation of the differences over the root of two.
    Raises: OutOfRange for a value that is no number; WrongLength for fewer than two.
    Limits: nobody changed in truth between the two tests; a small sample makes it uncertain.
    Error: grows as the sample shrinks; not computed here.
    Source: [weir2005] Weir 2005; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    if len(differences) < 2:
        raise WrongLength("At least two people tested twice are needed.")
    for one in differences:
        check_range("A difference", one, -_LARGEST, _LARGEST)
    mean = math.fsum(differences) / len(differences)
    spread = math.sqrt(math.fsum((one - mean) ** 2 for one in differences) / (len(differences) - 1))
    return spread / math.sqrt(2)


def typical_error_from_percent(*, value: float, error_percent: float) -> float:
    """The typical error at a value, from an error in per cent.

    value: the value it belongs to, in any unit, above 0.
    error_percent: typical error, %, above 0 to 50.
    Returns: typical error, in the unit of the value.
    Raises: OutOfRange outside these.
    Limits: errors that grow with the value. For VO2max, 5 % is fair for one good laboratory.
    Error: published within-person figures run from 4.2 to 11.4 %.
    Source: [katch1982] Katch, Sady & Freedson 1982 (5.6 %), [decato2018] DeCato et al. 2018 (4.9 %); published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    _check_positive("The value", value)
    _check_positive("The error in per cent", error_percent, 50)
    return value * error_percent / 100


def typical_error_vickers_2003(*, vo2max_ml_per_kg_min: float) -> Estimate:
    """The typical error of a measured VO2max, pooled over laboratories.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, 10 to 90.
    Returns: typical error, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 39 studies of different laboratories and gaps, so the cautious bound for one good laboratory.
    Error: not found.
    Source: [vickers2003] Vickers 2003; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    check_range("VO2max", vo2max_ml_per_kg_min, 10, 90, ML_PER_KG_MIN)
    value = math.exp(0.661 + 0.006 * vo2max_ml_per_kg_min)
    return Estimate(value, ML_PER_KG_MIN, None, "error not found", "vickers2003")


def typical_error_from_retest(*, retest_see: float, correlation: float) -> float:
    """The typical error from a published error of predicting the second test by the first.

    retest_see: standard error of that estimate, in the test's unit, above 0.
    correlation: between the two tests, no unit, 0 to 1.
    Returns: typical error, in the test's unit.
    Raises: OutOfRange outside these.
    Limits: both tests with the same spread.
    Error: that of the published figures.
    Source: [weir2005] Weir 2005, algebra; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    _check_positive("The error of the retest", retest_see)
    check_range("The correlation", correlation, 0, 1)
    return retest_see / math.sqrt(1 + correlation)


def typical_error_twelve_minute_run_alvero_2017(*, typical_error_m: float = TWELVE_MINUTE_RUN_ERROR_M) -> Estimate:
    """The typical error of a 12-minute run, as VO2max.

    typical_error_m: typical error of the distance, m, above 0 to 500; 52.2 in the published sample.
    Returns: typical error, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 15 habituated runners, so a best case.
    Error: not found.
    Source: [alvero2017] Alvero-Cruz et al. 2017, through [cooper1968]; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    _check_positive("The typical error", typical_error_m, 500)
    value = typical_error_m / COOPER_M_PER_ML_PER_KG_MIN
    return Estimate(
        value, ML_PER_KG_MIN, None, "error not found", "alvero2017", ("15 habituated runners: a best case.",)
    )


def typical_error_six_minute_walk_chuang_2012(*, surface: Literal["corridor", "treadmill"]) -> Estimate:
    """The typical error of an older adult's six-minute walk.

    surface: corridor or treadmill; the two are different tests.
    Returns: typical error, m; the published 95 % limit of 54.08 (corridor) or 56.54 (treadmill) m, turned back.
    Raises: OutOfRange for another surface.
    Limits: older adults; same corridor or treadmill, a first try counts as practice.
    Error: not found.
    Source: [chuang2012] Chuang et al. 2012; published, read.
    Checked in tests/physiology/test_change.py against the published limits.
    """
    if surface not in _SIX_MINUTE_WALK_CLEAR_M:
        raise OutOfRange("The surface must be corridor or treadmill.")
    value = _SIX_MINUTE_WALK_CLEAR_M[surface] / (Z_95 * math.sqrt(2))
    return Estimate(value, "m", None, "error not found", "chuang2012", ("Older adults.",))


def smallest_clear_change_weir_2005(
    *, typical_error: float, tests_before: int = 1, tests_after: int = 1, z: float = Z_95
) -> float:
    """The smallest difference that test error alone rarely makes.

    typical_error: of one test, in the test's unit, above 0.
    tests_before: tests averaged before, 1 to 20, whole.
    tests_after: tests averaged after, 1 to 20, whole.
    z: how rarely, no unit, 0.1 to 5; 1.96 for one time in twenty, 1.645 for one in ten.
    Returns: difference, in the test's unit.
    Raises: OutOfRange outside these.
    Limits: same test, mode, site and medicines; a first try counts as practice.
    Error: that of the typical error itself.
    Source: [weir2005] Weir 2005, algebra; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    check_range("z", z, 0.1, 5)
    return z * _error_of_difference(typical_error, tests_before, tests_after)


def chance_of_true_change_weir_2005(
    *,
    observed_change: float,
    typical_error: float,
    wanted_change: float = 0.0,
    tests_before: int = 1,
    tests_after: int = 1,
) -> Estimate:
    """The chance that the true change is above a wanted one.

    observed_change: mean after minus mean before, in the test's unit, any finite value.
    typical_error: of one test, in the test's unit, above 0.
    wanted_change: the change it should exceed, in the test's unit, any finite value.
    tests_before: tests averaged before, 1 to 20, whole.
    tests_after: tests averaged after, 1 to 20, whole.
    Returns: probability, no unit, 0 to 1.
    Raises: OutOfRange outside these.
    Limits: same test, mode, site and medicines; a flat prior, so every true change counts as equally likely before.
    Error: that of the typical error itself.
    Source: [weir2005] Weir 2005, algebra; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    check_range("The change seen", observed_change, -_LARGEST, _LARGEST)
    check_range("The change wanted", wanted_change, -_LARGEST, _LARGEST)
    spread = _error_of_difference(typical_error, tests_before, tests_after)
    chance = _normal_below((observed_change - wanted_change) / spread)
    return Estimate(chance, "probability", None, "as sure as the typical error", "weir2005", (_FLAT_PRIOR,))


def judge_change(
    *, observed_change: float, typical_error: float, tests_before: int = 1, tests_after: int = 1
) -> Change:
    """What a change may be called: within test error, probably real, or clear; up and down alike.

    observed_change: mean after minus mean before, in the test's unit, any finite value.
    typical_error: of one test, in the test's unit, above 0.
    tests_before: tests averaged before, 1 to 20, whole.
    tests_after: tests averaged after, 1 to 20, whole.
    Returns: the change with its verdict, in the test's unit; the chance of a true change that way, and from where
        it would be clear.
    Raises: OutOfRange outside these.
    Limits: same test, mode, site and medicines. Clear: beyond the 95 % limit. Probably real: over 75 %.
    Error: that of the typical error itself.
    Source: [weir2005] Weir 2005 for the algebra; the line of 75 % is a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic measurement_error.
    """
    clear_from = smallest_clear_change_weir_2005(
        typical_error=typical_error, tests_before=tests_before, tests_after=tests_after
    )
    chance = chance_of_true_change_weir_2005(
        observed_change=abs(observed_change),
        typical_error=typical_error,
        tests_before=tests_before,
        tests_after=tests_after,
    ).value
    verdict = Verdict.WITHIN_ERROR
    if abs(observed_change) > clear_from:
        verdict = Verdict.CLEAR
    elif chance > PROBABLY:
        verdict = Verdict.PROBABLY_REAL
    return Change(observed_change, verdict, chance, clear_from)


def _error_of_difference(typical_error: float, tests_before: int, tests_after: int) -> float:
    _check_positive("The typical error", typical_error)
    for name, tests in (("before", tests_before), ("after", tests_after)):
        check_range(f"The number of tests {name}", tests, 1, _MOST_TESTS)
        if tests != int(tests):
            raise OutOfRange(f"The number of tests {name} must be whole.")
    return typical_error * math.sqrt(1 / tests_before + 1 / tests_after)


def _check_positive(name: str, value: float, highest: float = _LARGEST) -> None:
    check_range(name, value, 0, highest)
    if value == 0:
        raise OutOfRange(f"{name} must be above zero.")


def _normal_below(z: float) -> float:
    """The share of a standard normal below z."""
    return 0.5 * math.erfc(-z / math.sqrt(2))
