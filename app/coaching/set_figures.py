"""A set of rounds as figures: how far apart they lie, fade and slope with its error, work done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from app.coaching.round_figures import Output, RoundFigures
from app.coaching.rounds_values import RoundsAsked
from app.coaching.technique import TECHNIQUE_ROUNDS_LEAST, technique_change
from app.physiology.least_squares import linear_fit
from app.physiology.repetitions import fade_percent, variation_percent
from app.physiology.values import Missing


@dataclass(frozen=True, slots=True)
class SetFigures:
    """A whole set. Each round stands against its own target where there is one; Missing says why a figure is not."""

    output: Output | None
    rounds: tuple[RoundFigures, ...]
    #: Each round's output over its target; over the set's mean without one. None where an output is not known.
    ratios: tuple[float, ...] | None
    variation_percent: float | Missing
    #: Best minus worst over best, %.
    best_to_worst_percent: float | Missing
    #: Last against first, %; negative is a fade.
    fade_percent: float | Missing
    #: What each round adds to the one before, % of their mean, and its standard error (None with two rounds).
    slope_percent: float | Missing
    slope_error_percent: float | None
    #: Mean output against the target, %.
    against_target_percent: float | Missing
    work_j: float | Missing
    #: Work done over work asked: complete output for the whole time asked is 1.
    work_fraction: float | Missing
    #: Cadence or strokes of the last round against the second, %.
    technique_percent: float | Missing


def figures_of_set(
    output: Output | None,
    rounds: Sequence[RoundFigures],
    *,
    targets: Sequence[float] = (),
    asked: RoundsAsked | None = None,
) -> SetFigures:
    """The figures of a set over its complete rounds.

    targets: one for each round of the plan, or one for all, W or m/s like the output.
    asked: the rounds of the plan; without it nothing says how much work was asked.
    """
    whole = [one for one in rounds if one.is_complete]
    wanted = _targets(rounds, targets)
    outputs = [one.output for one in whole]
    known = [value for value in outputs if value is not None and value > 0]
    if output is None or not whole or len(known) < len(whole):
        gap = Missing("the output of the rounds was not recorded" if whole else "no round was completed")
        return _without_output(output, rounds, gap)
    against = [wanted[one.number] for one in whole] if wanted else [sum(known) / len(known)] * len(known)
    ratios = [value / aim for value, aim in zip(known, against, strict=True)]
    slope, error = _slope(ratios)
    return SetFigures(
        output=output,
        rounds=tuple(rounds),
        ratios=tuple(ratios),
        variation_percent=variation_percent(repetitions=ratios),
        best_to_worst_percent=_apart(ratios),
        fade_percent=fade_percent(repetitions=ratios),
        slope_percent=slope,
        slope_error_percent=error,
        against_target_percent=_against_target(ratios, wanted),
        work_j=_work(output, rounds),
        work_fraction=_work_fraction(rounds, targets, asked),
        technique_percent=technique_percent(rounds),
    )


def technique_percent(rounds: Sequence[RoundFigures]) -> float | Missing:
    """Cadence, stride or strokes of the last round against the second, %; Missing where they were not counted."""
    if len(rounds) < TECHNIQUE_ROUNDS_LEAST:
        return Missing("technique is kept from the second round to the last: three rounds are needed")
    change = technique_change(rounds[1], rounds[-1])
    return Missing("cadence or strokes were not recorded") if change is None else 100 * change.fraction


def _without_output(output: Output | None, rounds: Sequence[RoundFigures], gap: Missing) -> SetFigures:
    return SetFigures(output, tuple(rounds), None, gap, gap, gap, gap, None, gap, gap, gap, technique_percent(rounds))


def _targets(rounds: Sequence[RoundFigures], targets: Sequence[float]) -> dict[int, float]:
    if not targets:
        return {}
    return {one.number: _target(targets, one.asked_number or one.number) for one in rounds}


def _target(targets: Sequence[float], number: int) -> float:
    return targets[min(number, len(targets)) - 1]


def _apart(ratios: Sequence[float]) -> float | Missing:
    if len(ratios) < 2:
        return Missing("one round has nothing to differ from")
    return 100 * (max(ratios) - min(ratios)) / max(ratios)


def _slope(ratios: Sequence[float]) -> tuple[float | Missing, float | None]:
    if len(ratios) < 2:
        return Missing("one round has nothing to differ from"), None
    place = np.arange(len(ratios), dtype=float)
    fit = linear_fit(np.column_stack([place, np.ones_like(place)]), np.array(ratios))
    if isinstance(fit, Missing):
        return fit, None
    mean = sum(ratios) / len(ratios)
    error = fit.error(0)
    return 100 * fit.parameters[0] / mean, None if error is None else 100 * error / mean


def _against_target(ratios: Sequence[float], wanted: dict[int, float]) -> float | Missing:
    if not wanted:
        return Missing("there was no target in figures")
    return 100 * (sum(ratios) / len(ratios) - 1)


def _work(output: Output, rounds: Sequence[RoundFigures]) -> float | Missing:
    parts = [one.work_j if one.work_j is not None else _typed_work(output, one) for one in rounds]
    known = [part for part in parts if part is not None]
    return sum(known) if known and len(known) == len(parts) else Missing("work needs the power of every round")


def _typed_work(output: Output, one: RoundFigures) -> float | None:
    return one.output * one.duration_s if output is Output.POWER and one.output is not None else None


def _work_fraction(
    rounds: Sequence[RoundFigures], targets: Sequence[float], asked: RoundsAsked | None
) -> float | Missing:
    """Output x time done, cut rounds included, over target x time asked, rounds left out included."""
    if not targets or asked is None:
        return Missing("there was no target in figures, or no plan")
    parts = [one.output * one.duration_s for one in rounds if one.output is not None]
    if len(parts) < len(rounds):
        return Missing("the output of a round was not recorded")
    return sum(parts) / sum(_target(targets, n) * length for n, length in enumerate(asked.work_s, start=1))
