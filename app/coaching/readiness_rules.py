"""Readiness judged against the client's own usual: is it down, and what to do on a hard day."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from math import sqrt
from statistics import fmean

from app.coaching.heart_rate_trust import HeartRateTrust, since_last_break
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.weeks import day_words

USUAL_DAYS = 42
_LAST_NOTES = 3
_WORSE_NOTES = 2
#: On scales of whole points a change under one point is no change (house choice).
_LEAST_POINTS = 1.0
#: Notes older than this say nothing about now (house choice).
FRESH_DAYS = 14
RESTING_HEART_RATE_RISE_BPM = 8
SHORT_SLEEP_H = 5.0

#: Each item is noted from 1, the best, to this.
_WORST = 7
ITEMS = ("sleep", "fatigue", "stress", "soreness")
_RULE = (
    "An item or the sum worse than the own last 42 days by the set number of spreads, on 2 of the last 3 notes; with "
    "too few notes only “not right today” counts."
)


class ReadinessLevel(StrEnum):
    """What the notes say."""

    USUAL = "usual"
    DOWN = "down"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class ReadinessJudgement:
    """The level with its figures."""

    level: ReadinessLevel
    why: Why


@dataclass(frozen=True, slots=True)
class WorseItem:
    """One item worse than the client's usual on a day. For the four items and the sum, high is worse."""

    name: str
    value: float
    usual: float
    #: The client's own spread; None for a fixed step (resting heart rate).
    spread: float | None

    @property
    def words(self) -> str:
        """The item in words, with its figures."""
        if self.spread is None:
            return f"{self.name} {self.value:g}, usually {self.usual:.0f}"
        worst = len(ITEMS) * _WORST if self.name == "sum" else _WORST
        name = "the four together" if self.name == "sum" else f"{self.name} noted"
        usual = f"usually {self.usual:.1f}, give or take {self.spread:.1f}"
        return f"{name} {self.value:g} of {worst} ({worst} is worst), {usual}"

    @property
    def said(self) -> str:
        """The item as the client is told it: in words, without figures."""
        return _SAID[self.name]


#: What is worse than usual, to the client.
_SAID = {
    "sleep": "you slept worse than usual",
    "fatigue": "you are more tired than usual",
    "stress": "you are under more stress than usual",
    "soreness": "your muscles are sorer than usual",
    "resting heart rate": "your resting heart rate is higher than usual",
    "sum": "you are more worn than usual",
}

#: Somebody cannot say what is wrong: nobody lets a warm-up decide about that (house choice).
NOT_RIGHT = "not right today"
_SAID_OTHERS = {NOT_RIGHT: "something is not right today"}


class HardDay(StrEnum):
    """What readiness says about a hard session today. Good readiness never adds work."""

    AS_PLANNED = "as_planned"
    #: Ten minutes of warm-up; two above usual effort: 30 min easy; else half the rounds.
    WARM_UP_DECIDES = "warm_up_decides"
    EASY_OR_REST = "easy_or_rest"
    #: Fever or signs below the neck: no training.
    NO_TRAINING = "no_training"


@dataclass(frozen=True, slots=True)
class HardDayAnswer:
    """The answer with its reasons in words."""

    answer: HardDay
    because: tuple[str, ...]
    #: The same reasons as the client is told them.
    said: tuple[str, ...] = ()


def is_down(notes: Sequence[ReadinessNote], today: date, rules: Rules) -> ReadinessJudgement:
    """Whether readiness is down.

    Source: common practice, no published source.
    """
    past = _until(notes, today)
    fresh = [one for one in past[-_LAST_NOTES:] if (today - one.noted_on).days <= FRESH_DAYS]
    if not fresh:
        return _judged(ReadinessLevel.UNKNOWN, (Figure("notes", f"none in the last {FRESH_DAYS} days"),))
    known = _usual_notes(past, fresh[-1].noted_on)
    if len(known) < rules.readiness_notes_least:
        return _by_not_right(fresh[-1], past, rules)
    # The notes under judgement are no part of the usual, or bad days would hide one another.
    judged = {one.id for one in past[-_LAST_NOTES:]}
    usual = [one for one in known if one.id not in judged]
    worse = [(one, _worse_items(one, usual, rules.readiness_notes_least - _WORSE_NOTES, rules)) for one in fresh]
    figures = tuple(
        Figure(day_words(one.noted_on), "; ".join(item.words for item in items) or "as usual") for one, items in worse
    )
    count = sum(bool(items) for _, items in worse)
    return _judged(ReadinessLevel.DOWN if count >= _WORSE_NOTES else ReadinessLevel.USUAL, figures)


def worse_than_usual(note: ReadinessNote, notes: Sequence[ReadinessNote], rules: Rules) -> tuple[WorseItem, ...]:
    """The items, and the sum, worse than the client's own 42 days before; empty with too few notes."""
    return _worse_items(note, _usual_notes(notes, note.noted_on), rules.readiness_notes_least, rules)


def items_worse(
    note: ReadinessNote, notes: Sequence[ReadinessNote], rules: Rules, heart_rate: HeartRateTrust
) -> tuple[WorseItem, ...]:
    """What counts as an item on a hard day: the four, and resting heart rate 8 above usual as one, never alone.

    The usual heart rate begins anew after a medicine change and asks for as many notes again; none when not reliable.
    """
    items = [item for item in worse_than_usual(note, notes, rules) if item.name != "sum"]
    usual = since_last_break(_usual_notes(notes, note.noted_on), note.noted_on, heart_rate)
    worse = _worse_heart_rate(note, usual, rules)
    if worse is not None and items:
        items.append(worse)
    return tuple(items)


def hard_day(notes: Sequence[ReadinessNote], today: date, rules: Rules, heart_rate: HeartRateTrust) -> HardDayAnswer:
    """What today's note says about a hard session; as planned when there is none.

    Source: common practice, no published source.
    """
    note = _note_on(notes, today)
    if note is None:
        return HardDayAnswer(HardDay.AS_PLANNED, ("no note today",))
    if note.illness is Illness.FEVER_OR_BELOW:
        return HardDayAnswer(HardDay.NO_TRAINING, ("fever or signs below the neck",), ("you said that you are ill",))
    items = items_worse(note, notes, rules, heart_rate)
    because, said = tuple(item.words for item in items), tuple(item.said for item in items)
    before = _note_on(notes, today - timedelta(days=1))
    two_running = before is not None and len(items) >= 2 and len(items_worse(before, notes, rules, heart_rate)) >= 2
    if note.illness is Illness.ABOVE_NECK:
        ill = "ill above the neck: short and easy at most"
        return HardDayAnswer(HardDay.EASY_OR_REST, (ill, *because), ("you said that you have a cold", *said))
    others = _other_reasons(notes, note)
    because, said = (*because, *others), (*said, *(_SAID_OTHERS.get(one, f"you {one}") for one in others))
    if len(items) >= 3 or two_running or NOT_RIGHT in others:
        return HardDayAnswer(HardDay.EASY_OR_REST, because, said)
    if len(items) == 2 or others:
        return HardDayAnswer(HardDay.WARM_UP_DECIDES, because, said)
    return HardDayAnswer(HardDay.AS_PLANNED, because, said)


def _other_reasons(notes: Sequence[ReadinessNote], note: ReadinessNote) -> tuple[str, ...]:
    """A short night, and "not right today", which a later note of the same day does not take back."""
    is_short = note.slept_h is not None and note.slept_h < SHORT_SLEEP_H
    is_not_right = any(one.not_right_today for one in notes if one.noted_on == note.noted_on)
    return (*((f"slept {note.slept_h:g} h",) if is_short else ()), *((NOT_RIGHT,) if is_not_right else ()))


def _by_not_right(newest: ReadinessNote, past: Sequence[ReadinessNote], rules: Rules) -> ReadinessJudgement:
    known = len(_usual_notes(past, newest.noted_on))
    figures = (
        Figure("notes in the 42 days before", f"{known}, {rules.readiness_notes_least} needed for an own usual"),
        Figure("not right today", "yes" if newest.not_right_today else "no"),
    )
    level = ReadinessLevel.DOWN if newest.not_right_today else ReadinessLevel.USUAL
    return _judged(level, figures, change="A later day's note without “not right today”.")


def _judged(
    level: ReadinessLevel,
    figures: tuple[Figure, ...],
    *,
    change: str = "The next notes: two of the last three as usual.",
) -> ReadinessJudgement:
    would_change = change if level is not ReadinessLevel.USUAL else None
    return ReadinessJudgement(level, Why(figures, _RULE, Provenance.COMMON_PRACTICE, would_change=would_change))


def _until(notes: Sequence[ReadinessNote], today: date) -> list[ReadinessNote]:
    return sorted((one for one in notes if one.noted_on <= today), key=lambda one: (one.noted_on, one.id))


def _usual_notes(notes: Sequence[ReadinessNote], day: date) -> list[ReadinessNote]:
    earliest = day - timedelta(days=USUAL_DAYS)
    return [one for one in notes if earliest <= one.noted_on < day]


def _note_on(notes: Sequence[ReadinessNote], day: date) -> ReadinessNote | None:
    return max((one for one in notes if one.noted_on == day), key=lambda one: one.id, default=None)


def _value(note: ReadinessNote, name: str) -> float | None:
    value = getattr(note, name)
    return None if value is None else float(value)


def _worse_items(
    note: ReadinessNote, usual: Sequence[ReadinessNote], least: int, rules: Rules
) -> tuple[WorseItem, ...]:
    compared = [
        _compared(name, _value(note, name), [_value(one, name) for one in usual], least, rules) for name in ITEMS
    ]
    compared.append(_compared("sum", _sum(note), [_sum(one) for one in usual], least, rules))
    return tuple(item for item in compared if item is not None)


def _sum(note: ReadinessNote) -> float | None:
    values = [_value(note, name) for name in ITEMS]
    return None if None in values else sum(value for value in values if value is not None)


def _compared(
    name: str, value: float | None, usual: Sequence[float | None], least: int, rules: Rules
) -> WorseItem | None:
    given = [one for one in usual if one is not None]
    if value is None or len(given) < max(2, least):
        return None
    centre, spread = fmean(given), _spread_of(given)
    step = max(_LEAST_POINTS, rules.readiness_spread * spread)
    return WorseItem(name, value, centre, spread) if value - centre >= step else None


def _spread_of(points: Sequence[float]) -> float:
    """The sample standard deviation; exact until the root for whole points, whose sums stay whole."""
    count, total = len(points), sum(points)
    return sqrt((count * sum(one * one for one in points) - total * total) / (count * (count - 1)))


def _worse_heart_rate(note: ReadinessNote, usual: Sequence[ReadinessNote], rules: Rules) -> WorseItem | None:
    value = _value(note, "resting_heart_rate_bpm")
    given = [rate for one in usual if (rate := _value(one, "resting_heart_rate_bpm")) is not None]
    if value is None or len(given) < rules.readiness_notes_least:
        return None
    centre = fmean(given)
    is_worse = value - centre >= RESTING_HEART_RATE_RISE_BPM
    return WorseItem("resting heart rate", value, centre, None) if is_worse else None
