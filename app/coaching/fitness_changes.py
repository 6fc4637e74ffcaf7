"""One test result beside an earlier one of the same kind: the difference, and what the tests' own error allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

from app.coaching.fitness_tests import FitnessTest, Protocol

#: Distances of the same route differ by no more than this share (house choice).
SAME_ROUTE_FRACTION = 0.03
_HEART_RATE = ("lower", "higher", "same heart rate")
NO_VERDICT = "No error is known for both, so whether this is more than chance cannot be told."


@dataclass(frozen=True, slots=True)
class Compared:
    """A result against the last one alike: each figure's difference, and one sentence on what it means."""

    before: FitnessTest
    differences: tuple[str, ...]
    verdict: str


def compare_with_last(test: FitnessTest, tests: Sequence[FitnessTest]) -> Compared | None:
    """The difference to the last earlier test alike; None when there is none to compare with.

    Alike: same protocol, mode, unit and, where said, talk answer; routes of the same length for the standard loop.
    Limits: no verdict without an error on both values. Two errors together are the root of their squares' sum.
    Source: house choice.
    """
    earlier = [one for one in tests if _is_alike(one, test) and (one.tested_on, one.id) < (test.tested_on, test.id)]
    before = max(earlier, key=lambda one: (one.tested_on, one.id), default=None)
    if before is None:
        return None
    return Compared(before, _differences(before, test), _verdict(before, test))


def _is_alike(one: FitnessTest, other: FitnessTest) -> bool:
    if one.protocol is not other.protocol or one.mode is not other.mode or one.unit != other.unit:
        return False
    if one.protocol is Protocol.OTHER:
        return False
    if one.talk is not None and other.talk is not None and one.talk is not other.talk:
        return False
    return one.protocol is not Protocol.STANDARD_LOOP or _is_same_route(one, other)


def _is_same_route(one: FitnessTest, other: FitnessTest) -> bool:
    if one.distance_m is None or other.distance_m is None:
        return one.distance_m is other.distance_m
    return abs(one.distance_m - other.distance_m) <= SAME_ROUTE_FRACTION * other.distance_m


def _differences(before: FitnessTest, test: FitnessTest) -> tuple[str, ...]:
    found = (
        _value_words(before.value, test.value, test.unit or ""),
        _change_words(before.distance_m, test.distance_m, "{:g} m", ("shorter", "longer", "same distance")),
        _time_words(before.duration_s, test.duration_s),
        _change_words(before.heart_rate_bpm, test.heart_rate_bpm, "{:g} beats a minute", _HEART_RATE),
    )
    return tuple(words for words in found if words)


def _value_words(old: float | None, new: float | None, unit: str) -> str:
    if old is None or new is None:
        return ""
    change = round(new - old, 3)
    return f"{change:+g} {unit}".strip() if change else "same value"


def _time_words(old: float | None, new: float | None) -> str:
    if old is None or new is None:
        return ""
    minutes, seconds = divmod(round(abs(new - old)), 60)
    return _change_words(old, new, f"{minutes}:{seconds:02d} min", ("faster", "slower", "same time"))


def _change_words(old: float | None, new: float | None, amount: str, words: tuple[str, str, str]) -> str:
    if old is None or new is None:
        return ""
    less, more, same = words
    if new == old:
        return same
    return f"{amount.format(abs(new - old))} {less if new < old else more}"


def _verdict(before: FitnessTest, test: FitnessTest) -> str:
    if before.value is None or test.value is None or before.error is None or test.error is None:
        return NO_VERDICT
    together = hypot(before.error, test.error)
    if abs(test.value - before.value) <= together:
        return f"Within the tests' own error (±{together:.2g}): cannot tell yet."
    return f"More than the tests' own error (±{together:.2g})."
