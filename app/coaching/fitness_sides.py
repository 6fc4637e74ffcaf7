"""Tests alike that were repeated within two weeks stand as one side of a comparison: their mean."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import fsum

from app.coaching.fitness_tests import FitnessTest

#: A test tried again within so many days is a repeat and no later result (house choice).
REPEAT_DAYS = 14
_FIGURES = ("value", "distance_m", "duration_s", "heart_rate_bpm", "error")


@dataclass(frozen=True, slots=True)
class Side:
    """One test, or several alike within two weeks with the same figures; its figures are their means."""

    tests: tuple[FitnessTest, ...]

    @property
    def last(self) -> FitnessTest:
        """The latest of them."""
        return self.tests[-1]

    @property
    def count(self) -> int:
        """How many tests are averaged."""
        return len(self.tests)

    @property
    def value(self) -> float | None:
        """The mean result in the protocol's own terms."""
        return _mean(one.value for one in self.tests)

    @property
    def distance_m(self) -> float | None:
        """The mean distance."""
        return _mean(one.distance_m for one in self.tests)

    @property
    def duration_s(self) -> float | None:
        """The mean time."""
        return _mean(one.duration_s for one in self.tests)

    @property
    def heart_rate_bpm(self) -> float | None:
        """The mean heart rate."""
        return _mean(one.heart_rate_bpm for one in self.tests)

    @property
    def errors(self) -> tuple[float | None, ...]:
        """The error typed with each."""
        return tuple(one.error for one in self.tests)


def sides_of(test: FitnessTest, earlier: Sequence[FitnessTest]) -> tuple[Side | None, Side]:
    """The side before and the side a test ends, from earlier tests alike; None where nothing lies before.

    Source: averaging repeats is [weir2005]'s algebra; two weeks are a house choice.
    """
    sides: list[list[FitnessTest]] = []
    for one in [*sorted(earlier, key=lambda one: (one.tested_on, one.id)), test]:
        if sides and _is_repeat(one, sides[-1][0]):
            sides[-1].append(one)
        else:
            sides.append([one])
    before = Side(tuple(sides[-2])) if len(sides) > 1 else None
    return before, Side(tuple(sides[-1]))


def _is_repeat(one: FitnessTest, first: FitnessTest) -> bool:
    is_near = (one.tested_on - first.tested_on).days <= REPEAT_DAYS
    return is_near and all((getattr(one, name) is None) is (getattr(first, name) is None) for name in _FIGURES)


def _mean(figures: Iterable[float | None]) -> float | None:
    """All of them have the figure or none has: tests with other figures are no repeats."""
    known = [one for one in figures if one is not None]
    return fsum(known) / len(known) if known else None
