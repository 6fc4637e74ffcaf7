"""The reverse question: rounds at a given power or speed, and where W' or D' would run out in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.physiology.critical_power import HIGHEST_POWER_W, HIGHEST_W_PRIME_J
from app.physiology.critical_speed import HIGHEST_D_PRIME_M, HIGHEST_SPEED_M_PER_S
from app.physiology.even_effort import SHORTEST_REACH_S, Rounds, Spending
from app.physiology.even_targets import (
    MODEL_NOTES,
    MODEL_SOURCES,
    NO_SPEED_FOR_INTEGRAL,
    NOTHING_COMES_BACK,
    ROUGH,
)
from app.physiology.least_squares import FloatArray
from app.physiology.values import Missing, check_range
from app.physiology.w_balance import RecoveryModel

_NO_END = "at critical {what} and below the model gives no end; real limits exist all the same"
_BEYOND = (
    f"this {{what}} would be held for less than {SHORTEST_REACH_S / 60:g} min, "
    "where the model does not describe people"
)
_ROUNDS_OF_HALVING = 60


@dataclass(frozen=True, slots=True)
class RunningOut:
    """How many whole rounds can be done before the capacity is empty, and where that is; None where it is not."""

    value: int
    unit: str
    error: float | None
    error_words: str
    source: str
    notes: tuple[str, ...]
    model: RecoveryModel
    runs_out_in_round: int | None
    runs_out_after_s: float | None
    reserve_after_rounds: tuple[float, ...]


def rounds_until_empty(
    *,
    critical_power_w: float,
    w_prime_j: float,
    power_w: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_power_w: float,
    model: RecoveryModel = RecoveryModel.DIFFERENTIAL,
) -> RunningOut | Missing:
    """Where W' would run out in rounds at a given power: the round, and the second in it.

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    power_w: power of the rounds, W, 0 to 2500.
    rounds: how many rounds are wanted, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_power_w: power in the recoveries, W, 0 to 2500, below critical power.
    model: form of W' balance, no unit, differential or integral or conservative (half back after 234 s).
    Returns: whole rounds done, no unit, where it runs out, and the share of W' left after each of them; Missing for
    a power at critical power or below, and for one that could be held for less than 2 min.
    Raises: OutOfRange outside these limits.
    Limits: a rough gauge; the forms differ widely, so look at all of them.
    Error: not found for a person; individual times differ widely, so it is never a promise.
    Source: house choice to stop where nothing is left; forms [skiba2015], [skiba2012], [ferguson2010], reach
    [drake2022]. The equations of the first are from memory.
    Checked in tests/reference/load_intervals_readiness.csv, topic W-prime balance differential.
    """
    check_range("Critical power", critical_power_w, 1, HIGHEST_POWER_W, "W")
    check_range("W'", w_prime_j, 1, HIGHEST_W_PRIME_J, "J")
    check_range("The power", power_w, 0, HIGHEST_POWER_W, "W")
    check_range("Power in the recoveries", recovery_power_w, 0, HIGHEST_POWER_W, "W")
    figures = (critical_power_w, w_prime_j, recovery_power_w)
    return _run_out("power", power_w, figures, Rounds(rounds, work_s, recovery_s), RecoveryModel(model))


def rounds_until_empty_at_speed(
    *,
    critical_speed_m_per_s: float,
    d_prime_m: float,
    speed_m_per_s: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_speed_m_per_s: float,
    model: RecoveryModel = RecoveryModel.DIFFERENTIAL,
) -> RunningOut | Missing:
    """Where D' would run out in rounds at a given speed: the round, and the second in it.

    critical_speed_m_per_s: critical speed, m/s, 0.1 to 12.
    d_prime_m: D', m, 1 to 2000.
    speed_m_per_s: speed of the rounds, m/s, 0 to 12.
    rounds: how many rounds are wanted, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_speed_m_per_s: speed in the recoveries, m/s, 0 to 12, below critical speed.
    model: form of the balance, no unit, differential or conservative (half back after 234 s); integral has no speed.
    Returns: whole rounds done, no unit, where it runs out, and the share of D' left after each of them; Missing for
    a speed at critical speed or below, one that could be held for less than 2 min, and the integral form.
    Raises: OutOfRange outside these limits.
    Limits: a rough gauge on the flat; the forms were made for power, and recovery of D' was not found measured.
    Error: not found for a person; individual times differ widely, so it is never a promise.
    Source: house choice to use the forms for speed; forms [skiba2015], [ferguson2010], reach [drake2022].
    Checked in tests/physiology/test_running_out.py, against the power of the same shares.
    """
    check_range("Critical speed", critical_speed_m_per_s, 0.1, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("D'", d_prime_m, 1, HIGHEST_D_PRIME_M, "m")
    check_range("The speed", speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    check_range("Speed in the recoveries", recovery_speed_m_per_s, 0, HIGHEST_SPEED_M_PER_S, "m/s")
    if model == RecoveryModel.INTEGRAL:
        return Missing(NO_SPEED_FOR_INTEGRAL)
    figures = (critical_speed_m_per_s, d_prime_m, recovery_speed_m_per_s)
    return _run_out("speed", speed_m_per_s, figures, Rounds(rounds, work_s, recovery_s), RecoveryModel(model))


def _run_out(
    what: str, effort: float, figures: tuple[float, float, float], rounds: Rounds, model: RecoveryModel
) -> RunningOut | Missing:
    critical, capacity, recovery = figures
    if recovery >= critical:
        return Missing(NOTHING_COMES_BACK.format(what=what))
    if effort <= critical:
        return Missing(_NO_END.format(what=what))
    if capacity / (effort - critical) < SHORTEST_REACH_S:
        return Missing(_BEYOND.format(what=what))
    spending = Spending(model, rounds, *np.array([critical, capacity, recovery], dtype=float)[:, None])
    at = np.array([effort], dtype=float)
    left = spending.reserves(at)[:, 0]
    # Rounding must not empty what the solver filled to the brim.
    whole = int(np.cumprod(left >= -1e-12).sum())
    runs_out = whole < rounds.count
    return RunningOut(
        value=whole,
        unit="rounds",
        error=None,
        error_words="not found for a person; never a promise",
        source=MODEL_SOURCES[model],
        notes=(ROUGH, MODEL_NOTES[model]),
        model=model,
        runs_out_in_round=whole + 1 if runs_out else None,
        runs_out_after_s=_second_of_the_end(spending, at, whole) if runs_out else None,
        reserve_after_rounds=tuple(left[:whole].tolist()),
    )


def _second_of_the_end(spending: Spending, effort: FloatArray, whole: int) -> float:
    before = np.zeros(1)
    if whole:
        before = spending.deficit_before(spending.deficits(effort)[whole - 1])
    low, high = 0.0, spending.rounds.work_s
    for _ in range(_ROUNDS_OF_HALVING):
        middle = (low + high) / 2
        is_empty = spending.deficit_within(effort, before, middle)[0] >= spending.capacity[0]
        low, high = (low, middle) if is_empty else (middle, high)
    return low
