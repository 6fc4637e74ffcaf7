"""One test result beside an earlier one of the same kind: the difference, and what the tests' own error allows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.coaching.fitness_errors import Seen, seen_between
from app.coaching.fitness_sides import Side, sides_of
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.heart_rate_trust import RECORDED_ONLY, HeartRateTrust
from app.coaching.heart_rate_words import names_heart_rate
from app.coaching.reasons import Figure, Why
from app.physiology.change import Verdict, judge_change

#: Distances of the same route differ by no more than this share (house choice).
SAME_ROUTE_FRACTION = 0.03
VERDICT_WORDS = {
    Verdict.WITHIN_ERROR: "Within test error: cannot tell yet.",
    Verdict.PROBABLY_REAL: "Probably real.",
    Verdict.CLEAR: "Clear: more than test error alone makes.",
}
_HEART_RATE = ("lower", "higher", "same heart rate")
REPEATED = "Repeated within two weeks: the mean counts as one side, and later tests stand against it."
#: Stands among the differences where both sides have a heart rate that must not be set against the other.
RATE_NOT_COMPARED = f"heart rate {RECORDED_ONLY}"
NO_VERDICT = "No error is known for this test, so whether this is more than chance cannot be told."


@dataclass(frozen=True, slots=True)
class Compared:
    """A result against the last one alike: each figure's difference, and one sentence on what it means."""

    before: FitnessTest
    differences: tuple[str, ...]
    verdict: str
    why: Why | None = None
    #: What was averaged, where tests were repeated within two weeks.
    averaged: str = ""


def compare_with_last(test: FitnessTest, tests: Sequence[FitnessTest], heart_rate: HeartRateTrust) -> Compared | None:
    """The difference to the last earlier test alike; None when there is none to compare with.

    Alike: same protocol, mode, unit and, where said, talk answer; routes of the same length for the standard loop.
    Tests alike within two weeks are one side: their mean stands against the mean of the side before.
    Heart rates are left out when they are not reliable, or a medicine that acts on them changed in between.
    Limits: no verdict without an error, typed with both results or published for the test.
    Source: [weir2005] for the algebra; what counts as alike and as repeated is a house choice.
    """
    earlier = [one for one in tests if _is_alike(one, test) and (one.tested_on, one.id) < (test.tested_on, test.id)]
    if not earlier:
        return None
    before, after = sides_of(test, earlier)
    first = (before or after).tests[0]
    has_rate = _has_rate(first) and _has_rate(test)
    note: tuple[str, ...] = ()
    if not heart_rate.may_compare(first.tested_on, test.tested_on):
        before, after = before and _without_rate(before), _without_rate(after)
        note = (RATE_NOT_COMPARED,) if has_rate else ()
    if before is None:
        tried, last = Side(after.tests[-2:-1]), Side(after.tests[-1:])
        return Compared(tried.last, _differences(tried, last) + note, REPEATED, None, _averaged_words(after))
    averaged = _averaged_words(after, before) if after.count + before.count > 2 else ""
    return Compared(before.last, _differences(before, after) + note, *_judged(before, after), averaged)


def _has_rate(test: FitnessTest) -> bool:
    return test.heart_rate_bpm is not None or is_a_rate(test)


def is_a_rate(test: FitnessTest) -> bool:
    """Whether a test's value itself is a heart rate."""
    return test.value is not None and names_heart_rate(test.unit or "")


def _without_rate(side: Side) -> Side:
    return Side(
        tuple(
            replace(
                one,
                heart_rate_bpm=None,
                value=None if is_a_rate(one) else one.value,
                error=None if is_a_rate(one) else one.error,
            )
            for one in side.tests
        )
    )


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


def _differences(before: Side, after: Side) -> tuple[str, ...]:
    found = (
        _value_words(before.value, after.value, after.last.unit or ""),
        _change_words(before.distance_m, after.distance_m, "{:g} m", ("shorter", "longer", "same distance")),
        _time_words(before.duration_s, after.duration_s),
        _change_words(before.heart_rate_bpm, after.heart_rate_bpm, "{:g} beats a minute", _HEART_RATE),
    )
    return tuple(words for words in found if words)


def _averaged_words(after: Side, before: Side | None = None) -> str:
    against = "" if before is None else f", against {_side_words(before)}"
    said = _side_words(after)
    return f"{said[:1].upper()}{said[1:]}{against}."


def _side_words(side: Side) -> str:
    if side.count == 1:
        return f"one test ({_mean_words(side)})"
    return f"the mean of {side.count} tests within two weeks ({_mean_words(side)})"


def _mean_words(side: Side) -> str:
    found = (
        "" if side.value is None else f"{_tenth(side.value):g} {side.last.unit or ''}".strip(),
        "" if side.distance_m is None else f"{_tenth(side.distance_m):g} m",
        "" if side.duration_s is None else f"{_clock(side.duration_s)} min",
        "" if side.heart_rate_bpm is None else f"{_tenth(side.heart_rate_bpm):g} beats a minute",
    )
    return ", ".join(words for words in found if words)


def _tenth(figure: float) -> float:
    return round(figure, 1)


def _clock(duration_s: float) -> str:
    minutes, seconds = divmod(round(duration_s), 60)
    return f"{minutes}:{seconds:02d}"


def _value_words(old: float | None, new: float | None, unit: str) -> str:
    if old is None or new is None:
        return ""
    change = round(new - old, 3)
    return f"{change:+g} {unit}".strip() if change else "same value"


def _time_words(old: float | None, new: float | None) -> str:
    if old is None or new is None:
        return ""
    return _change_words(old, new, f"{_clock(abs(new - old))} min", ("faster", "slower", "same time"))


def _change_words(old: float | None, new: float | None, amount: str, words: tuple[str, str, str]) -> str:
    if old is None or new is None:
        return ""
    less, more, same = words
    if new == old:
        return same
    return f"{amount.format(_tenth(abs(new - old)))} {less if new < old else more}"


def _judged(before: Side, after: Side) -> tuple[str, Why | None]:
    seen = seen_between(before, after)
    if seen is None:
        return NO_VERDICT, None
    judged = judge_change(
        observed_change=seen.change,
        typical_error=seen.typical_error,
        tests_before=before.count,
        tests_after=after.count,
    )
    figures = (
        Figure("seen", f"{_plain(seen.change, seen.unit):+g} {seen.unit}".strip()),
        Figure("tests averaged", f"{before.count} before, {after.count} after"),
        Figure("typical error of one test", f"{seen.typical_error:.2g} {seen.unit}".strip()),
        Figure("clear from", f"{_plain(judged.clear_from, seen.unit):g} {seen.unit}".strip()),
        Figure("chance of a true change that way", _chance_words(judged.chance)),
    )
    would_change = "A second test on each side within two weeks, at the same hour, on the same route, as rested."
    formulae = (judge_change.__name__, *seen.formulae)
    why = Why(figures, _rule(seen), seen.provenance, seen.source, would_change, formulae)
    return VERDICT_WORDS[judged.verdict], why


def _rule(seen: Seen) -> str:
    return (
        "Within test error, probably real (a chance over 75 %, a line of our own) or clear (more than test error "
        "makes one time in twenty). Before the tests every true change counts as equally likely. Tests alike within "
        f"two weeks count as one side, by their mean (a house choice). {seen.limits}"
    )


def _plain(figure: float, unit: str) -> float:
    """Metres to whole ones, all else to halves: no more than a test can tell."""
    return round(figure) if unit == "m" else round(figure * 2) / 2


def _chance_words(chance: float) -> str:
    """To the next five per cent, and never sure."""
    return "over 95 %" if chance > 0.975 else f"about {round(chance * 20) * 5} %"
