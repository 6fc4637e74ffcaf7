"""Single cells of a spreadsheet, understood: text, numbers, minutes, distances, efforts, rounds, readiness."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from enum import StrEnum

from app.coaching import typed_values
from app.coaching.typed_values import NotUnderstood
from app.physiology.effort_scales import HIGHEST_RPE, LOWEST_RPE, ratio_effort_from_rpe_borg_2001

LONGEST_NAME = 200
LONGEST_NOTE = 4000
LONGEST_DAY_MIN = 24 * 60
#: From here on whole hours look like minutes typed into an hours cell.
HOURS_TYPED_AS_MINUTES = 12
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\0", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
WORST_READINESS = 7
BEST_MOOD = 5


class Decimals(StrEnum):
    """Which mark parts the whole from the fraction."""

    COMMA = "comma"
    POINT = "point"


class DistanceUnit(StrEnum):
    """What a distance without a unit is counted in."""

    KILOMETRES = "km"
    MILES = "miles"


class EffortScale(StrEnum):
    """Which scale an effort was rated on."""

    ZERO_TO_TEN = "0-10"
    SIX_TO_TWENTY = "6-20"


class HighIs(StrEnum):
    """What a high readiness number means."""

    BETTER = "better"
    WORSE = "worse"


@dataclass(frozen=True, slots=True)
class ReadinessScale:
    """The file's own readiness scale: its two ends and what a high number means."""

    lowest: int
    highest: int
    high_is: HighIs

    def __post_init__(self) -> None:
        if not 0 <= self.lowest < self.highest <= 100:
            raise NotUnderstood("A readiness scale runs from a lower to a higher whole number, 0 to 100.")

    @property
    def is_own(self) -> bool:
        """Whether it is the desk's own scale, 1 to 7 with high worse."""
        return (self.lowest, self.highest, self.high_is) == (1, WORST_READINESS, HighIs.WORSE)

    @property
    def words(self) -> str:
        """The scale in words."""
        return f"{self.lowest}-{self.highest}, high is {self.high_is.value}"


def text(raw: str, *, most: int = LONGEST_NAME, many_lines: bool = False) -> str:
    """A text as it stands, formulas included; the one quote put before a formula by an export is taken off."""
    if raw.startswith("'") and raw.lstrip("'").startswith(FORMULA_STARTS):
        raw = raw[1:]
    cleaned = typed_values.clean_text(raw, many_lines=many_lines)
    if len(cleaned) > most:
        raise NotUnderstood(f"This has {len(cleaned)} characters; {most} is the most.")
    return cleaned


def number(raw: str, decimals: Decimals | None) -> float:
    """A number with the file's decimal mark; without one given, a point or a comma. Raises: NotUnderstood."""
    cell = re.sub("[\\s\u00a0\u202f']", "", raw)
    if cell.startswith("="):
        raise NotUnderstood(f"“{raw[:40]}” is a formula, not a number.")
    if decimals is not None:
        thousands = "." if decimals is Decimals.COMMA else ","
        mark = "," if decimals is Decimals.COMMA else "."
        if re.fullmatch(rf"[+-]?[0-9]{{1,3}}(?:\{thousands}[0-9]{{3}})+(?:\{mark}[0-9]+)?", cell):
            cell = cell.replace(thousands, "")
        if thousands in cell:
            raise NotUnderstood(f"“{raw[:40]}” does not use a decimal {decimals.value}.")
    try:
        return typed_values.number(cell)
    except NotUnderstood:
        raise NotUnderstood(f"“{raw[:40]}” is not a number.") from None


def within(value: float, lowest: float, highest: float, unit: str = "") -> float:
    """The value if it lies within limits. Raises: NotUnderstood, for NaN too."""
    if math.isfinite(value) and lowest <= value <= highest:
        return value
    raise NotUnderstood(f"{value:g} is not between {lowest:g} and {highest:g} {unit}".rstrip() + ".")


def whole(raw: str, decimals: Decimals | None, lowest: int, highest: int, unit: str = "") -> int:
    """A whole number within limits. Raises: NotUnderstood."""
    value = within(number(raw, decimals), lowest, highest, unit)
    if value != int(value):
        raise NotUnderstood(f"“{raw[:40]}” is not a whole number.")
    return int(value)


def minutes(raw: str, decimals: Decimals | None = None) -> float:
    """Minutes of one session from 45, 45 min, h:mm or h:mm:ss. Raises: NotUnderstood."""
    cell = raw.strip()
    value = typed_values.minutes(cell) if re.search("[:a-zA-Z]", cell) else number(cell, decimals)
    if not re.search("[:a-zA-Z]", cell):
        typed_values.refuse_unclear_minutes(cell, value)
    hours = value / 60
    if value > LONGEST_DAY_MIN and hours == int(hours) and hours > HOURS_TYPED_AS_MINUTES:
        raise NotUnderstood(f"“{cell}” is {hours:g} hours. Did you mean {hours:g} min?")
    return round(within(value, 1, LONGEST_DAY_MIN, "minutes"), 2)


_DISTANCE = re.compile(r"([^a-zA-Z]+?)\s*(km|kms|kilomet(?:re|er)s?|mi|miles?)?\.?", re.IGNORECASE)


def distance_words(raw: str, decimals: Decimals | None, unit: DistanceUnit | None) -> str:
    """A distance in kilometres as it is kept in the note, with the miles it came from. Raises: NotUnderstood."""
    found = _DISTANCE.fullmatch(raw.strip())
    if not found:
        raise NotUnderstood(f"“{raw[:40]}” is not a distance.")
    value = within(number(found[1], decimals), 0, 1000)
    said = found[2].lower() if found[2] else None
    is_miles = said.startswith("mi") if said else unit is DistanceUnit.MILES
    if is_miles:
        return f"{value * KILOMETRES_IN_A_MILE:.2f} km ({value:g} miles)"
    return f"{value:g} km"


#: Exact by definition (international mile).
KILOMETRES_IN_A_MILE = 1.609344


#: Ratings on the 6-20 scale from here on count as hard, whatever the curve between the scales gives (it puts 17 at
#: 6.0, in the middle band). The literature calls 14 to 17 vigorous and 18 and more near-maximal [garber2011]; the
#: edges at 17 and 19 are a house choice, the safe reading.
HARD_FROM_RPE = 17
ALL_OUT_FROM_RPE = 19
#: Where the hard band begins on the desk's own scale.
HARD_EFFORT = 7.0


@dataclass(frozen=True, slots=True)
class RatedEffort:
    """An effort of 0 to 10, and the words to keep when it was rated on the other scale."""

    effort: float
    words: str | None = None
    is_all_out: bool = False


def effort(raw: str, decimals: Decimals | None, scale: EffortScale) -> RatedEffort:
    """An effort of 0 to 10 from a rating on the file's scale; hard is never read as less. Raises: NotUnderstood."""
    value = number(raw, decimals)
    if scale is EffortScale.ZERO_TO_TEN:
        return RatedEffort(within(value, 0, 10))
    rpe = within(value, LOWEST_RPE, HIGHEST_RPE)
    mapped, words = round(ratio_effort_from_rpe_borg_2001(rpe), 1), f"Effort {rpe:g} on the 6-20 scale."
    if rpe >= HARD_FROM_RPE and mapped < HARD_EFFORT:
        return RatedEffort(HARD_EFFORT, f"{words} Counts as hard from {HARD_FROM_RPE} on (house choice).")
    return RatedEffort(mapped, words, is_all_out=rpe >= ALL_OUT_FROM_RPE)


_ROUNDS = re.compile(r"([0-9]{1,2})\s*[xX×*]\s*([0-9]{1,2}(?:[.,][0-9]+)?)\s*(?:min|m|')?", re.IGNORECASE)


def rounds(raw: str) -> tuple[int, int]:
    """Number of rounds and seconds each, from "4 x 4 min". Raises: NotUnderstood."""
    found = _ROUNDS.fullmatch(raw.strip())
    if not found:
        raise NotUnderstood(f"“{raw[:40]}” is not written like 4 x 4 min.")
    count = int(within(int(found[1]), 1, 60, "rounds"))
    seconds = float(found[2].replace(",", ".")) * 60
    return count, round(within(seconds, 5, 7200, "seconds"))


def readiness_item(raw: str, decimals: Decimals | None, scale: ReadinessScale) -> int:
    """An item on the desk's own scale: 1 to 7, high is worse. Raises: NotUnderstood."""
    share = _share(raw, decimals, scale)
    worse = 1 - share if scale.high_is is HighIs.BETTER else share
    return _nearest(1 + worse * (WORST_READINESS - 1))


def mood(raw: str, decimals: Decimals | None, scale: ReadinessScale) -> int:
    """A mood of 1 to 5, where high is better, from the file's scale and direction. Raises: NotUnderstood."""
    share = _share(raw, decimals, scale)
    better = share if scale.high_is is HighIs.BETTER else 1 - share
    return _nearest(1 + better * (BEST_MOOD - 1))


def _share(raw: str, decimals: Decimals | None, scale: ReadinessScale) -> float:
    value = within(number(raw, decimals), scale.lowest, scale.highest)
    return (value - scale.lowest) / (scale.highest - scale.lowest)


def _nearest(value: float) -> int:
    """The nearest whole number; a half goes to the higher, the worse one (house choice)."""
    return math.floor(value + 0.5 + 1e-9)
