"""The even power or speed that leaves a chosen reserve after the last round, one card each."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.physiology.critical_power import HIGHEST_POWER_W, HIGHEST_W_PRIME_J
from app.physiology.critical_speed import HIGHEST_D_PRIME_M, HIGHEST_SPEED_M_PER_S
from app.physiology.even_effort import LONGEST_REACH_S, SHORTEST_REACH_S, EvenEfforts, Rounds, even_efforts
from app.physiology.least_squares import FloatArray
from app.physiology.values import Missing, check_range
from app.physiology.w_balance import RecoveryModel

MODEL_SOURCES = {
    RecoveryModel.DIFFERENTIAL: "skiba2015",
    RecoveryModel.INTEGRAL: "skiba2012",
    RecoveryModel.CONSERVATIVE: "ferguson2010",
}
MODEL_NOTES = {
    RecoveryModel.DIFFERENTIAL: "after 2 min this form gives back more than was measured after exhaustion "
    "(59 against 37 %)",
    RecoveryModel.INTEGRAL: "this form misses measured recovery by 18.6 % and is too slow for rests under 5 min",
    RecoveryModel.CONSERVATIVE: "half of what was spent comes back in 234 s, as measured after exhaustion in six men",
}
NO_SPEED_FOR_INTEGRAL = "the time constant of the integral form is made of watts; none was found for speeds"
NOTHING_COMES_BACK = "nothing comes back in a recovery at or above critical {what}: it must be easier"
BEYOND_REACH = (
    f"this {{what}} would be held for less than {SHORTEST_REACH_S / 60:g} min, where the model does not describe "
    "people: ask for more rounds, longer rounds or a larger reserve"
)
_NEAR_CRITICAL = (
    f"without rest this would last over {LONGEST_REACH_S / 60:g} min by the model, longer than it describes people"
)
_ERROR_KNOWN, _ERROR_UNKNOWN = "standard error out of the fit alone", "not known without the errors of the fit"
_RANGE_WORDS = (
    "where 95 of 100 such fits would put it, from the standard errors and their correlation by quadrature; days and "
    "the model itself differ more"
)
_ERRORS_TOO_LARGE = "no range: the standard errors are too large beside the figures themselves"
ROUGH = "a rough gauge: group recovery does not foretell a person's exhaustion"


@dataclass(frozen=True, slots=True)
class EvenEffort:
    """The even effort of equal rounds, how sure it is, and the share of the capacity left after each round.

    `range` is None unless the errors of the fit are known; `range_words` says how it was made or why there is none.
    """

    value: float
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...]
    range: tuple[float, float] | None
    range_words: str
    model: RecoveryModel
    reserve_after_rounds: tuple[float, ...]
    reserve_range_after_rounds: tuple[tuple[float, float], ...] | None
    percent_of_critical: float


def even_power_for_reserve(
    *,
    critical_power_w: float,
    w_prime_j: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_power_w: float,
    reserve_fraction: float,
    model: RecoveryModel = RecoveryModel.DIFFERENTIAL,
    critical_power_se_w: float | None = None,
    w_prime_se_j: float | None = None,
    correlation: float | None = None,
) -> EvenEffort | Missing:
    """The even power after whose last round a chosen share of W' is left: CP + (1 - share) W' / spent a watt.

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    rounds: how many rounds, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_power_w: power in the recoveries, W, 0 to 2500, below critical power.
    reserve_fraction: share of W' to be left after the last round, no unit, 0 to 0.95.
    model: form of W' balance, no unit, differential or integral or conservative (half back after 234 s).
    critical_power_se_w: standard error of critical power in its fit, W, 0 to 500.
    w_prime_se_j: standard error of W' in its fit, J, 0 to 100000.
    correlation: correlation of the two in their fit, no unit, -1 to 1; nearly always negative.
    Returns: power, W, its range, the model and the share of W' left after each round; Missing when the power could
    be held for less than 2 min, or when nothing comes back in the recoveries.
    Raises: OutOfRange outside these limits.
    Limits: a rough gauge; even rounds after a full rest. The forms differ by more than their ranges: look at all.
    Error: from the fit when its errors are given, by quadrature over both; the error of the model is larger.
    Source: house choice to solve for the even power; forms [skiba2015], [skiba2012], [ferguson2010], reach
    [drake2022]. The equations of the first are from memory.
    Checked in tests/physiology/test_even_effort.py, by root finding, an equation solver and chance.
    """
    check_range("Critical power", critical_power_w, 1, HIGHEST_POWER_W, "W")
    check_range("W'", w_prime_j, 1, HIGHEST_W_PRIME_J, "J")
    check_range("Power in the recoveries", recovery_power_w, 0, HIGHEST_POWER_W, "W")
    errors = {"critical_power_se_w": critical_power_se_w, "w_prime_se_j": w_prime_se_j, "correlation": correlation}
    _check_errors(errors, (500.0, HIGHEST_W_PRIME_J))
    figures = (critical_power_w, w_prime_j, recovery_power_w)
    asked = _Asked("power", "W", *figures, Rounds(rounds, work_s, recovery_s), RecoveryModel(model), errors)
    return asked.solved(reserve_fraction)


def even_speed_for_reserve(
    *,
    critical_speed_m_per_s: float,
    d_prime_m: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_speed_m_per_s: float,
    reserve_fraction: float,
    model: RecoveryModel = RecoveryModel.DIFFERENTIAL,
    critical_speed_se_m_per_s: float | None = None,
    d_prime_se_m: float | None = None,
    correlation: float | None = None,
) -> EvenEffort | Missing:
    """The even speed after whose last round a chosen share of D' is left: CS + (1 - share) D' / spent a m/s.

    critical_speed_m_per_s: critical speed, m/s, 0.1 to 12.
    d_prime_m: D', m, 1 to 2000.
    rounds: how many rounds, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_speed_m_per_s: speed in the recoveries, m/s, 0 to 12, below critical speed.
    reserve_fraction: share of D' to be left after the last round, no unit, 0 to 0.95.
    model: form of the balance, no unit, differential or conservative (half back after 234 s); integral has no speed.
    critical_speed_se_m_per_s: standard error of critical speed in its fit, m/s, 0 to 2.
    d_prime_se_m: standard error of D' in its fit, m, 0 to 2000.
    correlation: correlation of the two in their fit, no unit, -1 to 1; nearly always negative.
    Returns: speed, m/s, its range, the model and the share of D' left after each round; Missing when the speed could
    be held for less than 2 min, when nothing comes back in the recoveries, or for the integral form.
    Raises: OutOfRange outside these limits.
    Limits: a rough gauge on the flat; the forms were made for power, and recovery of D' was not found measured.
    Error: from the fit when its errors are given, by quadrature over both; the error of the model is larger.
    Source: house choice to solve for the even speed and to use the forms for speed; forms [skiba2015],
    [ferguson2010], line [galbraith2014], reach [drake2022].
    Checked in tests/physiology/test_even_effort.py, against the power of the same shares.
    """
    check_range("Critical speed", critical_speed_m_per_s, 0.1, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("D'", d_prime_m, 1, HIGHEST_D_PRIME_M, "m")
    check_range("Speed in the recoveries", recovery_speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    errors = {
        "critical_speed_se_m_per_s": critical_speed_se_m_per_s,
        "d_prime_se_m": d_prime_se_m,
        "correlation": correlation,
    }
    _check_errors(errors, (2.0, HIGHEST_D_PRIME_M))
    if model == RecoveryModel.INTEGRAL:
        return Missing(NO_SPEED_FOR_INTEGRAL)
    figures = (critical_speed_m_per_s, d_prime_m, recovery_speed_m_per_s)
    asked = _Asked("speed", "m/s", *figures, Rounds(rounds, work_s, recovery_s), RecoveryModel(model), errors)
    return asked.solved(reserve_fraction)


def _check_errors(errors: dict[str, float | None], most: tuple[float, float]) -> None:
    limits = zip(errors.items(), ((0.0, most[0]), (0.0, most[1]), (-1.0, 1.0)), strict=True)
    for (name, value), (low, high) in limits:
        if value is not None:
            check_range(name, value, low, high)


@dataclass(frozen=True, slots=True)
class _Asked:
    what: str
    unit: str
    critical: float
    capacity: float
    recovery: float
    rounds: Rounds
    model: RecoveryModel
    errors: dict[str, float | None]

    def solved(self, reserve_fraction: float) -> EvenEffort | Missing:
        if self.recovery >= self.critical:
            return Missing(NOTHING_COMES_BACK.format(what=self.what))
        critical_se, capacity_se, correlation = (_one(value) for value in self.errors.values())
        found = even_efforts(
            critical=_one(self.critical),
            capacity=_one(self.capacity),
            recovery=_one(self.recovery),
            rounds=self.rounds,
            reserve_fraction=reserve_fraction,
            model=self.model,
            critical_se=critical_se,
            capacity_se=capacity_se,
            correlation=correlation,
        )
        if math.isnan(found.effort[0]):
            return Missing(BEYOND_REACH.format(what=self.what))
        return self._told(found)

    def _told(self, found: EvenEfforts) -> EvenEffort:
        value, low, high = float(found.effort[0]), float(found.low[0]), float(found.high[0])
        has_range = not math.isnan(low)
        lasts_s = self.capacity / (value - self.critical)
        low_high = zip(found.reserves_low[0].tolist(), found.reserves_high[0].tolist(), strict=True)
        return EvenEffort(
            value=value,
            unit=self.unit,
            error=float(found.error[0]) if has_range else None,
            error_words=_ERROR_KNOWN if has_range else _ERROR_UNKNOWN,
            source=MODEL_SOURCES[self.model],
            notes=(ROUGH, MODEL_NOTES[self.model], *((_NEAR_CRITICAL,) if lasts_s > LONGEST_REACH_S else ())),
            range=(low, high) if has_range else None,
            range_words=_RANGE_WORDS if has_range else _why_no_range(self.errors),
            model=self.model,
            reserve_after_rounds=tuple(found.reserves[0].tolist()),
            reserve_range_after_rounds=tuple(low_high) if has_range else None,
            percent_of_critical=100 * value / self.critical,
        )


def _one(value: float | None) -> FloatArray:
    return np.array([math.nan if value is None else value], dtype=float)


def _why_no_range(errors: dict[str, float | None]) -> str:
    lacking = [name for name, value in errors.items() if value is None]
    return f"no range: it also needs {', '.join(lacking)}" if lacking else _ERRORS_TOO_LARGE
