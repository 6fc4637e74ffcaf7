"""Fitting by least squares: a straight line or a curve, with the errors and the covariance of what was fitted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from app.physiology.values import Missing

FloatArray = npt.NDArray[np.float64]
#: Gives residuals and their derivatives for one guess, or None where the curve is not defined.
Curve = Callable[[FloatArray], tuple[FloatArray, FloatArray] | None]

MOST_ROUNDS = 500
#: A round that moves every parameter by less than this share is the last.
_SMALLEST_STEP = 1e-10
_SMALLEST_DAMPING = 1e-12
_LARGEST_DAMPING = 1e12
#: Directions weaker than this share of the strongest are not told apart by the data.
_WEAKEST_DIRECTION = 1e-10


@dataclass(frozen=True, slots=True)
class Fit:
    """What was fitted; `covariance` is None when there are no more data than parameters."""

    parameters: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...] | None
    residuals: tuple[float, ...]

    def error(self, place: int) -> float | None:
        """Standard error of one parameter."""
        return None if self.covariance is None else self.covariance[place][place] ** 0.5


def correlation_of(covariance: float | None, first_error: float | None, second_error: float | None) -> float | None:
    """The correlation behind a covariance; None without errors, or where the data leave none."""
    if covariance is None or not first_error or not second_error:
        return None
    return max(-1.0, min(1.0, covariance / (first_error * second_error)))


def linear_fit(design: FloatArray, observed: FloatArray) -> Fit | Missing:
    """The parameters that make `design` times them lie nearest to what was observed."""
    directions = _directions(design)
    if isinstance(directions, Missing):
        return directions
    parameters = (directions.right.T @ ((directions.left.T @ observed) / directions.weights)) / directions.scale
    return _with_errors(parameters, observed - design @ parameters, directions)


def curve_fit(curve: Curve, start: FloatArray) -> Fit | Missing:
    """The parameters with the smallest sum of squared residuals, from a start, by damped Gauss-Newton steps.

    Damping after Levenberg: each step that does not help is shortened, each that helps is trusted more.
    """
    at = start.astype(float)
    here = curve(at)
    if here is None:
        return Missing("the curve is not defined where the search would begin")
    damping = 1e-3
    for _ in range(MOST_ROUNDS):
        step = _step(here, damping)
        there = curve(at + step)
        if there is None or float(there[0] @ there[0]) > float(here[0] @ here[0]):
            if damping > _LARGEST_DAMPING:
                return _fit(at, *here)
            damping *= 10
            continue
        at, here = at + step, there
        damping = max(damping / 10, _SMALLEST_DAMPING)
        if np.all(np.abs(step) <= _SMALLEST_STEP * np.abs(at)):
            return _fit(at, *here)
    return Missing("the search for the nearest curve did not settle")


def _step(here: tuple[FloatArray, FloatArray], damping: float) -> FloatArray:
    residuals, slopes = here
    scale = np.linalg.norm(slopes, axis=0)
    scale[scale == 0] = 1.0
    scaled = slopes / scale
    normal = scaled.T @ scaled + damping * np.eye(scaled.shape[1])
    return np.asarray(-np.linalg.solve(normal, scaled.T @ residuals) / scale, dtype=float)


@dataclass(frozen=True, slots=True)
class _Directions:
    """What the data tell apart, strongest first: the singular values of slopes scaled to length one."""

    left: FloatArray
    weights: FloatArray
    right: FloatArray
    scale: FloatArray


def _directions(slopes: FloatArray) -> _Directions | Missing:
    scale = np.linalg.norm(slopes, axis=0)
    if not np.all(scale > 0):
        return Missing("one of the quantities never differs from nothing")
    left, weights, right = np.linalg.svd(slopes / scale, full_matrices=False)
    if len(slopes) < slopes.shape[1] or weights[-1] < _WEAKEST_DIRECTION * weights[0]:
        return Missing("these data do not tell the quantities apart")
    return _Directions(left, weights, right, scale)


def _fit(parameters: FloatArray, residuals: FloatArray, slopes: FloatArray) -> Fit | Missing:
    directions = _directions(slopes)
    return directions if isinstance(directions, Missing) else _with_errors(parameters, residuals, directions)


def _with_errors(parameters: FloatArray, residuals: FloatArray, directions: _Directions) -> Fit:
    spare = len(residuals) - len(parameters)
    covariance = None
    if spare > 0:
        right, scale = directions.right, directions.scale
        inverse = (right.T / directions.weights**2) @ right / np.outer(scale, scale)
        covariance = tuple(map(tuple, (inverse * float(residuals @ residuals) / spare).tolist()))
    return Fit(tuple(parameters.tolist()), covariance, tuple(residuals.tolist()))
