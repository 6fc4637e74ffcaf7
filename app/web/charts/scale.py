"""From figures to places in a drawing, with ticks a reader counts in."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.coaching.session_reading import is_on_foot

_NICE = (1.0, 2.0, 5.0, 10.0)
_MOST_TICKS = 6
#: Seconds a kilometre between ticks, the finest first.
_PACE_STEPS_S = (5, 10, 15, 20, 30, 60, 120, 300)
_KM_PER_H = 3.6
_M_A_KM = 1000.0
#: Slower than this, or than so many times the quickest, has no pace with a tick: somebody stood for a moment.
_SLOWEST_M_PER_S = 0.1
_SLOWEST_TICK = 3.0
_NEAR_THE_QUICKEST, _MOST_NEAR = 1.5, 4
_MINUTE_S = 60
_MINUTE_STEPS = (1, 2, 5, 10, 15, 20, 30, 60, 120)
#: The two widths a drawing is made in, in its own units, and the letters in each: a phone shows a narrow one hardly
#: any smaller than it is, so that no letter falls under 14 px at a width of 390.
WIDE, NARROW = 960.0, 340.0
_LETTERS_WIDE, _LETTERS_NARROW = 13.0, 15.2
#: A letter of this typeface is about so wide as a part of its height.
_LETTER_WIDTH = 0.58
#: Labels of time need the room of so many letters each.
_LABEL_LETTERS = 7


@dataclass(frozen=True, slots=True)
class Scale:
    """A straight way from a figure to a coordinate, and the ticks beside it."""

    low: float
    high: float
    start: float
    end: float
    ticks: tuple[tuple[float, str], ...]

    def at(self, value: float) -> float:
        """The coordinate of a figure."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)


def letters(width: float) -> float:
    """The height of a drawing's letters at its width."""
    return _LETTERS_WIDE if width >= WIDE else _LETTERS_NARROW


def room_of(text: str, size: float) -> float:
    """About how wide a text is."""
    return _LETTER_WIDTH * size * len(text)


def figure_scale(
    low: float, high: float, *, start: float, end: float, output: Output | None, mode: Mode, unit: str
) -> Scale:
    """Watts, beats, kilometres an hour, or minutes a kilometre on foot; the unit stands with the highest tick."""
    if high - low < max(1e-9, 0.02 * abs(high)):
        low, high = low - max(1.0, 0.05 * abs(low)), high + max(1.0, 0.05 * abs(high))
    if output in (Output.SPEED, Output.SPEED_ON_THE_FLAT):
        # Who stands has no pace, and stands on the axis: never beneath it.
        low = max(low, 0.0)
        ticks = _paces(max(low, _SLOWEST_M_PER_S), high) if is_on_foot(mode) else _km_per_h(low, high)
    else:
        ticks = _plain(low, high)
    named = tuple(
        (value, f"{label} {unit}" if place == len(ticks) - 1 else label) for place, (value, label) in enumerate(ticks)
    )
    return Scale(low, high, start, end, named)


def minute_scale(duration_s: float, *, start: float, end: float, size: float = _LETTERS_WIDE) -> Scale:
    """Time from the beginning, with ticks in minutes, no more than letters of a size have room for."""
    minutes = duration_s / _MINUTE_S
    most = max(2.0, min(_MOST_TICKS + 2.0, (end - start) / (_LABEL_LETTERS * _LETTER_WIDTH * size)))
    step = next((one for one in _MINUTE_STEPS if minutes / one <= most), _MINUTE_STEPS[-1])
    ticks = tuple((one * _MINUTE_S, f"{one}") for one in range(0, math.floor(minutes) + 1, step))
    named = (*ticks[:-1], (ticks[-1][0], f"{ticks[-1][1]} min")) if len(ticks) > 1 else ((0.0, "0 min"),)
    return Scale(0.0, max(duration_s, 1.0), start, end, named)


def unit_of(output: Output | None, mode: Mode) -> str:
    """The unit an output is shown in."""
    if output is Output.POWER:
        return "W"
    return "/km" if is_on_foot(mode) else "km/h"


def said(value: float, output: Output | None, mode: Mode) -> str:
    """An output in the words of its way of moving: "252 W", "5:12 /km", "21.4 km/h"."""
    return f"{bare(value, output, mode)} {unit_of(output, mode)}"


def bare(value: float, output: Output | None, mode: Mode) -> str:
    """The same without its unit, where a heading names it."""
    if output is Output.POWER:
        return f"{value:.0f}"
    return pace_words(value) if is_on_foot(mode) else f"{value * _KM_PER_H:.1f}"


def pace_words(speed_m_per_s: float) -> str:
    """Minutes and seconds a kilometre."""
    whole = round(_M_A_KM / speed_m_per_s)
    return f"{whole // _MINUTE_S}:{whole % _MINUTE_S:02d}"


def _plain(low: float, high: float) -> tuple[tuple[float, str], ...]:
    step = _nice_step(high - low)
    return _counted(low, high, step, lambda value: f"{value:g}")


def _km_per_h(low: float, high: float) -> tuple[tuple[float, str], ...]:
    found = _plain(low * _KM_PER_H, high * _KM_PER_H)
    return tuple((value / _KM_PER_H, label) for value, label in found)


def _paces(low: float, high: float) -> tuple[tuple[float, str], ...]:
    """Round paces between two speeds, the slowest first."""
    quickest = _M_A_KM / high
    slowest = min(_M_A_KM / low, _SLOWEST_TICK * quickest)
    # Near the quickest the ticks lie far apart, so that their step is chosen there; slow ones lie on each other.
    near = min(slowest, _NEAR_THE_QUICKEST * quickest)
    step = next((one for one in _PACE_STEPS_S if (near - quickest) / one <= _MOST_NEAR), _PACE_STEPS_S[-1])
    paces = range(math.floor(slowest / step) * step, math.ceil(quickest / step) * step - 1, -step)
    return tuple((_M_A_KM / pace, pace_words(_M_A_KM / pace)) for pace in paces if pace > 0)


def _nice_step(span: float) -> float:
    rough = span / _MOST_TICKS
    power = 10.0 ** math.floor(math.log10(rough))
    return next(nice * power for nice in _NICE if nice * power >= rough)


def _counted(low: float, high: float, step: float, words: Callable[[float], str]) -> tuple[tuple[float, str], ...]:
    first, last = math.ceil(low / step), math.floor(high / step)
    return tuple((one * step, words(one * step)) for one in range(first, last + 1))
