"""What was left of W' or D' under a set: a line with its error as a band, and the figure at the end of each round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.web.charts import marks
from app.web.charts.marks import Box
from app.web.charts.scale import WIDE, Scale, letters, minute_scale, room_of
from app.web.charts.trace import RIGHT, axes, left_of, path_of

HEIGHT = 190.0
TOP, FOOT = 16.0, 32.0
_DOT = 2.6
_WHOLE = 100.0
_STEP_PERCENT = 25
#: Nearer than the room of this, two figures would lie on each other.
_FIGURE_LETTERS = "100 % "


@dataclass(frozen=True, slots=True)
class LeftAt:
    """What was left at a moment, %; `off` is one standard error, None where it is not known."""

    second: float
    percent: float
    off: float | None


@dataclass(frozen=True, slots=True)
class Reserve:
    """What is drawn: the line, the rounds under it, and the figure at the end of each."""

    line: tuple[LeftAt, ...]
    rounds: tuple[tuple[float, float], ...]
    ends: tuple[LeftAt, ...]
    duration_s: float
    name: str


def draw_reserve(reserve: Reserve, *, finding: str, desc: str, key: str, width: float = WIDE) -> Markup:
    """What was left as SVG; `finding` is its title, `desc` says it in words."""
    foot = HEIGHT - FOOT
    up = _up(reserve, foot)
    size = letters(width)
    left = left_of([label for _at, label in up.ticks], size)
    across = minute_scale(reserve.duration_s, start=left, end=width - RIGHT, size=size)
    opening = marks.open_svg(width=width, height=HEIGHT, key=key, css_class="chart", title=finding, desc=desc)
    drawn = "".join(
        (
            "".join(_round(one, across, foot) for one in reserve.rounds),
            axes(across, up, foot=foot, size=size),
            _band(reserve.line, across, up),
            _line(reserve.line, across, up),
            "".join(_end(one, across, up, size) for one in _shown(reserve.ends, across, size)),
        )
    )
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{drawn}</svg>")  # noqa: S704


def _up(reserve: Reserve, foot: float) -> Scale:
    """From nothing to all of it; below nothing only where the model goes there."""
    least = min([0.0, *(one.percent - (one.off or 0.0) for one in reserve.line)])
    lowest = max(-_WHOLE, _STEP_PERCENT * (least // _STEP_PERCENT))
    counted = range(round(lowest), round(_WHOLE) + 1, _STEP_PERCENT)
    ticks = tuple((float(one), f"{one} %".replace("-", "−") if one == _WHOLE else str(one)) for one in counted)
    return Scale(lowest, _WHOLE, foot, TOP, ticks)


def _round(ends: tuple[float, float], across: Scale, foot: float) -> str:
    x, end = across.at(ends[0]), across.at(ends[1])
    box = Box(x, TOP, max(1.0, end - x), foot - TOP)
    return f'<rect class="m-today" {box.attributes()} fill="{marks.TODAY}"/>'


def _inside(value: float, up: Scale) -> float:
    return up.at(min(up.high, max(up.low, value)))


def _band(line: Sequence[LeftAt], across: Scale, up: Scale) -> str:
    known = [one for one in line if one.off is not None]
    if not known:
        return ""
    above = [(across.at(one.second), _inside(one.percent + (one.off or 0.0), up)) for one in known]
    below = [(across.at(one.second), _inside(one.percent - (one.off or 0.0), up)) for one in reversed(known)]
    path = path_of([*above, *below])
    return f'<path class="m-trace-band" d="{path}Z" fill="{marks.BASE}" fill-opacity="0.35"/>'


def _line(line: Sequence[LeftAt], across: Scale, up: Scale) -> str:
    path = path_of([(across.at(one.second), _inside(one.percent, up)) for one in line])
    return f'<path class="m-trace" d="{path}" fill="none" stroke="{marks.HARD}" stroke-width="1.6"/>'


def _shown(ends: Sequence[LeftAt], across: Scale, size: float) -> list[LeftAt]:
    """The last figure, and each before it that has room."""
    shown: list[LeftAt] = []
    room = room_of(_FIGURE_LETTERS, size)
    for one in reversed(ends):
        if not shown or _beside(shown[-1], across, size) - _beside(one, across, size) >= room:
            shown.append(one)
    return shown[::-1]


def _beside(one: LeftAt, across: Scale, size: float) -> float:
    """Where the figure of a dot begins: right of it, and never beyond the drawing."""
    return min(across.at(one.second) + 5, across.end + RIGHT - room_of(_FIGURE_LETTERS.strip(), size))


def _end(one: LeftAt, across: Scale, up: Scale, size: float) -> str:
    x, y = across.at(one.second), _inside(one.percent, up)
    words = f"{one.percent:.0f} %".replace("-", "−")
    # Under its dot: the line comes down to it from the left and rises to the right.
    figure = marks.word(words, x=_beside(one, across, size), y=y + size, css_class="value", anchor="start", size=size)
    dot = f'<circle class="m-hard" cx="{marks.number(x)}" cy="{marks.number(y)}" r="{_DOT}" fill="{marks.HARD}"/>'
    return dot + figure
