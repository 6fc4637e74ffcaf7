"""Equal rounds at one effort: what they leave of W' or D', and the effort that leaves a wanted share of it.

Nothing here is a second form of W' balance: each round and each rest is one step of a form in w_balance. Above
critical power every form spends in proportion to what lies above it, so the wanted effort follows by a division,
for one client or for many at once.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.physiology.change import Z_95
from app.physiology.critical_power import TRIAL_LIMITS_S
from app.physiology.least_squares import FloatArray
from app.physiology.values import OutOfRange, check_range
from app.physiology.w_balance import RecoveryModel

MOST_ROUNDS = 40
MOST_RESERVE = 0.95
#: A hyperbola describes people for 2 to 20 min ([drake2022], [mattioni2018]).
SHORTEST_REACH_S, LONGEST_REACH_S = TRIAL_LIMITS_S
#: Places and weights that integrate polynomials up to the ninth power against a normal curve without error.
_PLACES, _PLACE_WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
_FIRST, _SECOND = (grid.ravel() for grid in np.meshgrid(_PLACES, _PLACES, indexing="ij"))
_WEIGHTS = np.outer(_PLACE_WEIGHTS, _PLACE_WEIGHTS).ravel() / (2 * math.pi)
NODES = len(_WEIGHTS)


@dataclass(frozen=True, slots=True)
class Rounds:
    """Equal rounds with equal recoveries between them; after the last there is none that counts."""

    count: int
    work_s: float
    recovery_s: float

    def __post_init__(self) -> None:
        """Refuse rounds that no form was made for."""
        check_range("The number of rounds", self.count, 1, MOST_ROUNDS)
        check_range("A round", self.work_s, 10, LONGEST_REACH_S, "s")
        check_range("A recovery", self.recovery_s, 5, 3600, "s")


@dataclass(frozen=True, slots=True)
class Spending:
    """How rounds spend the capacity above critical power or speed, and how recoveries give it back."""

    model: RecoveryModel
    rounds: Rounds
    critical: FloatArray
    capacity: FloatArray
    recovery: FloatArray

    def deficits(self, effort: FloatArray) -> FloatArray:
        """What is spent of the capacity after each round at an effort; the rounds lie along the first axis."""
        spent, decay = self._step(effort, self.rounds.work_s)
        kept_in_work, kept_in_rest = np.exp(-decay), np.exp(-self._step(self.recovery, self.rounds.recovery_s)[1])
        after, deficit = [], spent
        for _ in range(self.rounds.count):
            after.append(deficit)
            deficit = deficit * kept_in_rest * kept_in_work + spent
        return np.stack(after)

    def reserves(self, effort: FloatArray) -> FloatArray:
        """The share of the capacity that is left after each round, below 0 where it has run out."""
        return 1 - self.deficits(effort) / self.capacity

    def effort_for(self, reserve_fraction: float) -> FloatArray:
        """The even effort after whose last round a share of the capacity is left."""
        per_unit_above = self.deficits(self.critical + 1.0)[-1]
        effort: FloatArray = self.critical + (1 - reserve_fraction) * self.capacity / per_unit_above
        return effort

    def deficit_within(self, effort: FloatArray, before: FloatArray, after_s: float) -> FloatArray:
        """What is spent so many seconds into a round that began with a deficit."""
        spent, decay = self._step(effort, after_s)
        return before * np.exp(-decay) + spent

    def deficit_before(self, after_round: FloatArray) -> FloatArray:
        """What is still spent when the next round begins."""
        return after_round * np.exp(-self._step(self.recovery, self.rounds.recovery_s)[1])

    def _step(self, effort: FloatArray, step_s: float) -> tuple[FloatArray, FloatArray]:
        return self.model.step(
            effort - self.critical, self.capacity, step_s, self.model.tau_s(self.critical - self.recovery)
        )


@dataclass(frozen=True, slots=True)
class EvenEfforts:
    """The answers for many clients; not a number where there is none. Reserves hold one row a client."""

    effort: FloatArray
    error: FloatArray
    low: FloatArray
    high: FloatArray
    reserves: FloatArray
    reserves_low: FloatArray
    reserves_high: FloatArray


def even_efforts(
    *,
    critical: FloatArray,
    capacity: FloatArray,
    recovery: FloatArray,
    rounds: Rounds,
    reserve_fraction: float,
    model: RecoveryModel,
    critical_se: FloatArray | None = None,
    capacity_se: FloatArray | None = None,
    correlation: FloatArray | None = None,
) -> EvenEfforts:
    """The even effort of every client for the same rounds at once, with the errors of each fit carried through."""
    check_range("The reserve", reserve_fraction, 0, MOST_RESERVE)
    unknown = np.full_like(critical, math.nan)
    spending = Spending(model, rounds, *_possible(critical, capacity, recovery))
    effort = _within_reach(spending.effort_for(reserve_fraction), spending)
    at_nodes = _spread(
        spending,
        unknown if critical_se is None else critical_se,
        unknown if capacity_se is None else capacity_se,
        unknown if correlation is None else correlation,
    )
    mean, error = _mean_and_error(at_nodes.effort_for(reserve_fraction) + 0 * effort[:, None])
    left, left_error = _mean_and_error(at_nodes.reserves(effort[:, None]))
    return EvenEfforts(
        effort=effort,
        error=error,
        low=mean - Z_95 * error,
        high=mean + Z_95 * error,
        reserves=spending.reserves(effort).T,
        reserves_low=(left - Z_95 * left_error).T,
        reserves_high=np.minimum(left + Z_95 * left_error, 1.0).T,
    )


def _possible(
    critical: FloatArray, capacity: FloatArray, recovery: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Nothing comes back at or above critical power, and without a capacity nothing can be spent."""
    if critical.shape != capacity.shape or critical.shape != recovery.shape:
        raise OutOfRange("Every client needs a critical power or speed, a capacity above it and a recovery.")
    possible = (capacity > 0) & (critical > recovery)
    return np.where(possible, critical, math.nan), np.where(possible, capacity, math.nan), recovery


def _within_reach(effort: FloatArray, spending: Spending) -> FloatArray:
    lasts_s = spending.capacity / (effort - spending.critical)
    return np.where(lasts_s >= SHORTEST_REACH_S, effort, math.nan)


def _spread(
    spending: Spending, critical_se: FloatArray, capacity_se: FloatArray, correlation: FloatArray
) -> Spending:
    """Each client as the fit might also have come out, at the places of the quadrature; nothing unless all can be."""
    apart = np.sqrt(1 - correlation**2)
    critical = spending.critical[:, None] + critical_se[:, None] * _FIRST
    capacity = spending.capacity[:, None] + capacity_se[:, None] * (
        correlation[:, None] * _FIRST + apart[:, None] * _SECOND
    )
    recovery = np.broadcast_to(spending.recovery[:, None], critical.shape)
    can_all_be = np.all((capacity > 0) & (critical > recovery), axis=1, keepdims=True)
    return Spending(
        spending.model,
        spending.rounds,
        np.where(can_all_be, critical, math.nan),
        np.where(can_all_be, capacity, math.nan),
        recovery,
    )


def _mean_and_error(at_nodes: FloatArray) -> tuple[FloatArray, FloatArray]:
    mean = at_nodes @ _WEIGHTS
    return mean, np.sqrt((at_nodes - mean[..., None]) ** 2 @ _WEIGHTS)
